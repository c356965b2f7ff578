"""Walls that are nearly alike made alike, and turned up as they are drawn, as most of them are, or square."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from folder.pattern.pattern import Sheet
from folder.pattern.reading.intended import SIDES, IntendedWall, Side, at_distance, depth_of_wall, distance_mm, side_offset
from folder.pattern.reading.plan import SQUARE_RAD, HullPlan, round_mm

EVEN_MM = 4.0
"""Opposite walls that differ by less are meant to be alike (judgement: what a child's hand does)."""
SLANT_RAD = math.radians(5.0)
"""A slanted line this near to half a right angle is meant to be it."""
_LEAST_TURN_RAD, _MOST_TURN_RAD = math.radians(30.0), math.radians(100.0)


def evened(plan: HullPlan, sheet: Sheet) -> HullPlan:
    """Opposite walls that are nearly alike made alike, all four where they are; slanted ones at half a right angle, and mirrored."""
    depths = {w.side: depth_of_wall(w, sheet) for w in plan.walls if w.side is not None}
    same: dict[Side | None, float] = {side: round_mm(d) for side, d in depths.items()}
    for group in ((0, 2), (1, 3), (0, 1, 2, 3)):
        found = [depths[side] for side in SIDES if side in group and side in depths]
        if len(found) > 1 and max(found) - min(found) <= EVEN_MM:
            same |= {side: round_mm(sum(found) / len(found)) for side in SIDES if side in group and side in depths}
    walls = []
    for wall in plan.walls:
        if wall.side is not None:
            walls.append(replace(wall, offset_mm=side_offset(wall.side, same[wall.side], sheet)))
            continue
        walls.append(_mirrored_slant(wall, plan.walls, sheet))
    return replace(plan, walls=tuple(walls))


def _mirrored_slant(wall: IntendedWall, walls: Sequence[IntendedWall], sheet: Sheet) -> IntendedWall:
    """A slanted wall with the mean way and place of itself and of those that are nearly its mirror images."""
    middle = complex(sheet.width_mm, sheet.height_mm) / 2.0
    ways, distances = [wall.inward], [distance_mm(wall, middle)]
    for other in walls:
        for image in (other.inward.conjugate(), -other.inward.conjugate(), -other.inward):
            near = abs(image - wall.inward) < 0.2 and abs(distance_mm(other, middle) - distances[0]) < 2.0 * EVEN_MM
            if other is not wall and other.side is None and near:
                ways.append(image)
                distances.append(distance_mm(other, middle))
    way = sum(ways)
    half = round(math.atan2(way.imag, way.real) / (math.pi / 4.0)) * math.pi / 4.0
    exact = complex(math.cos(half), math.sin(half))
    if abs(way / abs(way) - exact) < SLANT_RAD:
        way = exact
    return at_distance(wall, way, middle, sum(distances) / len(distances))


def with_turns(plan: HullPlan) -> Iterator[HullPlan]:
    """The walls turned as they are drawn, all as most of them, all square."""
    drawn = [w.turn_rad if _LEAST_TURN_RAD <= w.turn_rad <= _MOST_TURN_RAD else SQUARE_RAD for w in plan.walls]
    if not drawn:
        yield plan
        return
    usual = max(drawn, key=lambda t: (drawn.count(t), -abs(t - SQUARE_RAD)))
    ways = [tuple(drawn)] + [(turn,) * len(drawn) for turn in (usual, SQUARE_RAD)]
    for turns in dict.fromkeys(ways):
        walls = tuple(replace(w, turn_rad=t) for w, t in zip(plan.walls, turns, strict=True))
        changed = sum(abs(w.turn_rad - t) > 1e-9 for w, t in zip(plan.walls, turns, strict=True))
        yield replace(plan, walls=walls, turned=changed)
