"""The renderer: draws on a surface, in logical pixels at a scale. What is drawn is decided by the display list.

Smooth shapes are made a few times too large and shrunk, over a hidden ground of their own colour: no dark fringes.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Literal

import pygame

from folder.window import theme
from folder.window.theme import Rgb, Size
from folder.window.widgets.glyph_cache import GlyphCache
from folder.window.widgets.icon import ICONS
from folder.window.widgets.pane import Pane

Align = Literal["left", "middle", "right"]
Place = tuple[float, float]
MARKS_A_FRAME = 1200
"""So many marks of large drawings are drawn in a frame: some 50 ms."""
KEPT_SHAPES = 500
"""So many discs and icons are kept before all are dropped: a page has some 60, and each size of letters its own."""
FINE = 4
"""How many times too large smooth shapes are made."""


class Renderer:
    """Draws on `surface` at `scale` physical px to a logical one. Shapes once made are kept."""

    def __init__(self) -> None:
        self.glyph_cache = GlyphCache()
        self.scale = 1.0
        self.surface = pygame.Surface((1, 1))
        self.contrasts: list[float] | None = None
        """Where the least contrast of each text drawn with its ground is noted, if asked for (slow: for tests)."""
        self.marks_left = MARKS_A_FRAME
        """How much more of large drawings this frame has time for."""
        self.unfinished: list[pygame.Rect] = []
        """Where drawings lie that are not whole yet: the next frame goes on with them."""
        self._shapes: dict[object, pygame.Surface] = {}

    def rect(self, pane: Pane) -> pygame.Rect:
        """The physical pixels of a pane; neighbours share a side without a gap."""
        left, top = round(pane.x * self.scale), round(pane.y * self.scale)
        return pygame.Rect(left, top, round(pane.right * self.scale) - left, round(pane.bottom * self.scale) - top)

    def px(self, length: float) -> int:
        """A length in physical px, at least one."""
        return max(round(length * self.scale), 1)

    def fill(self, pane: Pane, colour: Rgb) -> None:
        """A plain rectangle."""
        self.surface.fill(colour, self.rect(pane))

    def line(self, pane: Pane, colour: Rgb, width: float) -> None:
        """An upright or level line, from corner to corner of a pane of no width or no height."""
        thick, r = self.px(width), self.rect(pane)
        self.surface.fill(colour, (r.left - thick // 2, r.top - thick // 2, r.w + thick, r.h + thick))

    def plate(self, pane: Pane, fill: Rgb, edge: Rgb | None, width: float, radius: float, ear: bool, round_below: bool) -> None:
        """A rounded card, with an edge; with `ear`, its upper right corner is turned down."""
        r, line, rad = self.rect(pane), self.px(width), self.px(radius)
        if r.w < 2 or r.h < 2:
            return
        turned = min(self.px(theme.EAR), r.w // 2, r.h // 2) if ear else 0
        if edge is None or turned:
            self._rounded(r, edge or fill, rad, turned, round_below)
        if edge is not None and turned:
            self._rounded(r.inflate(-2 * line, -2 * line), fill, max(rad - line, 0), max(turned - 2 * line, 0), round_below)
        elif edge is not None:
            self._rounded(r.inflate(-2 * (line // 2), -2 * (line // 2)), fill, rad, 0, round_below)
            self._frame(r, edge, rad, line, round_below)
        if turned:
            flap = self._filled(((0, 0), (0, turned), (turned, turned)), turned, edge or theme.INK)
            self.surface.blit(flap, (r.right - turned, r.top))

    def ring(self, pane: Pane, radius: float) -> None:
        """The focus ring, around a pane."""
        away = self.px(theme.RING) + self.px(1)
        r = self.rect(pane).inflate(2 * away, 2 * away)
        self._frame(r, theme.FOCUS, self.px(radius) + away, self.px(theme.RING), True)

    def dot(self, middle: Place, radius: float, colour: Rgb) -> None:
        """A filled circle."""
        rad = self.px(radius)
        x, y = middle
        self.surface.blit(self._disc(rad, colour), (round(x * self.scale) - rad, round(y * self.scale) - rad))

    def icon(self, name: str, middle: Place, colour: Rgb, size: float) -> None:
        """A drawing of `icon.ICONS` about a point."""
        side = self.px(size)
        image = self._kept((name, side, colour), lambda: _stroked(name, side, colour))
        x, y = middle
        self.surface.blit(image, (round(x * self.scale - side / 2), round(y * self.scale - side / 2)))

    def veil(self, pane: Pane, colour: Rgb, alpha: int) -> None:
        """A colour laid thinly over all that is there."""
        r = self.rect(pane).clip(self.surface.get_clip())
        thin = pygame.Surface(r.size)
        thin.fill(colour)
        thin.set_alpha(alpha)
        self.surface.blit(thin, r)

    def text(self, pane: Pane, text: str, size: Size, bold: bool, colour: Rgb, align: Align, wrap: bool, top: bool) -> None:
        """Text inside a pane, in the middle of its height unless `top`."""
        px = self.px(theme.SIZES[size])
        lines, _ = self.layout(pane, text, size, bold, wrap)
        step = theme.SIZES[size] * theme.LEADING
        y = pane.y if top else pane.y + (pane.h - step * len(lines)) / 2
        drop = (step * self.scale - self.glyph_cache.face(px, bold).get_height()) / 2
        for line in lines:
            image = self.glyph_cache.drawn(line, px, bold, colour)
            spare = pane.w * self.scale - image.get_width()
            x = pane.x * self.scale + {"left": 0.0, "middle": spare / 2, "right": spare}[align]
            self._text_image(image, (round(x), round(y * self.scale + drop)), colour)
            y += step

    def strip(self, pane: Pane, text: str, shift_px: float, colour: Rgb) -> None:
        """One line of body text, moved to the left by some physical px, as a field shows it."""
        image, r = self.glyph_cache.drawn(text, self.px(theme.SIZES["body"]), False, colour), self.rect(pane)
        self._text_image(image, (r.left - round(shift_px), r.top + (r.h - image.get_height()) // 2), colour)

    def layout(self, pane: Pane, text: str, size: Size, bold: bool, wrap: bool) -> tuple[list[str], bool]:
        """The lines a text makes in a pane, and whether it had to be cut."""
        px, width = self.px(theme.SIZES[size]), int(pane.w * self.scale + 0.5)
        whole = self.glyph_cache.wrap(text, px, bold, width) if wrap else [text]
        room = max(int(pane.h / (theme.SIZES[size] * theme.LEADING) + 0.05), 1)
        lines = whole[:room]
        if len(whole) > room:
            lines[-1] += "…"
        lines = [self.glyph_cache.shorten(line, px, bold, width) for line in lines]
        return lines, lines != whole or pane.h + 2 < theme.SIZES[size]

    def custom(self, pane: Pane, draw: Callable[[pygame.Surface, pygame.Rect], None]) -> None:
        """Whatever a function draws into the physical rectangle of a pane."""
        draw(self.surface, self.rect(pane))

    def _text_image(self, image: pygame.Surface, at: tuple[int, int], colour: Rgb) -> None:
        inside = image.get_rect(topleft=at).clip(self.surface.get_clip())
        if self.contrasts is not None and inside.w and inside.h:
            across = [inside.left + (inside.w - 1) * i // 12 for i in range(13)]
            down = [inside.top + (inside.h - 1) * i // 4 for i in (1, 2, 3)]
            grounds = {tuple(self.surface.get_at((x, y)))[:3] for x in across for y in down}
            self.contrasts.append(min(theme.contrast_ratio(colour, (r, g, b)) for r, g, b in grounds))
        self.surface.blit(image, at)

    def _rounded(self, r: pygame.Rect, colour: Rgb, radius: int, ear: int, round_below: bool) -> None:
        """Fill a rectangle with round corners; the upper right one is left out as a square of side `ear`."""
        if ear:
            strip, rest = pygame.Rect(r.left, r.top, r.w - ear, ear), pygame.Rect(r.left, r.top + ear, r.w, r.h - ear)
            self._corners(strip, colour, min(radius, ear), (True, False, False, False))
            self._corners(rest, colour, radius, (False, False, round_below, round_below))
        else:
            rad = min(radius, r.w // 2, r.h // 2)
            self._corners(r, colour, rad, (True, True, round_below, round_below))

    def _corners(self, r: pygame.Rect, colour: Rgb, rad: int, rounded: tuple[bool, bool, bool, bool]) -> None:
        """Fill a rectangle, chosen corners round: upper left, upper right, lower left, lower right."""
        if rad < 1:
            self.surface.fill(colour, r)
            return
        disc = self._disc(rad, colour)
        self.surface.fill(colour, (r.left + rad, r.top, r.w - 2 * rad, r.h))
        for side, left in ((0, r.left), (1, r.right - rad)):
            top, bottom = r.top, r.bottom
            if rounded[side]:
                self.surface.blit(disc, (left, top), (side * rad, 0, rad, rad))
                top += rad
            if rounded[2 + side]:
                bottom -= rad
                self.surface.blit(disc, (left, bottom), (side * rad, rad, rad, rad))
            self.surface.fill(colour, (left, top, rad, bottom - top))

    def _frame(self, r: pygame.Rect, colour: Rgb, radius: int, line: int, round_below: bool) -> None:
        """The edge of a rectangle with round corners; square ones below if so asked."""
        rad = min(radius, r.w // 2, r.h // 2)
        disc, foot = self._disc(rad, colour, line), rad if round_below else 0
        for x, left in ((0, r.left), (rad, r.right - rad)):
            self.surface.blit(disc, (left, r.top), (x, 0, rad, rad))
            if round_below:
                self.surface.blit(disc, (left, r.bottom - rad), (x, rad, rad, rad))
        for bar in (
            (r.left + rad, r.top, r.w - 2 * rad, line), (r.left + foot, r.bottom - line, r.w - 2 * foot, line),
            (r.left, r.top + rad, line, r.h - rad - foot), (r.right - line, r.top + rad, line, r.h - rad - foot),
        ):  # fmt: skip
            self.surface.fill(colour, bar)

    def _disc(self, rad: int, colour: Rgb, width: int = 0) -> pygame.Surface:
        """A disc, or a ring of some width, of radius `rad` physical px."""

        def made() -> pygame.Surface:
            big = _blank(2 * rad * FINE, colour)
            pygame.draw.circle(big, (*colour, 255), (rad * FINE, rad * FINE), rad * FINE, width * FINE)
            return pygame.transform.smoothscale(big, (2 * rad, 2 * rad))

        return self._kept((rad, colour, width), made)

    def _filled(self, points: Sequence[Place], side: int, colour: Rgb) -> pygame.Surface:
        """A polygon in a square of some physical px."""

        def made() -> pygame.Surface:
            big = _blank(side * FINE, colour)
            pygame.draw.polygon(big, (*colour, 255), [(x * FINE, y * FINE) for x, y in points])
            return pygame.transform.smoothscale(big, (side, side))

        return self._kept((points, side, colour), made)

    def _kept(self, key: object, make: Callable[[], pygame.Surface]) -> pygame.Surface:
        if key not in self._shapes:
            if len(self._shapes) >= KEPT_SHAPES:
                self._shapes.clear()
            self._shapes[key] = make()
        return self._shapes[key]


def _blank(side: int, colour: Rgb) -> pygame.Surface:
    """A clear square whose hidden colour is the one to come, so that shrinking mixes in nothing dark."""
    surface = pygame.Surface((side, side), pygame.SRCALPHA)
    surface.fill((*colour, 0))
    return surface


def _stroked(name: str, side: int, colour: Rgb) -> pygame.Surface:
    """An icon: strokes with round ends and joins."""
    big = _blank(side * FINE, colour)
    unit, ink = side * FINE / 24, (*colour, 255)
    for stroke in ICONS[name]:
        points = [(x * unit, y * unit) for x, y in stroke]
        half = unit * (1.0 if len(points) > 1 else 1.6)
        for start, end in pairwise(points):
            along = pygame.Vector2(end) - pygame.Vector2(start)
            aside = pygame.Vector2(-along.y, along.x)
            if aside.length_squared() > 0:
                aside.scale_to_length(half)
                pygame.draw.polygon(big, ink, [start + aside, end + aside, end - aside, start - aside])
        for point in points:
            pygame.draw.circle(big, ink, point, half)
    return pygame.transform.smoothscale(big, (side, side))
