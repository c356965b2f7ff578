"""Paint the pieces of a moment in the tub on a surface: polygons, see-through ones, lines with round ends."""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np
import pygame

from folder.draw.tub.moment import Facet, Mark
from folder.geometry.space import Floats
from folder.window.theme import rgb

FAR_PX = 1e5
"""Pieces that reach farther out are left out: nothing that is shown does."""


def paint_facets(
    surface: pygame.Surface, marks: Iterable[Mark], px_per_mm: float, origin: tuple[float, float], pen_px: float
) -> None:
    """Draw marks from back to front; `origin` is where the picture's 0, 0 lies, px; `pen_px` are the px to a mm of line width."""
    flip = np.array([px_per_mm, -px_per_mm])
    for mark in marks:
        points = mark.points * flip + origin
        if not len(points) or not np.isfinite(points).all() or np.abs(points).max() > FAR_PX:
            continue
        if not isinstance(mark, Facet):
            _line(surface, points, rgb(mark.colour), max(mark.width * pen_px, 1.0))
        elif mark.opacity < 1.0:
            _through(surface, points, mark)
        else:
            places = points.tolist()
            if len(places) > 2:
                pygame.draw.polygon(surface, rgb(mark.fill), places)
                pygame.draw.aalines(surface, rgb(mark.edge or mark.fill), True, places)


def _line(surface: pygame.Surface, points: Floats, colour: tuple[int, int, int], width: float) -> None:
    (x0, y0), (x1, y1) = points.tolist()
    length, reach = math.hypot(x1 - x0, y1 - y0), max(abs(x1 - x0), abs(y1 - y0))
    if length < 1e-6:
        return
    # The library measures the width along the farther axis, about the middles of pixels.
    thick = max(round(width * length / reach), 1)
    aside = 0.5 if thick % 2 else 1.0
    off_x, off_y = (0.5, aside) if abs(x1 - x0) >= abs(y1 - y0) else (aside, 0.5)
    pygame.draw.aaline(surface, colour, (x0 - off_x, y0 - off_y), (x1 - off_x, y1 - off_y), thick)
    if thick > 2:
        for x, y in ((x0, y0), (x1, y1)):
            pygame.draw.aacircle(surface, colour, (x - 0.5, y - 0.5), width / 2.0)


def _through(surface: pygame.Surface, points: Floats, facet: Facet) -> None:
    """A polygon that lets through what is behind it."""
    clip = surface.get_clip()
    low, high = np.floor(points.min(axis=0)).astype(int).tolist(), np.ceil(points.max(axis=0)).astype(int).tolist()
    box = pygame.Rect(low[0], low[1], high[0] - low[0] + 1, high[1] - low[1] + 1).clip(clip)
    if not box.w or not box.h:
        return
    veil = pygame.Surface(box.size, pygame.SRCALPHA)
    colour = (*rgb(facet.fill), round(255 * facet.opacity))
    places = (points - box.topleft).tolist()
    pygame.draw.polygon(veil, colour, places)
    if facet.edge:
        pygame.draw.aalines(veil, rgb(facet.edge), True, places)
    surface.blit(veil, box)
