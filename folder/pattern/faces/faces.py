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
from folder.geometry.plane import centroid, signed_area
from folder.geometry.space import Bools, Floats, Ints, frozen
from folder.pattern.faces.net import BORDER, FLAT, Faces
from folder.pattern.faces.noding import line_points, noded
from folder.pattern.faces.snap import complex_of
from folder.pattern.faces.trace import traced, without
from folder.pattern.pattern import Pattern
from folder.units import TOLERANCES

__all__ = ["BORDER", "FLAT", "Cover", "Faces", "cover_of", "faces_of"]

_SNAP = TOLERANCES.snap_mm

_NO_PAIRS = frozen(np.empty((0, 2), dtype=np.int64))
_NO_LINES = frozen(np.empty((0, 3), dtype=np.int64))


def faces_of(pattern: Pattern) -> Faces:
    """Node the creases with the sheet's edge and cut the sheet into faces.

    Ends that miss each other by less than the snap tolerance are joined. Never raises for a drawing, however odd.
    """
    a, b, c, d = pattern.sheet.corners
    ends = [*a, *b, *b, *c, *c, *d, *d, *a]
    drawn = [i for i, c in enumerate(pattern.creases) if c.sense != "guide" and c.length_mm > _SNAP]
    for i in drawn:
        ends += pattern.creases[i].start + pattern.creases[i].end
    lines, owner = np.array(ends).reshape(-1, 2, 2), np.array([BORDER] * 4 + drawn)
    result = _cut(pattern, lines, owner)
    helpers = _slit_helpers(pattern, result)
    if helpers:
        # A slit that ends inside a face gets a helping line, so that each of its lips borders a face of its own.
        lines = np.concatenate([lines, np.array(helpers)])
        owner = np.concatenate([owner, np.full(len(helpers), FLAT)])
        result = _cut(pattern, lines, owner)
    return result


def _cut(pattern: Pattern, lines: Floats, owner: Ints) -> Faces:
    """The faces that lines (n, 2, 2) mm, of the creases `owner` (n,), cut the sheet into."""
    places, edges, near, line = noded(lines)
    points = line_points(places)
    found = traced(places, edges)
    y, width, height = places.imag, pattern.sheet.width_mm, pattern.sheet.height_mm
    if places[0].real < -_SNAP or places[-1].real > width + _SNAP or y.min() < -_SNAP or y.max() > height + _SNAP:
        # Lines that leave the sheet may enclose places beside it.
        beyond: Bools = np.abs(2.0 * points - (width, height)) > np.array([width, height]) + 2.0 * _SNAP
        found = without(found, beyond[:, 0] | beyond[:, 1])
    border, areas, holes = found
    sides = np.full((2, len(edges)), -1)
    sides.reshape(-1)[border[:, 3]] = border[:, 0]

    crease, overlaps = _owners(points, edges, lines, owner, near, line)
    lost, dangling = np.maximum(sides[0], sides[1]) < 0, _NO_LINES
    # The sheet's edge is where there is foil on one side only, whatever line of no length lies near it.
    rim = np.minimum(sides[0], sides[1]) < 0
    if np.count_nonzero(rim != (crease == BORDER)):
        crease[rim & ~lost] = BORDER
        crease[~rim & (crease == BORDER)] = FLAT
    if np.count_nonzero(lost):
        dangling = np.column_stack([edges, crease])[lost & (crease != FLAT)]
        edges, crease, sides = edges[~lost], crease[~lost], sides[:, ~lost]
    # FLAT and BORDER, -2 and -1, take the two entries at the end.
    turn = np.array([c.signed_turn_rad for c in pattern.creases] + [0.0, 0.0])
    cut = np.array([c.sense == "cut" for c in pattern.creases] + [False, False])
    free = np.array([c.turn_rad is None and c.sense != "cut" for c in pattern.creases] + [False, False])
    ring = border[:, :3].copy()
    triangles, triangle_face = _triangles(points, ring, len(areas), holes)
    arrays = (points, edges, crease, turn[crease], free[crease], cut[crease], sides.T, ring, areas,
              triangles, triangle_face, dangling, overlaps)  # fmt: skip
    return Faces(pattern.floor_at, *(frozen(a) for a in arrays))


def _owners(points: Floats, pairs: Ints, lines: Floats, owner: Ints, edge: Ints, line: Ints) -> tuple[Ints, Ints]:
    """The crease each edge (e, 2) lies on, and the pairs of creases (o, 2) that share a stretch; edges (k,) are near lines (k,)."""
    if len(edge) == len(pairs) and not np.count_nonzero(edge[1:] == edge[:-1]):
        return owner[line], _NO_PAIRS  # one line each, as nearly always
    ahead, along = points[pairs[:, 1]] - points[pairs[:, 0]], lines[:, 1] - lines[:, 0]
    ex, ey = ahead[edge].T
    lx, ly = along[line].T
    # An edge lies on a line when it does not leave it from end to end; a line that merely crosses does.
    aligned = np.abs(ex * ly - ey * lx) <= 4.0 * _SNAP * np.hypot(lx, ly)
    edge, line, lx, ly = edge[aligned], line[aligned], lx[aligned], ly[aligned]
    off = points[pairs[edge]] - lines[line, :1]
    aside = (np.abs(off[..., 0] * ly[:, None] - off[..., 1] * lx[:, None]) / np.hypot(lx, ly)[:, None]).max(axis=1)
    # Written from the farthest line to the nearest, the sheet's edge last of all: the last one written stays.
    order = np.lexsort((-line, -aside.round(6), owner[line] == BORDER))
    crease = np.full(len(pairs), FLAT)
    crease[edge[order]] = owner[line[order]]
    long = np.hypot(*ahead[edge].T) > 4.0 * _SNAP  # a shorter stretch tells nothing of where a line goes
    shared = long & (owner[line] >= 0) & (crease[edge] >= 0) & (owner[line] != crease[edge]) & (aside <= _SNAP)
    if not shared.any():
        return crease, _NO_PAIRS
    return crease, np.unique(np.column_stack([crease[edge[shared]], owner[line[shared]]]), axis=0)


def _triangles(points: Floats, ring: Ints, count: int, holes: Ints) -> tuple[Ints, Ints]:
    """Triangles (t, 3) that cover the faces, and the face of each: fans where a fan fits, Delaunay elsewhere."""
    face = ring[:, 0]
    starts = face.searchsorted(np.arange(count))
    apex = ring[starts, 1][face]
    away = (ring[:, 1] != apex) & (ring[:, 2] != apex)
    fan, fan_face = ring[away], face[away]
    fan[:, 0] = apex[away]
    a, b, c = complex_of(points)[fan.T]
    # A flat triangle would have a side across the face that lies on its border.
    flat = ((b - a).conj() * (c - a)).imag < 1e-9
    if not np.count_nonzero(flat) and not len(holes):
        return fan, fan_face
    odd = np.zeros(count, dtype=np.bool_)
    odd[face[holes]] = True
    odd[fan_face[flat]] = True
    which = np.nonzero(odd)[0]
    ends = np.append(starts, len(ring))[which + 1]
    polygons = [_polygon(points, ring, holes, *span) for span in zip(starts[which], ends, strict=True)]
    pieces, owner = shapely.get_parts(_delaunay(polygons), return_index=True)
    pieces = shapely.orient_polygons(pieces)
    corners = shapely.get_coordinates(pieces).reshape(-1, 4, 2)[:, :3]
    extra = complex_of(points).searchsorted(complex_of(corners))
    # A face too thin for Delaunay keeps its fan.
    odd[np.setdiff1d(which, which[owner])] = False
    plain = ~odd[fan_face]
    return np.concatenate([fan[plain], extra]), np.concatenate([fan_face[plain], which[owner]])


def _delaunay(polygons: Sequence[shapely.Polygon]) -> Sequence[shapely.GeometryCollection]:
    """The triangles of polygons; none of one that is too thin to be triangulated."""
    try:
        return shapely.constrained_delaunay_triangles(polygons)
    except shapely.errors.GEOSException:  # a needle somewhere, whose corners rounding has laid on one line
        if len(polygons) == 1:
            return [shapely.GeometryCollection()]
        half = len(polygons) // 2
        return [*_delaunay(polygons[:half]), *_delaunay(polygons[half:])]


def _polygon(points: Floats, ring: Ints, holes: Ints, start: int, end: int) -> shapely.Polygon:
    """The face whose border is the rows `(b, 4)` from `start` to `end`; places `(v, 2)` mm."""
    inner = holes[(holes >= start) & (holes < end)]
    shell, *rest = (points[rows] for rows in np.split(ring[start:end, 1], inner - start))
    return shapely.Polygon(shell, rest)


def _slit_helpers(pattern: Pattern, faces: Faces) -> list[tuple[Point, Point]]:
    """Lines on from the ends of slits that stop inside a face, to the sheet's edge."""
    if not any(c.sense == "cut" for c in pattern.creases):
        return []
    uses = np.bincount(np.concatenate([faces.edges.ravel(), faces.dangling[:, :2].ravel()]), minlength=len(faces.vertices))
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
    if len(pieces) == 1:
        return _one_piece(pieces[0])
    polygons = shapely.polygons([shapely.linearrings(p) for p in pieces])
    # On a grid, where borders that differ by rounding are one; then the corners are put back where they were.
    corners = np.concatenate(list(pieces))
    whole = shapely.transform(shapely.union_all(polygons, grid_size=1e-7).simplify(1e-6), lambda xy: _nearest(xy, corners))
    parts = shapely.get_parts(whole)
    if not len(parts) or whole.area <= 0.0:
        return Cover(0.0, (0.0, 0.0), (), 0, 0, 0)
    largest = shapely.orient_polygons(parts[shapely.area(parts).argmax()])
    outline = tuple((float(x), float(y)) for x, y in shapely.get_coordinates(largest.exterior)[:-1])
    layers = _layers(pieces, polygons)
    return Cover(
        float(whole.area),
        (whole.centroid.x, whole.centroid.y),
        outline,
        len(parts),
        int(layers.min()),
        int(layers.max()),
    )


def _one_piece(ring: Floats) -> Cover:
    """What one polygon (n, 2) covers, as most floors are."""
    area = signed_area(ring)
    if area == 0.0:
        return Cover(0.0, (0.0, 0.0), (), 0, 0, 0)
    x, y = centroid(ring).tolist()
    outline = tuple((float(u), float(v)) for u, v in (ring if area > 0.0 else ring[::-1]))
    return Cover(abs(area), (x, y), outline, 1, 1, 1)


def _nearest(points: Floats, corners: Floats) -> Floats:
    """Points (n, 2), each moved to the corner (m, 2) it is rounded from, if there is one."""
    there, (point, corner) = (
        points.copy(),
        shapely.STRtree(shapely.points(corners)).query(shapely.points(points), predicate="dwithin", distance=1e-6),
    )
    there[point] = corners[corner]
    return there


def _layers(pieces: Sequence[Floats], polygons: NDArray[np.object_]) -> Ints:
    """How many polygons (each (n, 2) mm) lie over each region that their borders cut out: (r,)."""
    # Rounded to a micrometre, so that a side on which many layers end is noded once.
    sides = np.concatenate([np.stack([complex_of(p), complex_of(np.roll(p, -1, axis=0))], axis=1) for p in pieces])
    sides = np.unique(np.sort(sides.round(3), axis=1), axis=0)
    lines = shapely.linestrings(np.stack([sides.real, sides.imag], axis=-1))
    cells = shapely.get_parts(shapely.polygonize([shapely.unary_union(lines)]))
    # Slivers between borders that ought to coincide are no regions.
    inside = shapely.point_on_surface(cells[shapely.area(cells) > 0.1])
    counts = np.bincount(shapely.STRtree(polygons).query(inside, predicate="within")[0], minlength=len(inside))
    covered: Ints = counts[counts > 0]
    return covered if len(covered) else np.array([1])
