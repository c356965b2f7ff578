"""A wall by its numbers: how high it stands, how it leans; read from a drawing and set. No pygame.

height   of the folded wall over the floor, mm: its width on the sheet times the sine of its turn
lean     from upright, outward, rad
"""

from __future__ import annotations

import math
from collections.abc import Collection

from msgspec import Struct
from msgspec.structs import replace

from folder.errors import BadRequest
from folder.findings import Point
from folder.pattern.pattern import Pattern, Sheet
from folder.pattern.walls import change
from folder.pattern.walls.plan import SQUARE_RAD, WallPlan
from folder.pattern.walls.reading import PlanReading
from folder.window.tools.mirror import Mirrors
from folder.window.tools.walls.plans import alike_walls, kept_plan, plan_of, walls_raised, without_walls


class WallMeasures(Struct, frozen=True):
    """What one wall measures, or several that measure the same; None where they differ."""

    height_mm: float | None
    lean_rad: float | None


def picked_walls(pattern: Pattern, picked: Collection[int]) -> tuple[int, ...]:
    """The walls whose lines are picked; none where anything else is picked too, or the drawing has no plan."""
    reading = kept_plan(pattern) if picked else None
    if reading is None or not reading.known:
        return ()
    walls = [reading.wall_of(i) for i in sorted(picked) if i < len(pattern.creases)]
    return tuple(dict.fromkeys(w for w in walls if w is not None)) if None not in walls else ()


def measures_of_walls(pattern: Pattern, picked: Collection[int] = ()) -> WallMeasures | None:
    """Height and lean of the walls that are picked, or of all; None where there is no wall."""
    reading = kept_plan(pattern)
    if reading is None or not reading.plan.walls:
        return None
    walls = picked_walls(pattern, picked) or range(len(reading.plan.walls))
    heights = {round(_height(reading.plan, k), 2) for k in walls}
    leans = {round(SQUARE_RAD - reading.plan.walls[k].turn_rad, 6) for k in walls}
    return WallMeasures(heights.pop() if len(heights) == 1 else None, leans.pop() if len(leans) == 1 else None)


def _height(plan: WallPlan, k: int) -> float:
    return plan.width_mm(k) * math.sin(plan.walls[k].turn_rad)


def raise_walls(pattern: Pattern, height_mm: float, picked: Collection[int] = (), mirrors: Mirrors = "four") -> Pattern:
    """The walls that are picked, and their mirror images, at a height; with none picked all walls, with none there, walls all round."""
    reading = plan_of(pattern)
    plan = reading.plan
    if not plan.walls:
        return reading.redrawn(walls_raised(plan, 0, height_mm, mirrors)[0])
    for k in _chosen(reading, picked, mirrors):
        plan = change.with_width(plan, k, height_mm / math.sin(plan.walls[k].turn_rad))
    return reading.redrawn(plan)


def lean_walls(pattern: Pattern, lean_rad: float, picked: Collection[int] = (), mirrors: Mirrors = "four") -> Pattern:
    """The walls that are picked, and their mirror images, or all, leaning out from upright; their corners are folded anew.

    The line on the floor stays: the rim comes down and out. BadRequest past 60 deg, inward, or where there is no wall.
    """
    reading = plan_of(pattern)
    plan = reading.plan
    if not plan.walls:
        raise BadRequest("there is no wall to lean", remedy="Drag one in from an edge first")
    for k in _chosen(reading, picked, mirrors):
        plan = change.with_turn(plan, k, SQUARE_RAD - lean_rad)
    return reading.redrawn(plan)


def lean_wall(pattern: Pattern, crease: int, lean_rad: float, mirrors: Mirrors = "four") -> Pattern:
    """The wall that a crease is the line of, and its mirror images, leaning out by an angle from upright.

    BadRequest where the crease is no wall's line, or the lean is not 0 to 60 deg.
    """
    if plan_of(pattern).wall_of(crease) is None:
        raise BadRequest("this line is no wall", remedy="Choose one along the floor")
    return lean_walls(pattern, lean_rad, (crease,), mirrors)


def take_walls_away(pattern: Pattern, picked: Collection[int]) -> Pattern | None:
    """The drawing without the walls that are picked, their corners unfolded; None where something else is picked."""
    walls = picked_walls(pattern, picked)
    return plan_of(pattern).redrawn(without_walls(plan_of(pattern).plan, walls)) if walls else None


def push_walls(pattern: Pattern, picked: Collection[int], by: Point, mirrors: Mirrors = "four") -> Pattern:
    """The walls that are picked, and their mirror images, pushed by as much of a shift, mm, as lies across the first."""
    reading = plan_of(pattern)
    plan = reading.plan
    chosen = _chosen(reading, picked, mirrors)
    x, y = plan.walls[chosen[0]].outward
    for k in chosen:
        plan = change.with_width(plan, k, plan.width_mm(k) - by[0] * x - by[1] * y)
    return reading.redrawn(plan)


def on_sheet_of(pattern: Pattern, sheet: Sheet) -> Pattern:
    """The drawing on another sheet: walls keep their width; what is no floor with one ring of walls is drawn in proportion."""
    if (sheet.width_mm, sheet.height_mm) == (pattern.sheet.width_mm, pattern.sheet.height_mm):
        return replace(pattern, sheet=sheet)
    reading = kept_plan(pattern)
    if reading is not None and reading.known and None not in reading.own:
        return reading.redrawn(change.with_sheet(reading.plan, sheet))
    across, up = sheet.width_mm / pattern.sheet.width_mm, sheet.height_mm / pattern.sheet.height_mm

    def put(p: Point) -> Point:
        return (p[0] * across, p[1] * up)

    creases = tuple(replace(c, start=put(c.start), end=put(c.end)) for c in pattern.creases)
    crimps = tuple(put(p) for p in pattern.crimps)
    return replace(pattern, sheet=sheet, floor_at=put(pattern.floor_at), creases=creases, crimps=crimps, family=None)


def _chosen(reading: PlanReading, picked: Collection[int], mirrors: Mirrors) -> tuple[int, ...]:
    """The walls that a change concerns."""
    if not picked:
        return tuple(range(len(reading.plan.walls)))
    chosen: dict[int, None] = {}
    for index in sorted(picked):
        wall = reading.wall_of(index)
        if wall is not None:
            chosen |= dict.fromkeys(alike_walls(reading.plan, wall, mirrors))
    if not chosen:
        raise BadRequest("no wall is picked", remedy="Press a wall's line on the sheet")
    return tuple(chosen)
