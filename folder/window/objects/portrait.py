"""The picture of an object in a pane."""

from __future__ import annotations

from folder.cargo.item import Item
from folder.draw.object_picture import object_picture
from folder.window import theme
from folder.window.paint.shown import show_picture
from folder.window.theme import Rgb
from folder.window.widgets import Pane, Ui


def portrait(ui: Ui, name: str, pane: Pane, item: Item, ground: Rgb = theme.PAPER) -> None:
    """Show what an object looks like."""
    show_picture(ui, name, pane, object_picture(item), key=(item.shape, item.size_mm, item.group), ground=ground, pen=0.55)
