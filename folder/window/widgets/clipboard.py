"""Where cut and copied text goes: the system's clipboard, or one of the program alone."""

from __future__ import annotations

from typing import Protocol

import pygame


class Clipboard(Protocol):
    """Holds one text."""

    def get(self) -> str:
        """The text held."""

    def put(self, text: str) -> None:
        """Hold this text."""


class OwnClipboard:
    """A clipboard of the program alone, for tests and where the system has none."""

    def __init__(self) -> None:
        self._text = ""

    def get(self) -> str:
        """The text held."""
        return self._text

    def put(self, text: str) -> None:
        """Hold this text."""
        self._text = text


class SystemClipboard(OwnClipboard):
    """The system's clipboard once there is a window; what was copied here is still held when the system fails."""

    def get(self) -> str:
        """The text held."""
        try:
            return pygame.scrap.get_text()
        except pygame.error:
            return super().get()

    def put(self, text: str) -> None:
        """Hold this text."""
        super().put(text)
        try:
            pygame.scrap.put_text(text)
        except pygame.error:
            return
