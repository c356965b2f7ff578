"""The bar along the top: the name of the work, the five pages in words, and small beside them undo, files and help."""

from __future__ import annotations

from msgspec.structs import replace

from folder.window import theme
from folder.window.commands.look import turn_to
from folder.window.commands.table import COMMANDS, DRAWING
from folder.window.editor import Editor
from folder.window.view_state import PAGES
from folder.window.widgets import Pane, Ui, button, tabs, text_field

BUTTONS = (
    ("undo", "undo"), ("redo", "redo"), ("start", "grid"), ("open", "open"), ("save", "save"), ("help", "help"),
)  # fmt: skip
LEAST_NAME_W, MOST_NAME_W = 120.0, 250.0
PAGE_PAD = 15.0
"""Beside the word of a page, at its left and right."""


def top_bar(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The bar."""
    side = 38.0 if pane.w < 900 else 42.0
    right, pane = pane.cut_right(len(BUTTONS) * (side + 4) - 4, 14)
    pages_w = sum(ui.display_list.text_w(word, "body", True) + 2 * PAGE_PAD + 4 for word in PAGES.values())
    name_w = min(max(pane.w - pages_w - 14, LEAST_NAME_W), MOST_NAME_W + _state_w(ui))
    name, pane = pane.cut_left(name_w, 14)
    _name(ui, name, editor)
    # The words stand in the middle of what is free, as wide as they are alike.
    words = {str(page): word for page, word in PAGES.items()}
    tips: dict[str, str] = {page: COMMANDS[f"page-{page}"].tip for page in PAGES}
    row = pane.centred(min(pane.w, pages_w * 1.25), pane.h)
    picked = tabs(ui, "page", row, words, editor.state.page, tips=tips)
    for page in PAGES:
        if page == picked:
            turn_to(editor, page)
    drawing = editor.state.page in DRAWING
    for (command, icon), cell in zip(BUTTONS, right.columns(len(BUTTONS), 4), strict=True):
        can = {"undo": bool(editor.document.past) and drawing, "redo": bool(editor.document.future) and drawing}.get(
            command, True
        )
        if button(ui, command, cell, icon=icon, enabled=can, tip=COMMANDS[command].tip):
            COMMANDS[command].do(editor)


def _state_w(ui: Ui) -> float:
    return max(ui.display_list.text_w(word, "small") for word in ("not saved", "saved")) + 14


def _name(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The name, and whether the work is saved, where there is room for it."""
    document = editor.document
    state = "saved" if document.is_saved and document.path else "not saved"
    if document.is_saved and document.path is None:
        state = ""
    state_w = _state_w(ui)
    field, rest = pane.cut_left(pane.w - state_w, 8) if pane.w >= LEAST_NAME_W + state_w else (pane, None)
    name = text_field(ui, "name", field, document.pattern.name, longest=60, wrong=_wrong_name, tip="The name of this hull")
    if name != document.pattern.name:
        editor.edit(lambda pattern: replace(pattern, name=name))
    if rest is not None:
        ui.display_list.text(state, rest, "small", colour=theme.SOFT_INK)


def _wrong_name(text: str) -> str:
    return "" if text.strip() else "Give it a name."
