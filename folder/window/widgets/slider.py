"""A slider: a number between two ends, set by hand."""

from __future__ import annotations

import pygame

from folder.window import theme
from folder.window.widgets.pane import Pane
from folder.window.widgets.ui import Ui

THUMB = 12
"""Radius of what the hand holds."""


def slider(
    ui: Ui, name: str, pane: Pane, value: float, low: float, high: float, *, step: float = 0.0, ticks: int = 0,
    enabled: bool = True, tip: str = "",
) -> float:  # fmt: skip
    """The value now, a whole number of steps from `low` if there is a step; `ticks` marks along the track.

    Arrow keys go by a step (or a hundredth), page keys by a tenth, Home and End to the ends.
    """
    record = ui.place(name, pane, "slider", value=value, enabled=enabled, tip=tip)
    span = high - low
    track = pane.inset(THUMB + 1, 0)
    to = value
    dragged = ui.event is not None and ui.event.type in (pygame.MOUSEBUTTONDOWN, pygame.MOUSEMOTION)
    if dragged and record.held and ui.pointer.button == 1 and track.w > 0:
        to = low + span * (ui.pointer.at[0] - track.x) / track.w
    right, down = ui.arrow(record)
    to += (right - down) * (step or span / 100)
    key = ui.key(record)
    tenth = span / 10
    by_key = {pygame.K_PAGEUP: to + tenth, pygame.K_PAGEDOWN: to - tenth, pygame.K_HOME: low, pygame.K_END: high}
    if key in by_key:
        to = by_key[key]
        ui.take()
    if to != value:
        to = low + round((to - low) / step) * step if step else to
        value = min(max(to, low), high)
        ui.mark(record, value)
    if ui.drawing:
        y = pane.middle[1]
        x = track.x + track.w * min(max((value - low) / span, 0.0), 1.0) if span else track.x
        for i in range(ticks):
            at = track.x + track.w * i / max(ticks - 1, 1)
            ui.display_list.line((at, y - 11), (at, y + 11), theme.EDGE)
        hollow = theme.TRAY if enabled else theme.FADED
        ui.display_list.plate(Pane(track.x - 4, y - 4, track.w + 8, 8), hollow, theme.EDGE, radius=4)
        ui.display_list.plate(Pane(track.x - 4, y - 3, x - track.x + 4, 6), record.ink, radius=3)
        ui.display_list.dot((x, y), THUMB, record.ink)
        ui.display_list.dot((x, y), THUMB - 2, record.ground)
        if ui.shows_focus(record):
            ui.display_list.ring(Pane(x - THUMB, y - THUMB, 2 * THUMB, 2 * THUMB), THUMB)
    return value
