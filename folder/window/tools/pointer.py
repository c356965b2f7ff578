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


def home(tool: Tool, table: ToolContext) -> ToolResult:
    """One step home."""
    if tool.busy:
        return ToolResult(Tool(tool.name), table.pattern, table.picked)
    if tool.name != "pick":
        return ToolResult(Tool(), table.pattern, table.picked)
    return ToolResult(Tool(), table.pattern)


def look(tool: Tool, table: ToolContext, hand: SheetPointer) -> Preview:
    """What a press at the hand would do."""
    if tool.name == "pick":
        return picking.look_to_pick(tool, table, hand)
    return laying.look_to_lay(tool, table, hand)


def press(tool: Tool, table: ToolContext, hand: SheetPointer) -> ToolResult:
    """The button goes down."""
    return _answered(tool, table, hand, (picking.press_to_pick, laying.press_to_lay))


def drag(tool: Tool, table: ToolContext, hand: SheetPointer) -> ToolResult:
    """The hand moves with the button down."""
    return _answered(tool, table, hand, (picking.drag_to_pick, laying.drag_to_lay))


def release(tool: Tool, table: ToolContext, hand: SheetPointer) -> ToolResult:
    """The button comes up."""
    return _answered(tool, table, hand, (picking.release_to_pick, laying.release_to_lay))


def _answered(tool: Tool, table: ToolContext, hand: SheetPointer, answers: tuple[ToolAnswer, ToolAnswer]) -> ToolResult:
    if not all(map(math.isfinite, hand.at)):
        return ToolResult(tool, table.pattern, table.picked)
    pick, lay = answers
    try:
        return (pick if tool.name == "pick" else lay)(tool, table, hand)
    except BadRequest as error:
        return ToolResult(Tool(tool.name), table.pattern, table.picked, sentence(error))
