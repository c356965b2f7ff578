"""What each line of a drawing is meant to be.

wall         a bundle along the middle of its side, or a slanted line that cuts a corner off
hem          a bundle near the sheet's edge that folds all the way
corner line  a line in a corner that points at it, or the side of a wall
across       a line through the middle of the floor, where no wall can stand
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

from folder.pattern.pattern import Crease, Pattern, Sheet
from folder.pattern.reading.bundle import (
    CROOKED_RAD,
    DOUBLE_MM,
    bundled,
    bundles_along,
    in_middle,
    in_one,
    side_along,
    spans_middle,
)
from folder.pattern.reading.corner_line import begins_at, corner_marks, corner_pointed_at, meetings, shared_ends
from folder.pattern.reading.intended import (
    ALL_THE_WAY_RAD,
    SIDES,
    IntendedWall,
    Side,
    at_distance,
    depth_of,
    depth_of_wall,
    distance_mm,
    is_long,
    lean_rad,
    line_middle,
    slanted_wall,
    turn_of,
)  # fmt: skip

ACROSS_MM = 10.0
"""A line that passes the middle of the floor this near has the floor on both sides."""
HEM_MM, LONE_HEM_MM = 20.0, 12.0
"""A hem is no deeper than this; where no wall is drawn behind it, no deeper than that (judgement)."""
_LEAST_SLANT_MM = 12.0
_SAME_SLANT_RAD, _SAME_SLANT_MM = math.radians(17.0), 8.0
"""Slanted lines that differ by less in direction and distance are doubles: mirror images of a crooked line differ by twice its fault."""


class Roles(Struct, frozen=True):
    """The lines of a drawing by what they are meant to be. Depths are mm from the side of the sheet."""

    walls: tuple[IntendedWall, ...] = ()
    """Along each side the outermost first."""
    hems: tuple[IntendedWall, ...] = ()
    across: tuple[IntendedWall, ...] = ()
    """Lines through the middle of the floor."""
    folded_in: tuple[IntendedWall, ...] = ()
    """Slanted lines that fold all the way: corners of the sheet folded in."""
    marks: tuple[tuple[Side, float], ...] = ()
    """How deep corner lines say that the wall along a side is to be."""
    corner_lines: int = 0
    diagonals: int = 0
    """Lines that point at a corner and run on across the floor."""
    crooked: int = 0
    """Lines that are not quite as straight as they are meant to be."""
    away: int = 0
    """Walls that fold away from you."""


def roles_of(pattern: Pattern) -> Roles:
    """What the lines of a drawing are meant to be."""
    sheet, floor = pattern.sheet, complex(*pattern.floor_at)
    drawn = in_one([c for c in pattern.creases if c.sense in ("valley", "mountain") and c.length_mm > 1.0 and turn_of(c) > 0.05])
    along: dict[Side, list[Crease]] = {side: [] for side in SIDES}
    slanted: list[Crease] = []
    for crease in drawn:
        side = side_along(crease, floor)
        (slanted if side is None else along[side]).append(crease)
    walls: list[IntendedWall] = []
    hems: list[IntendedWall] = []
    across: list[IntendedWall] = []
    marks: list[tuple[Side, float]] = []
    corner_lines = 0
    for side in SIDES:
        found: list[IntendedWall] = []
        for bundle in bundles_along(along[side], side, sheet):
            long = [c for c in bundle if in_middle(c, side, sheet)]
            if not spans_middle(bundle, side, sheet):
                corner_lines += len(bundle)
                marks += [(side, depth_of(line_middle(c), side, sheet)) for c in bundle]
                continue
            found.append(bundled(long, side, sheet))
        room = depth_of(floor, side, sheet)
        near = [w for w in found if depth_of_wall(w, sheet) > room - ACROSS_MM]
        across += near
        rest = [w for w in found if w not in near]
        depths = [depth_of_wall(w, sheet) for w in rest]
        if rest and _is_hem(depths[0], rest[0].turn_rad, depths[1] if len(rest) > 1 else None):
            hems.append(rest.pop(0))
        walls += rest
    folded_in: list[IntendedWall] = []
    diagonals = 0
    met = meetings([*walls, *(slanted_wall(c, floor, sheet) for c in slanted if is_long(c, sheet))])
    met += shared_ends([c for c in drawn if not is_long(c, sheet)])
    for crease in slanted:
        corner = corner_pointed_at(crease, sheet)
        if corner is not None or crease.length_mm < _LEAST_SLANT_MM or begins_at(crease, met, sheet):
            corner_lines += 1
            diagonals += is_long(crease, sheet)
            marks += corner_marks(crease, corner, sheet)
            continue
        line = slanted_wall(crease, floor, sheet)
        if distance_mm(line, floor) < ACROSS_MM:
            across.append(line)
        else:
            (folded_in if line.turn_rad > ALL_THE_WAY_RAD else walls).append(line)
    return Roles(
        _one_of_each(walls, floor), tuple(hems), tuple(across), _one_of_each(folded_in, floor), tuple(marks), corner_lines, diagonals,
        sum(_is_crooked(c, sheet) for c in drawn), sum(c.sense == "mountain" for c in drawn if _wall_like(c, floor, sheet)),
    )  # fmt: skip


def _is_hem(depth_mm: float, turn_rad: float, next_mm: float | None) -> bool:
    """A fold all the way near the edge, shallow enough for the wall drawn behind it, or by itself."""
    most = LONE_HEM_MM if next_mm is None else min(HEM_MM, next_mm - DOUBLE_MM / 2.0)
    return turn_rad > ALL_THE_WAY_RAD and depth_mm <= most


def _wall_like(crease: Crease, floor: complex, sheet: Sheet) -> bool:
    side = side_along(crease, floor)
    return side is not None and in_middle(crease, side, sheet) and turn_of(crease) <= ALL_THE_WAY_RAD


def _is_crooked(crease: Crease, sheet: Sheet) -> bool:
    """A long line meant to be level or upright, and not quite so."""
    lean = lean_rad(crease)
    return is_long(crease, sheet) and 1e-4 < min(lean, math.pi / 2.0 - lean) <= CROOKED_RAD


def _one_of_each(walls: Sequence[IntendedWall], floor: complex) -> tuple[IntendedWall, ...]:
    """Slanted lines that are doubles of each other made one."""
    kept: list[IntendedWall] = []
    for wall in walls:
        twin = next((k for k, other in enumerate(kept) if _are_doubles(wall, other, floor)), None)
        if twin is None:
            kept.append(wall)
            continue
        other, n = kept[twin], kept[twin].drawn
        distance = (n * distance_mm(other, floor) + distance_mm(wall, floor)) / (n + 1)
        kept[twin] = replace(at_distance(other, n * other.inward + wall.inward, floor, distance), drawn=n + 1)
    return tuple(kept)


def _are_doubles(a: IntendedWall, b: IntendedWall, floor: complex) -> bool:
    """Two slanted lines are one fold, drawn twice or in pieces."""
    if a.side is not None or b.side is not None or abs(cmath.phase(a.inward / b.inward)) > _SAME_SLANT_RAD:
        return False
    return abs(distance_mm(a, floor) - distance_mm(b, floor)) < _SAME_SLANT_MM
