"""The water in the tub, and the tub round it.

pool   water inside the hull, as high as it stands there
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from folder.draw.hull.light import mixed
from folder.draw.style import WATER
from folder.draw.tub.moment import Facet, Mark, Moment, picture_of
from folder.draw.tub.tone import BOTTOM, DEEP
from folder.geometry.plane import convex_hull
from folder.geometry.space import Floats
from folder.water.tub import Tub

STREAM_MM = 25.0
"""So far down and inward the water that runs in is drawn."""


def pool_marks(moment: Moment) -> Iterator[Facet]:
    """Water inside: the level at which it stands, cut out of the hull."""
    if moment.pool_mm is None:
        return
    skin = moment.shell.hull.skin
    world = moment.attitude.world(skin.vertices)
    corners = world[skin.triangles]
    ends = []
    for a, b in ((0, 1), (1, 2), (2, 0)):
        za, zb = corners[:, a, 2] - moment.pool_mm, corners[:, b, 2] - moment.pool_mm
        cut = (za < 0.0) != (zb < 0.0)
        share = za[cut] / (za[cut] - zb[cut])
        ends.append(corners[cut, a] + share[:, None] * (corners[cut, b] - corners[cut, a]))
    drawn = np.concatenate(ends) @ moment.view.axes[:2].T
    if len(drawn) > 2:
        yield Facet(convex_hull(drawn), mixed(WATER, DEEP, 0.6), None, 0.8)


def stream_marks(moment: Moment) -> Iterator[Facet]:
    """Water running in over the rim, down to the floor or to the water that stands there."""
    if moment.stream is None:
        return
    rim = np.array(moment.stream)
    inward = -np.array([rim[0], rim[1], 0.0]) / max(math.hypot(rim[0], rim[1]), 1e-9)
    along = np.array([-inward[1], inward[0], 0.0])
    foot = rim + min(0.3 * math.hypot(rim[0], rim[1]), STREAM_MM) * inward
    foot[2] = max(0.0, rim[2] - STREAM_MM)
    for wide, colour in ((1.0, mixed(WATER, DEEP, 0.9)), (0.5, WATER)):
        ring = np.array(
            [rim + 9.0 * wide * along, rim - 9.0 * wide * along, foot - 14.0 * wide * along, foot + 14.0 * wide * along]
        )
        yield Facet(picture_of(moment, ring), colour, None, 0.85)


def shadow_marks(moment: Moment) -> Iterator[Facet]:
    """A soft dark on the water, away from the light."""
    world = moment.attitude.world(moment.shell.hull.skin.vertices)
    if float(world[:, 2].max()) <= 0.0 or moment.drowned:
        return
    axes, light = moment.view.axes, moment.view.axes.T @ moment.view.light
    over = np.maximum(world[:, 2:], 0.0)
    flat = world - over / light[2] * light
    flat[:, 2] = 0.0
    ring = convex_hull(flat @ axes[:2].T)
    for grown in (3.0, 1.5, 0.0):
        yield Facet(_grown(ring, grown), mixed(WATER, DEEP, 0.8), None, 0.3)


def _grown(ring: Floats, by_mm: float) -> Floats:
    """A convex ring (n, 2), counter-clockwise, with its sides moved out."""
    ahead = np.roll(ring, -1, axis=0) - ring
    out = np.column_stack([ahead[:, 1], -ahead[:, 0]]) / np.maximum(np.linalg.norm(ahead, axis=1), 1e-9)[:, None]
    both = out + np.roll(out, 1, axis=0)
    moved: Floats = ring + by_mm * both / np.maximum(np.linalg.norm(both, axis=1), 0.5)[:, None]
    return moved


def _wall_corners(tub: Tub) -> Floats:
    """(4, 2) mm: the tub's corners, from its middle."""
    return np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * np.array([tub.length_mm, tub.width_mm]) / 2.0


def _wall(corners: Floats, k: int, high: float, low: float, axes: Floats) -> Floats:
    """(4, 2) mm: the wall after corner k from one height down to another, as it is seen along axes (3, 3)."""
    one, other = corners[k], corners[(k + 1) % 4]
    return np.array([(*one, high), (*other, high), (*other, low), (*one, low)]) @ axes[:2].T


def tub_behind(moment: Moment) -> Iterator[Mark]:
    """The tub: its bottom through the water, its walls, the line the water stood at before."""
    tub = moment.tub
    if tub is None:
        return
    corners, axes, deep = _wall_corners(tub), moment.view.axes, -(tub.depth_mm + moment.rise_mm)

    def level(z: float) -> Floats:
        return np.column_stack([corners, np.full(4, z)]) @ axes[:2].T

    outward = corners + np.roll(corners, -1, axis=0)
    far = [k for k in range(4) if outward[k] @ axes[2, :2] < 0.0]  # of these the inside is seen
    for k in far:
        is_end = abs(outward[k, 0]) >= abs(outward[k, 1])
        yield Facet(_wall(corners, k, tub.wall_mm + deep, 0.0, axes), "#E3E7EB" if is_end else "#F1F3F5", "#C3CAD2")
    yield Facet(level(0.0), WATER)
    for k in far:
        yield Facet(_wall(corners, k, 0.0, deep, axes), mixed(mixed(WATER, DEEP, 0.3), WATER, 0.45))
    yield Facet(level(deep), mixed(BOTTOM, WATER, 0.45))


def tub_in_front(moment: Moment) -> Iterator[Facet]:
    """The near walls of the tub, over all that is in it, as glass."""
    tub = moment.tub
    if tub is None:
        return
    corners, axes, deep = _wall_corners(tub), moment.view.axes, -(tub.depth_mm + moment.rise_mm)
    for k in range(4):
        if (corners[k] + corners[(k + 1) % 4]) @ axes[2, :2] > 0.0:
            yield Facet(_wall(corners, k, tub.wall_mm + deep, deep, axes), "#E3E7EB", "#C3CAD2", 0.35)
