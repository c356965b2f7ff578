"""Lines of a drawing as walls that are meant: a line with the floor on one side of it, wherever it begins and ends."""

from __future__ import annotations

import math
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from folder.pattern.pattern import Crease, Sheet

Side = Literal[0, 1, 2, 3]
SIDES: tuple[Side, ...] = (0, 1, 2, 3)
"""The sides of the sheet: lower, right, upper, left."""
INWARD = (1j, -1.0 + 0j, -1j, 1.0 + 0j)
"""The way from each side into the sheet, as unit numbers."""

LONG_SHARE = 0.3
"""A line longer than this share of the sheet's side is no mere corner line."""
ALL_THE_WAY_RAD = math.radians(135.0)
"""A fold that turns further than this is meant to be folded flat."""


class IntendedWall(Struct, frozen=True):
    """A line with the floor on one side: `inward` is the unit number toward the floor, `offset_mm` where it lies that way."""

    inward: complex
    offset_mm: float
    turn_rad: float
    side: Side | None = None
    """The side of the sheet it runs along; None for a slanted line."""
    laid: bool = True
    """It was meant as a wall or a fold of the whole sheet; a short line folded flat may be one of a corner."""
    drawn: int = 1
    """How many drawn lines speak for it; 0 when it was added."""


def turn_of(crease: Crease) -> float:
    """A crease's turn, rad; one that is left free is meant to be square."""
    return math.pi / 2.0 if crease.turn_rad is None else crease.turn_rad


def depth_of(place: complex, side: Side, sheet: Sheet) -> float:
    """How far a place lies from a side of the sheet, mm."""
    return (place.imag, sheet.width_mm - place.real, sheet.height_mm - place.imag, place.real)[side]


def side_offset(side: Side, depth_mm: float, sheet: Sheet) -> float:
    """Where a line at a depth from a side lies along the side's way in."""
    start = (0.0, -sheet.width_mm, -sheet.height_mm, 0.0)[side]
    return start + depth_mm


def depth_of_wall(wall: IntendedWall, sheet: Sheet) -> float:
    """How deep a wall along a side lies from it, mm."""
    assert wall.side is not None
    return wall.offset_mm - side_offset(wall.side, 0.0, sheet)


def distance_mm(wall: IntendedWall, place: complex) -> float:
    """How far a place lies on the floor's side of a line."""
    return (wall.inward.conjugate() * place).real - wall.offset_mm


def at_distance(wall: IntendedWall, inward: complex, place: complex, distance: float) -> IntendedWall:
    """The wall turned to another way in, at a distance from a place on the floor's side."""
    inward /= abs(inward)
    return replace(wall, inward=inward, offset_mm=(inward.conjugate() * place).real - distance)


def slanted_wall(crease: Crease, floor: complex, sheet: Sheet) -> IntendedWall:
    """A slanted line as a wall, the floor on its inner side."""
    start, end = complex(*crease.start), complex(*crease.end)
    inward = (end - start) / abs(end - start) * 1j
    if (inward.conjugate() * (floor - start)).real < 0.0:
        inward = -inward
    turn = turn_of(crease)
    laid = turn <= ALL_THE_WAY_RAD or is_long(crease, sheet)
    return IntendedWall(inward, (inward.conjugate() * start).real, turn, laid=laid)


def line_middle(crease: Crease) -> complex:
    """The middle of a line."""
    return (complex(*crease.start) + complex(*crease.end)) / 2.0


def lean_rad(crease: Crease) -> float:
    """How far a line is from level, 0 to a quarter turn, rad."""
    (ax, ay), (bx, by) = crease.start, crease.end
    return math.atan2(abs(by - ay), abs(bx - ax))


def is_long(crease: Crease, sheet: Sheet) -> bool:
    """A line is more than a corner line."""
    return crease.length_mm > LONG_SHARE * min(sheet.width_mm, sheet.height_mm)
