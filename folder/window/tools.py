"""The pointer's state machine: what a press on the sheet means with each tool. No pygame.

Escape (`home`) drops what the tool was given, then the tool, then what is picked: it always comes home.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from folder.errors import BadRequest
from folder.window import laying, picking
from folder.window.tool import Hand, Move, Sight, Table, Tool, sentence

Answer = Callable[[Tool, Table, Hand], Move]


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
    return _answered(tool, table, hand, (picking.press, laying.press))


def drag(tool: Tool, table: Table, hand: Hand) -> Move:
    """The hand moves with the button down."""
    return _answered(tool, table, hand, (picking.drag, laying.drag))


def release(tool: Tool, table: Table, hand: Hand) -> Move:
    """The button comes up."""
    return _answered(tool, table, hand, (picking.release, laying.release))


def _answered(tool: Tool, table: Table, hand: Hand, answers: tuple[Answer, Answer]) -> Move:
    if not all(map(math.isfinite, hand.at)):
        return Move(tool, table.pattern, table.picked)
    pick, lay = answers
    try:
        return (pick if tool.name == "pick" else lay)(tool, table, hand)
    except BadRequest as error:
        return Move(Tool(tool.name), table.pattern, table.picked, sentence(error))
