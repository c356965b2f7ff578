"""Measures drawn in a picture of a step: a line from here to there beside the sheet, with its size in mm.

level   how far out a line of sizes stands: those that would touch stand one level farther out
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import pairwise, product

from msgspec import Struct

from folder.draw.clip import part_inside
from folder.draw.picture import CAP_HEIGHT, PUPIL_MM, Area, Box, Label, Line, Mark, box_round
from folder.draw.steps.sentences import mm_text
from folder.draw.style import PAPER
from folder.draw.text import label_corners, width_mm
from folder.findings import Point
from folder.fold.sequence.table_line import Span

OFF_MM = 3.4
"""From the sheet to the first line of sizes."""
LEVEL_MM = 5.2
TICK_MM = 1.1
ROOM_MM = OFF_MM + 2.6
"""What one level takes beside the sheet."""
BARE_MM = 2.0
"""What is left free beside a sheet where nothing is measured: room for its dot."""
MOST_LEVELS = 4
SHORT_MM = 2.5
"""What is shorter in the picture is measured beside the sheet, where its ticks can be told apart."""
SLIDES = (0.5, 0.3, 0.7, 0.4, 0.6, 0.2, 0.8, 0.1, 0.9)
"""Where along its line a measure on the sheet may stand, the best first."""
_STRAIGHT_MM = 0.05

Side = str


class Dimension(Struct, frozen=True):
    """A size in a picture."""

    text: str
    start: Point
    """The places on the sheet, as they lie in the picture."""
    end: Point
    label: Label
    marks: tuple[Mark, ...]
    ruler: tuple[Point, Point]
    """The ends of the line that the number stands by."""


class Measure(Struct, frozen=True):
    """What is measured, as it lies in the picture."""

    start: Point
    end: Point
    size_mm: float
    line: tuple[Point, Point] | None = None
    """The ends of the line, where it may be measured anywhere along it."""

    @classmethod
    def of(cls, span: Span, seen: Callable[[Iterable[Point]], list[Point]]) -> Measure:
        """A span on the table as it is seen."""
        start, end, *line = seen([span.start, span.end, *(span.line or ())])
        return cls(start, end, span.size_mm, (line[0], line[1]) if line else None)


def dimensions(measures: Sequence[Measure], sheet: Box, lines: Sequence[Line] = (), taken: Iterable[Box] = ()) -> list[Dimension]:
    """Sizes beside the box that a sheet fills, or on the sheet itself for lines that end within it, clear of the lines there."""
    boxes = list(taken)
    found: dict[int, Dimension] = {}
    strokes = list(lines)

    def trouble(made: Dimension) -> tuple[int, int]:
        """How often it touches another number or ruler, and how many lines run through its number."""
        own = _boxes(made)
        over = sum(box.touches(mine) for box in boxes for mine in own)
        over += sum(_through(line, box) for line in _lines(made) for box in boxes)
        return over, sum(_through(line, own[0]) for line in strokes)

    # Short ones stand nearest to the sheet, so that no leader of theirs runs through the number of a longer one.
    order = sorted(range(len(measures)), key=lambda k: round(math.dist(measures[k].start, measures[k].end), 3))
    for rank, k in enumerate(order):
        # The first way that is clear of everything, also of the rulers still to come, else the one least in the way.
        to_come = [line for later in order[rank + 1 :] for line in _lines(next(iter(_ways(measures[later], sheet))))]
        before = len(strokes)
        strokes += to_come
        best = min(_ways(measures[k], sheet), key=trouble)
        del strokes[before:]
        boxes += _boxes(best)
        strokes += _lines(best)
        found[k] = best
    return [found[k] for k in range(len(measures))]


def dimension_marks(sizes: Sequence[Dimension]) -> Iterator[Mark]:
    """What is drawn of some sizes: numbers stand on white over all rulers, so a line that must pass one is broken there."""
    for size in sizes:
        yield from (mark for mark in size.marks if isinstance(mark, Line))
    for size in sizes:
        yield Area((box_round(label_corners(size.label)).grown(0.2).corners,), PAPER)
        yield size.label


def _lines(made: Dimension) -> list[Line]:
    return [mark for mark in made.marks if isinstance(mark, Line)]


def _through(line: Line, box: Box) -> bool:
    """Whether a line runs through a box."""
    return any(part_inside(a, b, box.corners) for a, b in pairwise(line.path))


def _boxes(made: Dimension) -> list[Box]:
    """The room that a number and its line take."""
    return [box_round(label_corners(made.label)).grown(0.4), box_round(made.ruler).grown(0.4)]


def _ways(measure: Measure, sheet: Box) -> Iterator[Dimension]:
    """Ways to draw a measure, the best first."""
    start, end, text = measure.start, measure.end, mm_text(measure.size_mm)
    if measure.line and not _reaches(measure.line, sheet) and math.dist(start, end) > SHORT_MM:
        for share, left in product(SLIDES, (False, True)):
            yield _within(text, measure, share, left)
    for level, outer in product(range(MOST_LEVELS), (False, True)):
        yield _made(text, start, end, sheet, level, outer)


def _reaches(line: tuple[Point, Point], sheet: Box) -> bool:
    """Whether a line reaches the border of the box that a sheet fills."""
    inner = sheet.grown(-0.6)
    return any(not inner.holds(end) for end in line)


def _within(text: str, measure: Measure, share: float, left: bool) -> Dimension:
    """A measure from an edge to a line, on the sheet, at a share of the line; its number on one side of it."""
    assert measure.line is not None
    (ax, ay), (bx, by) = measure.line
    x, y = ax + share * (bx - ax), ay + share * (by - ay)
    dx, dy = x - measure.end[0], y - measure.end[1]
    start, end = (measure.start[0] + dx, measure.start[1] + dy), (x, y)
    length = math.dist(start, end) or 1.0
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    marks: list[Mark] = [Line((start, end), "thin")]
    for px, py in (start, end):
        marks.append(Line(((px - TICK_MM * uy, py + TICK_MM * ux), (px + TICK_MM * uy, py - TICK_MM * ux)), "thin"))
    nx, ny = (-uy, ux) if left else (uy, -ux)
    wide, high = width_mm(text, PUPIL_MM), CAP_HEIGHT * PUPIL_MM
    # A number wider than what it measures stands upright, or it would run over the edge.
    upright = abs(ux) * length < abs(ux) * wide + 1.0 and abs(ux) > 0.7
    across, up = (high, wide) if upright else (wide, high)
    reach = 1.3 + abs(nx) * across / 2 + abs(ny) * up / 2
    x, y = (start[0] + end[0]) / 2 + reach * nx, (start[1] + end[1]) / 2 + reach * ny
    label = Label(text, (x + high / 2, y) if upright else (x, y - high / 2), anchor="middle", rotation_rad=math.pi / 2 * upright)
    return Dimension(text, start, end, label, (*marks, label), (start, end))


def side_of_span(start: Point, end: Point, sheet: Box) -> Side:
    """On which side of the sheet a span is drawn: below or above where it is level, left or right where upright; else beside it."""
    (x, y), (mx, my) = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2), sheet.middle
    if abs(start[1] - end[1]) < _STRAIGHT_MM:
        return "below" if y <= my + _STRAIGHT_MM else "above"
    if abs(start[0] - end[0]) < _STRAIGHT_MM:
        return "left" if x <= mx + _STRAIGHT_MM else "right"
    return ""


def room_within(box: Box, measures: Sequence[Measure], sheet: Box) -> Box:
    """What is left of a box for a sheet, when its measures are drawn beside it; sheet and measures in mm on the table, as seen."""
    beside = [m for m in measures if not m.line or _reaches(m.line, sheet)]
    sides = [side_of_span(m.start, m.end, sheet) for m in beside]

    def need(side: Side) -> float:
        count = sides.count(side)
        return BARE_MM if not count else ROOM_MM + (LEVEL_MM if count > 3 else 0.0)

    slanting = ROOM_MM if "" in sides else 0.0
    return Box(
        box.left + max(need("left"), slanting),
        box.bottom + max(need("below"), slanting),
        box.right - max(need("right"), slanting),
        box.top - max(need("above"), slanting),
    )


def giving_way(room: Box, box: Box, sizes: Sequence[Dimension]) -> Box:
    """The room for a sheet in a box, less by as much as sizes stand farther out than the box reaches."""
    inner = box.grown(-0.5)
    out = box_round([*inner.corners, *(p for size in sizes for p in label_corners(size.label))])
    return Box(
        room.left + inner.left - out.left, room.bottom + inner.bottom - out.bottom,
        room.right + inner.right - out.right, room.top + inner.top - out.top,
    )  # fmt: skip


def _made(text: str, start: Point, end: Point, sheet: Box, level: int, outer: bool) -> Dimension:
    side = side_of_span(start, end, sheet)
    off = OFF_MM + level * LEVEL_MM
    if not side:
        return _slanting(text, start, end, sheet, off)
    upright = side in ("left", "right")
    at = {"below": sheet.bottom - off, "above": sheet.top + off, "left": sheet.left - off, "right": sheet.right + off}[side]
    edge = {"below": sheet.bottom, "above": sheet.top, "left": sheet.left, "right": sheet.right}[side]

    def place(along: float, across: float) -> Point:
        return (across, along) if upright else (along, across)

    k = 1 if upright else 0
    low, high = sorted((start[k], end[k]))
    out = math.copysign(1.0, at - edge)
    marks: list[Mark] = []
    for point in (start, end):
        away = abs(point[1 - k] - edge)
        # From a place within the sheet a thin line leads out to its tick.
        begin = edge + out * 0.8 if away < 0.6 else point[1 - k]
        marks.append(Line((place(point[k], begin), place(point[k], at + out * TICK_MM)), "thin"))
    wide = width_mm(text, PUPIL_MM)
    base = CAP_HEIGHT * PUPIL_MM / 2
    turn = math.pi / 2 if upright else 0.0
    across = at + base if upright else at - base
    if high - low > wide + 3.0:
        middle = (low + high) / 2
        marks += [Line((place(low, at), place(middle - wide / 2 - 0.7, at)), "thin")]
        marks += [Line((place(middle + wide / 2 + 0.7, at), place(high, at)), "thin")]
        label = Label(text, place(middle, across), anchor="middle", rotation_rad=turn)
    else:
        marks.append(Line((place(low, at), place(high, at)), "thin"))
        # Where the number does not fit between, it stands beside: toward the middle of the sheet, or away from it.
        inner = ((low + high) / 2 < (sheet.middle[1] if upright else sheet.middle[0])) != outer
        label = Label(
            text,
            place(high + 1.2, across) if inner else place(low - 1.2, across),
            anchor="start" if inner else "end",
            rotation_rad=turn,
        )
    return Dimension(text, start, end, label, (*marks, label), (place(low, at - TICK_MM), place(high, at + TICK_MM)))


def _slanting(text: str, start: Point, end: Point, sheet: Box, off: float) -> Dimension:
    """A span that runs askew: its line beside it, away from the middle of the sheet."""
    length = math.dist(start, end) or 1.0
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    mx, my = (start[0] + end[0]) / 2 - sheet.middle[0], (start[1] + end[1]) / 2 - sheet.middle[1]
    nx, ny = (-uy, ux) if -uy * mx + ux * my > 0 else (uy, -ux)
    a, b = ((p[0] + off * nx, p[1] + off * ny) for p in (start, end))
    marks: list[Mark] = [
        Line(((p[0] + 0.8 * nx, p[1] + 0.8 * ny), (p[0] + (off + TICK_MM) * nx, p[1] + (off + TICK_MM) * ny)), "thin")
        for p in (start, end)
    ]
    marks.append(Line((a, b), "thin"))
    wide, high = width_mm(text, PUPIL_MM), CAP_HEIGHT * PUPIL_MM
    reach = 1.2 + abs(nx) * wide / 2 + abs(ny) * high / 2
    x, y = (a[0] + b[0]) / 2 + reach * nx, (a[1] + b[1]) / 2 + reach * ny
    label = Label(text, (x, y - high / 2), anchor="middle")
    return Dimension(text, start, end, label, (*marks, label), (a, b))
