"""A picture shown in a pane: fitted, painted once, kept while it stays the same."""

from __future__ import annotations

import math
from collections.abc import Iterator

import pygame

from folder.draw.picture import Picture
from folder.window import theme
from folder.window.background.identity import IdentityKey
from folder.window.paint.layer import PaintLayer
from folder.window.paint.surface import painted_in_parts
from folder.window.theme import Rgb
from folder.window.viewport import Viewport
from folder.window.widgets import Pane, Ui

PX_PER_MM = 4.0
"""Logical px to a mm of a picture that is laid out for the screen: text of 12 pt is 17 px."""


def show_picture(
    ui: Ui, name: str, pane: Pane, picture: Picture, *, key: object = None, ground: Rgb = theme.PAPER, pen: float = 0.6,
    zoom: float | None = None,
) -> None:  # fmt: skip
    """Show a picture, as large as the pane lets it be, or `zoom` logical px to its mm, with its upper left corner in the pane's.

    `key` says when it is another one; without it, the picture itself does. `pen` is how thick lines are, over their usual.
    """
    cache: PaintLayer = ui.memory(name, PaintLayer)
    known = (IdentityKey(picture) if key is None else key, pane.w, pane.h, ui.scale, ground)

    renderer = ui.display_list.renderer

    def made(surface: pygame.Surface) -> Iterator[int]:
        surface.fill(ground)
        width, height = surface.get_size()
        if zoom is None:
            viewport = Viewport.fit(picture.box, 0, 0, width, height, margin_px=3 * ui.scale)
        else:
            times = zoom * ui.scale
            viewport = Viewport(times, (-times * picture.box.left, times * picture.box.top))
        return painted_in_parts(surface, picture, viewport, renderer.glyph_cache, pen * PX_PER_MM * ui.scale)

    if pane.w >= 1 and pane.h >= 1 and math.isfinite(pane.w + pane.h):
        ui.display_list.custom(pane, known, lambda surface, rect: cache.show(surface, rect, known, made, renderer))
