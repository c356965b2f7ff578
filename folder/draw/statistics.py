"""Pictures of a class's numbers: box-and-whisker plots on one axis, and guesses against counts.

box      from the lower to the upper quartile, a thick stroke at the median; whiskers out to the least and the most
diagonal where a guess was right: above it more was held than guessed, below it less
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence

from folder.draw.chart import ticks
from folder.draw.picture import PUPIL_MM, Area, Box, Label, Line, Mark, Picture, disc
from folder.draw.style import FOIL, INK, PAPER
from folder.draw.text import width_mm

BOX_MM = 9.0
"""Height of a box."""
ROW_MM = 16.0
AXIS_MM = 8.0
NAME_MM = 40.0
DOT_MM = 1.3
"""Radius of the dot of one trial; of several on one place, each as large an area more."""

Five = tuple[float, float, float, float, float]


def box_plots(rows: Sequence[tuple[str, Five]], box: Box, unit: str) -> Picture:
    """Rows of a name and its five numbers in a box, from its top, over one axis at its bottom."""
    values = ticks(max((five[-1] for _, five in rows), default=0.0))
    left = box.left + NAME_MM
    right = box.right - width_mm(f"{values[-1]:g} {unit}", PUPIL_MM) / 2.0 - 1.0
    floor = box.bottom + AXIS_MM

    def at(value: float) -> float:
        return left + (right - left) * value / values[-1]

    marks: list[Mark] = []
    for value in values:
        marks.append(Line(((at(value), floor), (at(value), box.top)), "thin", colour=FOIL))
        text = f"{value:g} {unit}".strip() if value == values[-1] else f"{value:g}"
        marks.append(Label(text, (at(value), box.bottom + 1.2), anchor="middle"))
    marks.append(Line(((left, floor), (right, floor)), "thin"))
    for k, (name, five) in enumerate(rows):
        y = box.top - (k + 0.5) * (box.top - floor) / max(len(rows), 1)
        marks.append(Label(name, (box.left, y - 0.35 * PUPIL_MM), weight="bold"))
        marks += _whiskers(tuple(map(at, five)), y)
    return Picture(tuple(marks), box)


def _whiskers(at: Sequence[float], y: float) -> Iterator[Mark]:
    least, lower, middle, upper, most = at
    half = BOX_MM / 2.0
    for x, end in ((least, lower), (most, upper)):
        yield Line(((x, y), (end, y)))
        yield Line(((x, y - half / 2.0), (x, y + half / 2.0)))
    yield Area((Box(lower, y - half, upper, y + half).corners,), PAPER, "outline")
    yield Line(((middle, y - half), (middle, y + half)), "thick", colour=INK)


def guesses_and_counts(pairs: Sequence[tuple[int, int]], box: Box) -> Picture:
    """A dot for each trial, at its guess across and its count up, and the diagonal on which a guess was right."""
    values = ticks(max((max(pair) for pair in pairs), default=0))
    number_w = width_mm(f"{values[-1]:g}", PUPIL_MM)
    side = min(box.width - number_w - 12.0, box.height - AXIS_MM - 10.0)
    left, floor = box.left + number_w + 10.0, box.bottom + AXIS_MM + 6.0

    def at(guess: float, held: float) -> tuple[float, float]:
        return left + side * guess / values[-1], floor + side * held / values[-1]

    marks: list[Mark] = []
    most = values[-1]
    for value in values:
        marks += [
            Line((at(value, 0), at(value, most)), "thin", colour=FOIL),
            Line((at(0, value), at(most, value)), "thin", colour=FOIL),
        ]
        x, y = at(value, value)
        marks.append(Label(f"{value:g}", (x, floor - 5.6), anchor="middle"))
        marks.append(Label(f"{value:g}", (left - 2.0, y - 0.35 * PUPIL_MM), anchor="end"))
    marks += [Line((at(0, 0), at(most, 0))), Line((at(0, 0), at(0, most))), Line((at(0, 0), at(most, most)), "hidden")]
    for (guess, held), times in sorted(Counter(pairs).items(), key=lambda item: -item[1]):
        marks.append(disc(at(guess, held), DOT_MM * math.sqrt(times), PAPER, "outline"))
    middle = left + side / 2.0
    marks.append(Label("guessed", (middle, box.bottom), anchor="middle", weight="bold"))
    marks.append(Label("held", (box.left + 4.0, floor + side / 2.0), anchor="middle", weight="bold", rotation_rad=math.pi / 2.0))
    return Picture(tuple(marks), box)
