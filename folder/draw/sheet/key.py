"""What the lines and marks of a sheet mean, as a block of samples with words."""

from __future__ import annotations

from collections.abc import Sequence

from folder.draw.picture import PUPIL_MM, Area, Box, Label, Line, Mark, Picture
from folder.draw.sheet.flat import crease_style
from folder.draw.sheet.mark import crimp_mark, cut_mark, step_badge
from folder.draw.style import SHADE
from folder.draw.text import width_mm
from folder.pattern.pattern import Pattern

SAMPLE_MM = 14.0
ROW_MM = 7.6
GAP_MM = 4.0

WORDS = {
    "valley": "valley: fold toward you",
    "mountain": "mountain: fold away",
    "crease": "a crease from before",
    "hidden": "an edge behind",
    "cut": "a cut: not allowed",
    "guide": "a guide: do not fold",
    "edge": "the edge of the sheet",
    "floor": "the floor",
    "pinch": "pinch here",
    "step": "fold in this order",
}
"""Every line and mark that can be explained, in the order it is."""


def names_used(pattern: Pattern) -> tuple[str, ...]:
    """The lines and marks the picture of a pattern uses."""
    used = {"floor", *(crease_style(crease) for crease in pattern.creases)}
    if pattern.crimps:
        used.add("pinch")
    if any(crease.step is not None for crease in pattern.creases):
        used.add("step")
    return tuple(name for name in WORDS if name in used)


def key(names: Sequence[str], room_mm: float) -> Picture:
    """Samples with their words, in as many columns as fit the room; the upper left corner is at the origin."""
    for columns in range(max(len(names), 1), 0, -1):
        rows = -(-len(names) // columns)
        blocks = [names[k : k + rows] for k in range(0, len(names), max(rows, 1))]
        widths = [SAMPLE_MM + GAP_MM + max(width_mm(WORDS[name], PUPIL_MM) for name in block) for block in blocks]
        if sum(widths) + 2 * GAP_MM * (len(blocks) - 1) <= room_mm:
            break
    marks: list[Mark] = []
    left = 0.0
    for block, width in zip(blocks, widths, strict=True):
        for k, name in enumerate(block):
            y = -(k + 0.5) * ROW_MM
            marks += _sample(name, left, y)
            marks.append(Label(WORDS[name], (left + SAMPLE_MM + GAP_MM, y - 0.25 * PUPIL_MM)))
        left += width + 2 * GAP_MM
    return Picture(tuple(marks), Box(0.0, -rows * ROW_MM, max(left - 2 * GAP_MM, 0.0), 0.0))


def _sample(name: str, x: float, y: float) -> tuple[Mark, ...]:
    """The sample of a line or mark, in a box SAMPLE_MM wide with the middle of its left side at (x, y)."""
    middle = (x + SAMPLE_MM / 2, y)
    ends = ((x, y), (x + SAMPLE_MM, y))
    match name:
        case "floor":
            return (Area((Box(x, y - 2.5, x + SAMPLE_MM, y + 2.5).corners,), SHADE, "thin"),)
        case "pinch":
            return (crimp_mark(middle),)
        case "step":
            return step_badge(1, middle)
        case "cut":
            return Line(ends, "cut"), cut_mark(*ends)
        case "valley" | "mountain" | "crease" | "hidden" | "guide" | "edge":
            return (Line(ends, name),)
    raise KeyError(name)
