"""Laying: the tools that put something on the sheet.

given     what a tool wants before it can lay: two places, a line and a place, two lines
"""

from __future__ import annotations

import math

import numpy as np
from msgspec.structs import replace

from folder.errors import BadRequest
from folder.findings import Point
from folder.pattern import edit
from folder.pattern.construct import SheetLine, halving_angle, halving_points, parallel, square_to, through
from folder.pattern.pattern import Crease, Pattern
from folder.window.tools.corner_folds import corner_preview, fold_corners
from folder.window.tools.forgiving import extension, intended_line
from folder.window.tools.mirror import images, maps
from folder.window.tools.snap import Snap, ends_of, foot, lines_near
from folder.window.tools.tool import (
    SLIP_MM,
    Correction,
    Preview,
    Setting,
    SheetPointer,
    Tool,
    ToolContext,
    ToolName,
    ToolResult,
    pointer_place,
    sentence,
)

FORGIVEN: tuple[ToolName, ...] = ("line", "long")
"""Lines that a hand draws from place to place, and may miss."""
SAME_MM = 0.05
PINCH_NEAR_MM = 4.0


def look_to_lay(tool: Tool, context: ToolContext, pointer: SheetPointer) -> Preview:
    """What a press would lay."""
    match tool.name:
        case "line" | "long" | "halve":
            return _from_places(tool, context, pointer)
        case "square" | "beside" | "angle":
            return _from_line(tool, context, pointer)
        case "corner":
            return corner_preview(context, pointer)
        case "pinch":
            near = _pinch_near(context.pattern, pointer)
            snap = pointer_place(tool, context, pointer)
            if near is not None:
                return Preview(context.pattern.crimps[near], "take this pinch away", True, tool="pinch")
            return Preview(snap.at, f"pinch here ({snap.word})", snap.firm, tool="pinch")
        case _:
            return Preview(pointer.at, "this is the floor", tool="floor")


def press_to_lay(tool: Tool, context: ToolContext, pointer: SheetPointer) -> ToolResult:
    """The button goes down."""
    match tool.name:
        case "line" | "long" | "halve":
            start = tool.points[0] if tool.points else None
            place = pointer_place(tool, context, pointer, start).at
            if start is None:
                return ToolResult(replace(tool, points=(place,), by_hand=pointer.at), context.pattern, context.picked)
            return _lay(tool, context, pointer)
        case "square" | "beside" | "angle":
            return _press_line(tool, context, pointer)
        case "corner":
            return fold_corners(tool, context, pointer)
        case "pinch":
            near = _pinch_near(context.pattern, pointer)
            if near is not None:
                return ToolResult(tool, edit.drop_crimp(context.pattern, near), context.picked)
            return ToolResult(tool, _pinched(context, pointer_place(tool, context, pointer).at), context.picked)
        case _:
            return ToolResult(Tool(), edit.name_floor(context.pattern, pointer.at), context.picked, "This part is the floor now.")


def drag_to_lay(tool: Tool, context: ToolContext, pointer: SheetPointer) -> ToolResult:
    """Nothing is settled while the pointer drags: `look_to_lay` shows what would be."""
    del pointer
    return ToolResult(tool, context.pattern, context.picked)


def release_to_lay(tool: Tool, context: ToolContext, pointer: SheetPointer) -> ToolResult:
    """A line drawn in one stroke is laid; after a mere press the tool waits for the other end."""
    if tool.name in ("line", "long", "halve") and tool.points:
        place = pointer_place(tool, context, pointer, tool.points[0]).at
        if math.dist(place, tool.points[0]) > max(pointer.near_mm, SLIP_MM) and not tool.typed.anything:
            return _lay(tool, context, pointer)
    return ToolResult(tool, context.pattern, context.picked)


def lay_typed(tool: Tool, context: ToolContext, pointer: SheetPointer) -> ToolResult:
    """Lay the line as it has been typed, wherever the pointer is."""
    try:
        return _lay(tool, context, pointer)
    except BadRequest as error:
        return ToolResult(tool, context.pattern, context.picked, sentence(error))


def line_of(tool: Tool, context: ToolContext, pointer: SheetPointer) -> tuple[SheetLine | None, Snap]:
    """The line that the tool would lay, and where the pointer rests."""
    sheet, pattern = context.pattern.sheet, context.pattern
    if tool.name in ("line", "long", "halve"):
        start = tool.points[0] if tool.points else None
        snap = pointer_place(tool, context, pointer, start)
        if start is None:
            return None, snap
        if tool.name == "halve":
            return halving_points(sheet, start, snap.at), snap
        line = (start, snap.at)
        if not _exactly(tool, pointer):
            line = intended_line(pattern, line, context.setting.mirrors, _by_hand(tool, pointer)).line
        return line if tool.name == "line" else through(sheet, *line), snap
    if not tool.lines:
        return None, pointer_place(tool, context, pointer)
    line = tool.lines[0]
    if tool.name == "square":
        snap = pointer_place(tool, context, pointer)
        return square_to(sheet, line, snap.at), snap
    if tool.name == "beside":
        snap = pointer_place(tool, context, pointer)
        far = _distance(line, snap.at) if tool.typed.length_mm is None else tool.typed.length_mm
        return (parallel(sheet, line, far, pointer.at) if far > SLIP_MM else None), snap
    near = lines_near(pattern, pointer.at, pointer.near_mm)
    other = next((found for found, _ in near if found != line), None)
    snap = Snap(pointer.at, "the other line", other is not None)
    if other is None:
        return None, Snap(pointer.at, "press the other line")
    one, two = tool.points[0], foot(other, pointer.at)
    return halving_angle(sheet, line, other, ((one[0] + two[0]) / 2, (one[1] + two[1]) / 2)), snap


def _lay(tool: Tool, context: ToolContext, pointer: SheetPointer) -> ToolResult:
    line, _ = line_of(tool, context, pointer)
    if line is None:
        raise BadRequest("there is no such line on the sheet", remedy="Choose another place")
    setting, free = context.setting, Tool(tool.name)
    drawn, words = line, ""
    if tool.name in FORGIVEN and not _exactly(tool, pointer):
        raw = (tool.points[0], pointer_place(tool, context, pointer, tool.points[0]).at)
        words = intended_line(context.pattern, raw, setting.mirrors, _by_hand(tool, pointer)).words
        drawn = raw if tool.name == "line" else through(context.pattern.sheet, *raw) or line
        longer = extension(context.pattern, setting.crease(line), setting.mirrors) if tool.name == "line" else line
        words = ", ".join(part for part in (words, "led on" if longer != line else "") if part)
        line = longer
    pattern = laid_creases(context.pattern, setting, line)
    if not words:
        return ToolResult(free, pattern, frozenset(), "" if pattern is not context.pattern else "That line is there already.")
    as_drawn = edit.lay(context.pattern, images(pattern.sheet, setting.crease(drawn), setting.mirrors))
    return ToolResult(free, pattern, frozenset(), as_drawn=as_drawn, correction=Correction(drawn, line, words))


def _by_hand(tool: Tool, pointer: SheetPointer) -> SheetLine:
    """The line as the hand drew it, before its ends came to rest."""
    return (tool.by_hand or tool.points[0], pointer.at)


def _exactly(tool: Tool, pointer: SheetPointer) -> bool:
    """Whether a line is wanted as it is drawn or typed."""
    return pointer.shift or tool.typed.anything


def laid_creases(pattern: Pattern, setting: Setting, line: SheetLine) -> Pattern:
    """The pattern with a line and its mirror images. What is there already is not laid twice; what lies under it gives way."""
    for crease in images(pattern.sheet, setting.crease(line), setting.mirrors):
        beside = _beside(pattern, crease)
        if not any(_like(pattern.creases[i], crease) and _covers(pattern.creases[i], crease) for i in beside):
            under = [i for i in beside if _covers(crease, pattern.creases[i])]
            pattern = edit.lay(edit.drop(pattern, under) if under else pattern, (crease,))
    return pattern


def _beside(pattern: Pattern, crease: Crease) -> list[int]:
    """The creases whose boxes touch that of one: only these can cover it or be covered."""
    if not pattern.creases:
        return []
    ends, own = ends_of(pattern.creases), np.array((crease.start, crease.end))
    apart = np.maximum(ends.min(axis=1) - own.max(axis=0), own.min(axis=0) - ends.max(axis=1))
    return np.flatnonzero((apart < SAME_MM).all(axis=1)).tolist()


def _from_places(tool: Tool, context: ToolContext, pointer: SheetPointer) -> Preview:
    line, snap = line_of(tool, context, pointer)
    if not tool.points:
        return Preview(snap.at, snap.word, snap.firm)
    start = tool.points[0]
    strokes = _ghosts(context, line)
    far = math.dist(start, snap.at)
    turn = math.atan2(snap.at[1] - start[1], snap.at[0] - start[0]) % (2 * math.pi) if far else None
    return Preview(snap.at, snap.word, snap.firm, strokes, ((start, snap.at),) if tool.name == "halve" else (), None, far, turn)


def _from_line(tool: Tool, context: ToolContext, pointer: SheetPointer) -> Preview:
    line, snap = line_of(tool, context, pointer)
    near = lines_near(context.pattern, pointer.at, pointer.near_mm)
    if not tool.lines:
        if not near:
            return Preview(pointer.at, "press a line first")
        return Preview(foot(near[0][0], pointer.at), f"take {near[0][1]}", True, lit=(near[0][0],))
    lit = tool.lines
    if tool.name == "angle" and near and near[0][0] != tool.lines[0]:
        lit = (*lit, near[0][0])
    far = None
    if tool.name == "beside" and line is not None:
        far = _distance(tool.lines[0], line[0])
    return Preview(snap.at, snap.word, snap.firm, _ghosts(context, line), lit, None, far)


def _press_line(tool: Tool, context: ToolContext, pointer: SheetPointer) -> ToolResult:
    near = lines_near(context.pattern, pointer.at, pointer.near_mm)
    if not tool.lines:
        if not near:
            return ToolResult(tool, context.pattern, context.picked, "Press on a line, or on the edge of the sheet.")
        line = near[0][0]
        return ToolResult(replace(tool, lines=(line,), points=(foot(line, pointer.at),)), context.pattern, context.picked)
    line_now, _ = line_of(tool, context, pointer)
    if line_now is None:
        message = "Press another line." if tool.name == "angle" else "Press a little further away."
        return ToolResult(tool, context.pattern, context.picked, message)
    return _lay(tool, context, pointer)


def _ghosts(context: ToolContext, line: SheetLine | None) -> tuple[Crease, ...]:
    if line is None or math.dist(*line) < edit.SHORTEST_MM:
        return ()
    return images(context.pattern.sheet, context.setting.crease(line), context.setting.mirrors)


def _distance(line: SheetLine, at: Point) -> float:
    (ax, ay), (bx, by) = line
    return abs((bx - ax) * (at[1] - ay) - (by - ay) * (at[0] - ax)) / max(math.dist(*line), 1e-9)


def _pinch_near(pattern: Pattern, pointer: SheetPointer) -> int | None:
    near = [(math.dist(c, pointer.at), i) for i, c in enumerate(pattern.crimps)]
    gap, index = min(near, default=(math.inf, -1))
    return index if gap <= min(max(pointer.near_mm, SLIP_MM), PINCH_NEAR_MM) else None


def _pinched(context: ToolContext, at: Point) -> Pattern:
    pattern = context.pattern
    for carry in maps(pattern.sheet, context.setting.mirrors):
        place = carry(at)
        if all(math.dist(place, other) > SLIP_MM for other in pattern.crimps):
            pattern = edit.add_crimp(pattern, place)
    return pattern


def _like(a: Crease, b: Crease) -> bool:
    return (a.sense, a.turn_rad) == (b.sense, b.turn_rad)


def _covers(long: Crease, short: Crease) -> bool:
    """Whether one crease lies along another from end to end."""
    line = (long.start, long.end)
    return max(math.dist(foot(line, p), p) for p in (short.start, short.end)) < SAME_MM
