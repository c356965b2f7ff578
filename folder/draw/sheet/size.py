"""Sizes drawn beside a thing: a line from here to there with its length, as on a workshop drawing.

chain  sizes end to end along one line, such as wall, floor, wall
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from folder.draw.picture import CAP_HEIGHT, PUPIL_MM, Box, Label, Line, Mark, Picture, box_round
from folder.draw.sheet.flat import FaceRing, crease_sheet
from folder.draw.text import width_mm
from folder.findings import Point
from folder.pattern.pattern import Pattern

APART_MM = 6.6
"""From the thing to its first line of sizes, and from there to the next."""
TICK_MM = 1.2
ROOM_MM = 2 * APART_MM + 1.5
"""What two lines of sizes take."""
LEAST_MM = 0.5
"""Sizes below this are none."""


def sized_sheet(pattern: Pattern, floor: Sequence[FaceRing], into: Box) -> Picture:
    """The pattern in a box, with the sizes of walls, floor and sheet below it and on its left."""
    sheet = pattern.sheet
    scale = min((into.width - ROOM_MM) / sheet.width_mm, (into.height - ROOM_MM) / sheet.height_mm)
    drawn = crease_sheet(pattern, floor=floor, scale=scale, steps=False)
    edge = Box(0.0, 0.0, scale * sheet.width_mm, scale * sheet.height_mm)
    ground = box_round(p for ring in floor for p in ring)
    marks: list[Mark] = list(drawn.marks)
    for upright, full, low, high in (
        (False, sheet.width_mm, ground.left, ground.right),
        (True, sheet.height_mm, ground.bottom, ground.top),
    ):
        if floor:
            marks += _chain((0.0, low, high, full), scale, -APART_MM + 2.6, upright=upright)
        # A square's side is said once.
        if not upright or sheet.width_mm != sheet.height_mm:
            marks += _chain((0.0, full), scale, -2 * APART_MM + 2.6, upright=upright)
    left = into.middle[0] - (edge.width - ROOM_MM) / 2
    bottom = into.middle[1] - (edge.height - ROOM_MM) / 2
    return Picture(tuple(marks), Box(-ROOM_MM, -ROOM_MM, edge.right, edge.top)).moved(left, bottom)


def sized_hull(plan: Picture, floor: Sequence[Point], into: Box) -> Picture:
    """A hull from above in a box, with the sizes of its floor and of all of it below it and on its left.

    The plan is in mm, in true scale; the floor's outline lies on it.
    """
    around, ground = plan.box, box_round(floor)
    scale = min((into.width - ROOM_MM) / around.width, (into.height - ROOM_MM) / around.height)
    drawn = plan.moved(-around.left, -around.bottom).scaled(scale)
    marks: list[Mark] = list(drawn.marks)
    for upright, full, low, high in (
        (False, around.width, ground.left - around.left, ground.right - around.left),
        (True, around.height, ground.bottom - around.bottom, ground.top - around.bottom),
    ):
        marks += _chain((low, high), scale, -APART_MM + 2.6, upright=upright)
        if full - (high - low) > LEAST_MM:
            marks += _chain((0.0, full), scale, -2 * APART_MM + 2.6, upright=upright)
    left = into.middle[0] - (drawn.box.width - ROOM_MM) / 2
    bottom = into.middle[1] - (drawn.box.height - ROOM_MM) / 2
    return Picture(tuple(marks), Box(-ROOM_MM, -ROOM_MM, drawn.box.right, drawn.box.top)).moved(left, bottom)


def _chain(stops: Sequence[float], scale: float, off: float, *, upright: bool) -> Iterator[Mark]:
    """Sizes between stops, mm on the sheet, along the lower edge or, upright, along the left one."""
    chain = Picture.of(_level_chain(stops, scale, off if not upright else -off))
    yield from (chain.rotated(math.pi / 2) if upright else chain).marks


def _level_chain(stops: Sequence[float], scale: float, y: float) -> Iterator[Mark]:
    kept = [stops[0]]
    kept += [stop for before, stop in pairwise(stops) if stop - before > LEAST_MM]
    for stop in kept:
        yield Line(((scale * stop, y - TICK_MM), (scale * stop, y + TICK_MM)), "thin")
    for low, high in pairwise(kept):
        size, a, b = high - low, scale * low, scale * high
        text = f"{size:.0f}" if abs(size - round(size)) < 0.05 else f"{size:.1f}"
        wide = width_mm(text, PUPIL_MM)
        if wide + 1.0 > b - a:
            yield Line(((a, y), (b, y)), "thin")
            continue
        middle = (a + b) / 2
        if b - a > wide + 4.0:
            yield Line(((a, y), (middle - wide / 2 - 1.0, y)), "thin")
            yield Line(((middle + wide / 2 + 1.0, y), (b, y)), "thin")
        yield Label(text, (middle, y - CAP_HEIGHT * PUPIL_MM / 2), anchor="middle")
