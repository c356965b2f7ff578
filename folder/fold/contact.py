"""Where the folded sheet touches itself: faces that cross, faces that lie flat on each other, edges against faces.

pair      two faces whose boxes touch, the lower number first
crossing  a pair where each face has parts on both sides of the other, along a common stretch
flat      a pair that lies in one plane, as layers, and overlaps
inlay     a joined edge that lies in the plane of a face and runs through its inside
abreast   two joined edges that lie along each other in space

All within a tolerance: what is less deep or less wide is touching, not crossing.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from folder.fold.facing import AHEAD, among, ends, pair_keys, paired, raised, spread, squared
from folder.fold.outline import Outline, boxes, near_pairs, touching
from folder.fold.place import Folded
from folder.geometry.space import Floats, Ints, begins, cross

MOST_FLAT = 20_000
"""Pairs of layers looked at: a sheet with more is folded to confetti."""

_PARALLEL = 0.99
"""Least cosine between the normals of two layers."""
_HAIR_MM = 1e-7
"""Sides of two triangles nearer than this are one line."""


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
    inlay: Ints
    """(i, 2) edge, face."""
    inlay_at: Floats
    """(i, 3) mm."""
    abreast: Ints
    """(a, 2) edges."""
    complete: bool
    """False when the sheet has too many faces to look at."""


def contacts_of(folded: Folded, tolerance_mm: float) -> Contacts:
    """How the sheet touches itself."""
    outline = Outline(folded)
    pairs = near_pairs(outline, tolerance_mm)
    if pairs is None or not len(pairs):
        return no_contacts(complete=pairs is not None)
    crossing, flat, (edge, face) = _by_planes(outline, pairs, tolerance_mm)
    if len(flat) > MOST_FLAT:
        return no_contacts(complete=False)
    crossed, crossing_at, deep = _crossings(outline, *crossing, tolerance_mm)
    flat, flat_at, area = _overlaps(outline, flat, tolerance_mm)
    inlaid, inlay_at = _inlays(outline, edge, face, tolerance_mm)
    inlay = paired(edge.take(inlaid), face.take(inlaid))
    abreast = _abreast(outline, edge, face, tolerance_mm)
    return Contacts(crossed, crossing_at, deep, flat, flat_at, area, inlay, inlay_at, abreast, True)


def no_contacts(complete: bool) -> Contacts:
    """Nothing touches, or nothing was looked at."""
    two, three, one = np.empty((0, 2), dtype=np.int64), np.empty((0, 3)), np.empty(0)
    return Contacts(two, three, one, two, three, one, two, three, two, complete)


def _by_planes(outline: Outline, pairs: Ints, tolerance_mm: float) -> tuple[tuple[Ints, Floats], Ints, tuple[Ints, Ints]]:
    """The pairs that may cross and how deep, the pairs in one plane, and which joined edges (k,) lie in the plane of which face (k,)."""
    a, b = pairs[:, 0], pairs[:, 1]
    one, other = np.concatenate([a, b]), np.concatenate([b, a])
    first, count = outline.first.take(one), outline.size.take(one)
    owner, row = spread(first, count)
    seen_from = other.take(owner)
    points, normals = outline.points.take(row, axis=0), outline.normals.take(seen_from, axis=0)
    height = np.einsum("nj,nj->n", points, normals) - outline.offset.take(seen_from)
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
    edge, face = outline.edge.take(row.compress(on)), seen_from.compress(on)
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
    """Of pairs that are on both sides of each other, those whose stretches of the common line overlap."""
    if not len(pairs):
        return pairs, np.empty((0, 3)), np.empty(0)
    n = outline.normals[pairs]
    along = cross(n[:, 0], n[:, 1])
    along /= np.sqrt((along * along).sum(axis=1))[:, None]
    which, place, side, enter = [], [], [], []
    for mine, other in ((0, 1), (1, 0)):
        face, seen_from = pairs[:, mine], pairs[:, other]
        owner, row = spread(outline.first[face], outline.first[face + 1] - outline.first[face])
        a, b = outline.points[row], outline.points[outline.next[row]]
        normal, offset = outline.normals[seen_from[owner]], outline.offset[seen_from[owner]]
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
    long = long[ends(owner[long])]
    hit, middle = owner[long], (t[long] + t[long + 1]) / 2.0
    # The point of both planes nearest the origin, and on along the line.
    (n1, n2), (d1, d2) = n[hit].transpose(1, 0, 2), outline.offset[pairs[hit]].T
    c = (n1 * n2).sum(axis=1)
    base = ((d1 - d2 * c) / (1 - c * c))[:, None] * n1 + ((d2 - d1 * c) / (1 - c * c))[:, None] * n2
    return pairs[hit], base + middle[:, None] * along[hit], np.minimum(stretch[long], deep[hit])


def _inside(start: Floats, end: Floats, corners: Floats, side: Floats, margin: Floats) -> tuple[Floats, Floats]:
    """From where to where segments (2, ..., s, n) run in triangles, as shares 0..1: (..., s, n) each.

    Of the triangles the corners (2, ..., 3, n), counter-clockwise, and the sides that begin there. `margin` mm, for each side
    and segment (..., 3, s, n): how far the sides are moved inward. Outside altogether: from is not below to.
    """
    length = np.maximum(np.hypot(side[0], side[1]), _HAIR_MM)
    x, y = -side[1] / length, side[0] / length
    base = (x * corners[0] + y * corners[1])[..., None, :] + margin
    x, y = x[..., None, :], y[..., None, :]
    a, b = (end_x * x + end_y * y - base for end_x, end_y in (start[..., None, :, :], end[..., None, :, :]))
    before, after = a < 0.0, b < 0.0
    with np.errstate(divide="ignore", invalid="ignore"):
        cut = a / (a - b)
    low = np.where(before, np.where(after, 1.0, cut), 0.0).max(axis=-3)
    high = np.where(after, np.where(before, 0.0, cut), 1.0).min(axis=-3)
    return low, high


def _overlaps(outline: Outline, pairs: Ints, tolerance_mm: float) -> tuple[Ints, Floats, Floats]:
    """Of pairs in one plane, those that overlap by more than a seam: pairs, a place in both, and the area."""
    if not len(pairs):
        return pairs, np.empty((0, 3)), np.empty(0)
    first, size = outline.triangle_first, outline.triangle_size
    one, other = pairs[:, 0], pairs[:, 1]
    of_other = size.take(other)
    owner, k = spread(np.zeros(len(pairs), dtype=np.int64), size.take(one) * of_other)
    mine, its = np.divmod(k, of_other.take(owner))
    mine += first.take(one).take(owner)
    its += first.take(other).take(owner)
    box = boxes(outline.solid.min(axis=1), outline.solid.max(axis=1))
    near = touching(box.take(mine, axis=1), box.take(its, axis=1), tolerance_mm).nonzero()[0]
    if not len(near):
        return pairs[:0], np.empty((0, 3)), np.empty(0)
    owner, mine, its = owner.take(near), mine.take(near), its.take(near)
    new = begins(owner)
    pairs, owner = pairs.take(owner.compress(new), axis=0), new.cumsum() - 1
    one, other = pairs[:, 0], pairs[:, 1]
    turned = np.einsum("nj,nj->n", outline.normals.take(one, axis=0), outline.normals.take(other, axis=0)) < 0.0
    its_corners = squared(outline.folded, one.take(owner), outline.solid.take(its, axis=2))[:2]
    # Two triangles each time, both counter-clockwise: x and y, which of the two, corner, and which time.
    corners = np.empty((2, 2, 3, len(owner)))
    corners[:, 0] = outline.flat.take(mine, axis=2)
    corners[:, 1] = np.where(turned.take(owner), its_corners[:, ::-1], its_corners)
    ahead = corners.take(AHEAD, axis=2) - corners
    # The overlap is bounded by what of each triangle's sides runs in the other. A common side is counted once when both
    # triangles lie on the same side of it, and not at all when they lie back to back.
    margins = np.empty((2, 3, 3, len(owner)))
    a_ahead, b_ahead = np.ascontiguousarray(ahead.transpose(1, 3, 2, 0))
    margins[0] = np.where((a_ahead @ b_ahead.transpose(0, 2, 1)).T > 0.0, -_HAIR_MM, _HAIR_MM)
    margins[1] = _HAIR_MM
    low, high = _inside(corners, corners + ahead, corners[:, ::-1], ahead[:, ::-1], margins)
    p, q = corners + low * ahead, corners + np.maximum(low, high) * ahead
    swept = p[0] * q[1] - p[1] * q[0]
    run, arm = np.hypot(q[0] - p[0], q[1] - p[1]), (p + q) * swept
    (twice, its_twice), (girth, its_girth) = swept.sum(axis=1), run.sum(axis=1)
    twice = twice + its_twice
    area = np.asarray(np.bincount(owner, twice / 2.0, len(pairs)), dtype=np.float64)
    wide = area > tolerance_mm * np.bincount(owner, girth + its_girth, len(pairs)) / 2.0
    order = np.lexsort((twice, owner))
    best = order.compress(ends(owner.take(order)))
    rank = wide.nonzero()[0]
    rank = rank.take(np.lexsort((other.take(rank), one.take(rank))))
    best, pairs = best.take(rank), pairs.take(rank, axis=0)
    moment = arm.reshape(2, 6, -1).take(best, axis=2).sum(axis=1)
    place = np.ascontiguousarray((moment / np.maximum(3.0 * twice.take(best), 1e-12)).T)
    at = raised(outline.folded.motions.take(pairs[:, 0], axis=0), place[:, None])[:, 0]
    return pairs, at, area.take(rank)


def _inlays(outline: Outline, edge: Ints, face: Ints, tolerance_mm: float) -> tuple[Ints, Floats]:
    """Of edges in the plane of faces, those that run through the inside: their numbers, and a place on each."""
    if not len(edge):
        return edge, np.empty((0, 3))
    place = outline.ends.take(edge, axis=2)
    seen = squared(outline.folded, face, place)[:2]
    ahead = seen[:, 1] - seen[:, 0]
    owner, k = spread(outline.triangle_first.take(face), outline.triangle_size.take(face))
    numbers, corners = outline.triangles.take(k, axis=1), outline.flat.take(k, axis=2)
    keys = pair_keys(numbers, numbers.take(AHEAD, axis=0), len(outline.faces.vertices))
    margin = np.where(among(outline.ring_keys, keys), tolerance_mm, -_HAIR_MM)
    run = seen.take(owner, axis=2)
    low, high = _inside(run[:, :1], run[:, 1:], corners, corners.take(AHEAD, axis=1) - corners, margin[:, None])
    low, high = low[0], high[0]  # one segment for each triangle
    stretch = np.maximum(high - low, 0.0) * np.hypot(ahead[0], ahead[1]).take(owner)
    inlaid = (np.bincount(owner, stretch, len(edge)) > tolerance_mm).nonzero()[0]
    order = np.lexsort((stretch, owner))
    best = order.compress(ends(owner.take(order))).take(inlaid)
    start, end = place.take(inlaid, axis=2).transpose(1, 0, 2)
    at = start + (low + high).take(best) / 2.0 * (end - start)
    return inlaid, at.T


def _abreast(outline: Outline, edge: Ints, face: Ints, tolerance_mm: float) -> Ints:
    """(a, 2) joined edges that lie along each other, found among edges in the planes of faces."""
    if not len(edge):
        return np.empty((0, 2), dtype=np.int64)
    owner, row = spread(outline.first.take(face), outline.size.take(face))
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
    found = (off <= tolerance_mm) & (common > tolerance_mm)
    keys = pair_keys(one.compress(found), outline.edge.take(row.compress(found)), len(outline.faces.edges))
    keys.sort()
    keys = keys.compress(begins(keys))
    lower = keys // len(outline.faces.edges)
    return paired(lower, keys - lower * len(outline.faces.edges))
