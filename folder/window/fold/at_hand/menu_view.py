"""The menu at a place on the sheet, as it is shown and pressed."""

from __future__ import annotations

from msgspec.structs import replace

from folder.window.commands import look
from folder.window.editor import Editor
from folder.window.fold.at_hand.menu import menu_rows
from folder.window.widgets import Ui
from folder.window.widgets.menu import menu


def sheet_menu(ui: Ui, editor: Editor) -> None:
    """The menu, until something in it or beside it is pressed."""
    at = editor.state.menu
    if at is None or "sheet" not in ui.records:
        return
    pane = ui.records["sheet"].pane
    x, y = look.viewport_of(editor, (pane.w, pane.h)).px(at)
    rows = menu_rows(editor, at)
    pressed = menu(ui, "menu", (pane.x + x, pane.y + y), [(row.key, row.words) for row in rows])
    if pressed is None:
        return
    for row in rows:
        if row.key == pressed:
            row.do(editor)
    editor.show(replace(editor.state, menu=None))
