"""The commands of the page Print."""

from __future__ import annotations

from concurrent.futures import Future
from pathlib import Path

from msgspec.structs import replace

from folder.window.commands.command import Command
from folder.window.editor import Editor
from folder.window.print.state import PrintState


def set_printing(editor: Editor, printing: PrintState) -> None:
    """Which pages are to be written, and where."""
    editor.show(replace(editor.state, printing=printing))


def set_written(editor: Editor, study: object, files: Future[list[Path]]) -> None:
    """The pages of a study are being written."""
    set_printing(editor, replace(editor.state.printing, written=(study, files)))


PRINT_COMMANDS: tuple[Command, ...] = ()
