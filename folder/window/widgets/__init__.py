"""A thin immediate-mode widget layer of our own: drawing and events, nothing of hulls.

A page is a function that calls widgets by name and keeps what they return:

    def page(ui: Ui) -> None:
        if button(ui, "save", pane, "Save"):
            ...
        state.width_mm = number_field(ui, "width", pane, state.width_mm, unit="mm")

    frame(ui, page, pygame.event.get(), dt_s, surface)
"""

from folder.window.widgets.area import Touch, touch_area
from folder.window.widgets.buttons import button, button_w, check, choice, focus_ring, tabs, toggle
from folder.window.widgets.clipboard import Clipboard, OwnClipboard, SystemClipboard
from folder.window.widgets.dialog import Card, dialog
from folder.window.widgets.display_list import DisplayList
from folder.window.widgets.drop_down import drop_down
from folder.window.widgets.field import draft, number_field, number_text, text_field
from folder.window.widgets.frame import frame
from folder.window.widgets.memo import memo
from folder.window.widgets.message import label, notice
from folder.window.widgets.pane import Pane
from folder.window.widgets.record import WidgetRecord
from folder.window.widgets.scroll import scroll
from folder.window.widgets.slider import slider
from folder.window.widgets.table import Column, Selection, table
from folder.window.widgets.tiles import Tile, strip, tiles
from folder.window.widgets.ui import Message, Ui

__all__ = [
    "Card",
    "Clipboard",
    "Column",
    "DisplayList",
    "Message",
    "OwnClipboard",
    "Pane",
    "Selection",
    "SystemClipboard",
    "Tile",
    "Touch",
    "Ui",
    "WidgetRecord",
    "button",
    "button_w",
    "check",
    "choice",
    "dialog",
    "draft",
    "drop_down",
    "focus_ring",
    "frame",
    "label",
    "memo",
    "notice",
    "number_field",
    "number_text",
    "scroll",
    "slider",
    "strip",
    "table",
    "tabs",
    "text_field",
    "tiles",
    "toggle",
    "touch_area",
]  # fmt: skip
