"""Plans of walls as the tools read and change them. No pygame."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from functools import lru_cache

from msgspec.structs import replace

from folder.errors import BadRequest
from folder.findings import Point
from folder.pattern.families.prefold import SIDES
from folder.pattern.families.trays import LEAST_WALL_MM
from folder.pattern.pattern import Crease, Pattern, Sheet
from folder.pattern.walls import change
from folder.pattern.walls.plan import SQUARE_RAD, WallPlan, checked
from folder.pattern.walls.reading import SAME_MM, PlanReading, read_plan
from folder.window.tools.mirror import Mirrors, maps

NO_PLAN = BadRequest("this is no floor with one ring of walls", remedy="Take Line or Move for what lies here")
MOST_LINES = 120
"""A drawing with more lines is no plain hull, and reading it would take too long under the hand."""
STEP_MM = 0.5
"""A wall dragged too far in stops at the last of these steps that leaves a floor."""
OUTWARD: tuple[Point, Point, Point, Point] = ((0.0, -1.0), (1.0, 0.0), (0.0, 1.0), (-1.0, 0.0))
"""Out of the sheet over its lower, right, upper and left side."""


@lru_cache(maxsize=16)
def _plan(sheet: Sheet, floor_at: Point, creases: tuple[Crease, ...], crimps: tuple[Point, ...]) -> PlanReading | None:
    return read_plan(Pattern(sheet=sheet, floor_at=floor_at, creases=creases, crimps=crimps))


def kept_plan(pattern: Pattern) -> PlanReading | None:
    """The plan of a drawing, read once; none of a drawing with very many lines."""
    if len(pattern.creases) > MOST_LINES:
        return None
    reading = _plan(pattern.sheet, pattern.floor_at, pattern.creases, pattern.crimps)
    return None if reading is None else replace(reading, pattern=pattern)


@lru_cache(maxsize=8)
def _drawn_with(sheet: Sheet, floor_at: Point, creases: tuple[Crease, ...], crimps: tuple[Point, ...], plan: WallPlan) -> Pattern:
    return plan_of(Pattern(sheet=sheet, floor_at=floor_at, creases=creases, crimps=crimps)).redrawn(plan)


def redrawn_with(pattern: Pattern, plan: WallPlan) -> Pattern:
    """The drawing with another plan, drawn once: a drag asks for the same one again and again."""
    made = _drawn_with(pattern.sheet, pattern.floor_at, pattern.creases, pattern.crimps, plan)
    return replace(made, name=pattern.name, note=pattern.note)


def plan_of(pattern: Pattern) -> PlanReading:
    """The plan of a drawing; BadRequest where it has none."""
    reading = kept_plan(pattern)
    if reading is None:
        raise NO_PLAN
    return reading


def hem_under(plan: WallPlan, k: int) -> float:
    """How deep the hem is on the side that wall k faces squarely, mm."""
    outward = plan.walls[k].outward
    side = next((s for s in range(4) if math.dist(outward, OUTWARD[s]) < 1e-6), None)
    return plan.hem_mm if side is not None and SIDES[side] in plan.hem_sides else 0.0


def usual_turn(plan: WallPlan) -> float:
    """How far a new wall turns up: as the others do, where they all do alike."""
    turns = {wall.turn_rad for wall in plan.walls}
    return turns.pop() if len(turns) == 1 else SQUARE_RAD


def walls_raised(plan: WallPlan, side: int, width_mm: float, mirrors: Mirrors) -> tuple[WallPlan, float]:
    """Walls along a side of the sheet and its mirror images, of a width, or as wide as leaves a floor."""
    turn = usual_turn(plan)

    def tried(width: float) -> WallPlan:
        made = plan
        for k in mirrored_sides(side, mirrors):
            made = change.with_wall(made, *change.edge_line(made, k, width), turn)
        return made

    return as_far_as_goes(tried, width_mm)


def as_far_as_goes(tried: Callable[[float], WallPlan], wanted: float) -> tuple[WallPlan, float]:
    """The plan at the wanted width, or at the widest that leaves a floor. BadRequest where none does."""
    try:
        return checked(tried(wanted)), wanted
    except BadRequest:
        low, high = math.ceil(LEAST_WALL_MM / STEP_MM), math.floor(wanted / STEP_MM)
        best = checked(tried(low * STEP_MM))
        while high - low > 1:
            middle = (low + high) // 2
            try:
                best, low = checked(tried(middle * STEP_MM)), middle
            except BadRequest:
                high = middle
        return best, low * STEP_MM


def mirrored_sides(side: int, mirrors: Mirrors) -> tuple[int, ...]:
    """A side of the sheet and its mirror images; all round they are all four, on a sheet that is no square too."""
    if mirrors == "four":
        return tuple((side + k) % 4 for k in range(4))
    across = mirrors == ("left-right", "top-bottom")[(side + 1) % 2]
    return (side, (side + 2) % 4) if across else (side,)


def alike_walls(plan: WallPlan, k: int, mirrors: Mirrors) -> tuple[int, ...]:
    """Wall k and those that are its mirror images; all round also those along the sides that are as wide."""
    found = [k]
    wall = plan.walls[k]
    for carry in maps(plan.sheet, mirrors)[1:] if mirrors != "none" else ():
        start, end = carry(wall.start), carry(wall.end)
        found += [j for j, other in enumerate(plan.walls) if max(abs(other.beyond(start)), abs(other.beyond(end))) < SAME_MM]
    if mirrors == "four" and _along_side(plan, k):
        found += [
            j for j in range(len(plan.walls)) if _along_side(plan, j) and abs(plan.width_mm(j) - plan.width_mm(k)) < SAME_MM
        ]
    return tuple(dict.fromkeys(found))


def _along_side(plan: WallPlan, k: int) -> bool:
    return min(abs(v) for v in plan.walls[k].outward) < 1e-6


def without_walls(plan: WallPlan, walls: Iterable[int]) -> WallPlan:
    """The plan with walls taken away: their sides of the floor run on to the edge."""
    gone = set(walls)
    return replace(plan, walls=tuple(wall for k, wall in enumerate(plan.walls) if k not in gone))
