"""The pointer's state machine: what a press on the sheet means with each tool. No pygame.

Escape (`home`) drops what the tool was given, then the tool, then what is picked: it always comes home.
"""

from __future__ import annotations

import math
from typing import Literal

from folder.errors import BadRequest
from folder.window import laying, picking
from folder.window.tool import TOOLS, Grip, Hand, Move, Setting, Sight, Table, Tool, ToolName, Typed

__all__ = ["TOOLS", "Grip", "Hand", "Move", "Setting", "Sight", "Table", "Tool", "ToolName", "Typed", "drag", "home", "look", "press", "release"]


def home(tool: Tool, table: Table) -> Move:
    """One step home."""
    if tool.busy:
        return Move(Tool(tool.name), table.pattern, table.picked)
    if tool.name != "pick":
        return Move(Tool(), table.pattern, table.picked)
    return Move(Tool(), table.pattern)


def look(tool: Tool, table: Table, hand: Hand) -> Sight:
    """What a press at the hand would do."""
    if tool.name == "pick":
        return picking.look_to_pick(tool, table, hand)
    return laying.look_to_lay(tool, table, hand)


def press(tool: Tool, table: Table, hand: Hand) -> Move:
    """The button goes down."""
    return _answered(tool, table, hand, "press")


def drag(tool: Tool, table: Table, hand: Hand) -> Move:
    """The hand moves with the button down."""
    return _answered(tool, table, hand, "drag")


def release(tool: Tool, table: Table, hand: Hand) -> Move:
    """The button comes up."""
    return _answered(tool, table, hand, "release")


def _answered(tool: Tool, table: Table, hand: Hand, what: Literal["press", "drag", "release"]) -> Move:
    if not all(map(math.isfinite, hand.at)):
        return Move(tool, table.pattern, table.picked)
    side = picking if tool.name == "pick" else laying
    try:
        made: Move = getattr(side, what)(tool, table, hand)
    except BadRequest as error:
        return Move(Tool(tool.name), table.pattern, table.picked, f"{error.what[0].upper()}{error.what[1:]}. {error.remedy}.")
    return made
