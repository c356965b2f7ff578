"""The help opened: where it was left, at its keys, at a word. No pygame."""

from __future__ import annotations

from msgspec.structs import replace

from folder.window.commands.files import open_dialog
from folder.window.editor import Editor
from folder.window.help.state import HelpPage, HelpState


def open_help(editor: Editor) -> None:
    """The help as it was left."""
    open_dialog(editor, "help")


def open_keys(editor: Editor) -> None:
    """Every key."""
    set_help(editor, "keys")
    open_help(editor)


def ask_word(editor: Editor, word: str) -> None:
    """What a word means."""
    set_help(editor, "words", word)
    open_help(editor)


def set_help(editor: Editor, page: HelpPage, word: str = "") -> None:
    """Another page of the help."""
    editor.show(replace(editor.state, helping=HelpState(page, word)))
