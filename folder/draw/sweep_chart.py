"""A curve: what a hull takes as one of its numbers changes, with where it stands now and what is tried.

band     from low to high; a line through what is likely; gaps where no hull can be made
now      an upright line through what the number is now
tried    a hollow dot at the value that is set
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct

from folder.draw.chart import ticks
from folder.draw.picture import PUPIL_MM, SMALL_MM, Area, Box, Label, Line, Mark, Picture, disc
from folder.draw.style import FOIL, INK, PAPER, SHADE
from folder.draw.text import clean, width_mm

FOOT_MM, HEAD_MM = 11.0, 8.5
UPRIGHT = 4
"""So many numbers at most stand up the side."""


class SweepPoint(Struct, frozen=True):
    """A value of the number; what is low, likely and high there, None where there is no hull or it is not known yet."""

    value: float
    low_likely_high: tuple[float, float, float] | None
    is_known: bool


def sweep_chart(
    points: Sequence[SweepPoint], now: float, value: float, at_value: float | None, box: Box, words: str, unit: str
) -> Picture:
    """The chart in a box; `words` name the number along its foot, `unit` what is counted up its side."""
    most = max((point.low_likely_high[2] for point in points if point.low_likely_high is not None), default=1.0)
    values = ticks(most, UPRIGHT)
    left = box.left + width_mm(f"{values[-1]:g}", PUPIL_MM) + 2.5
    right, floor, top = box.right - 3.0, box.bottom + FOOT_MM, box.top - HEAD_MM
    first, last = points[0].value, points[-1].value

    def x(number: float) -> float:
        return left + (right - left) * (number - first) / max(last - first, 1e-9)

    def y(number: float) -> float:
        return floor + (top - floor) * number / values[-1]

    marks: list[Mark] = []
    for k, number in enumerate(values):
        marks.append(
            Line(((left, y(number)), (right, y(number))), "outline" if k == 0 else "thin", colour=INK if k == 0 else FOIL)
        )
        marks.append(Label(f"{number:g}", (left - 1.5, y(number) - 0.35 * PUPIL_MM), anchor="end"))
    for number in _along(first, last):
        marks.append(Label(f"{number:g}", (x(number), floor - 5.2), anchor="middle"))
        marks.append(Line(((x(number), floor), (x(number), floor - 1.2)), "thin"))
    marks.append(Label(clean(words), (right, box.bottom + 0.6), SMALL_MM, "end"))
    marks.append(Label(clean(unit), (box.left, box.top - 3.4), SMALL_MM))
    for run in _runs(points):
        low = [(x(point.value), y(span[0])) for point, span in run]
        high = [(x(point.value), y(span[2])) for point, span in run]
        if len(run) > 1:
            marks.append(Area(((*low, *reversed(high)),), SHADE))
            marks.append(Line(tuple((x(point.value), y(span[1])) for point, span in run), "thick"))
        else:
            marks.append(disc((x(run[0][0].value), y(run[0][1][1])), 0.6, INK))
    marks.append(Line(((x(now), floor), (x(now), top)), "hidden"))
    half = width_mm("now", SMALL_MM) / 2
    marks.append(Label("now", (min(max(x(now), left + half), right - half), top + 0.8), SMALL_MM, "middle"))
    if at_value is not None:
        marks.append(disc((x(value), y(at_value)), 1.7, PAPER, "outline"))
    return Picture(tuple(marks), box)


def _runs(points: Sequence[SweepPoint]) -> Iterator[list[tuple[SweepPoint, tuple[float, float, float]]]]:
    """Points side by side that are hulls. One that is not known yet parts nothing: the line is drawn past it."""
    run: list[tuple[SweepPoint, tuple[float, float, float]]] = []
    for point in points:
        if point.low_likely_high is not None:
            run.append((point, point.low_likely_high))
        elif point.is_known and run:
            yield run
            run = []
    if run:
        yield run


def _along(first: float, last: float) -> list[float]:
    """Round numbers from first to last."""
    span = last - first
    step = next((s for s in (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0) if span / s <= 9), 100.0)
    numbers, number = [], -(-first // step) * step
    while number <= last + 1e-9:
        numbers.append(number)
        number += step
    return numbers
