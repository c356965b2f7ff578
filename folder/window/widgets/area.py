"""An area the page draws itself, such as the sheet: a widget that tells all the pointer and the keys do to it."""

from __future__ import annotations

import pygame
from msgspec import Struct

from folder.window.widgets.pane import Pane
from folder.window.widgets.record import WidgetRecord
from folder.window.widgets.ui import Ui


class Touch(Struct, frozen=True):
    """What one pass does to an area. Buttons: 1 left, 2 middle, 3 right, 0 none."""

    record: WidgetRecord
    at: tuple[float, float]
    """The pointer, logical px in the window; also outside the area while a button is held."""
    over: bool
    """The pointer is over it and holds nothing else."""
    down: int
    """The button that goes down on it in this pass."""
    held: int
    """The button that is down, after having gone down on it."""
    up: int
    """The button that comes up in this pass, after having gone down on it."""
    clicks: int
    """Which press in a row this is: 2 for a double press."""
    wheel: float
    """How far the wheel turns, upward positive."""


def touch_area(ui: Ui, name: str, pane: Pane, *, text: str = "", tip: str = "", stops: bool = True) -> Touch:
    """Place an area. The page draws it; keys for it are asked with `ui.arrow(touch.record)`, `ui.key(touch.record)`."""
    record = ui.place(name, pane, "area", text=text, wheel=True, tip=tip, stops=stops)
    event, pointer = ui.event, ui.pointer
    kind = event.type if event is not None else 0
    mine = pointer.button if record.held else 0
    starts = event is not None and kind == pygame.MOUSEBUTTONDOWN and mine == event.button
    ends = event is not None and kind == pygame.MOUSEBUTTONUP and mine == event.button
    return Touch(
        record, pointer.at, record.hovered, mine if starts else 0, mine, mine if ends else 0, pointer.clicks,
        ui.wheel(name),
    )  # fmt: skip
