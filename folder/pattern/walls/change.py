"""Changes of a plan of walls: raise one, move it, lean it, lay its flaps, hem the edge, take another sheet."""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec.structs import replace

from folder.errors import BadRequest
from folder.findings import Point
from folder.pattern.families.prefold import SIDES
from folder.pattern.pattern import Sheet
from folder.pattern.walls.plan import SQUARE_RAD, WallLine, WallPlan
from folder.pattern.walls.reading import usual_flap

PARALLEL_RAD = math.radians(2.0)
"""Two walls on one side of a floor that run this nearly alike are one wall."""
MOST_LEAN_RAD = math.radians(60.0)


def with_wall(plan: WallPlan, start: Point, end: Point, turn_rad: float = SQUARE_RAD) -> WallPlan:
    """A wall along a line; one that stands there already, on that side, moves to the line and keeps its turn."""
    start, end = plan.oriented(start, end)
    new = WallLine(start, end, turn_rad)
    new = replace(new, flap_at_start=usual_flap(new))
    k = wall_facing(plan, new.outward)
    if k is None:
        return replace(plan, walls=(*plan.walls, new))
    old = plan.walls[k]
    return _put(plan, k, replace(new, turn_rad=old.turn_rad, flap_at_start=old.flap_at_start))


def wall_facing(plan: WallPlan, outward: Point) -> int | None:
    """The wall that faces this way (unit vector); None where none does."""
    facing = [(wall.outward[0] * outward[0] + wall.outward[1] * outward[1], k) for k, wall in enumerate(plan.walls)]
    cosine, k = max(facing, default=(-1.0, -1))
    return k if cosine > math.cos(PARALLEL_RAD) else None


def edge_line(plan: WallPlan, side: int, width_mm: float) -> tuple[Point, Point]:
    """The line of a wall of a width along side k of the outline, which runs from its corner k to the next."""
    outline = plan.outline
    edge = WallLine(outline[side], outline[(side + 1) % 4])
    line = edge.shifted(-width_mm)
    return line.start, line.end


def with_width(plan: WallPlan, k: int, width_mm: float) -> WallPlan:
    """Wall k with more or less of the sheet."""
    return _put(plan, k, plan.walls[k].shifted(plan.width_mm(k) - width_mm))


def with_turn(plan: WallPlan, k: int, turn_rad: float) -> WallPlan:
    """Wall k turned up this far. BadRequest when it would lean out too far, or in."""
    if not SQUARE_RAD - MOST_LEAN_RAD - 1e-9 <= turn_rad <= SQUARE_RAD + 1e-9:
        raise BadRequest(
            "a wall leans out by 0 to 60 degrees", found=f"{math.degrees(SQUARE_RAD - turn_rad):.0f}", remedy="Try 20"
        )
    return _put(plan, k, replace(plan.walls[k], turn_rad=turn_rad))


def with_flap(plan: WallPlan, corner: Point, on: int) -> WallPlan:
    """The flap at the corner of the floor nearest to a place laid on wall `on`, one of the two that meet there."""
    corners, owners = plan.floor
    met = [k for k in range(len(corners)) if owners[k] is not None and owners[k - 1] is not None]
    if not met:
        raise BadRequest("no two walls meet here", remedy="Raise a wall on the next side first")
    k = min(met, key=lambda j: math.dist(corners[j], corner))
    after = owners[k]
    return plan if after is None else _put(plan, after, replace(plan.walls[after], flap_at_start=on == after))


def with_hem(plan: WallPlan, depth_mm: float, sides: Sequence[str] = SIDES) -> WallPlan:
    """The edge folded over by a depth on some sides, 0 for no hem. Walls keep their width: they move in."""
    hem = replace(
        plan, hem_mm=depth_mm if sides else 0.0, hem_sides=tuple(s for s in SIDES if s in sides) if depth_mm > 0 else ()
    )
    return _moved_in(plan, hem)


def with_sheet(plan: WallPlan, sheet: Sheet) -> WallPlan:
    """The same walls on another sheet: they keep their width, the floor grows or shrinks."""
    share = (plan.floor_at[0] / plan.sheet.width_mm, plan.floor_at[1] / plan.sheet.height_mm)
    return _moved_in(plan, replace(plan, sheet=sheet, floor_at=(share[0] * sheet.width_mm, share[1] * sheet.height_mm)))


def _moved_in(before: WallPlan, after: WallPlan) -> WallPlan:
    """A plan with another outline, its walls as wide as before."""
    walls = [wall.shifted(max(wall.beyond(p) for p in after.outline) - before.width_mm(k)) for k, wall in enumerate(before.walls)]
    return replace(after, walls=tuple(walls))


def _put(plan: WallPlan, k: int, wall: WallLine) -> WallPlan:
    return replace(plan, walls=(*plan.walls[:k], wall, *plan.walls[k + 1 :]))
