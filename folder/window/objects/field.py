"""The object in use, as a field that any page may show: press it to find another, type what your own weigh."""

from __future__ import annotations

from folder.window import theme
from folder.window.commands.files import open_dialog
from folder.window.editor import Editor
from folder.window.objects.commands import weigh_object
from folder.window.objects.portrait import portrait
from folder.window.objects.state import HEAVIEST_G
from folder.window.widgets import Pane, Ui, focus_ring, number_field

MASS_W, PICTURE_W = 118.0, 36.0
LEAST_W = 250.0
"""In less, and where a long name wants the room, the picture gives way to the name."""


def object_field(ui: Ui, area: Pane, editor: Editor, name: str = "object") -> float:
    """The field; the height it takes. `name` where one window shows two of them at once."""
    row = area.cut_top(theme.PRESS_H)[0]
    choice = editor.state.object_choice
    item = choice.item
    card, mass = row.cut_right(MASS_W, 6)[::-1]
    record = ui.place(name, card, "button", text="Object", value=choice.name, tip="Another object: by name, mass or shape (O)")
    if ui.drawing:
        edge = theme.INK if record.hovered else theme.EDGE
        ui.display_list.plate(card, record.ground, edge)
        mark, words = card.inset(8, 3).cut_right(20, 4)
        text = item.label if item is not None else "Choose an object"
        small_w = ui.display_list.text_w(text, "small", True)
        if item is not None and card.w >= LEAST_W - MASS_W and small_w <= words.w - PICTURE_W - 8:
            picture, words = words.cut_left(PICTURE_W, 8)
            portrait(ui, f"{name}/picture", picture, item, record.ground)
        size: theme.Size = "body" if ui.display_list.text_w(text, "body", True) <= words.w else "small"
        ui.display_list.text(text, words, size, bold=True, colour=theme.INK if item is not None else theme.STOP)
        ui.display_list.icon("down", mark.middle, theme.INK, 20)
        focus_ring(ui, record)
    if ui.fired(record):
        open_dialog(editor, "objects")
        ui.redraw()
    mass_g = None if item is None else item.mass_g
    weighed = number_field(
        ui, f"{name}/mass", mass, mass_g, unit="g", low=0.001, high=HEAVIEST_G, step=0.1, digits=3, empty="weigh it",
        enabled=item is not None, tip="The mass of one: weigh yours and type it",
    )  # fmt: skip
    if weighed != mass_g:
        weigh_object(editor, weighed)
        ui.redraw()
    return row.h
