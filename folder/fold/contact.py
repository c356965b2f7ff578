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

from folder.fold.facing import among, begins, ends, from_face, raised, spread
from folder.fold.outline import Outline, near_pairs, touching
from folder.fold.place import Folded
from folder.geometry.space import Floats, Ints, cross

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
    inlay = np.column_stack([edge[inlaid], face[inlaid]])
    abreast = _abreast(outline, edge, face, tolerance_mm)
    return Contacts(crossed, crossing_at, deep, flat, flat_at, area, inlay, inlay_at, abreast, True)


def no_contacts(complete: bool) -> Contacts:
    """Nothing touches, or nothing was looked at."""
    two, three, one = np.empty((0, 2), dtype=np.int64), np.empty((0, 3)), np.empty(0)
    return Contacts(two, three, one, two, three, one, two, three, two, complete)


def _by_planes(outline: Outline, pairs: Ints, tolerance_mm: float) -> tuple[tuple[Ints, Floats], Ints, tuple[Ints, Ints]]:
    """The pairs that may cross and how deep, the pairs in one plane, and which joined edges (k,) lie in the plane of which face (k,)."""
    one, other = np.concatenate([pairs, pairs[:, ::-1]]).T
    count = outline.first[one + 1] - outline.first[one]
    owner, row = spread(outline.first[one], count)
    seen_from = other[owner]
    height = np.einsum("nj,nj->n", outline.points[row], outline.normals[seen_from]) - outline.offset[seen_from]
    begin = np.cumsum(count) - count
    low, high = np.minimum.reduceat(height, begin), np.maximum.reduceat(height, begin)

    both = len(pairs)
    leaves = np.maximum(-low, high)
    along = np.abs((outline.normals[pairs[:, 0]] * outline.normals[pairs[:, 1]]).sum(axis=1))
    flat = (np.minimum(leaves[:both], leaves[both:]) <= tolerance_mm) & (along > _PARALLEL)
    through = (low < -tolerance_mm) & (high > tolerance_mm)
    crossing = through[:both] & through[both:] & ~flat
    deep = np.minimum(-low, high)
    deep = np.minimum(deep[:both], deep[both:])[crossing]

    on = np.abs(height) <= tolerance_mm
    on &= on[begin[owner] + outline.next[row] - outline.first[one][owner]]
    edge, face = outline.edge[row[on]], seen_from[on]
    mine = outline.faces.joined[edge] & (outline.faces.sides[edge] != face[:, None]).all(axis=1)
    keys = np.sort(edge[mine] * outline.faces.count + face[mine])
    edge, face = np.divmod(keys[begins(keys)], outline.faces.count)
    place = outline.ends[edge]
    near = touching(place.min(axis=1), place.max(axis=1), outline.low[face], outline.high[face], tolerance_mm)
    return (pairs[crossing], deep), pairs[flat], (edge[near], face[near])


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


def _inside(start: Floats, end: Floats, corners: Floats, margin: Floats) -> tuple[Floats, Floats]:
    """From where to where segments (n, s, 2) run in triangles (n, 3, 2) counter-clockwise, as shares 0..1: (n, s) each.

    `margin` mm, for each segment and side (n, s, 3): how far the sides are moved inward. Outside altogether: from is not below to.
    """
    side = corners[:, [1, 2, 0]] - corners
    length = np.maximum(np.hypot(side[..., 0], side[..., 1]), _HAIR_MM)
    x, y = -side[..., 1] / length, side[..., 0] / length
    base = (x * corners[..., 0] + y * corners[..., 1])[:, None] + margin
    x, y = x[:, None], y[:, None]
    a = start[..., :1] * x + start[..., 1:] * y - base
    b = end[..., :1] * x + end[..., 1:] * y - base
    with np.errstate(divide="ignore", invalid="ignore"):
        cut = a / (a - b)
    low = np.where(a < 0.0, np.where(b < 0.0, 1.0, cut), 0.0).max(axis=2)
    high = np.where(b < 0.0, np.where(a < 0.0, 0.0, cut), 1.0).min(axis=2)
    return low, high


def _overlaps(outline: Outline, pairs: Ints, tolerance_mm: float) -> tuple[Ints, Floats, Floats]:
    """Of pairs in one plane, those that overlap by more than a seam: pairs, a place in both, and the area."""
    if not len(pairs):
        return pairs, np.empty((0, 3)), np.empty(0)
    first, size = outline.triangle_first, np.diff(outline.triangle_first)
    one, other = pairs.T
    owner, k = spread(np.zeros(len(pairs), dtype=np.int64), size[one] * size[other])
    mine, its = first[one][owner] + k // size[other][owner], first[other][owner] + k % size[other][owner]
    vertices, folded = outline.faces.vertices, outline.folded
    low, high = outline.solid.min(axis=1), outline.solid.max(axis=1)
    near = np.nonzero(touching(low[mine], high[mine], low[its], high[its], tolerance_mm))[0]
    if not len(near):
        return pairs[:0], np.empty((0, 3)), np.empty(0)
    owner, mine, its = owner[near], mine[near], its[near]
    new = begins(owner)
    pairs, owner = pairs[owner[new]], new.cumsum() - 1
    one, other = pairs.T
    a = vertices[outline.triangles[mine]]
    b = from_face(folded, np.repeat(one[owner], 3), outline.solid[its].reshape(-1, 3)).reshape(-1, 3, 2)
    turned = (outline.normals[one[owner]] * outline.normals[other[owner]]).sum(axis=1) < 0.0
    b[turned] = b[turned, ::-1]
    # The overlap is bounded by what of each triangle's sides runs in the other. A common side is counted once when both
    # triangles lie on the same side of it, and not at all when they lie back to back.
    a_ahead, b_ahead = a[:, [1, 2, 0]] - a, b[:, [1, 2, 0]] - b
    margins = np.where(a_ahead @ b_ahead.transpose(0, 2, 1) > 0.0, -_HAIR_MM, _HAIR_MM)
    margins = np.concatenate([margins, np.full_like(margins, _HAIR_MM)])
    sides, ahead = np.concatenate([a, b]), np.concatenate([a_ahead, b_ahead])
    low, high = _inside(sides, sides + ahead, np.concatenate([b, a]), margins)
    p, q = sides + low[..., None] * ahead, sides + np.maximum(low, high)[..., None] * ahead
    swept = p[..., 0] * q[..., 1] - p[..., 1] * q[..., 0]
    run, arm = np.hypot(q[..., 0] - p[..., 0], q[..., 1] - p[..., 1]), (p + q) * swept[..., None]
    twice, girth, moment = (x.reshape(2, len(a), *x.shape[1:]).sum(axis=(0, 2)) for x in (swept, run, arm))
    area = np.asarray(np.bincount(owner, twice / 2.0, len(pairs)), dtype=np.float64)
    wide = area > tolerance_mm * np.bincount(owner, girth, len(pairs)) / 2.0
    order = np.lexsort((twice, owner))
    best = order[ends(owner[order])]
    place = moment[best] / np.maximum(3.0 * twice[best], 1e-12)[:, None]
    at = raised(folded.motions[one], place[:, None])[:, 0]
    rank = np.nonzero(wide)[0]
    rank = rank[np.lexsort((other[rank], one[rank]))]
    return pairs[rank], at[rank], area[rank]


def _inlays(outline: Outline, edge: Ints, face: Ints, tolerance_mm: float) -> tuple[Ints, Floats]:
    """Of edges in the plane of faces, those that run through the inside: their numbers, and a place on each."""
    if not len(edge):
        return edge, np.empty((0, 3))
    place = outline.ends[edge]
    seen = from_face(outline.folded, np.repeat(face, 2), place.reshape(-1, 3)).reshape(-1, 2, 2)
    first = outline.triangle_first
    owner, k = spread(first[face], first[face + 1] - first[face])
    corner = outline.triangles[k]
    ahead = corner[:, [1, 2, 0]]
    width = len(outline.faces.vertices)
    bounds = among(outline.ring_keys, (np.minimum(corner, ahead) * width + np.maximum(corner, ahead)).ravel())
    margin = np.where(bounds, tolerance_mm, -_HAIR_MM).reshape(-1, 3)
    low, high = _inside(seen[owner, :1], seen[owner, 1:], outline.faces.vertices[corner], margin[:, None])
    length = np.hypot(*(seen[:, 1] - seen[:, 0]).T)
    stretch = np.maximum(high - low, 0.0)[:, 0] * length[owner]
    total = np.bincount(owner, stretch, len(edge))
    order = np.lexsort((stretch, owner))
    best = order[ends(owner[order])]
    middle = ((low + high)[best, 0] / 2.0)[:, None]
    inlaid = np.nonzero(total > tolerance_mm)[0]
    at = place[:, 0] + middle * (place[:, 1] - place[:, 0])
    return inlaid, at[inlaid]


def _abreast(outline: Outline, edge: Ints, face: Ints, tolerance_mm: float) -> Ints:
    """(a, 2) joined edges that lie along each other, found among edges in the planes of faces."""
    if not len(edge):
        return np.empty((0, 2), dtype=np.int64)
    owner, row = spread(outline.first[face], outline.first[face + 1] - outline.first[face])
    other = outline.edge[row]
    both = outline.faces.joined[other]
    owner, row, other = owner[both], row[both], other[both]
    a, b = outline.points[row], outline.points[outline.next[row]]
    along = b - a
    length = np.sqrt((along * along).sum(axis=1))
    along = along / length[:, None]
    reach = outline.ends[edge[owner]] - a[:, None]
    t = np.einsum("nkj,nj->nk", reach, along)
    away = reach - t[..., None] * along[:, None]
    off = np.sqrt((away * away).sum(axis=2).max(axis=1))
    common = np.minimum(t.max(axis=1), length) - np.maximum(t.min(axis=1), 0.0)
    found = (off <= tolerance_mm) & (common > tolerance_mm)
    pairs = np.sort(np.column_stack([edge[owner[found]], other[found]]), axis=1)
    keys = np.sort(pairs[:, 0] * len(outline.faces.edges) + pairs[:, 1])
    return np.column_stack(np.divmod(keys[begins(keys)], len(outline.faces.edges)))
