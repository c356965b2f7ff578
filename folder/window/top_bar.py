"""The bar along the top: the name of the work, files, undo, the size of letters, the keys."""

from __future__ import annotations

from msgspec.structs import replace

from folder.window import theme
from folder.window.commands.files import set_scale
from folder.window.commands.table import COMMANDS, SCALES
from folder.window.editor import Editor
from folder.window.widgets import Pane, Ui, button, button_w, drop_down, text_field

BUTTONS = (
    ("start", "Start", "grid"), ("open", "Open", "open"), ("save", "Save", "save"), ("undo", "Undo", "undo"),
    ("redo", "Redo", "redo"), ("keys", "Keys", "help"),
)  # fmt: skip
LEAST_NAME_W = 170
SIZES = {f"{scale:g}": f"{scale * 100:.0f} %" for scale in SCALES}


def top_bar(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The bar."""
    size, pane = pane.cut_right(106, 8)
    picked = drop_down(ui, "size", size, SIZES, f"{editor.memory.scale:g}", tip="Size of letters and buttons")
    set_scale(editor, float(picked))
    widths = [button_w(ui, word, icon) for _, word, icon in BUTTONS]
    words = sum(widths) + 6 * len(BUTTONS) + LEAST_NAME_W + 130 <= pane.w
    if not words:
        widths = [44.0] * len(BUTTONS)
    x = pane.right
    places = []
    for width in reversed(widths):
        x -= width
        places.append(Pane(x, pane.y, width, pane.h))
        x -= 6
    for (name, word, icon), place in zip(BUTTONS, reversed(places), strict=True):
        can = {"undo": bool(editor.document.past), "redo": bool(editor.document.future)}.get(name, True)
        if button(ui, name, place, word if words else "", icon=icon, enabled=can, tip=COMMANDS[name].tip):
            COMMANDS[name].do(editor)
    _name(ui, Pane(pane.x, pane.y, x - pane.x - 4, pane.h), editor)


def _name(ui: Ui, pane: Pane, editor: Editor) -> None:
    state = "saved" if editor.document.is_saved and editor.document.path else "not saved yet"
    if editor.document.is_saved and editor.document.path is None:
        state = "" if editor.document.pattern.creases else "empty sheet"
    state_w = max(ui.display_list.text_w(word, "small") for word in ("not saved yet", "empty sheet")) + 6
    field, rest = pane.cut_left(min(max(pane.w - state_w - 8, 90), 300), 8)
    name = text_field(ui, "name", field, editor.document.pattern.name, longest=60, wrong=_wrong_name, tip="The name of this hull")
    if name != editor.document.pattern.name:
        editor.edit(lambda pattern: replace(pattern, name=name))
    if ui.display_list.text_w(state, "small") <= rest.w:
        ui.display_list.text(state, rest, "small", colour=theme.SOFT_INK)


def _wrong_name(text: str) -> str:
    return "" if text.strip() else "Give it a name."
