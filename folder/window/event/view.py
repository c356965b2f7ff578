"""The page Event."""

from __future__ import annotations

from folder.window.editor import Editor
from folder.window.widgets import Pane, Ui, label


def event_page(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The page."""
    del editor
    label(ui, pane.inset(12), "The day is run from the command line: see folder event --help.")
