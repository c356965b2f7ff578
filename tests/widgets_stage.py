"""A stage to try widgets on: a small window without a screen, with events played by name."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

import pygame
from pygame.event import Event

from folder.window.widgets import Ui, frame
from tests import user_input


class Stage:
    """A page shown on a surface. `play` takes events, or lists of them, and makes a frame of each."""

    def __init__(self, view: Callable[[Ui], Any], size: tuple[int, int] = (640, 480), scale: float = 1.0) -> None:
        pygame.font.init()
        self.view, self.surface, self.ui = view, pygame.Surface(size), Ui(scale)
        self.wait(0)

    def wait(self, seconds: float) -> bool:
        """Let time pass; whether anything was drawn."""
        return frame(self.ui, self.view, [], seconds, self.surface)

    def play(self, *steps: Event | Iterable[Event]) -> None:
        """One frame for each step."""
        for step in steps:
            events = [step] if isinstance(step, Event) else list(step)
            frame(self.ui, self.view, events, 1.0, self.surface)

    def press(self, name: str, times: int = 1, button: int = 1) -> None:
        """Press a widget."""
        self.play(user_input.press(self.ui, name, times, button))

    def keys(self, *keys: str) -> None:
        """Press keys, one frame each."""
        self.play(*(user_input.key(key) for key in keys))

    def type(self, text: str) -> None:
        """Type a text."""
        self.play(user_input.typed(text))

    def pixels(self) -> bytes:
        """What is seen."""
        return pygame.image.tobytes(self.surface, "RGB")
