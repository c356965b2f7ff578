"""A drawing made once and kept as long as it stays the same; a large one is made over several frames."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pygame
from msgspec import Struct

from folder.window.widgets.renderer import Renderer

Draw = Callable[[pygame.Surface], Iterator[int] | None]
"""Makes a drawing on a surface; what it yields is how much it has drawn since the last time, in marks."""


class _Making(Struct):
    """A drawing that is being made."""

    key: object
    surface: pygame.Surface
    parts: Iterator[int]


class PaintLayer:
    """A drawing made once and kept as long as it stays the same."""

    def __init__(self) -> None:
        self._kept: tuple[object, pygame.Surface] | None = None
        self._making: _Making | None = None

    def show(self, surface: pygame.Surface, rect: pygame.Rect, key: object, draw: Draw, within: Renderer | None = None) -> None:
        """Lay the drawing on a rectangle; `draw` makes it on a surface of that size when the key or the size changed.

        `within` a frame that has no time for the whole of it, what was there before stays until all is there. What has been begun is
        brought to its end first, so that a hand that moves on and on sees something.
        """
        if self._kept is None or self._kept[0] != key or self._kept[1].get_size() != rect.size:
            if not self._made(rect.size, key, draw, within) and within is not None:
                within.unfinished.append(pygame.Rect(rect))
        else:
            self._making = None
        if self._kept is not None and self._kept[1].get_size() == rect.size:
            surface.blit(self._kept[1], rect)
        elif self._making is not None:
            surface.blit(self._making.surface, rect)

    def _made(self, size: tuple[int, int], key: object, draw: Draw, within: Renderer | None) -> bool:
        """Go on with it as long as the frame has time. Whether the drawing of this key is whole."""
        if self._making is not None and self._making.surface.get_size() == size and not self._finished(self._making, within):
            return False
        if self._kept is None or self._kept[0] != key or self._kept[1].get_size() != size:
            fresh = pygame.Surface(size)
            self._making = _Making(key, fresh, draw(fresh) or iter(()))
            return self._finished(self._making, within)
        return True

    def _finished(self, making: _Making, within: Renderer | None) -> bool:
        for count in making.parts:
            if within is not None:
                within.marks_left -= count
                if within.marks_left <= 0:
                    return False
        self._kept, self._making = (making.key, making.surface), None
        return True
