"""The dialog in which a file of the day is chosen: an event, a table of teams, what another station noted, rules."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from msgspec.structs import replace

from folder.window.commands.files import open_dialog
from folder.window.dialogs.files import any_file_page
from folder.window.editor import Editor
from folder.window.event.writing import (
    EVENT_ENDINGS,
    TABLE_ENDINGS,
    import_rules,
    import_teams,
    merge_station,
    open_event,
    set_event,
)
from folder.window.widgets import Ui

ASKED: dict[str, tuple[str, str, tuple[str, ...], Callable[[Editor, Path], str]]] = {
    "open": ("Open an event", "event", EVENT_ENDINGS, open_event),
    "table": ("Teams from a table", "table", TABLE_ENDINGS, import_teams),
    "station": ("What another station noted", "event", EVENT_ENDINGS, merge_station),
    "rules": ("Take rules from a file", "rules", (".json",), import_rules),
}
"""By what is asked for: title, what such a file is called, how it ends, what is done with it."""


def ask_file(editor: Editor, what: str) -> None:
    """Ask for a file: one of `ASKED`."""
    set_event(editor, replace(editor.state.eventing, asked=what))
    open_dialog(editor, "event-file")


def choose_page(ui: Ui, editor: Editor) -> None:
    """The dialog."""
    title, word, endings, take = ASKED[editor.state.eventing.asked or "open"]
    beside = Path(editor.memory.event).parent if editor.memory.event else None
    any_file_page(ui, editor, title, word, endings, beside, partial(take, editor))
