"""Picking: take hold of creases, push them, stretch an end, or draw a box round several."""

from __future__ import annotations

import math

from folder.findings import Point
from folder.pattern import edit
from folder.pattern.pattern import Crease, Pattern
from folder.window.tools.mirror import twins
from folder.window.tools.slide import hangs_together, slide
from folder.window.tools.snap import creases_near, foot, snap_place
from folder.window.tools.tool import SLIP_MM, DragState, Preview, SheetPointer, Tool, ToolContext, ToolResult


def look_to_pick(tool: Tool, table: ToolContext, hand: SheetPointer) -> Preview:
    """What a press would take hold of; while dragging, where it has come to."""
    grip = tool.grip
    if grip is not None and grip.kind == "box":
        return Preview(hand.at, "pick what lies in here", box=(grip.start, hand.at))
    if grip is not None:
        crease = (table.shown or grip.base).creases[grip.index]
        snap = snap_place(grip.base, hand.at, hand.near_mm, table.setting.grid_mm, without={grip.index})
        turn = math.atan2(crease.end[1] - crease.start[1], crease.end[0] - crease.start[0]) % math.pi
        return Preview(snap.at, snap.word, snap.firm, length_mm=crease.length_mm, angle_rad=turn)
    end = _end_near(table, hand)
    if end is not None:
        index, at_start = end
        crease = table.pattern.creases[index]
        return Preview(crease.start if at_start else crease.end, "drag this end", True)
    near = creases_near(table.pattern, hand.at, hand.near_mm)
    if not near:
        return Preview(hand.at, "")
    crease = table.pattern.creases[near[0]]
    word = "drag to push this line" if near[0] in table.picked else f"pick this {crease.sense}"
    return Preview(foot((crease.start, crease.end), hand.at), word, True, lit=((crease.start, crease.end),))


def press_to_pick(tool: Tool, table: ToolContext, hand: SheetPointer) -> ToolResult:
    """Take hold of an end, of a line, or start a box."""
    del tool
    pattern = table.pattern
    end = _end_near(table, hand)
    if end is not None:
        grip = DragState("end", hand.at, pattern, end[0], end[1])
        return ToolResult(Tool(grip=grip), pattern, table.picked)
    near = creases_near(pattern, hand.at, hand.near_mm)
    if not near:
        picked = table.picked if hand.shift else frozenset[int]()
        return ToolResult(Tool(grip=DragState("box", hand.at, pattern, picked=picked)), pattern, picked)
    index = near[0]
    if hand.shift:
        return ToolResult(Tool(), pattern, table.picked ^ {index})
    picked = table.picked if index in table.picked else frozenset({index})
    crease = pattern.creases[index]
    grip = DragState("move", foot((crease.start, crease.end), hand.at), pattern, index)
    return ToolResult(Tool(grip=grip), pattern, picked)


def drag_to_pick(tool: Tool, table: ToolContext, hand: SheetPointer) -> ToolResult:
    """Show what the drawing would be."""
    grip = tool.grip
    if grip is None:
        return ToolResult(tool, table.pattern, table.picked)
    if grip.kind == "box":
        return ToolResult(tool, grip.base, grip.picked | _boxed(grip.base, grip.start, hand.at))
    return ToolResult(tool, grip.base, table.picked, shown=_dragged(grip, table, hand))


def release_to_pick(tool: Tool, table: ToolContext, hand: SheetPointer) -> ToolResult:
    """Let go."""
    grip = tool.grip
    if grip is None:
        return ToolResult(tool, table.pattern, table.picked)
    if grip.kind == "box":
        picked = grip.picked | _boxed(grip.base, grip.start, hand.at)
        return ToolResult(Tool(), grip.base, picked)
    return ToolResult(Tool(), _dragged(grip, table, hand), table.picked)


def _dragged(grip: DragState, table: ToolContext, hand: SheetPointer) -> Pattern:
    """The drawing with what the hand holds carried to where it is."""
    if math.dist(hand.at, grip.start) < SLIP_MM:
        return grip.base
    if grip.kind == "end":
        to = snap_place(grip.base, hand.at, hand.near_mm, table.setting.grid_mm, start=_other_end(grip), without={grip.index}).at
        return _stretched(grip, table, to)
    mine = {i for i, _ in twins(grip.base, grip.index, table.setting.mirrors)}
    together = table.picked <= mine and hangs_together(grip.base, grip.index)
    to = snap_place(grip.base, hand.at, hand.near_mm, table.setting.grid_mm, without=mine | table.picked).at
    crease = grip.base.creases[grip.index]
    grab = foot((crease.start, crease.end), to) if together else grip.start
    if not together:
        # A loose line keeps its place on the grid: it is its nearer end that comes to rest.
        near = min((crease.start, crease.end), key=lambda p: math.dist(p, grip.start))
        aim = (near[0] + hand.at[0] - grip.start[0], near[1] + hand.at[1] - grip.start[1])
        grab, to = near, snap_place(grip.base, aim, hand.near_mm, table.setting.grid_mm, without=mine | table.picked).at
    by = (to[0] - grab[0], to[1] - grab[1])
    if together:
        return slide(grip.base, grip.index, by, table.setting.mirrors)
    return edit.move_creases(grip.base, table.picked, by)


def _stretched(grip: DragState, table: ToolContext, to: Point) -> Pattern:
    """The end under the hand at a new place, and its mirror images at theirs."""
    moved = grip.base
    crease = grip.base.creases[grip.index]
    end = crease.start if grip.at_start else crease.end
    for twin, carry in twins(grip.base, grip.index, table.setting.mirrors):
        other = grip.base.creases[twin]
        at_start = math.dist(carry(end), other.start) < math.dist(carry(end), other.end)
        moved = edit.stretch_crease(moved, [(twin, at_start)], carry(to))
    return moved


def _other_end(grip: DragState) -> Point:
    crease = grip.base.creases[grip.index]
    return crease.end if grip.at_start else crease.start


def _end_near(table: ToolContext, hand: SheetPointer) -> tuple[int, bool] | None:
    """The end of a picked crease under the hand."""
    if hand.shift:
        return None
    ends = [
        (math.dist(place, hand.at), index, at_start)
        for index in sorted(table.picked)
        if index < len(table.pattern.creases)
        for at_start, place in ((True, table.pattern.creases[index].start), (False, table.pattern.creases[index].end))
    ]
    gap, index, at_start = min(ends, default=(math.inf, -1, True))
    return (index, at_start) if gap <= hand.near_mm else None


def _boxed(pattern: Pattern, a: Point, b: Point) -> frozenset[int]:
    """The creases that lie wholly in a box."""
    left, right = sorted((a[0], b[0]))
    low, high = sorted((a[1], b[1]))

    def inside(crease: Crease) -> bool:
        return all(left <= p[0] <= right and low <= p[1] <= high for p in (crease.start, crease.end))

    return frozenset(i for i, crease in enumerate(pattern.creases) if inside(crease))
