"""The hem tool: the rim of what is there is folded over, and the walls below it move in. No pygame.

A press on an edge gives the usual hem, a drag inward one as deep as the drag; a press on a hem takes it away.
"""

from __future__ import annotations

import math

from msgspec.structs import replace

from folder.errors import BadRequest
from folder.findings import Point
from folder.pattern.families.prefold import SIDES
from folder.pattern.pattern import Pattern
from folder.pattern.walls import change
from folder.pattern.walls.reading import PlanReading
from folder.window.tools.mirror import Mirrors
from folder.window.tools.tool import SLIP_MM, DragState, Preview, Setting, SheetPointer, Tool, ToolContext, ToolResult
from folder.window.tools.walls.plans import kept_plan, mirrored_sides, plan_of, redrawn_with
from folder.window.tools.walls.walling import inward_mm

USUAL_HEM_MM = 5.0
"""As deep as a finger's nail folds without tearing (common practice)."""
LEAST_HEM_MM = 2.0
MOST_OF_SIDE = 0.2
"""A hem is at most so much of the sheet's shorter side: a deeper fold is no hem."""


def look_to_hem(tool: Tool, context: ToolContext, pointer: SheetPointer) -> Preview:
    """What a press would hem; while dragging, how deep it has come."""
    drag_state = tool.drag_state
    if drag_state is not None:
        try:
            _, depth = _hem_dragged(context.pattern, context.setting, drag_state.start, pointer)
        except BadRequest as error:
            return Preview(pointer.at, error.what)
        return Preview(pointer.at, f"hem {depth:.4g} mm" if depth else "no hem", firm=True)
    reading = kept_plan(context.pattern)
    side = None if reading is None else _side_near(reading, pointer.at, pointer.near_mm)
    if reading is None or side is None:
        return Preview(pointer.at, "press on an edge of the sheet")
    edge = (reading.pattern.sheet.corners * 2)[side : side + 2]
    word = "take this hem away" if SIDES[side] in reading.plan.hem_sides else "press: a hem. Drag in: a deeper one"
    return Preview(pointer.at, word, True, lit=((edge[0], edge[1]),))


def press_to_hem(tool: Tool, context: ToolContext, pointer: SheetPointer) -> ToolResult:
    """Take hold of an edge; a second press, by the keys, lets go."""
    if tool.drag_state is not None:
        return release_to_hem(tool, context, pointer)
    if _side_near(plan_of(context.pattern), pointer.at, pointer.near_mm) is None:
        return ToolResult(tool, context.pattern, context.picked, "Press on an edge of the sheet: it is folded over.")
    held = replace(tool, drag_state=DragState("hem", pointer.at, context.pattern))
    return ToolResult(held, context.pattern, frozenset())


def drag_to_hem(tool: Tool, context: ToolContext, pointer: SheetPointer) -> ToolResult:
    """Show what the drawing would be."""
    drag_state = tool.drag_state
    if drag_state is None or math.dist(pointer.at, drag_state.start) < SLIP_MM:
        return ToolResult(tool, context.pattern, context.picked, drag_pattern=context.drag_pattern)
    try:
        pattern, _ = _hem_dragged(context.pattern, context.setting, drag_state.start, pointer)
    except BadRequest:
        pattern = context.drag_pattern or context.pattern
    return ToolResult(tool, context.pattern, context.picked, drag_pattern=pattern)


def release_to_hem(tool: Tool, context: ToolContext, pointer: SheetPointer) -> ToolResult:
    """Let go: the hem is folded."""
    drag_state = tool.drag_state
    if drag_state is None:
        return ToolResult(tool, context.pattern, context.picked)
    pattern, depth = _hem_dragged(context.pattern, context.setting, drag_state.start, pointer)
    message = "" if depth else "The hem is gone."
    return ToolResult(Tool(tool.name), pattern, frozenset(), message)


def hem_rim(pattern: Pattern, depth_mm: float, side: int | None = None, mirrors: Mirrors = "four") -> Pattern:
    """The rim hemmed on one side of the sheet and its mirror images, or all round; 0 takes the hem away there.

    BadRequest where the drawing is no floor with one ring of walls, or a wall is lower than the hem.
    """
    plan = plan_of(pattern).plan
    sides = {SIDES[k] for k in (range(4) if side is None else mirrored_sides(side, mirrors))}
    now = set(plan.hem_sides)
    if depth_mm <= 0.0:
        return redrawn_with(pattern, change.with_hem(plan, plan.hem_mm, tuple(now - sides)))
    return redrawn_with(pattern, change.with_hem(plan, depth_mm, tuple(now | sides)))


def _hem_dragged(pattern: Pattern, setting: Setting, start: Point, pointer: SheetPointer) -> tuple[Pattern, float]:
    """The drawing with the edge at the start folded over as deep as the drag; and the depth, mm."""
    reading = plan_of(pattern)
    side = _side_near(reading, start, pointer.near_mm)
    if side is None:
        raise BadRequest("press on an edge of the sheet", remedy="It is folded over there")
    has_one = SIDES[side] in reading.plan.hem_sides
    if math.dist(pointer.at, start) < max(SLIP_MM, pointer.near_mm / 2.0):
        depth = 0.0 if has_one else reading.plan.hem_mm or USUAL_HEM_MM
    else:
        inward = inward_mm(pattern, side, pointer.at)
        inward = min(inward, MOST_OF_SIDE * min(pattern.sheet.width_mm, pattern.sheet.height_mm))
        depth = round(inward, 2) if pointer.shift else float(round(inward))
        depth = 0.0 if depth < LEAST_HEM_MM else depth
    return hem_rim(pattern, depth, side, setting.mirrors), depth


def _side_near(reading: PlanReading, at: Point, near_mm: float) -> int | None:
    """The side of the sheet that passes near a place; with a hem there, also the hem's line."""
    gaps = []
    for side in range(4):
        inward = inward_mm(reading.pattern, side, at)
        deep = reading.plan.hem_mm if SIDES[side] in reading.plan.hem_sides else 0.0
        gaps.append((min(abs(inward), abs(inward - deep)), side))
    gap, side = min(gaps)
    return side if gap <= near_mm else None
