"""Within one plane: how far two layers overlap, and which edges run through the inside of a layer.

margin   what overlaps by less only touches; it is counted from the whole outline of a face, not from that of a part
"""

from __future__ import annotations

import numpy as np

from folder.fold.layers.face_frames import AHEAD, raised, ranges, run_ends, to_local
from folder.fold.layers.outline import Outline, boxes, touching
from folder.geometry.space import Floats, Ints, begins

_HAIR_MM = 1e-7
"""Sides of two triangles nearer than this are one line."""

_LEAST_RUN_MM = 1e-6
"""An edge that runs less far or less deep than this inside a face only touches it."""


def inside_layer(start: Floats, end: Floats, corners: Floats, side: Floats, margin: Floats) -> tuple[Floats, Floats]:
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


def overlaps(outline: Outline, pairs: Ints, least_mm: float) -> tuple[Ints, Floats, Floats]:
    """Of pairs (p, 2) in one plane, those that overlap by more than a seam of some width: (q, 2), a place in both (q, 3) mm, mm2 (q,)."""
    if not len(pairs):
        return pairs, np.empty((0, 3)), np.empty(0)
    first, size = outline.triangle_first, outline.triangle_size
    one, other = pairs[:, 0], pairs[:, 1]
    of_other = size.take(other)
    owner, k = ranges(np.zeros(len(pairs), dtype=np.int64), size.take(one) * of_other)
    mine, its = np.divmod(k, of_other.take(owner))
    mine += first.take(one).take(owner)
    its += first.take(other).take(owner)
    box = boxes(outline.solid.min(axis=1), outline.solid.max(axis=1))
    near = touching(box.take(mine, axis=1), box.take(its, axis=1), least_mm).nonzero()[0]
    if not len(near):
        return pairs[:0], np.empty((0, 3)), np.empty(0)
    owner, mine, its = owner.take(near), mine.take(near), its.take(near)
    new = begins(owner)
    pairs, owner = pairs.take(owner.compress(new), axis=0), new.cumsum() - 1
    one, other = pairs[:, 0], pairs[:, 1]
    turned = np.einsum("nj,nj->n", outline.normals.take(one, axis=0), outline.normals.take(other, axis=0)) < 0.0
    turned = turned.take(owner)
    its_corners = to_local(outline.folded, one.take(owner), outline.solid.take(its, axis=2))[:2]
    # Two triangles each time, both counter-clockwise: x and y, which of the two, corner, and which time.
    corners = np.empty((2, 2, 3, len(owner)))
    corners[:, 0] = outline.flat.take(mine, axis=2)
    corners[:, 1] = np.where(turned, its_corners[:, ::-1], its_corners)
    ahead = corners.take(AHEAD, axis=2) - corners
    # The overlap is bounded by what of each triangle's sides runs in the other. A common side is counted once when both
    # triangles lie on the same side of it, and not at all when they lie back to back.
    margins = np.empty((2, 3, 3, len(owner)))
    a_ahead, b_ahead = np.ascontiguousarray(ahead.transpose(1, 3, 2, 0))
    margins[0] = np.where((a_ahead @ b_ahead.transpose(0, 2, 1)).T > 0.0, -_HAIR_MM, _HAIR_MM)
    margins[1] = _HAIR_MM
    low, high = inside_layer(corners, corners + ahead, corners[:, ::-1], ahead[:, ::-1], margins)
    p, q = corners + low * ahead, corners + np.maximum(low, high) * ahead
    swept = p[0] * q[1] - p[1] * q[0]
    run, arm = np.hypot(q[0] - p[0], q[1] - p[1]), (p + q) * swept
    twice = swept.sum(axis=(0, 1))
    area = np.asarray(np.bincount(owner, twice / 2.0, len(pairs)), dtype=np.float64)
    # Only the outlines of the faces bound what they share, not the sides between their triangles.
    its_bounds = outline.outer.take(its, axis=1)
    its_bounds = np.where(turned, its_bounds[[1, 0, 2]], its_bounds)
    girth = (run[0] * outline.outer.take(mine, axis=1) + run[1] * its_bounds).sum(axis=0)
    half = np.bincount(owner, girth / 2.0, len(pairs))
    # As wide as a rectangle of this area and girth.
    width = 2.0 * area / np.maximum(half + np.sqrt(np.maximum(half * half - 4.0 * area, 0.0)), _HAIR_MM)
    order = np.lexsort((twice, owner))
    best = order.compress(run_ends(owner.take(order)))
    rank = (width > least_mm).nonzero()[0]
    rank = rank.take(np.lexsort((other.take(rank), one.take(rank))))
    best, pairs = best.take(rank), pairs.take(rank, axis=0)
    moment = arm.reshape(2, 6, -1).take(best, axis=2).sum(axis=1)
    place = np.ascontiguousarray((moment / np.maximum(3.0 * twice.take(best), 1e-12)).T)
    at = raised(outline.folded.motions.take(pairs[:, 0], axis=0), place[:, None])[:, 0]
    return pairs, at, area.take(rank)


def edges_in_faces(outline: Outline, edge: Ints, face: Ints, margin_mm: float, least_mm: float) -> tuple[Ints, Floats]:
    """Of edges (k,) in the planes of faces (k,), those that run inside for a while, deeper than the margin: (i,), and places (i, 3) mm."""
    if not len(edge):
        return edge, np.empty((0, 3))
    place = outline.ends.take(edge, axis=2)
    local = to_local(outline.folded, face, place)[:2]
    ahead = local[:, 1] - local[:, 0]
    length = np.hypot(ahead[0], ahead[1])
    owner, k = ranges(outline.triangle_first.take(face), outline.triangle_size.take(face))
    corners = outline.flat.take(k, axis=2)
    run = local.take(owner, axis=2)
    # Most run exactly along an outline: these are left out at once.
    margin = np.where(outline.outer.take(k, axis=1), _LEAST_RUN_MM, -_HAIR_MM)[:, None]
    low, high = inside_layer(run[:, :1], run[:, 1:], corners, corners.take(AHEAD, axis=1) - corners, margin)
    low, high = low[0], np.maximum(low[0], high[0])  # one segment for each triangle
    within = np.bincount(owner, (high - low) * length.take(owner), len(edge)) > least_mm
    kept = within.nonzero()[0]
    if not len(kept):
        return kept, np.empty((0, 3))
    number = within.cumsum() - 1
    of_kept = within.take(owner)
    owner, low, high = number.take(owner.compress(of_kept)), low.compress(of_kept), high.compress(of_kept)
    # What runs within the margin of the outline is taken away.
    by, row = ranges(outline.first.take(face.take(kept)), outline.size.take(face.take(kept)))
    near, far = _beside(local.take(kept, axis=2).take(by, axis=2), outline.sides_on_sheet.take(row, axis=2), margin_mm)
    which = np.concatenate([owner, owner, by, by])
    place_on = np.concatenate([low, high, near, far])
    step = np.zeros((2, len(which)), dtype=np.int64)
    parts = np.array([len(owner), 2 * len(owner), 2 * len(owner) + len(by)])
    step[0, : parts[0]], step[0, parts[0] : parts[1]] = 1, -1
    step[1, parts[1] : parts[2]], step[1, parts[2] :] = 1, -1
    order = np.lexsort((place_on, which))
    which, place_on = which.take(order), place_on.take(order)
    in_face, in_margin = step.take(order, axis=1).cumsum(axis=1)
    deep = (in_face > 0) & (in_margin == 0)
    stretch = np.where(deep[:-1], place_on[1:] - place_on[:-1], 0.0) * length.take(kept).take(which[:-1])
    longest = np.lexsort((stretch, which[:-1]))
    longest = longest.compress(run_ends(which[:-1].take(longest)))
    longest = longest.compress(stretch.take(longest) > _LEAST_RUN_MM)
    kept_edges = kept.take(which.take(longest))
    start, end = place.take(kept_edges, axis=2).transpose(1, 0, 2)
    at = start + (place_on.take(longest) + place_on.take(longest + 1)) / 2.0 * (end - start)
    return kept_edges, at.T


def _beside(run: Floats, side: Floats, margin_mm: float) -> tuple[Floats, Floats]:
    """From where to where segments (2, 2, n), their start and end, run within the margin of sides (2, 2, n): shares 0..1, (n,) each.

    What is so near a side is a rectangle along it with a half disc at each end: convex, so it is entered and left once.
    """
    ahead, along = run[:, 1] - run[:, 0], side[:, 1] - side[:, 0]
    length = np.maximum(np.hypot(along[0], along[1]), _HAIR_MM)
    x, y = along / length
    off = run[:, 0] - side[:, 0]
    # Start and step of the run along and across the side.
    at_x, at_y = off[0] * x + off[1] * y, off[1] * x - off[0] * y
    by_x, by_y = ahead[0] * x + ahead[1] * y, ahead[1] * x - ahead[0] * y
    with np.errstate(divide="ignore", invalid="ignore"):
        first, last = _slab(at_y, by_y, -margin_mm, np.full_like(length, margin_mm))
        low, high = _slab(at_x, by_x, 0.0, length)
        low, high = np.maximum(first, low), np.minimum(last, high)
        low, high = np.where(low < high, low, np.inf), np.where(low < high, high, -np.inf)
        square = np.maximum(by_x * by_x + by_y * by_y, _HAIR_MM**2)
        for centre in (0.0, length):
            from_x = at_x - centre
            middle = -(from_x * by_x + at_y * by_y) / square
            room = middle * middle - (from_x * from_x + at_y * at_y - margin_mm * margin_mm) / square
            half = np.sqrt(np.maximum(room, 0.0))
            low = np.where(room > 0.0, np.minimum(low, middle - half), low)
            high = np.where(room > 0.0, np.maximum(high, middle + half), high)
    low, high = np.clip(low, 0.0, 1.0), np.clip(high, 0.0, 1.0)
    return low, np.maximum(low, high)


def _slab(at: Floats, by: Floats, low: float, high: Floats) -> tuple[Floats, Floats]:
    """From where to where at + t by lies between low and high, as t: (n,) each; nowhere: from is not below to."""
    one, other = (low - at) / by, (high - at) / by
    stays = np.abs(by) < 1e-12
    among_them = (at > low) & (at < high)
    first = np.where(stays, np.where(among_them, -np.inf, np.inf), np.minimum(one, other))
    last = np.where(stays, np.where(among_them, np.inf, -np.inf), np.maximum(one, other))
    return first, last
