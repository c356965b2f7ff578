"""The pointer: where it is, the widget under it, the widget it holds."""

from __future__ import annotations

import math

import pygame
from pygame.event import Event

from folder.window.widgets.record import WidgetRecord

AWAY = (-1.0, -1.0)
TWICE_S = 0.4
"""Two presses within this time, on one place, are a double press."""
TWICE_PX = 4


class Pointer:
    """hot: the name of the topmost widget under the pointer; active: the one a button went down on, until it goes up."""

    def __init__(self) -> None:
        self.at = AWAY
        self.hot = ""
        self.active = ""
        self.button = 0
        self.clicks = 0
        self._last_press: tuple[float, tuple[float, float]] = (-math.inf, AWAY)

    def hear(self, event: Event, scale: float) -> None:
        """Follow an event before its pass."""
        if event.type in (pygame.MOUSEMOTION, pygame.MOUSEBUTTONDOWN, pygame.MOUSEBUTTONUP):
            self.at = (event.pos[0] / scale, event.pos[1] / scale)
        elif event.type == pygame.WINDOWLEAVE and not self.active:
            self.at = AWAY
        elif event.type == pygame.WINDOWFOCUSLOST:
            self.active, self.button = "", 0

    def aim(self, records: dict[str, WidgetRecord]) -> bool:
        """Find the widget under the pointer: of the top layer alone, the last placed. Whether it is another one."""
        before, self.hot = self.hot, next((s.name for s in self.under(records) if s.pointed), "")
        return self.hot != before

    def wheel_target(self, records: dict[str, WidgetRecord]) -> str:
        """The topmost widget under the pointer that the wheel turns."""
        return next((s.name for s in self.under(records) if s.wheel), "")

    def under(self, records: dict[str, WidgetRecord]) -> list[WidgetRecord]:
        """The widgets of the top layer under the pointer, the topmost first."""
        top = max((s.layer for s in records.values()), default=0)
        return [s for s in reversed(records.values()) if s.layer == top and s.visible.holds(*self.at)]

    def press(self, event: Event, record: WidgetRecord | None, now_s: float) -> None:
        """A button goes down on a widget, or on none."""
        at_s, place = self._last_press
        twice = now_s - at_s <= TWICE_S and math.dist(place, self.at) <= TWICE_PX and event.button == 1
        self.clicks = self.clicks + 1 if twice else 1
        self._last_press = (now_s, self.at)
        if record is not None and record.enabled:
            self.active, self.button = record.name, event.button

    def release(self, event: Event) -> None:
        """After the pass of a button that goes up."""
        if event.button == self.button:
            self.active, self.button = "", 0
