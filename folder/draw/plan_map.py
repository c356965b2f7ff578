"""The loading plan as a map: one layer seen from above, every object in its place with its number.

done   objects that lie there already
lit    the one that comes next
A number stands in its object, along it where it is long; it is as small as it must be, and never left out.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

from folder.cargo.item import Item
from folder.cargo.spot import Spot
from folder.draw.afloat import drawn_spots, upright
from folder.draw.picture import CAP_HEIGHT, Area, Box, Label, Line, Mark, Picture, box_round
from folder.draw.style import INK, PAPER, SHADE
from folder.draw.text import width_mm
from folder.findings import Point

LARGEST_MM = 6.0
"""No number is larger."""
ROOM = 0.82
"""A number fills so much of its object at most."""
DONE = "#DDA46A"
"""As the objects in the tub."""
LIT = "#FFE9A8"


def plan_map(
    floor: Sequence[Point], item: Item, spots: Sequence[Spot], layer: int, into: Box, *, done: int = 0, lit: int = 0,
    around: Box | None = None,
) -> Picture:  # fmt: skip
    """The spots of one layer on the floor, fitted into a box; numbers count from 1 in the order of the spots.

    All layers have one scale: `around` is what the map shows, mm in the hull's frame (see `around_all`).
    """
    shown = around or around_all(floor, item, spots)
    scale = min(into.width / max(shown.width, 1e-9), into.height / max(shown.height, 1e-9))
    (mx, my), (x, y) = shown.middle, into.middle

    def at(point: Point) -> Point:
        return (x + scale * (point[0] - mx), y + scale * (point[1] - my))

    marks: list[Mark] = [Area((tuple(map(at, floor)),), SHADE, "outline")]
    here = [(number, spot) for number, spot in enumerate(spots, 1) if spot.layer == layer]
    things = drawn_spots(item, [spot for _, spot in here], item.footprint_mm)
    rings = [tuple(map(at, thing.ring)) for thing in things]
    for (number, _), ring in zip(here, rings, strict=True):
        marks.append(Area((ring,), DONE if number <= done else LIT if number == lit else PAPER, "thin"))
    marks += [Line(ring, "thick", closed=True) for (number, _), ring in zip(here, rings, strict=True) if number == lit]
    marks += _numbers(item, here, at, scale)
    return Picture(tuple(marks), into)


def around_all(floor: Sequence[Point], item: Item, spots: Sequence[Spot]) -> Box:
    """The box round the floor and all objects: those of upper layers may lie over the floor's edge."""
    return box_round([*floor, *(p for thing in drawn_spots(item, spots, item.footprint_mm) for p in thing.ring)])


def _numbers(item: Item, numbered: Sequence[tuple[int, Spot]], at: Callable[[Point], Point], scale: float) -> Iterator[Label]:
    """The number in each object, all of a layer of one size."""
    if not numbered:
        return
    long, wide = (2.0 * item.footprint_mm[0],) * 2 if len(item.footprint_mm) == 1 else item.footprint_mm
    if len(item.footprint_mm) == 1:  # the corners of the number stay in the circle
        fits = min(ROOM * scale * long / math.hypot(_width(n), CAP_HEIGHT) for n, _ in numbered)
    else:
        long, wide = max(long, wide), min(long, wide)
        fits = min(min(ROOM * scale * long / _width(n), ROOM * scale * wide / CAP_HEIGHT) for n, _ in numbered)
    size = min(fits, LARGEST_MM)
    for number, spot in numbered:
        turn = upright(spot.rotation_rad + _along(item)) if len(item.footprint_mm) == 2 else 0.0
        x, y = at((spot.x_mm, spot.y_mm))
        half = CAP_HEIGHT * size / 2.0
        yield Label(str(number), (x + half * math.sin(turn), y - half * math.cos(turn)), size, "middle", "bold", INK, turn)


def _width(number: int) -> float:
    return width_mm(str(number), 1.0, "bold")


def _along(item: Item) -> float:
    """The direction of the longer side of what is not round."""
    length, width = item.footprint_mm
    return 0.0 if length >= width else math.pi / 2.0
