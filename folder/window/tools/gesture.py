"""The pointer's state machine: what a press on the sheet means with each tool. No pygame.

Escape (`home`) drops what the tool was given, then the tool, then what is picked: it always comes home.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from folder.errors import BadRequest
from folder.window.tools import laying, picking
from folder.window.tools.tool import Preview, SheetPointer, Tool, ToolContext, ToolResult, sentence

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
    if tool.name == "pick":
        return picking.look_to_pick(tool, context, pointer)
    return laying.look_to_lay(tool, context, pointer)


def press(tool: Tool, context: ToolContext, pointer: SheetPointer) -> ToolResult:
    """The button goes down."""
    return _answered(tool, context, pointer, (picking.press_to_pick, laying.press_to_lay))


def drag(tool: Tool, context: ToolContext, pointer: SheetPointer) -> ToolResult:
    """The pointer moves with the button down."""
    return _answered(tool, context, pointer, (picking.drag_to_pick, laying.drag_to_lay))


def release(tool: Tool, context: ToolContext, pointer: SheetPointer) -> ToolResult:
    """The button comes up."""
    return _answered(tool, context, pointer, (picking.release_to_pick, laying.release_to_lay))


def _answered(tool: Tool, context: ToolContext, pointer: SheetPointer, answers: tuple[ToolAnswer, ToolAnswer]) -> ToolResult:
    if not all(map(math.isfinite, pointer.at)):
        return ToolResult(tool, context.pattern, context.picked)
    pick, lay = answers
    try:
        return (pick if tool.name == "pick" else lay)(tool, context, pointer)
    except BadRequest as error:
        return ToolResult(Tool(tool.name), context.pattern, context.picked, sentence(error))
