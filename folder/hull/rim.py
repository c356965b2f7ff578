"""The rim: how far water can rise before it comes in over the edge line, and which part of the sheet it wets.

Water touches the outside of the sheet and reaches the inside only round the edge line. At a level the hull keeps
water out as long as the part of the sheet below that level which hangs together with the floor does not touch the edge
line. So:

spill elevation  of a vertex: the least height to which a path on the sheet from the floor must climb to get there (the
                 minimax path height of a raised-relief map: Barnes, Lehman & Mulla, Computers & Geosciences 62 (2014) 117)
spill            the edge line's lowest spill elevation and the vertex that sets it: the edge, or the fold a hem hangs from
basin            a part of the sheet below the level that does not hang together with the floor
wet              water stands against it from outside only: it takes part in what the hull displaces

Heights run along any up direction, so all of this holds for a tilted hull. On flat triangles the paths along the
vertices' adjacency decide; each kernel takes `k` poses at once.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from folder.geometry.graph import reached, steps_from
from folder.geometry.soup import areas, moments_below, moments_below_one
from folder.geometry.space import Bools, Floats, Ints, cross, frozen
from folder.hull.skin import Skin
from folder.units import RAD_PER_DEG, TOLERANCES

_SAME_PLACE_MM = 0.01
"""Points nearer than this are one place, or layers of one stack: a tenth of what a pencil marks."""


def spill_elevations(heights: Floats, skin: Skin) -> Floats:
    """Spill elevation `(k, v)` mm of every vertex, for heights `(k, v)` mm; infinite where no way leads."""
    upright = np.ascontiguousarray(heights.T)  # vertices first: whole rows are gathered, all poses at once
    elevations = np.where(skin.on_floor[:, None], upright, np.inf)
    rings, everywhere = _outward(skin)
    # Once outward from the floor finds nearly all of them; then on until none is lower by another way.
    for ring, neighbours in rings:
        elevations[ring] = np.maximum(elevations[neighbours].min(axis=0), upright[ring])
    lowered = True
    while lowered:
        lowered = False
        for ring, neighbours in everywhere:
            nearer = np.maximum(elevations[neighbours].min(axis=0), upright[ring])
            if (nearer < elevations[ring]).any():  # only ever lower, and to a height there is: this ends
                elevations[ring], lowered = nearer, True
    return np.ascontiguousarray(elevations.T)


VertexRing = tuple[Ints, Ints]
"""Some vertices `(r,)` and those that share an edge with each, `(l, r)`; who has fewer than l has the last of them again."""


@lru_cache(maxsize=12)
def _outward(skin: Skin) -> tuple[list[VertexRing], list[VertexRing]]:
    """The vertices off the floor in the order in which paths lead there from it, and all of them in as few rings as may be."""
    steps = steps_from(skin.on_floor, skin.sides)
    rings = [ring for far in range(1, int(steps.max(initial=0)) + 1) for ring in _rings(steps == far, skin)]
    return rings, _rings(~skin.on_floor, skin)


def _rings(chosen: Bools, skin: Skin) -> list[VertexRing]:
    """The chosen vertices `(v,)` with those they share an edge with; apart by how many these are, so that few stand there twice."""
    starts, ends = skin.adjacency
    counts, rings, least, most = np.diff(starts), [], 0, 16
    while least < counts[chosen].max(initial=0):
        ring = np.nonzero(chosen & (counts > least) & (counts <= most))[0]
        if len(ring):
            places = np.arange(counts[ring].max())[:, None]
            rings.append((ring, ends[np.minimum(starts[ring] + places, starts[ring + 1] - 1)]))
        least, most = most, 2 * most
    return rings


def spills(heights: Floats, skin: Skin, elevations: Floats | None = None) -> tuple[Floats, Ints]:
    """Height of the rim `(k,)` mm and the vertex `(k,)` over which water comes in, for heights `(k, v)`.

    Spill elevations `(k, v)` that are at hand need not be found again; so too in `wet_triangles`.
    """
    if elevations is None:
        elevations = spill_elevations(heights, skin)
    rims = elevations[:, skin.on_edge].min(axis=1, initial=np.inf)
    sets_it = (heights == rims[:, None]) & (elevations == heights)
    # The edge itself where it is that low; else the fold over which the way to the edge leads.
    return rims, np.argmax(sets_it * (1 + skin.on_edge), axis=1)


def spill(heights: Floats, skin: Skin) -> tuple[float, int]:
    """As `spills` for the heights `(v,)` mm of one pose: the height of the rim, mm, and the vertex."""
    rims, vertices = spills(heights[None], skin)
    return float(rims[0]), int(vertices[0])


@lru_cache(maxsize=12)
def level_rim(skin: Skin) -> tuple[float, int]:
    """As `spill`, for the hull with its floor level."""
    return spill(skin.vertices[:, 2], skin)


@lru_cache(maxsize=12)
def level_moments(skin: Skin, level_mm: float) -> Floats:
    """Moments (4, 4) of the wet skin in the hull's frame, its floor level and the water `level_mm` above it; see `soup`."""
    up, level = np.array([[0.0, 0.0, 1.0]]), np.array([level_mm])
    wet = wet_triangles(skin.vertices[None, :, 2], level, skin)
    if wet is None:
        return frozen(moments_below_one(skin.soup, up[0], level_mm))
    return frozen(moments_below(skin.soup, up, level, wet)[0])


def wet_triangles(heights: Floats, levels: Floats, skin: Skin, elevations: Floats | None = None) -> Bools | None:
    """Which triangles `(k, m)` take part in what is displaced, for heights `(k, v)` and levels `(k,)`; None when all do.

    Above the rim what hangs over it stays left out, and what stands on goes on counting: the integrals go on as if
    upright walls stood on the edge line.
    """
    bottom = _bottoms(heights, levels, skin)
    partly = (heights[:, skin.on_edge] < levels[:, None]).any(axis=1) | bottom.any(axis=1)
    if not partly.any():
        return None
    wet = np.ones((len(levels), len(skin.triangles)), dtype=bool)
    elevations = spill_elevations(heights[partly], skin) if elevations is None else elevations[partly]
    rims = elevations[:, skin.on_edge].min(axis=1, initial=np.inf)
    # A triangle is reached at its lowest corner first.
    lowest = _lowest(elevations, skin)
    climbed = _lowest(heights[partly], skin) == lowest
    wet[partly] = (lowest < levels[partly, None]) & ((lowest < rims[:, None] - TOLERANCES.level_mm) | climbed)
    for row in np.nonzero((bottom & _outer_bottoms(skin)[skin.may_hold]).any(axis=1))[0]:
        up = np.asarray(np.linalg.lstsq(skin.vertices, heights[row], rcond=None)[0], dtype=float)
        if (skin.stars[skin.may_hold][bottom[row]] @ up > 0.0).any():  # one that stands on its head holds nothing out
            wet[row] |= _wet_basins(up, float(levels[row]), np.asarray(wet[row]), skin)
    return wet


def _bottoms(heights: Floats, levels: Floats, skin: Skin) -> Bools:
    """Where the water stands over the bottom of what may be a basin, `(k, h)` for the skin's h vertices that `may_hold`."""
    held = skin.may_hold
    if not held.any():
        return np.zeros((len(levels), 0), dtype=bool)
    starts, ends = skin.adjacency
    counts = np.diff(starts)
    around = heights[:, ends[np.repeat(held, counts)]]
    lowest = np.minimum.reduceat(around, np.cumsum(counts[held]) - counts[held], axis=1)
    own = heights[:, held]
    return (own < levels[:, None]) & (lowest == own)


def _lowest(heights: Floats, skin: Skin) -> Floats:
    """The lowest corner `(k, m)` of every triangle, for heights `(k, v)`."""
    a, b, c = skin.triangles.T
    return np.minimum(np.minimum(heights[:, a], heights[:, b]), heights[:, c])


def _wet_basins(up: Floats, level: float, wet: Bools, skin: Skin) -> Bools:
    """Triangles `(m,)` of the basins that hold out water by themselves, as the second hull of a pair does.

    A basin counts when it does not reach the edge line, stands the right way up, and lies outside the dry space over
    the `wet` triangles of the floor's own part: the basin of a rolled hem lies inside and stays dry.
    """
    heights = skin.vertices @ up
    rest = heights < level - TOLERANCES.level_mm
    rest[skin.triangles[wet]] = False
    counted = np.zeros(len(skin.triangles), dtype=bool)
    while rest.any():
        lowest = int(np.argmin(np.where(rest, heights, np.inf)))
        basin = reached(np.arange(len(heights)) == lowest, skin.sides[rest[skin.sides].all(axis=1)])
        rest &= ~basin
        triangles = np.asarray(basin[skin.triangles].any(axis=1))
        upright = moments_below(skin.soup, up[None], np.array([level]), triangles)[0, 0, 0] > 0.0
        if upright and not (basin & skin.on_edge).any() and not _inside(_within(triangles, heights, up, skin), up, wet, skin):
            counted |= triangles
    return counted


def _within(triangles: Bools, heights: Floats, up: Floats, skin: Skin) -> Floats:
    """A point `(3,)` a hair above the lowest of the marked triangles `(m,)`: on the inside of a layer that lies on another."""
    solid = np.nonzero(triangles & (areas(skin.vertices[skin.triangles]) > TOLERANCES.level_mm))[0]
    lowest = solid[np.argmin(heights[skin.triangles[solid]].mean(axis=1))]
    return skin.vertices[skin.triangles[lowest]].mean(axis=0) + 1e-3 * up


@lru_cache(maxsize=12)
def _outer_bottoms(skin: Skin) -> Bools:
    """(v,) where the bottom of a wet basin may be: what lies in the dry space of the level hull stays in it, tilted."""
    up, heights = np.array([0.0, 0.0, 1.0]), skin.vertices[:, 2]
    lowest = _lowest(spill_elevations(heights[None], skin), skin)[0]
    flags = skin.may_hold.copy()
    for vertex in np.nonzero(flags)[0]:
        beside = np.asarray((skin.triangles == vertex).any(axis=1))
        own = np.asarray(lowest < heights[vertex] + _SAME_PLACE_MM)
        flags[vertex] = not _inside(_within(beside, heights, up, skin), up, own, skin)
    return flags


def _inside(point: Floats, up: Floats, wet: Bools, skin: Skin) -> bool:
    """Whether a point (3,) mm lies in the dry space over the wet triangles (m,).

    Straight down from it a line leaves through the skin once too often.

    The line is shifted by a hair so that it does not run along a crease.
    """
    aside = np.cross(up, [0.6, 0.8, 0.0]) + np.cross(up, [0.0, 0.3, 0.9]) * 0.7
    apart = skin.vertices[skin.triangles[wet]] - (point + 1e-6 * aside)
    turns = cross(apart, np.roll(apart, -1, axis=1)) @ up
    faces_up = np.asarray((turns > 0.0).all(axis=1))
    struck = np.asarray(faces_up | (turns < 0.0).all(axis=1))
    normals = skin.soup.area_vectors[wet][struck]
    beneath = np.einsum("ij,ij->i", apart[struck, 0], normals) / (normals @ up) < 0.0
    return int(np.where(faces_up[struck], 1, -1)[beneath].sum()) > 0


def rim_at(heights: Floats, skin: Skin) -> tuple[float, int]:
    """As `spill` for heights `(v,)` mm, but where much of the rim is as low as its lowest point, the vertex named is one of its corners."""
    return lowest_of(spill_elevations(heights[None], skin)[0], heights, skin)


def lowest_of(elevations: Floats, heights: Floats, skin: Skin) -> tuple[float, int]:
    """The rim and the vertex named for it, from the spill elevations `(v,)` and heights `(v,)` of one pose."""
    rim = float(elevations[skin.on_edge].min())
    for vertex in corners(skin):
        if elevations[vertex] <= rim + TOLERANCES.level_mm:
            return rim, vertex
    return rim, spill(heights, skin)[1]


@lru_cache(maxsize=12)
def corners(skin: Skin) -> tuple[int, ...]:
    """The vertices that set the rim when the hull tilts any way, 1 to 35 deg: its corners and dips.

    In the order in which they stand round the hull, seen from above.
    """
    toward = np.arange(5.0, 360.0, 10.0) * RAD_PER_DEG
    ups = []
    for tilt in (1.0 * RAD_PER_DEG, 15.0 * RAD_PER_DEG, 35.0 * RAD_PER_DEG):
        sideways = -np.sin(tilt) * np.column_stack([np.cos(toward), np.sin(toward)])
        ups.append(np.column_stack([sideways, np.full(len(toward), np.cos(tilt))]))
    vertices = spills(np.concatenate(ups) @ skin.vertices.T, skin)[1]
    found: list[int] = []
    for vertex in dict.fromkeys(vertices.tolist()):
        apart = np.linalg.norm(skin.vertices[found] - skin.vertices[vertex], axis=1)
        if not len(found) or apart.min() > _SAME_PLACE_MM:
            found.append(vertex)
    return tuple(sorted(found, key=lambda v: float(np.arctan2(skin.vertices[v, 1], skin.vertices[v, 0]))))
