"""The outlines of all faces in space, and which of them come near each other."""

from __future__ import annotations

import numpy as np

from folder.fold.layers.face_frames import AHEAD, among, pair_keys, pairs_between, raised, ranges
from folder.fold.place import Folded
from folder.geometry.space import Bools, Floats, Ints, carry

MOST_PAIRS = 2_000_000
"""Pairs of boxes looked at: more than any sheet that a hand folds has."""

MOST_TOUCHING = 200_000
"""Pairs of boxes that touch: keeps what follows within memory."""


class Outline:
    """The rings of all faces in space, row by row."""

    def __init__(self, folded: Folded) -> None:
        faces = folded.faces
        width = len(faces.vertices)
        self.folded, self.faces = folded, faces
        face, vertex, following = faces.ring[:, 0], faces.ring[:, 1], faces.ring[:, 2]
        self.first = face.searchsorted(np.arange(faces.count + 1))
        self.size = self.first[1:] - self.first[:-1]
        self.points = carry(folded.motions.take(face, axis=0), faces.vertices.take(vertex, axis=0))
        self.sides_on_sheet = np.ascontiguousarray(faces.vertices.take(faces.ring[:, 1:], axis=0).T)
        """(2, 2, r) mm: x and y of the start and the end of every side, on the sheet."""
        start = face * width
        here = start + vertex
        rank = here.argsort()
        self.next = rank.take(here.take(rank).searchsorted(start + following))
        keys = pair_keys(vertex, following, width)
        edge_keys = pair_keys(faces.edges[:, 0], faces.edges[:, 1], width)
        rank = edge_keys.argsort()
        self.edge = rank.take(edge_keys.take(rank).searchsorted(keys))
        self.normals = folded.normals
        self.offset = (folded.frames[2] * folded.frames[3]).sum(axis=0)
        self.ring_keys = np.sort(keys)
        self.low = np.minimum.reduceat(self.points, self.first[:-1], axis=0)
        self.high = np.maximum.reduceat(self.points, self.first[:-1], axis=0)
        self.boxes = boxes(self.low.T, self.high.T)
        """(6, f), see `boxes`."""
        rank, self.triangle_first = faces.triangle_rows
        self.triangle_size = self.triangle_first[1:] - self.triangle_first[:-1]
        self.triangles = faces.triangles.take(rank, axis=0).T
        """(3, t) vertices, sorted by face."""
        sides = pair_keys(self.triangles, self.triangles.take(AHEAD, axis=0), width)
        self.outer = among(self.ring_keys, sides)
        """(3, t) which sides of the triangles, each from its corner on, lie on the outline of their face."""
        self.flat, self.solid = faces.triangle_corners.take(rank, axis=2), folded.corners.T.take(rank, axis=2)
        """(2, 3, t) and (3, 3, t) mm: corners of the same triangles on the sheet and in space."""
        left = folded.motions.take(faces.sides[:, 0], axis=0)
        self.ends = np.ascontiguousarray(raised(left, faces.vertices.take(faces.edges, axis=0)).T)
        """(3, 2, e) mm: the ends of joined edges in space; of others they mean nothing."""
        one_end, other_end = self.ends[:, 0], self.ends[:, 1]
        self.edge_boxes = boxes(np.minimum(one_end, other_end), np.maximum(one_end, other_end))
        """(6, e), see `boxes`."""


def boxes(low: Floats, high: Floats) -> Floats:
    """Boxes as (6, n) mm, from low and high corners (3, n): the high ones with their sign turned.

    So the common part of two boxes is the maximum of both.
    """
    return np.concatenate([low, -high])


def touching(one: Floats, other: Floats, tolerance_mm: float) -> Bools:
    """Whether boxes (6, n) touch along more than a point: (n,)."""
    common = np.maximum(one, other)
    apart = common[:3] + common[3:]
    return (apart.max(axis=0) <= tolerance_mm) & (apart.min(axis=0) < -tolerance_mm)


def near_pairs(outline: Outline, tolerance_mm: float) -> Ints | None:
    """(p, 2) faces whose boxes touch along more than a point, save neighbours that cannot meet otherwise. None: too many."""
    faces, folded = outline.faces, outline.folded
    low, high = outline.low, outline.high
    span = np.maximum(high.max(axis=0) - low.min(axis=0), 1.0)
    axis = int(((high - low).sum(axis=0) / span).argmin())
    order = low[:, axis].argsort(kind="stable")
    order = order.compress(folded.placed.take(order))
    reach = low[:, axis].take(order).searchsorted(high[:, axis].take(order) + tolerance_mm, side="right")
    after = np.arange(1, len(order) + 1)
    count = np.maximum(reach - after, 0)
    if count.sum() > MOST_PAIRS:
        return None
    i, j = ranges(after, count)
    a, b = order.take(i), order.take(j)
    touch = touching(outline.boxes.take(a, axis=1), outline.boxes.take(b, axis=1), tolerance_mm)
    if np.count_nonzero(touch) > MOST_TOUCHING:
        return None
    a, b = a.compress(touch), b.compress(touch)
    # Neighbours across a crease that is not folded flat only meet there.
    open_fold = faces.joined & (np.abs(folded.turn) < np.pi - 0.3)
    beside = pair_keys(faces.sides[:, 0], faces.sides[:, 1], faces.count).compress(open_fold)
    beside.sort()
    apart = ~among(beside, pair_keys(a, b, faces.count))
    a, b = a.compress(apart), b.compress(apart)
    return pairs_between(np.minimum(a, b), np.maximum(a, b))
