"""Places to write on: a word, and a line after it."""

from __future__ import annotations

from folder.draw.picture import PUPIL_MM, Label, Line, Mark
from folder.draw.text import width_mm

BLANK_MM = 9.0
"""From one line to write on to the next: room for a pupil's hand."""


def blank(words: str, left: float, y: float, right: float) -> tuple[Mark, ...]:
    """A line to write on from the end of the words to `right`, both on the baseline `y`."""
    start = left + (width_mm(words, PUPIL_MM) + 1.5 if words else 0.0)
    line = Line(((start, y - 0.8), (right, y - 0.8)), "thin")
    return (Label(words, (left, y)), line) if words else (line,)
