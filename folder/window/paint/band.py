"""Bands: an oblique dashed line on a surface, each pixel inked by how much of it the dashes cover.

pygame's own lines end on a row or column and are a whole number of pixels thick along it, which makes dashes of a
crease ragged and dots of all shapes. Here both the ends and the sides of a dash are square to the line.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pygame

from folder.findings import Point
from folder.window.theme import Rgb


def band(surface: pygame.Surface, a: Point, b: Point, runs: Sequence[tuple[float, float]], width: float, colour: Rgb) -> None:
    """Ink the stretches `runs` (px along the line from a, in order, apart) of a line `width` px thick.

    A pixel's coverage is taken as the product of how much of it lies between the sides and how much between the ends,
    both as for a pixel turned along the line.
    """
    length = math.dist(a, b)
    clip = surface.get_clip()
    if not runs or length == 0 or not clip.w or not clip.h:
        return
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    steep = abs(uy) > abs(ux)
    # along the nearer axis one step per pixel; across it, as many rows as the band and its soft sides are high
    (u0, v0), (du, dv) = ((a[1], a[0]), (uy, ux)) if steep else ((a[0], a[1]), (ux, uy))
    ends = [u0 + du * runs[0][0], u0 + du * runs[-1][1]]
    low, high = (clip.top, clip.bottom) if steep else (clip.left, clip.right)
    first, last = max(math.floor(min(ends) - width), low), min(math.ceil(max(ends) + width), high)
    if first >= last:
        return
    half = math.ceil((width / 2 + 1) / abs(du))
    u = np.arange(first, last)[:, None] + 0.5
    v = np.floor(v0 + (u - u0) * dv / du) + np.arange(-half, half + 1)[None, :] + 0.5
    along = (u - u0) * du + (v - v0) * dv
    aside = (v - v0) * du - (u - u0) * dv
    alpha = np.clip(width / 2 + 0.5 - np.abs(aside), 0.0, min(width, 1.0)) * _inked(along, runs)
    near, far = (clip.left, clip.right) if steep else (clip.top, clip.bottom)
    alpha[(v < near) | (v > far)] = 0.0
    rows, columns = np.nonzero(alpha > 1 / 512)
    if not rows.size:
        return
    at_u, at_v, share = rows + first, v[rows, columns].astype(int), alpha[rows, columns][:, None]
    x, y = (at_v, at_u) if steep else (at_u, at_v)
    pixels = pygame.surfarray.pixels3d(surface)
    ground = pixels[x, y]
    pixels[x, y] = np.rint(ground + (np.array(colour) - ground) * share).astype(np.uint8)


def _inked(along: np.ndarray, runs: Sequence[tuple[float, float]]) -> np.ndarray:
    """How much of a pixel's length about each place along the line is inked, (n, m) -> (n, m)."""
    places = np.array(runs, dtype=float).ravel()
    sums = np.concatenate(([0.0], np.cumsum(places[1::2] - places[::2])))
    total = np.stack((sums[:-1], sums[1:]), axis=1).ravel()  # inked so far at each start and end
    inked: np.ndarray = np.interp(along + 0.5, places, total) - np.interp(along - 0.5, places, total)
    return inked
