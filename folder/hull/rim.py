"""The rim: how far water can rise before it comes in over the edge line, and which part of the sheet it wets.

Water touches the outside of the sheet and reaches the inside only round the edge line. At a level the hull keeps
water out as long as the part of the sheet below that level which hangs together with the floor does not touch the edge
line. So:

pass height   of a vertex: the least height to which a path on the sheet from the floor must climb to get there
spill         the edge line's lowest pass height and the vertex that sets it: the edge, or the fold a hem hangs from
hollow        a part of the sheet below the level that does not hang together with the floor
wet           water stands against it from outside only: it takes part in what the hull displaces

Heights run along any up direction, so all of this holds for a tilted hull. On flat triangles the ways along the
vertices' links decide; each kernel takes `k` poses at once.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from folder.geometry.soup import Flags, Floats, moments_below
from folder.hull.skin import Ints, Skin
from folder.units import RAD_PER_DEG

_SAME_PLACE_MM = 0.01
"""Corners nearer than this are one place: layers of a stack, a tenth of what a pencil marks."""


def pass_heights(heights: Floats, skin: Skin) -> Floats:
    """Pass height `(k, v)` mm of every vertex, for heights `(k, v)` mm; infinite where no way leads."""
    starts, ends = skin.links
    passes = np.where(skin.on_floor, heights, np.inf)
    while True:
        nearer = np.maximum(np.minimum.reduceat(passes[:, ends], starts[:-1], axis=1), heights)
        if np.array_equal(nearer, passes):
            return passes
        passes = nearer


def spills(heights: Floats, skin: Skin) -> tuple[Floats, Ints]:
    """Height of the rim `(k,)` mm and the vertex `(k,)` over which water comes in, for heights `(k, v)`."""
    passes = pass_heights(heights, skin)
    rims = np.where(skin.on_edge, passes, np.inf).min(axis=1)
    return rims, np.argmax((heights == rims[:, None]) & (passes == heights), axis=1)


def spill(heights: Floats, skin: Skin) -> tuple[float, int]:
    """Height of the rim in mm and the vertex over which water comes in, for the heights `(v,)` of one pose."""
    rims, vertices = spills(heights[None], skin)
    return float(rims[0]), int(vertices[0])


def wet_triangles(heights: Floats, levels: Floats, skin: Skin) -> Flags | None:
    """Which triangles `(k, m)` take part in what is displaced, for heights `(k, v)` and levels `(k,)`; None when all do.

    Above the rim the answer stays that at the rim, so that the integrals go on as if upright walls stood on the edge.
    """
    low = heights < levels[:, None]
    starts, ends = skin.links
    at_bottom = np.minimum.reduceat(heights[:, ends], starts[:-1], axis=1) == heights
    hollow = (low & at_bottom & ~skin.on_floor & ~skin.on_edge).any(axis=1)
    partly = hollow | (low & skin.on_edge).any(axis=1)
    if not partly.any():
        return None
    wet = np.ones((len(levels), len(skin.triangles)), dtype=bool)
    passes = pass_heights(heights[partly], skin)
    rims = np.where(skin.on_edge, passes, np.inf).min(axis=1)
    reached = passes < np.minimum(levels[partly], rims)[:, None]
    wet[partly] = reached[:, skin.triangles].any(axis=2)
    for row in np.nonzero(hollow)[0]:
        wet[row] |= _wet_hollows(heights[row], float(levels[row]), np.asarray(wet[row]), skin)
    return wet


def _wet_hollows(heights: Floats, level: float, wet: Flags, skin: Skin) -> Flags:
    """Triangles `(m,)` of the hollows that hold out water by themselves, as the second hull of a pair does.

    A hollow counts when it does not reach the edge line, stands the right way up, and lies outside the dry space over
    the `wet` triangles of the floor's own part: the hollow of a rolled hem lies inside and stays dry.
    """
    starts, ends = skin.links
    up = np.asarray(np.linalg.lstsq(skin.vertices, heights, rcond=None)[0], dtype=float)
    rest = heights < level
    rest[skin.triangles[wet]] = False
    counted = np.zeros(len(skin.triangles), dtype=bool)
    while rest.any():
        lowest = int(np.argmin(np.where(rest, heights, np.inf)))
        part = np.zeros(len(heights), dtype=bool)
        part[lowest] = True
        while True:
            grown = np.logical_or.reduceat(part[ends], starts[:-1]) & rest
            if np.array_equal(grown, part):
                break
            part = grown
        rest &= ~part
        triangles = np.asarray(part[skin.triangles].any(axis=1))
        upright = moments_below(skin.soup, up[None], np.array([level]), triangles)[0, 0, 0] > 0.0
        if upright and not (part & skin.on_edge).any() and not _inside(skin.vertices[lowest], up, wet, skin):
            counted |= triangles
    return counted


def _inside(point: Floats, up: Floats, wet: Flags, skin: Skin) -> bool:
    """Whether a point lies in the dry space: straight down from it a line leaves through the skin once too often.

    The line is shifted by a hair so that it does not run along a crease.
    """
    aside = np.cross(up, [0.6, 0.8, 0.0]) + np.cross(up, [0.0, 0.3, 0.9]) * 0.7
    apart = skin.vertices[skin.triangles[wet]] - (point + 1e-6 * aside)
    turns = np.cross(apart, np.roll(apart, -1, axis=1)) @ up
    faces_up = np.asarray((turns > 0.0).all(axis=1))
    struck = np.asarray(faces_up | (turns < 0.0).all(axis=1))
    normals = skin.soup.area_vectors[wet][struck]
    beneath = np.einsum("ij,ij->i", apart[struck, 0], normals) / (normals @ up) < 0.0
    return int(np.where(faces_up[struck], 1, -1)[beneath].sum()) > 0


@lru_cache(maxsize=32)
def corners(skin: Skin) -> tuple[int, ...]:
    """The vertices that set the rim when the hull lies level or tilts any way up to 35 deg: its corners and dips.

    In the order in which they stand round the hull, seen from above.
    """
    toward = np.arange(5.0, 360.0, 10.0) * RAD_PER_DEG
    ups = [np.array([[0.0, 0.0, 1.0]])]
    for tilt in (2.0 * RAD_PER_DEG, 15.0 * RAD_PER_DEG, 35.0 * RAD_PER_DEG):
        sideways = -np.sin(tilt) * np.column_stack([np.cos(toward), np.sin(toward)])
        ups.append(np.column_stack([sideways, np.full(len(toward), np.cos(tilt))]))
    vertices = spills(np.concatenate(ups) @ skin.vertices.T, skin)[1]
    found: list[int] = []
    for vertex in vertices[::-1].tolist():  # the tilted poses first: at level, any point of an even rim may come up
        apart = np.linalg.norm(skin.vertices[found] - skin.vertices[vertex], axis=1)
        if not len(found) or apart.min() > _SAME_PLACE_MM:
            found.append(vertex)
    return tuple(sorted(found, key=lambda v: float(np.arctan2(skin.vertices[v, 1], skin.vertices[v, 0]))))
