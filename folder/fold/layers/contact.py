"""Where the folded sheet touches itself: faces that cross, faces that lie flat on each other, edges against faces.

pair             two faces whose boxes touch, the lower number first
crossing         a pair where each face has parts on both sides of the other, along a common stretch
flat             a pair that lies in one plane, as layers, and overlaps
edge in face     a joined edge that lies in the plane of a face and runs through its inside
collinear edges  two joined edges that lie along each other in space

What is less deep than the tolerance lies in one plane or touches; what overlaps or sticks out within a plane by less than
the margin touches.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from folder.fold.layers.face_frames import pair_keys, pairs_between, ranges, run_ends
from folder.fold.layers.outline import Outline, near_pairs, touching
from folder.fold.layers.overlap import edges_in_faces, overlaps
from folder.fold.place import Folded
from folder.geometry.space import Floats, Ints, begins, cross

MOST_FLAT = 20_000
"""Pairs of layers looked at: a sheet with more is folded to confetti."""

_PARALLEL = 0.99
"""Least cosine between the normals of two layers."""


class Contacts(Struct, frozen=True, eq=False):
    """How a folded sheet touches itself."""

    crossing: Ints
    """(c, 2) pairs that cross."""
    crossing_at: Floats
    """(c, 3) mm, in space."""
    crossing_mm: Floats
    """(c,) how deep."""
    flat: Ints
    """(q, 2) layers, sorted."""
    flat_at: Floats
    """(q, 3) mm: a place in space where both layers lie."""
    flat_mm2: Floats
    """(q,) how much they overlap."""
    edge_in_face: Ints
    """(i, 2) edge, face."""
    edge_in_face_at: Floats
    """(i, 3) mm."""
    collinear_edges: Ints
    """(a, 2) edges."""
    complete: bool
    """False when the sheet has too many faces to look at."""


def contacts_of(folded: Folded, tolerance_mm: float, margin_mm: float | None = None) -> Contacts:
    """How the sheet touches itself. The margin is the tolerance unless given."""
    margin_mm = tolerance_mm if margin_mm is None else margin_mm
    least_mm = least_part_mm(tolerance_mm, margin_mm)
    outline = Outline(folded)
    pairs = near_pairs(outline, tolerance_mm)
    if pairs is None or not len(pairs):
        return no_contacts(complete=pairs is not None)
    crossing, flat, (edge, face) = _by_planes(outline, pairs, tolerance_mm)
    if len(flat) > MOST_FLAT:
        return no_contacts(complete=False)
    crossed, crossing_at, deep = _crossings(outline, *crossing, tolerance_mm)
    flat, flat_at, area = overlaps(outline, flat, least_mm)
    rows, edge_in_face_at = edges_in_faces(outline, edge, face, margin_mm, least_mm)
    edge_in_face = pairs_between(edge.take(rows), face.take(rows))
    collinear = _collinear_edges(outline, edge, face, margin_mm, least_mm)
    return Contacts(crossed, crossing_at, deep, flat, flat_at, area, edge_in_face, edge_in_face_at, collinear, True)


def least_part_mm(tolerance_mm: float, margin_mm: float) -> float:
    """How wide a part must be for it to count as more than touching: a thin triangle is as wide as a strip half its height."""
    return max(tolerance_mm, margin_mm / 2.0)


def no_contacts(complete: bool) -> Contacts:
    """Nothing touches, or nothing was looked at."""
    two, three, one = np.empty((0, 2), dtype=np.int64), np.empty((0, 3)), np.empty(0)
    return Contacts(two, three, one, two, three, one, two, three, two, complete)


def _by_planes(outline: Outline, pairs: Ints, tolerance_mm: float) -> tuple[tuple[Ints, Floats], Ints, tuple[Ints, Ints]]:
    """The pairs that may cross and how deep, the pairs in one plane, and which joined edges (k,) lie in the plane of which face (k,)."""
    a, b = pairs[:, 0], pairs[:, 1]
    one, other = np.concatenate([a, b]), np.concatenate([b, a])
    first, count = outline.first.take(one), outline.size.take(one)
    owner, row = ranges(first, count)
    plane_of = other.take(owner)
    points, normals = outline.points.take(row, axis=0), outline.normals.take(plane_of, axis=0)
    height = np.einsum("nj,nj->n", points, normals) - outline.offset.take(plane_of)
    begin = count.cumsum() - count
    low, high = np.minimum.reduceat(height, begin), np.maximum.reduceat(height, begin)

    both = len(pairs)
    leaves = np.maximum(-low, high)
    along = np.abs(np.einsum("nj,nj->n", outline.normals.take(a, axis=0), outline.normals.take(b, axis=0)))
    flat = (np.minimum(leaves[:both], leaves[both:]) <= tolerance_mm) & (along > _PARALLEL)
    through = (low < -tolerance_mm) & (high > tolerance_mm)
    crossing = through[:both] & through[both:] & ~flat
    deep = np.minimum(-low, high)
    deep = np.minimum(deep[:both], deep[both:])[crossing]

    on = np.abs(height) <= tolerance_mm
    on &= on.take(outline.next.take(row) + (begin - first).take(owner))
    edge, face = outline.edge.take(row.compress(on)), plane_of.compress(on)
    sides = outline.faces.sides.take(edge, axis=0)
    other_one = outline.faces.joined.take(edge) & (sides[:, 0] != face) & (sides[:, 1] != face)
    keys = (edge * outline.faces.count + face).compress(other_one)
    keys.sort()
    keys = keys.compress(begins(keys))
    edge = keys // outline.faces.count
    face = keys - edge * outline.faces.count
    near = touching(outline.edge_boxes.take(edge, axis=1), outline.boxes.take(face, axis=1), tolerance_mm)
    return (pairs[crossing], deep), pairs[flat], (edge.compress(near), face.compress(near))


def _crossings(outline: Outline, pairs: Ints, deep: Floats, tolerance_mm: float) -> tuple[Ints, Floats, Floats]:
    """Of pairs (p, 2) that are on both sides of each other by `deep` (p,) mm, those whose stretches of the common line overlap."""
    if not len(pairs):
        return pairs, np.empty((0, 3)), np.empty(0)
    n = outline.normals[pairs]
    along = cross(n[:, 0], n[:, 1])
    along /= np.sqrt((along * along).sum(axis=1))[:, None]
    which, place, side, enter = [], [], [], []
    for mine, other in ((0, 1), (1, 0)):
        face, plane_of = pairs[:, mine], pairs[:, other]
        owner, row = ranges(outline.first[face], outline.first[face + 1] - outline.first[face])
        a, b = outline.points[row], outline.points[outline.next[row]]
        normal, offset = outline.normals[plane_of[owner]], outline.offset[plane_of[owner]]
        ha, hb = (a * normal).sum(axis=1) - offset, (b * normal).sum(axis=1) - offset
        cut = (ha >= 0.0) != (hb >= 0.0)
        owner, share = owner[cut], (ha[cut] / (ha[cut] - hb[cut]))[:, None]
        t = ((a[cut] + share * (b[cut] - a[cut])) * along[owner]).sum(axis=1)
        order = np.lexsort((t, owner))
        which.append(owner[order])
        place.append(t[order])
        side.append(np.full(len(order), mine))
        enter.append(np.where(np.arange(len(order)) % 2, -1, 1))  # a ring crosses a plane an even number of times
    owner, t, of, step = (np.concatenate(x) for x in (which, place, side, enter))
    order = np.lexsort((t, owner))
    owner, t, of, step = owner[order], t[order], of[order], step[order]
    inside = (np.cumsum(step * (of == 0)) > 0) & (np.cumsum(step * (of == 1)) > 0)
    stretch = np.where(inside[:-1] & (owner[1:] == owner[:-1]), t[1:] - t[:-1], 0.0)
    long = np.nonzero(stretch > tolerance_mm)[0]
    if not len(long):
        return pairs[:0], np.empty((0, 3)), np.empty(0)
    long = long[np.lexsort((stretch[long], owner[long]))]
    long = long[run_ends(owner[long])]
    hit, middle = owner[long], (t[long] + t[long + 1]) / 2.0
    # The point of both planes nearest the origin, and on along the line.
    (n1, n2), (d1, d2) = n[hit].transpose(1, 0, 2), outline.offset[pairs[hit]].T
    c = (n1 * n2).sum(axis=1)
    base = ((d1 - d2 * c) / (1 - c * c))[:, None] * n1 + ((d2 - d1 * c) / (1 - c * c))[:, None] * n2
    return pairs[hit], base + middle[:, None] * along[hit], np.minimum(stretch[long], deep[hit])


def _collinear_edges(outline: Outline, edge: Ints, face: Ints, margin_mm: float, least_mm: float) -> Ints:
    """(a, 2) joined edges that lie along each other, found among edges in the planes of faces."""
    if not len(edge):
        return np.empty((0, 2), dtype=np.int64)
    owner, row = ranges(outline.first.take(face), outline.size.take(face))
    both = outline.faces.joined.take(outline.edge.take(row))
    one, row = edge.take(owner.compress(both)), row.compress(both)
    points = np.ascontiguousarray(outline.points.T)
    a = points.take(row, axis=1)
    along = points.take(outline.next.take(row), axis=1) - a
    length = np.sqrt((along * along).sum(axis=0))
    along /= length
    reach = outline.ends.take(one, axis=2) - a[:, None]
    t = (reach * along[:, None]).sum(axis=0)
    away = reach - t * along[:, None]
    off = np.sqrt((away * away).sum(axis=0).max(axis=0))
    common = np.minimum(t.max(axis=0), length) - np.maximum(t.min(axis=0), 0.0)
    found = (off <= margin_mm) & (common > least_mm)
    keys = pair_keys(one.compress(found), outline.edge.take(row.compress(found)), len(outline.faces.edges))
    keys.sort()
    keys = keys.compress(begins(keys))
    lower = keys // len(outline.faces.edges)
    return pairs_between(lower, keys - lower * len(outline.faces.edges))
