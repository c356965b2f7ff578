"""The outlines of all faces in space, and which of them come near each other."""

from __future__ import annotations

import numpy as np

from folder.fold.facing import among, raised, spread, triangle_rows
from folder.fold.place import Folded
from folder.geometry.space import Bools, Floats, Ints

MOST_PAIRS = 2_000_000
"""Pairs of boxes looked at: more than any sheet that a hand folds has."""

MOST_TOUCHING = 200_000
"""Pairs of boxes that touch: keeps what follows within memory."""


class Outline:
    """The rings of all faces in space, row by row."""

    def __init__(self, folded: Folded) -> None:
        faces = folded.faces
        self.folded, self.faces = folded, faces
        self.face, vertex, following = faces.ring.T
        self.first = np.searchsorted(self.face, np.arange(faces.count + 1))
        motion = folded.motions[self.face]
        flat = faces.vertices[vertex]
        self.points = motion[:, :3, 0] * flat[:, :1] + motion[:, :3, 1] * flat[:, 1:] + motion[:, :3, 3]
        here = self.face * len(faces.vertices) + vertex
        rank = here.argsort()
        self.next = rank[np.searchsorted(here[rank], self.face * len(faces.vertices) + following)]
        keys = np.minimum(vertex, following) * len(faces.vertices) + np.maximum(vertex, following)
        ends = np.sort(faces.edges, axis=1)
        known = ends[:, 0] * len(faces.vertices) + ends[:, 1]
        rank = known.argsort()
        self.edge = rank[np.searchsorted(known[rank], keys)]
        self.normals = folded.motions[:, :3, 2]
        self.offset = (self.normals * folded.motions[:, :3, 3]).sum(axis=1)
        self.ring_keys = np.sort(keys)
        self.low = np.minimum.reduceat(self.points, self.first[:-1], axis=0)
        self.high = np.maximum.reduceat(self.points, self.first[:-1], axis=0)
        rank, self.triangle_first = triangle_rows(faces)
        self.triangles, self.solid = faces.triangles[rank], folded.corners[rank]
        self.ends = raised(folded.motions[faces.sides[:, 0]], faces.vertices[faces.edges])
        """(e, 2, 3) mm: the ends of joined edges in space; of others they mean nothing."""


def touching(low: Floats, high: Floats, other_low: Floats, other_high: Floats, tolerance_mm: float) -> Bools:
    """Whether boxes (n, 3) touch along more than a point: (n,)."""
    common = np.minimum(high, other_high) - np.maximum(low, other_low)
    touch: Bools = (common.min(axis=1) >= -tolerance_mm) & (common.max(axis=1) > tolerance_mm)
    return touch


def near_pairs(outline: Outline, tolerance_mm: float) -> Ints | None:
    """(p, 2) faces whose boxes touch along more than a point, save neighbours that cannot meet otherwise. None: too many."""
    faces, folded = outline.faces, outline.folded
    low, high = outline.low, outline.high
    size = high - low
    axis = int(np.argmin(size.sum(axis=0) / np.maximum(high.max(axis=0) - low.min(axis=0), 1.0)))
    order = np.argsort(low[:, axis], kind="stable")
    order = order[folded.placed[order]]
    reach = np.searchsorted(low[order, axis], high[order, axis] + tolerance_mm, side="right")
    after = np.arange(1, len(order) + 1)
    count = np.maximum(reach - after, 0)
    if count.sum() > MOST_PAIRS:
        return None
    i, j = spread(after, count)
    a, b = order[i], order[j]
    touch = touching(low[a], high[a], low[b], high[b], tolerance_mm)
    if touch.sum() > MOST_TOUCHING:
        return None
    pairs = np.sort(np.column_stack([a[touch], b[touch]]), axis=1)
    # Neighbours across a crease that is not folded flat only meet there.
    open_fold = faces.joined & (np.abs(folded.turn) < np.pi - 0.3)
    beside = np.sort(faces.sides[open_fold], axis=1) @ np.array([faces.count, 1])
    beside.sort()
    return pairs[~among(beside, pairs @ np.array([faces.count, 1]))]
