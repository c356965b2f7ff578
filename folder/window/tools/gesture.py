"""The pointer's state machine: what a press on the sheet means with each tool. No pygame.

Escape (`home`) drops what the tool was given, then the tool, then what is picked: it always comes home.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from folder.errors import BadRequest
from folder.window.tools import laying, picking
from folder.window.tools.tool import Preview, SheetPointer, Tool, ToolContext, ToolName, ToolResult, sentence
from folder.window.tools.walls import hemming, walling

ToolAnswer = Callable[[Tool, ToolContext, SheetPointer], ToolResult]


def home(tool: Tool, context: ToolContext) -> ToolResult:
    """One step home."""
    if tool.busy:
        return ToolResult(Tool(tool.name), context.pattern, context.picked)
    if tool.name != "pick":
        return ToolResult(Tool(), context.pattern, context.picked)
    return ToolResult(Tool(), context.pattern)


def look(tool: Tool, context: ToolContext, pointer: SheetPointer) -> Preview:
    """What a press at the pointer would do."""
    match tool.name:
        case "pick":
            return picking.look_to_pick(tool, context, pointer)
        case "wall":
            return walling.look_to_wall(tool, context, pointer)
        case "hem":
            return hemming.look_to_hem(tool, context, pointer)
        case _:
            return laying.look_to_lay(tool, context, pointer)


def press(tool: Tool, context: ToolContext, pointer: SheetPointer) -> ToolResult:
    """The button goes down."""
    own: dict[ToolName, ToolAnswer] = {
        "pick": picking.press_to_pick, "wall": walling.press_to_wall, "hem": hemming.press_to_hem,
    }  # fmt: skip
    return _answered(tool, context, pointer, own.get(tool.name, laying.press_to_lay))


def drag(tool: Tool, context: ToolContext, pointer: SheetPointer) -> ToolResult:
    """The pointer moves with the button down."""
    own: dict[ToolName, ToolAnswer] = {
        "pick": picking.drag_to_pick, "wall": walling.drag_to_wall, "hem": hemming.drag_to_hem,
    }  # fmt: skip
    return _answered(tool, context, pointer, own.get(tool.name, laying.drag_to_lay))


def release(tool: Tool, context: ToolContext, pointer: SheetPointer) -> ToolResult:
    """The button comes up."""
    own: dict[ToolName, ToolAnswer] = {
        "pick": picking.release_to_pick, "wall": walling.release_to_wall, "hem": hemming.release_to_hem,
    }  # fmt: skip
    return _answered(tool, context, pointer, own.get(tool.name, laying.release_to_lay))


def _answered(tool: Tool, context: ToolContext, pointer: SheetPointer, answer: ToolAnswer) -> ToolResult:
    if not all(map(math.isfinite, pointer.at)):
        return ToolResult(tool, context.pattern, context.picked)
    try:
        return answer(tool, context, pointer)
    except BadRequest as error:
        return ToolResult(Tool(tool.name), context.pattern, context.picked, sentence(error))
