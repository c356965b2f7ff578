"""A thin immediate-mode widget layer of our own: drawing and events, nothing of hulls.

A page is a function that calls widgets by name and keeps what they return:

    def page(ui: Ui) -> None:
        if button(ui, "save", pane, "Save"):
            ...
        state.width_mm = number_field(ui, "width", pane, state.width_mm, unit="mm")

    frame(ui, page, pygame.event.get(), dt_s, surface)
"""

from folder.window.widgets.area import Touch, area
from folder.window.widgets.clipboard import Clipboard, OwnClipboard, SystemClipboard
from folder.window.widgets.dialog import Card, dialog
from folder.window.widgets.field import number_field, number_text, text_field
from folder.window.widgets.frame import frame
from folder.window.widgets.message import label, notice
from folder.window.widgets.pane import Pane
from folder.window.widgets.part import part
from folder.window.widgets.pen import Pen
from folder.window.widgets.pick import drop_down
from folder.window.widgets.press import button, button_w, check, choice, focus_ring, tabs, toggle
from folder.window.widgets.scroll import scroll
from folder.window.widgets.slider import slider
from folder.window.widgets.spot import Spot
from folder.window.widgets.table import Column, Pick, table
from folder.window.widgets.tiles import Tile, strip, tiles
from folder.window.widgets.ui import Message, Ui

__all__ = [
    "Card", "Clipboard", "Column", "Message", "OwnClipboard", "Pane", "Pen", "Pick", "Spot", "SystemClipboard",
    "Tile", "Touch", "Ui",
    "area", "button", "button_w", "check", "choice", "dialog", "drop_down", "focus_ring", "frame", "label", "notice",
    "number_field", "number_text", "part", "scroll", "slider", "strip", "table", "tabs", "text_field", "tiles", "toggle",
]  # fmt: skip
