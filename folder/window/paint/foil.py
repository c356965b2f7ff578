"""The picture of a folded sheet painted on a surface: whole in its frame, its lines as thick as its size asks for."""

from __future__ import annotations

from collections.abc import Iterator

import pygame

from folder.draw.hull.light import GROUND
from folder.draw.picture import Box, Picture
from folder.window.paint.surface import PEN_PX, painted_in_parts
from folder.window.theme import rgb
from folder.window.viewport import Viewport
from folder.window.widgets.glyph_cache import GlyphCache

MARGIN = 0.045
"""Room on each side, over the size of the surface: a shadow is soft."""
_USUAL_PX = 360.0
"""In a picture this large lines are as thick as on paper, seen from as near as a hand holds it."""


def frame_viewport(frame: Box, size: tuple[float, float]) -> Viewport:
    """The viewport that shows a frame whole in the middle of a surface."""
    width, height = size
    margin = MARGIN * min(width, height)
    zoom = min((width - 2 * margin) / frame.width, (height - 2 * margin) / frame.height)
    zoom = max(zoom, 1e-3)
    x, y = frame.middle
    return Viewport(zoom, (width / 2 - zoom * x, height / 2 + zoom * y))


def pen_px(size: tuple[float, float], scale: float) -> float:
    """Physical px to a mm of line width in a picture of a size."""
    return PEN_PX * scale * min(max(min(size) / (_USUAL_PX * scale), 0.4), 1.1) * 0.8


def paint_foil(
    surface: pygame.Surface,
    picture: Picture,
    glyph_cache: GlyphCache,
    scale: float,
    frame: Box | None = None,
    *,
    ground: str | None = GROUND,
) -> None:
    """Paint a picture of a folded sheet on a ground, or over what is there; `frame` is what stays in sight, by default its box."""
    for _ in foil_in_parts(surface, picture, glyph_cache, scale, frame, ground=ground):
        pass


def foil_in_parts(
    surface: pygame.Surface,
    picture: Picture,
    glyph_cache: GlyphCache,
    scale: float,
    frame: Box | None = None,
    *,
    ground: str | None = GROUND,
) -> Iterator[int]:
    """The same, in parts where it is large."""
    if ground is not None:
        surface.fill(rgb(ground))
    size = surface.get_size()
    yield from painted_in_parts(surface, picture, frame_viewport(frame or picture.box, size), glyph_cache, pen_px(size, scale))
