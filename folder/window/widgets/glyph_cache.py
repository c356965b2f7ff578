"""Letters: text measured, wrapped, shortened and rendered in the bundled faces. Sizes are physical px here."""

from __future__ import annotations

from typing import Any

import pygame

from folder.window import theme
from folder.window.theme import Rgb

KEPT = 3000
"""So many measures of texts are remembered: a busy page has some 200 texts."""
KEPT_PX = 1_500_000
"""Texts of so many pixels together stay rendered, at four bytes each: a full window of letters twice as large has some 600,000."""
KEPT_FACES = 32
"""So many sizes of type stay loaded, at a sixth of a megabyte each: a page has some ten, a drawing that is zoomed has any."""


class GlyphCache:
    """The faces of type, with what has been measured and rendered so far."""

    def __init__(self) -> None:
        pygame.font.init()
        self._faces: dict[tuple[int, bool], pygame.font.Font] = {}
        self._widths: dict[tuple[str, int, bool], int] = {}
        self._wrapped: dict[tuple[str, int, bool, int], list[str]] = {}
        self._drawn: dict[tuple[str, int, bool, Rgb], pygame.Surface] = {}
        """The one asked for last stands last; so do the faces."""
        self._drawn_px = 0

    def face(self, px: int, bold: bool) -> pygame.font.Font:
        """The face of this size."""
        face = self._faces.pop((px, bold), None) or pygame.font.Font(str(theme.FONTS[bold]), px)
        self._faces[px, bold] = face
        if len(self._faces) > KEPT_FACES:
            del self._faces[next(iter(self._faces))]
        return face

    def width(self, text: str, px: int, bold: bool = False) -> int:
        """How wide a line of text is."""
        key = (text, px, bold)
        if key not in self._widths:
            _make_room(self._widths)
            self._widths[key] = self.face(px, bold).size(_plain(text))[0]
        return self._widths[key]

    def drawn(self, text: str, px: int, bold: bool, colour: Rgb) -> pygame.Surface:
        """A line of text on nothing. Not to be drawn on."""
        key = (text, px, bold, colour)
        image = self._drawn.pop(key, None)
        if image is None:
            image = self.face(px, bold).render(_plain(text), True, colour)
            self._drawn_px += image.width * image.height
        self._drawn[key] = image
        while self._drawn_px > KEPT_PX and len(self._drawn) > 1:
            oldest = self._drawn.pop(next(iter(self._drawn)))
            self._drawn_px -= oldest.width * oldest.height
        return image

    def wrap(self, text: str, px: int, bold: bool, width: int) -> list[str]:
        """The text in lines no wider than `width`: broken at spaces, and inside a word only where it must be."""
        key = (text, px, bold, width)
        if key not in self._wrapped:
            _make_room(self._wrapped)
            self._wrapped[key] = [line for part in text.split("\n") for line in self._wrap_one(part, px, bold, max(width, 1))]
        return self._wrapped[key]

    def shorten(self, text: str, px: int, bold: bool, width: int) -> str:
        """The text, or as much of its start as fits with three dots."""
        if self.width(text, px, bold) <= width:
            return text
        fits = self._fits(text, px, bold, width - self.width("…", px, bold))
        return text[:fits].rstrip() + "…"

    def _wrap_one(self, text: str, px: int, bold: bool, width: int) -> list[str]:
        lines, line = [], ""
        for word in text.split(" "):
            longer = f"{line} {word}" if line else word
            if self.width(longer, px, bold) <= width:
                line = longer
                continue
            if line:
                lines.append(line)
            while word and self.width(word, px, bold) > width:
                fits = max(self._fits(word, px, bold, width), 1)
                lines.append(word[:fits])
                word = word[fits:]
            line = word
        return [*lines, line]

    def _fits(self, text: str, px: int, bold: bool, width: int) -> int:
        """How many letters fit, by halving."""
        low, high = 0, len(text)
        while low < high:
            half = (low + high + 1) // 2
            if self.face(px, bold).size(_plain(text[:half]))[0] <= width:
                low = half
            else:
                high = half - 1
        return low


def _plain(text: str) -> str:
    """Without what the renderer refuses or cannot show: nulls, tabs, lone surrogates."""
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else " " for c in text)


def _make_room(kept: dict[Any, Any]) -> None:
    if len(kept) >= KEPT:
        kept.clear()
