"""The tools that work on walls: drag one in from an edge, draw one along, move one, lean it, take it away. No pygame.

grip       what the pointer took hold of: a side of the sheet, a wall's line, or a place between, where a wall is drawn along
all round  with the mirror "four" the walls along the sides of the sheet are one wall, on a sheet that is no square too
"""

from __future__ import annotations

import math

from msgspec import Struct
from msgspec.structs import replace

from folder.errors import BadRequest
from folder.findings import Point
from folder.geometry.plane import left_of
from folder.pattern.construct import through
from folder.pattern.families.prefold import SIDES
from folder.pattern.families.trays import LEAST_FLOOR_MM, LEAST_WALL_MM
from folder.pattern.pattern import Crease, Pattern
from folder.pattern.walls import change
from folder.pattern.walls.plan import WallPlan, checked
from folder.pattern.walls.reading import SAME_MM, PlanReading, wall_crease
from folder.window.tools.mirror import images
from folder.window.tools.snap import snap_place
from folder.window.tools.straighten import straightened
from folder.window.tools.tool import SLIP_MM, DragState, Preview, Setting, SheetPointer, Tool, ToolContext, ToolResult
from folder.window.tools.walls.plans import (
    OUTWARD,
    alike_walls,
    as_far_as_goes,
    hem_under,
    kept_plan,
    plan_of,
    redrawn_with,
    usual_turn,
    walls_raised,
    without_walls,
)


class Grip(Struct, frozen=True):
    """What was taken hold of: side k of the sheet, or wall k; neither where the pointer was between them."""

    side: int | None = None
    wall: int | None = None


class RaisedWall(Struct, frozen=True):
    """What a drag makes: the drawing, where the hand rests, and a word. `wall` is the crease of the wall in hand."""

    pattern: Pattern
    at: Point
    word: str
    wall: int | None = None


def hold_of(reading: PlanReading, at: Point, near_mm: float) -> Grip:
    """What a press takes hold of: a wall's line before the sheet's edge, which a press beside the sheet holds too."""
    wall = reading.wall_at(at, near_mm)
    if wall is not None:
        return Grip(wall=wall)
    gap, side = min((inward_mm(reading.pattern, side, at), side) for side in range(4))
    return Grip(side=side) if gap <= near_mm else Grip()


def inward_mm(pattern: Pattern, side: int, at: Point) -> float:
    """How far a place lies inward from a side of the sheet, mm."""
    width, height = pattern.sheet.width_mm, pattern.sheet.height_mm
    return (at[1], width - at[0], height - at[1], at[0])[side]


def look_to_wall(tool: Tool, context: ToolContext, pointer: SheetPointer) -> Preview:
    """What a press would take hold of; while dragging, what the wall has come to."""
    drag_state = tool.drag_state
    if drag_state is not None:
        try:
            made = wall_dragged(context.pattern, context.setting, drag_state.start, pointer)
        except BadRequest as error:
            return Preview(pointer.at, error.what)
        return Preview(made.at, made.word, firm=True)
    reading = kept_plan(context.pattern)
    if reading is None:
        return Preview(pointer.at, "no floor with one ring of walls here")
    grip = hold_of(reading, pointer.at, pointer.near_mm)
    if grip.wall is not None:
        corners, owners = reading.plan.floor
        k = owners.index(grip.wall)
        return Preview(pointer.at, "drag this wall", True, lit=((corners[k], corners[(k + 1) % len(corners)]),))
    if grip.side is not None:
        corners = reading.pattern.sheet.corners
        return Preview(pointer.at, "drag in: a wall comes up", True, lit=((corners[grip.side], corners[(grip.side + 1) % 4]),))
    return Preview(pointer.at, "draw a wall's line, or drag in from an edge")


def press_to_wall(tool: Tool, context: ToolContext, pointer: SheetPointer) -> ToolResult:
    """Take hold; a second press, by the keys, lets go."""
    if tool.drag_state is not None:
        return release_to_wall(tool, context, pointer)
    plan_of(context.pattern)
    held = replace(tool, drag_state=DragState("wall", pointer.at, context.pattern))
    return ToolResult(held, context.pattern, frozenset())


def drag_to_wall(tool: Tool, context: ToolContext, pointer: SheetPointer) -> ToolResult:
    """Show what the drawing would be."""
    drag_state = tool.drag_state
    if drag_state is None:
        return ToolResult(tool, context.pattern, context.picked)
    try:
        made = wall_dragged(context.pattern, context.setting, drag_state.start, pointer)
    except BadRequest:
        return ToolResult(tool, context.pattern, context.picked, drag_pattern=context.drag_pattern)
    return ToolResult(tool, context.pattern, context.picked, drag_pattern=made.pattern)


def release_to_wall(tool: Tool, context: ToolContext, pointer: SheetPointer) -> ToolResult:
    """Let go: the wall stands. A mere press picks the wall under it, and waits for the other end elsewhere."""
    drag_state = tool.drag_state
    if drag_state is None:
        return ToolResult(tool, context.pattern, context.picked)
    free = Tool(tool.name)
    if math.dist(pointer.at, drag_state.start) < max(SLIP_MM, pointer.near_mm / 4.0):
        reading = plan_of(context.pattern)
        wall = hold_of(reading, pointer.at, pointer.near_mm).wall
        index = None if wall is None else wall_crease(context.pattern, reading.plan.walls[wall])
        if index is not None:
            return ToolResult(free, context.pattern, frozenset({index}))
        return ToolResult(tool, context.pattern, context.picked)
    made = wall_dragged(context.pattern, context.setting, drag_state.start, pointer)
    picked = frozenset() if made.wall is None else frozenset({made.wall})
    return ToolResult(free, made.pattern, picked)


def wall_dragged(pattern: Pattern, setting: Setting, start: Point, pointer: SheetPointer) -> RaisedWall:
    """The drawing when the hand drags from one place to another. BadRequest where that makes no wall."""
    reading = plan_of(pattern)
    grip = hold_of(reading, start, pointer.near_mm)
    if grip.wall is not None:
        return _moved(reading, setting, grip.wall, start, pointer)
    if grip.side is None or inward_mm(pattern, grip.side, pointer.at) > _across_mm(pattern, grip.side) / 2.0:
        return _drawn_along(reading, setting, start, pointer)
    deep = reading.plan.hem_mm if SIDES[grip.side] in reading.plan.hem_sides else 0.0
    width = _stepped(inward_mm(pattern, grip.side, pointer.at), setting, pointer) - deep
    if width < LEAST_WALL_MM:
        raise BadRequest("drag further in", remedy="A wall is 3 mm or more")
    plan, width = walls_raised(reading.plan, grip.side, width, setting.mirrors)
    k = change.wall_facing(plan, OUTWARD[grip.side])
    return _made(reading, plan, k, _beside(pattern, grip.side, width + deep, pointer.at), f"wall {width:.4g} mm")


def _across_mm(pattern: Pattern, side: int) -> float:
    return (pattern.sheet.height_mm, pattern.sheet.width_mm)[side % 2]


def _stepped(value: float, setting: Setting, pointer: SheetPointer) -> float:
    """A distance on the grid; exactly as drawn with shift."""
    pitch = setting.grid_mm
    return round(value, 2) if pointer.shift or not pitch else round(value / pitch) * pitch


def _beside(pattern: Pattern, side: int, inward: float, at: Point) -> Point:
    """The place at a distance from a side, beside the pointer."""
    width, height = pattern.sheet.width_mm, pattern.sheet.height_mm
    x, y = min(max(at[0], 0.0), width), min(max(at[1], 0.0), height)
    return ((x, inward), (width - inward, y), (x, height - inward), (inward, y))[side]


def _made(reading: PlanReading, plan: WallPlan, k: int | None, at: Point, word: str) -> RaisedWall:
    pattern = redrawn_with(reading.pattern, plan)
    return RaisedWall(pattern, at, word, None if k is None else wall_crease(pattern, plan.walls[k]))


def _moved(reading: PlanReading, setting: Setting, k: int, start: Point, pointer: SheetPointer) -> RaisedWall:
    """A wall, and its mirror images, pushed as far as the pointer has gone across it; off its edge it goes away."""
    plan = reading.plan
    wall, was = plan.walls[k], plan.width_mm(k)
    wished = was - (wall.beyond(pointer.at) - wall.beyond(start))
    deep = hem_under(plan, k)
    width = _stepped(wished + deep, setting, pointer) - deep
    walls = alike_walls(plan, k, setting.mirrors)
    if wished < LEAST_WALL_MM:
        return _made(reading, without_walls(plan, walls), None, pointer.at, "take this wall away")

    def tried(to: float) -> WallPlan:
        made = plan
        for other in walls:
            made = change.with_width(made, other, to)
        return made

    plan, width = as_far_as_goes(tried, max(width, LEAST_WALL_MM))
    line = plan.walls[k]
    off = line.beyond(pointer.at)
    at = (pointer.at[0] - off * line.outward[0], pointer.at[1] - off * line.outward[1])
    return _made(reading, plan, k, at, f"wall {width:.4g} mm")


def wall_pushed(pattern: Pattern, crease: int, start: Point, pointer: SheetPointer, setting: Setting) -> RaisedWall | None:
    """A wall of a known plan pushed by its line, from where it was taken to where the pointer is; None for another line."""
    reading = kept_plan(pattern)
    wall = reading.wall_of(crease) if reading is not None and reading.known else None
    return None if reading is None or wall is None else _moved(reading, setting, wall, start, pointer)


def _drawn_along(reading: PlanReading, setting: Setting, start: Point, pointer: SheetPointer) -> RaisedWall:
    """A wall whose line is drawn from place to place, straightened, and led on to the edges."""
    pattern = reading.pattern
    pitch = 0.0 if pointer.shift else setting.grid_mm
    if math.dist(start, pointer.at) < max(pointer.near_mm, SLIP_MM):
        raise BadRequest("drag further", remedy="Draw along the line where the wall is to stand")
    a, b = start, pointer.at
    if not pointer.shift:
        # What the hand's direction means is told before its ends come to rest.
        straight = straightened((a, b))
        a = snap_place(pattern, a, pointer.near_mm, pitch).at
        ahead = (straight.end[0] - start[0], straight.end[1] - start[1])
        b = (a[0] + ahead[0], a[1] + ahead[1]) if straight.straight else snap_place(pattern, b, pointer.near_mm, pitch).at
    line = through(pattern.sheet, a, b)
    if line is None:
        raise BadRequest("there is no such line on the sheet", remedy="Choose another place")
    plan = reading.plan
    if abs(left_of(plan.floor_at, *line)) < math.dist(*line) * LEAST_FLOOR_MM / 2.0:
        raise BadRequest("a wall stands at the side of the floor", remedy="Draw it further from the middle")
    turn = usual_turn(plan)
    for crease in images(pattern.sheet, Crease(*line), setting.mirrors):
        plan = change.with_wall(plan, crease.start, crease.end, turn)
    plan = checked(plan)
    k = next((k for k, wall in enumerate(plan.walls) if max(abs(wall.beyond(p)) for p in line) < SAME_MM), None)
    width = 0.0 if k is None else plan.width_mm(k)
    return _made(reading, plan, k, b, f"wall {width:.4g} mm")
