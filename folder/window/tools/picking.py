"""Picking: take hold of creases, push them, stretch an end, or draw a box round several."""

from __future__ import annotations

import math

from folder.errors import BadRequest
from folder.findings import Point
from folder.pattern import edit
from folder.pattern.pattern import Crease, Pattern
from folder.window.tools.mirror import twins
from folder.window.tools.slide import hangs_together, slide
from folder.window.tools.snap import creases_near, foot, snap_place
from folder.window.tools.tool import SLIP_MM, DragState, Preview, SheetPointer, Tool, ToolContext, ToolResult
from folder.window.tools.walls.walling import RaisedWall, wall_pushed


def look_to_pick(tool: Tool, context: ToolContext, pointer: SheetPointer) -> Preview:
    """What a press would take hold of; while dragging, where it has come to."""
    drag_state = tool.drag_state
    if drag_state is not None and drag_state.kind == "box":
        return Preview(pointer.at, "pick what lies in here", box=(drag_state.start, pointer.at))
    pushed = None if drag_state is None else _pushed(drag_state, context, pointer)
    if pushed is not None:
        return Preview(pushed.at, pushed.word, firm=True)
    if drag_state is not None:
        crease = (context.drag_pattern or drag_state.base).creases[drag_state.index]
        snap = snap_place(drag_state.base, pointer.at, pointer.near_mm, context.setting.grid_mm, without={drag_state.index})
        turn = math.atan2(crease.end[1] - crease.start[1], crease.end[0] - crease.start[0]) % math.pi
        return Preview(snap.at, snap.word, snap.firm, length_mm=crease.length_mm, angle_rad=turn)
    end = _end_near(context, pointer)
    if end is not None:
        index, at_start = end
        crease = context.pattern.creases[index]
        return Preview(crease.start if at_start else crease.end, "drag this end", True)
    near = creases_near(context.pattern, pointer.at, pointer.near_mm)
    if not near:
        return Preview(pointer.at, "")
    crease = context.pattern.creases[near[0]]
    word = "drag to push this line" if near[0] in context.picked else f"pick this {crease.sense}"
    return Preview(foot((crease.start, crease.end), pointer.at), word, True, lit=((crease.start, crease.end),))


def press_to_pick(tool: Tool, context: ToolContext, pointer: SheetPointer) -> ToolResult:
    """Take hold of an end, of a line, or start a box."""
    del tool
    pattern = context.pattern
    end = _end_near(context, pointer)
    if end is not None:
        drag_state = DragState("end", pointer.at, pattern, end[0], end[1])
        return ToolResult(Tool(drag_state=drag_state), pattern, context.picked)
    near = creases_near(pattern, pointer.at, pointer.near_mm)
    if not near:
        picked = context.picked if pointer.shift else frozenset[int]()
        return ToolResult(Tool(drag_state=DragState("box", pointer.at, pattern, picked=picked)), pattern, picked)
    index = near[0]
    if pointer.shift:
        return ToolResult(Tool(), pattern, context.picked ^ {index})
    picked = context.picked if index in context.picked else frozenset({index})
    crease = pattern.creases[index]
    drag_state = DragState("move", foot((crease.start, crease.end), pointer.at), pattern, index)
    return ToolResult(Tool(drag_state=drag_state), pattern, picked)


def drag_to_pick(tool: Tool, context: ToolContext, pointer: SheetPointer) -> ToolResult:
    """Show what the drawing would be."""
    drag_state = tool.drag_state
    if drag_state is None:
        return ToolResult(tool, context.pattern, context.picked)
    if drag_state.kind == "box":
        return ToolResult(tool, drag_state.base, drag_state.picked | _boxed(drag_state.base, drag_state.start, pointer.at))
    return ToolResult(tool, drag_state.base, context.picked, drag_pattern=_dragged(drag_state, context, pointer))


def release_to_pick(tool: Tool, context: ToolContext, pointer: SheetPointer) -> ToolResult:
    """Let go."""
    drag_state = tool.drag_state
    if drag_state is None:
        return ToolResult(tool, context.pattern, context.picked)
    if drag_state.kind == "box":
        picked = drag_state.picked | _boxed(drag_state.base, drag_state.start, pointer.at)
        return ToolResult(Tool(), drag_state.base, picked)
    pushed = _pushed(drag_state, context, pointer)
    if pushed is not None:
        return ToolResult(Tool(), pushed.pattern, frozenset() if pushed.wall is None else frozenset({pushed.wall}))
    return ToolResult(Tool(), _dragged(drag_state, context, pointer), context.picked)


def _dragged(drag_state: DragState, context: ToolContext, pointer: SheetPointer) -> Pattern:
    """The drawing with what the pointer holds carried to where it is."""
    base, grid_mm = drag_state.base, context.setting.grid_mm
    pushed = _pushed(drag_state, context, pointer)
    if pushed is not None:
        return pushed.pattern
    if math.dist(pointer.at, drag_state.start) < SLIP_MM:
        return base
    if drag_state.kind == "end":
        to = snap_place(base, pointer.at, pointer.near_mm, grid_mm, start=_other_end(drag_state), without={drag_state.index}).at
        return _stretched(drag_state, context, to)
    mine = {i for i, _ in twins(base, drag_state.index, context.setting.mirrors)}
    together = context.picked <= mine and hangs_together(base, drag_state.index)
    to = snap_place(base, pointer.at, pointer.near_mm, grid_mm, without=mine | context.picked).at
    crease = base.creases[drag_state.index]
    grab = foot((crease.start, crease.end), to) if together else drag_state.start
    if not together:
        # A loose line keeps its place on the grid: it is its nearer end that comes to rest.
        near = min((crease.start, crease.end), key=lambda p: math.dist(p, drag_state.start))
        aim = (near[0] + pointer.at[0] - drag_state.start[0], near[1] + pointer.at[1] - drag_state.start[1])
        grab, to = near, snap_place(base, aim, pointer.near_mm, grid_mm, without=mine | context.picked).at
    by = (to[0] - grab[0], to[1] - grab[1])
    if together:
        return slide(base, drag_state.index, by, context.setting.mirrors)
    return edit.move_creases(base, context.picked, by)


def _pushed(drag_state: DragState, context: ToolContext, pointer: SheetPointer) -> RaisedWall | None:
    """A wall that the pointer pushes, with its corners; None where it holds something else, or has not moved yet."""
    if drag_state.kind != "move" or math.dist(pointer.at, drag_state.start) < SLIP_MM:
        return None
    mine = {i for i, _ in twins(drag_state.base, drag_state.index, context.setting.mirrors)}
    if not context.picked <= mine | {drag_state.index}:
        return None
    try:
        return wall_pushed(drag_state.base, drag_state.index, drag_state.start, pointer, context.setting)
    except BadRequest:
        return None


def _stretched(drag_state: DragState, context: ToolContext, to: Point) -> Pattern:
    """The end under the pointer at a new place, and its mirror images at theirs."""
    moved = drag_state.base
    crease = drag_state.base.creases[drag_state.index]
    end = crease.start if drag_state.at_start else crease.end
    for twin, carry in twins(drag_state.base, drag_state.index, context.setting.mirrors):
        other = drag_state.base.creases[twin]
        at_start = math.dist(carry(end), other.start) < math.dist(carry(end), other.end)
        moved = edit.stretch_crease(moved, [(twin, at_start)], carry(to))
    return moved


def _other_end(drag_state: DragState) -> Point:
    crease = drag_state.base.creases[drag_state.index]
    return crease.end if drag_state.at_start else crease.start


def _end_near(context: ToolContext, pointer: SheetPointer) -> tuple[int, bool] | None:
    """The end of a picked crease under the pointer."""
    if pointer.shift:
        return None
    ends = [
        (math.dist(place, pointer.at), index, at_start)
        for index in sorted(context.picked)
        if index < len(context.pattern.creases)
        for at_start, place in ((True, context.pattern.creases[index].start), (False, context.pattern.creases[index].end))
    ]
    gap, index, at_start = min(ends, default=(math.inf, -1, True))
    return (index, at_start) if gap <= pointer.near_mm else None


def _boxed(pattern: Pattern, a: Point, b: Point) -> frozenset[int]:
    """The creases that lie wholly in a box."""
    left, right = sorted((a[0], b[0]))
    low, high = sorted((a[1], b[1]))

    def inside(crease: Crease) -> bool:
        return all(left <= p[0] <= right and low <= p[1] <= high for p in (crease.start, crease.end))

    return frozenset(i for i, crease in enumerate(pattern.creases) if inside(crease))
