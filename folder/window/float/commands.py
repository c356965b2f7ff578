"""The commands of the page Float."""

from __future__ import annotations

from msgspec.structs import replace

from folder.window.commands.command import Command
from folder.window.editor import Editor
from folder.window.float.state import FloatState


def set_load(editor: Editor, load: FloatState) -> None:
    """Put another load on the floor."""
    editor.show(replace(editor.state, floating=load))


FLOAT_COMMANDS: tuple[Command, ...] = ()
