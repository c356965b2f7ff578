"""A scroll area: a window onto something higher than itself. How high is found out from what is placed in it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import pygame
from msgspec import Struct

from folder.window import theme
from folder.window.widgets.pane import Pane
from folder.window.widgets.record import WidgetRecord
from folder.window.widgets.ui import Ui

BAR = 14
"""Width of the bar, kept free at the right whether it is needed or not, so that nothing jumps."""
MARGIN = 7
"""Room kept free around the content for the focus ring."""
NOTCH = 60
"""One notch of the wheel."""
ENDLESS = 1e6


class _Roll(Struct):
    """How far the content is rolled up, how high it is, and where the hand took hold of the bar."""

    top: float = 0.0
    content_h: float = 0.0
    grip: float = 0.0


@contextmanager
def scroll(ui: Ui, name: str, pane: Pane) -> Iterator[Pane]:
    """`with scroll(...) as inside:` lay out in `inside`, which has no end below."""
    roll = ui.memory(name, _Roll)
    most = max(roll.content_h - pane.h, 0.0)
    ui.place(name, pane, "scroll", stops=False, pointed=False, wheel=most > 0)
    roll.top = min(max(roll.top - NOTCH * ui.wheel(name), 0.0), most)
    inside = Pane(pane.x + MARGIN, pane.y + MARGIN - roll.top, pane.w - BAR - 2 * MARGIN, ENDLESS)
    ui.bounds.append(pane.meet(ui.bounds[-1]) if ui.bounds else pane)
    ui.reach.append(pane.y)
    first = len(ui.records)
    with ui.display_list.clip(pane):
        yield inside
    reached = ui.reach.pop() + MARGIN
    ui.bounds.pop()
    height = reached - pane.y + roll.top
    if abs(height - roll.content_h) > 0.5:
        roll.content_h, ui.unsettled, ui.changed = height, True, True
    _reveal(ui, pane, roll, list(ui.records)[first:])
    if most > 0:
        _bar(ui, name, pane, roll, most)


def _reveal(ui: Ui, pane: Pane, roll: _Roll, inside: list[str]) -> None:
    """Bring the widget the keys moved to into view."""
    target = ui.focus.reveal
    if not target or target not in inside:
        return
    record = ui.records[target]
    up, down = pane.y + MARGIN - record.pane.y, record.pane.bottom - pane.bottom + MARGIN
    by = -up if up > 0 else max(down, 0.0)
    if by:
        roll.top += by
        ui.unsettled = ui.changed = True
    ui.focus.reveal = ""


def _bar(ui: Ui, name: str, pane: Pane, roll: _Roll, most: float) -> None:
    """The bar: dragged by the hand, pressed beside it a page further."""
    track = Pane(pane.right - BAR, pane.y + 2, BAR, pane.h - 4)
    thumb_h = max(track.h * pane.h / roll.content_h, 28.0)
    free = max(track.h - thumb_h, 1.0)
    thumb = Pane(track.x, track.y + free * roll.top / most, BAR, thumb_h)
    record = ui.place(f"{name}/bar", track, "bar", value=roll.top, stops=False)
    y = ui.pointer.at[1]
    if ui.went_down(record):
        roll.grip = y - thumb.y if thumb.holds(*ui.pointer.at) else thumb_h / 2
    if record.held and ui.event is not None and ui.event.type in (pygame.MOUSEBUTTONDOWN, pygame.MOUSEMOTION):
        roll.top = min(max((y - roll.grip - track.y) / free * most, 0.0), most)
    _draw_bar(ui, record, track, thumb)


def _draw_bar(ui: Ui, record: WidgetRecord, track: Pane, thumb: Pane) -> None:
    if ui.drawing:
        if record.hovered:
            ui.display_list.plate(track.inset(2, 0), theme.TRAY, radius=5)
        colour = theme.INK if record.held else theme.SOFT_INK if record.hovered else theme.EDGE
        ui.display_list.plate(thumb.inset(3, 0), colour, radius=4)
