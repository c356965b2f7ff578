"""The commands of the page Float, by their keys. What they do is loaded when it is first done."""

from __future__ import annotations

from collections.abc import Callable

from folder.window.commands.command import Command
from folder.window.editor import Editor
from folder.window.view_state import PageName

HERE: tuple[PageName, ...] = ("float",)
GROUP = "In the tub"


def _does(name: str) -> Callable[[Editor], None]:
    """One of the actions, by its name."""

    def do(editor: Editor) -> None:
        from folder.window.float import actions

        getattr(actions, name)(editor)

    return do


FLOAT_COMMANDS: tuple[Command, ...] = (
    Command("float/next", "One object more, by the plan", ("n", "+"), GROUP, _does("add_at"), HERE),
    Command("float/back", "Take one back", ("backspace", "-"), GROUP, _does("take_one_back"), HERE),
    Command("float/all", "All at once", ("a",), GROUP, _does("all_at_once"), HERE),
    Command("float/enough", "That is enough", ("e",), GROUP, _does("enough"), HERE),
    Command("float/again", "Begin again", ("r",), GROUP, _does("again"), HERE),
    Command("float/map", "The map as large as the boat", ("m",), GROUP, _does("turn_map"), HERE),
    Command("float/coach", "For the coach", ("c",), GROUP, _does("turn_coach"), HERE),
)
