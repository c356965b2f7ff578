"""The commands of the page Compare."""

from __future__ import annotations

from msgspec.structs import replace

from folder.window.commands.command import Command
from folder.window.compare.state import CompareState, Other
from folder.window.editor import Editor


def set_others(editor: Editor, others: tuple[Other, ...]) -> None:
    """The hulls that stand beside this one."""
    editor.show(replace(editor.state, comparing=CompareState(others)))


COMPARE_COMMANDS: tuple[Command, ...] = ()
