"""Places in space as seen square to faces of the folded sheet."""

from __future__ import annotations

import numpy as np

from folder.fold.place import Folded
from folder.geometry.space import Bools, Floats, Ints
from folder.pattern.faces import Faces

_HAIR_MM2 = 1e-7
"""A place this little outside a triangle is on its edge."""


def spread(first: Ints, count: Ints) -> tuple[Ints, Ints]:
    """Stretches of rows laid end to end: for each stretch `count` rows from `first`; the stretch and row of each."""
    owner = np.arange(len(count)).repeat(count)
    row = np.arange(len(owner)) + (first + count - count.cumsum())[owner]
    return owner, row


def begins(values: Ints) -> Bools:
    """Where in a sorted row (n,) another value begins."""
    new = np.ones(len(values), dtype=np.bool_)
    np.not_equal(values[1:], values[:-1], out=new[1:])
    return new


def ends(values: Ints) -> Bools:
    """Where in a sorted row (n,) a value comes for the last time."""
    last = np.ones(len(values), dtype=np.bool_)
    np.not_equal(values[1:], values[:-1], out=last[:-1])
    return last


def among(keys: Ints, some: Ints) -> Bools:
    """Which of some numbers are among sorted keys."""
    if not len(keys):
        return np.zeros(len(some), dtype=np.bool_)
    found: Bools = keys[np.minimum(np.searchsorted(keys, some), len(keys) - 1)] == some
    return found


def triangle_rows(faces: Faces) -> tuple[Ints, Ints]:
    """The rows of the triangles (t,) sorted by face, and where those of each face start: (f + 1,)."""
    owner = faces.triangle_face
    rank = np.argsort(owner, kind="stable")
    return rank, np.searchsorted(owner[rank], np.arange(faces.count + 1))


def raised(motions: Floats, places: Floats) -> Floats:
    """Places on the sheet (n, k, 2), carried by motions (n, 4, 4): (n, k, 3) mm."""
    there: Floats = places @ motions[:, :3, :2].transpose(0, 2, 1) + motions[:, None, :3, 3]
    return there


def holding(folded: Folded, face: Ints, points: Floats) -> Bools:
    """Whether faces (n,) hold points in space (n, 3), seen square to the face: (n,)."""
    rank, first = triangle_rows(folded.faces)
    owner, row = spread(first[face], first[face + 1] - first[face])
    seen = from_face(folded, face, points)
    corner = folded.faces.vertices[folded.faces.triangles[rank[row]]] - seen[owner, None]
    ahead = corner[:, [1, 2, 0]]
    inside = (corner[..., 0] * ahead[..., 1] - corner[..., 1] * ahead[..., 0] >= -_HAIR_MM2).all(axis=1)
    held: Bools = np.bincount(owner[inside], minlength=len(face)) > 0
    return held


def from_face(folded: Folded, face: Ints, points: Floats) -> Floats:
    """Points in space (n, 3) as places on the sheet, seen square to faces (n,): (n, 2) mm."""
    motion = folded.motions[face]
    seen: Floats = np.einsum("nij,ni->nj", motion[:, :3, :2], points - motion[:, :3, 3])
    return seen
