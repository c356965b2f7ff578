"""A whole gesture of a hand on the sheet, tried on the tools without a window."""

from collections.abc import Sequence

from msgspec.structs import replace

from folder.window.tools.gesture import drag, press, release
from folder.window.tools.tool import SheetPointer, Tool, ToolContext, ToolResult


def whole_stroke(tool: Tool, context: ToolContext, places: Sequence[SheetPointer]) -> ToolResult:
    """Down at the first place, along the others, up at the last."""
    result = press(tool, context, places[0])
    said = [result.message]
    for answer, place in (*((drag, place) for place in places[1:]), (release, places[-1])):
        now = replace(context, pattern=result.pattern, picked=result.picked, drag_pattern=result.drag_pattern)
        result = answer(result.tool, now, place)
        said.append(result.message)
    return replace(result, message=" ".join(dict.fromkeys(part for part in said if part)))
