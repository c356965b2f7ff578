"""Creases and the sheet's edge, noded and cut into faces; and what flat pieces cover together.

The only module of the pattern that knows shapely.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from msgspec import Struct
from numpy.typing import NDArray

from folder.findings import Point
from folder.geometry.space import Bools, Floats, Ints, frozen
from folder.pattern.net import BORDER, FLAT, Faces
from folder.pattern.pattern import Pattern
from folder.pattern.snap import close_pairs, merged, near_lines, snapped
from folder.units import TOLERANCES

__all__ = ["BORDER", "FLAT", "Cover", "Faces", "cover_of", "faces_of"]

_SNAP = TOLERANCES.snap_mm


def faces_of(pattern: Pattern) -> Faces:
    """Node the creases with the sheet's edge and cut the sheet into faces.

    Ends that miss each other by less than the snap tolerance are joined. Never raises for a drawing, however odd.
    """
    drawn = [i for i, c in enumerate(pattern.creases) if c.sense != "guide" and c.length_mm > _SNAP]
    corners = pattern.sheet.corners
    lines = np.array(
        [(corners[k], corners[(k + 1) % 4]) for k in range(4)]
        + [(pattern.creases[i].start, pattern.creases[i].end) for i in drawn]
    )
    owner = np.array([BORDER] * 4 + drawn)
    result = _cut(pattern, lines, owner)
    helpers = _slit_helpers(pattern, result)
    if helpers:
        # A slit that ends inside a face gets a helping line, so that each of its lips borders a face of its own.
        lines = np.concatenate([lines, np.array(helpers)])
        owner = np.concatenate([owner, np.full(len(helpers), FLAT)])
        result = _cut(pattern, lines, owner)
    return result


def _cut(pattern: Pattern, lines: Floats, owner: Ints) -> Faces:
    net = shapely.unary_union(shapely.linestrings(lines))
    points, edges = _graph(net)
    if (np.bincount(edges.ravel()) == 1).any() or len(close_pairs(points, _SNAP)):
        net = _snapped_net(lines)
        points, edges = _graph(net)
    polygons = shapely.get_parts(shapely.polygonize([net]))
    size = np.array([pattern.sheet.width_mm, pattern.sheet.height_mm])
    if (lines < -_SNAP).any() or (lines > size + _SNAP).any():
        # Lines that leave the sheet may enclose places beside it.
        bounds = shapely.bounds(polygons)
        polygons = polygons[(bounds[:, :2] > -_SNAP).all(axis=1) & (bounds[:, 2:] < size + _SNAP).all(axis=1)]
    ring, holed = _rings(points, polygons)
    sides = np.full((len(edges), 2), -1)
    edge = _edge_index(edges, ring[:, 1:], len(points))
    sides[edge, (edges[edge, 0] != ring[:, 1]).astype(np.int64)] = ring[:, 0]

    crease, overlaps = _owners(points[edges], lines, owner)
    bounds = (sides >= 0).any(axis=1)
    # The sheet's edge is where there is foil on one side only, whatever line of no length lies near it.
    crease[bounds & (sides < 0).any(axis=1)] = BORDER
    crease[(sides >= 0).all(axis=1) & (crease == BORDER)] = FLAT
    lost = ~bounds & (crease != FLAT)
    triangles, triangle_face = _triangles(points, polygons, ring, holed)
    # FLAT and BORDER, -2 and -1, take the two entries at the end.
    turn = np.array([c.signed_turn_rad for c in pattern.creases] + [0.0, 0.0])
    cut = np.array([c.sense == "cut" for c in pattern.creases] + [False, False])
    free = np.array([c.turn_rad is None and c.sense != "cut" for c in pattern.creases] + [False, False])
    arrays = (points, edges[bounds], crease[bounds], turn[crease[bounds]], free[crease[bounds]], cut[crease[bounds]],
              sides[bounds], ring, shapely.area(polygons), triangles, triangle_face,
              np.column_stack([edges[lost], crease[lost]]), overlaps)  # fmt: skip
    return Faces(pattern.floor_at, *(frozen(a) for a in arrays))


def _graph(net: shapely.Geometry) -> tuple[Floats, Ints]:
    """The distinct points of a noded net (v, 2), sorted, and its segments as pairs of them (e, 2)."""
    ends = shapely.get_coordinates(net)
    points, index = np.unique(_as_complex(ends), return_inverse=True)
    return np.column_stack([points.real, points.imag]), index.reshape(-1, 2)


def _as_complex(points: Floats) -> NDArray[np.complex128]:
    """Points (n, 2) as single numbers, so that they can be sorted and looked up exactly."""
    single: NDArray[np.complex128] = points[:, 0] + 1j * points[:, 1]
    return single


def _snapped_net(lines: Floats) -> shapely.Geometry:
    """The noded lines with near misses joined, crossings that nearly coincide included."""
    pieces = snapped(lines, _SNAP)
    crossed = shapely.get_coordinates(shapely.unary_union(shapely.linestrings(pieces)))
    # Corners and ends that were drawn are kept before crossings that were computed.
    every = np.concatenate([lines[:4, 0], pieces.reshape(-1, 2), crossed])
    settled = every[merged(every, _SNAP)][-len(crossed) :].reshape(-1, 2, 2)
    settled = settled[(settled[:, 0] != settled[:, 1]).any(axis=1)]
    return shapely.unary_union(shapely.linestrings(settled))


def _rings(points: Floats, polygons: NDArray[np.object_]) -> tuple[Ints, Bools]:
    """Boundaries of the polygons: (r, 3) face, vertex, next vertex, the face on the left; and which faces have holes."""
    rings, face = shapely.get_rings(polygons, return_index=True)
    xy, ring = shapely.get_coordinates(rings, return_index=True)
    at = np.searchsorted(_as_complex(points), _as_complex(xy))
    within = ring[1:] == ring[:-1]
    a, b, ring = at[:-1][within], at[1:][within], ring[:-1][within]
    hole = np.zeros(len(rings), dtype=np.bool_)
    hole[1:] = face[1:] == face[:-1]
    backward = (shapely.is_ccw(rings) == hole)[ring]
    holed = np.zeros(len(polygons), dtype=np.bool_)
    holed[face[hole]] = True
    return np.column_stack([face[ring], np.where(backward, b, a), np.where(backward, a, b)]), holed


def _edge_index(edges: Ints, pairs: Ints, width: int) -> Ints:
    """Which edge joins each pair of vertices."""
    keys = edges.min(axis=1) * width + edges.max(axis=1)
    order = keys.argsort()
    found: Ints = order[np.searchsorted(keys[order], pairs.min(axis=1) * width + pairs.max(axis=1))]
    return found


def _owners(ends: Floats, lines: Floats, owner: Ints) -> tuple[Ints, Ints]:
    """The crease each edge (e, 2, 2) lies on, and the pairs of creases (o, 2) that share a stretch."""
    edge, line, _ = near_lines(ends.mean(axis=1), lines, 2.0 * _SNAP)
    ahead, along = ends[:, 1] - ends[:, 0], lines[:, 1] - lines[:, 0]
    ex, ey = ahead[edge].T
    lx, ly = along[line].T
    # An edge lies on a line when it does not leave it from end to end; a line that merely crosses does.
    aligned = np.abs(ex * ly - ey * lx) <= 4.0 * _SNAP * np.hypot(lx, ly)
    edge, line, lx, ly = edge[aligned], line[aligned], lx[aligned], ly[aligned]
    off = ends[edge] - lines[line, :1]
    aside = (np.abs(off[..., 0] * ly[:, None] - off[..., 1] * lx[:, None]) / np.hypot(lx, ly)[:, None]).max(axis=1)
    # Written from the farthest line to the nearest, the sheet's edge last of all: the last one written stays.
    order = np.lexsort((-line, -aside.round(6), owner[line] == BORDER))
    crease = np.full(len(ends), FLAT)
    crease[edge[order]] = owner[line[order]]
    long = np.hypot(*ahead[edge].T) > 4.0 * _SNAP  # a shorter stretch tells nothing of where a line goes
    shared = long & (owner[line] >= 0) & (crease[edge] >= 0) & (owner[line] != crease[edge]) & (aside <= _SNAP)
    if not shared.any():
        return crease, np.empty((0, 2), dtype=np.int64)
    return crease, np.unique(np.column_stack([crease[edge[shared]], owner[line[shared]]]), axis=0)


def _triangles(points: Floats, polygons: NDArray[np.object_], ring: Ints, holed: Bools) -> tuple[Ints, Ints]:
    """Triangles (t, 3) that cover the faces, and the face of each: fans where a fan fits, Delaunay elsewhere."""
    face = ring[:, 0]
    first = np.ones(len(ring), dtype=np.bool_)
    first[1:] = face[1:] != face[:-1]
    apex = ring[first, 1][np.cumsum(first) - 1] if len(ring) else ring[:, 1]
    away = (ring[:, 1] != apex) & (ring[:, 2] != apex)
    fan, fan_face = np.column_stack([apex, ring[:, 1:]])[away], face[away]
    x, y = points[fan, 0], points[fan, 1]
    twice = (x[:, 1] - x[:, 0]) * (y[:, 2] - y[:, 0]) - (x[:, 2] - x[:, 0]) * (y[:, 1] - y[:, 0])
    # A flat triangle would have a side across the face that lies on its border.
    odd = holed.copy()
    odd[fan_face[twice < 1e-9]] = True
    if not odd.any():
        return fan, fan_face
    which = np.nonzero(odd)[0]
    pieces, owner = shapely.get_parts(shapely.constrained_delaunay_triangles(polygons[which]), return_index=True)
    pieces = shapely.orient_polygons(pieces)
    corners = shapely.get_coordinates(pieces).reshape(-1, 4, 2)[:, :3]
    extra = np.searchsorted(_as_complex(points), _as_complex(corners.reshape(-1, 2))).reshape(-1, 3)
    # A face too thin for Delaunay keeps its fan.
    odd[np.setdiff1d(which, which[owner])] = False
    plain = ~odd[fan_face]
    return np.concatenate([fan[plain], extra]), np.concatenate([fan_face[plain], which[owner]])


def _slit_helpers(pattern: Pattern, faces: Faces) -> list[tuple[Point, Point]]:
    """Lines on from the ends of slits that stop inside a face, to the sheet's edge."""
    if not any(c.sense == "cut" for c in pattern.creases):
        return []
    uses = np.bincount(
        np.concatenate([faces.edges.ravel(), faces.dangling[:, :2].ravel()]), minlength=len(faces.vertices)
    )
    size = np.array([pattern.sheet.width_mm, pattern.sheet.height_mm])
    helpers: list[tuple[Point, Point]] = []
    for a, b, crease in faces.dangling.tolist():
        if pattern.creases[crease].sense != "cut":
            continue
        for tip, other in ((a, b), (b, a)):
            at = faces.vertices[tip]
            ahead = at - faces.vertices[other]
            if uses[tip] == 1 and (at > 0).all() and (at < size).all():
                with np.errstate(divide="ignore"):
                    reach = np.where(ahead > 0, (size - at) / ahead, np.where(ahead < 0, -at / ahead, np.inf)).min()
                end = at + reach * ahead
                helpers.append(((float(at[0]), float(at[1])), (float(end[0]), float(end[1]))))
    return helpers


class Cover(Struct, frozen=True):
    """What several flat pieces cover together."""

    area_mm2: float
    centre: Point
    outline: tuple[Point, ...]
    """The border of the largest connected part, counter-clockwise, mm; empty when nothing is covered."""
    parts: int
    """How many connected parts there are."""
    layers_least: int
    layers_most: int


def cover_of(pieces: Sequence[Floats]) -> Cover:
    """The union of polygons (each (n, 2) mm, in any order of turning) and how many lie on each other."""
    polygons = shapely.polygons([shapely.linearrings(p) for p in pieces])
    whole = polygons[0]
    if len(polygons) > 1:
        # On a grid, where borders that differ by rounding are one; then the corners are put back where they were.
        corners = np.concatenate(list(pieces))
        whole = shapely.transform(shapely.union_all(polygons, grid_size=1e-7).simplify(1e-6), lambda xy: _nearest(xy, corners))
    parts = shapely.get_parts(whole)
    if not len(parts) or whole.area <= 0.0:
        return Cover(0.0, (0.0, 0.0), (), 0, 0, 0)
    largest = shapely.orient_polygons(parts[shapely.area(parts).argmax()])
    outline = tuple((float(x), float(y)) for x, y in shapely.get_coordinates(largest.exterior)[:-1])
    layers = _layers(pieces, polygons) if len(polygons) > 1 else np.array([1])
    return Cover(
        float(whole.area),
        (whole.centroid.x, whole.centroid.y),
        outline,
        len(parts),
        int(layers.min()),
        int(layers.max()),
    )


def _nearest(points: Floats, corners: Floats) -> Floats:
    """Points (n, 2), each moved to the corner (m, 2) it is rounded from, if there is one."""
    apart = np.hypot(points[:, None, 0] - corners[:, 0], points[:, None, 1] - corners[:, 1])
    nearest = apart.argmin(axis=1)
    return np.where(apart.min(axis=1)[:, None] < 1e-6, corners[nearest], points)


def _layers(pieces: Sequence[Floats], polygons: NDArray[np.object_]) -> Ints:
    """How many polygons lie over each region that their borders cut out."""
    # Rounded to a micrometre, so that a side on which many layers end is noded once.
    sides = np.concatenate([np.stack([_as_complex(p), _as_complex(np.roll(p, -1, axis=0))], axis=1) for p in pieces])
    sides = np.unique(np.sort(sides.round(3), axis=1), axis=0)
    lines = shapely.linestrings(np.stack([sides.real, sides.imag], axis=-1))
    cells = shapely.get_parts(shapely.polygonize([shapely.unary_union(lines)]))
    # Slivers between borders that ought to coincide are no regions.
    inside = shapely.point_on_surface(cells[shapely.area(cells) > 0.1])
    counts = np.bincount(shapely.STRtree(polygons).query(inside, predicate="within")[0], minlength=len(inside))
    covered: Ints = counts[counts > 0]
    return covered if len(covered) else np.array([1])
