"""Places in space as seen square to faces of the folded sheet."""

from __future__ import annotations

import numpy as np

from folder.fold.place import Folded
from folder.geometry.space import Bools, Floats, Ints

AHEAD = np.array([1, 2, 0])
"""The corner of a triangle that follows each of its corners."""

_HAIR_MM2 = 1e-7
"""A place this little outside a triangle is on its edge."""


def ranges(first: Ints, count: Ints) -> tuple[Ints, Ints]:
    """Stretches of rows end to end: for each stretch (s,) `count` rows from `first`; the stretch and the row of each, (r,)."""
    owner = np.arange(len(count)).repeat(count)
    row = np.arange(len(owner)) + (first + count - count.cumsum()).take(owner)
    return owner, row


def pairs_between(one: Ints, other: Ints) -> Ints:
    """Two rows of numbers (n,) as pairs (n, 2)."""
    pairs = np.empty((len(one), 2), dtype=np.int64)
    pairs[:, 0], pairs[:, 1] = one, other
    return pairs


def pair_keys(one: Ints, other: Ints, count: int) -> Ints:
    """A number for each pair of numbers (n,) below `count`, the same whichever of the two comes first."""
    return np.minimum(one, other) * count + np.maximum(one, other)


def run_ends(values: Ints) -> Bools:
    """Where in a sorted row (n,) a value comes for the last time."""
    last = np.empty(len(values), dtype=np.bool_)
    last[-1:] = True
    np.not_equal(values[1:], values[:-1], out=last[:-1])
    return last


def among(keys: Ints, some: Ints) -> Bools:
    """Which of some numbers (n,) are among sorted keys (k,): (n,)."""
    if not len(keys):
        return np.zeros(some.shape, dtype=np.bool_)
    return keys.take(keys.searchsorted(some), mode="clip") == some


def raised(motions: Floats, places: Floats) -> Floats:
    """Places on the sheet (n, k, 2), carried by motions (n, 4, 4): (n, k, 3) mm."""
    return places @ motions[:, :3, :2].transpose(0, 2, 1) + motions[:, None, :3, 3]


def holding(folded: Folded, face: Ints, points: Floats) -> Bools:
    """Whether faces (n,) hold points in space (n, 3), seen square to the face: (n,)."""
    rank, first = folded.faces.triangle_rows
    start = first.take(face)
    owner, row = ranges(start, first.take(face + 1) - start)
    local = to_local(folded, face, points.T[:, None])
    corner = folded.faces.triangle_corners.take(rank.take(row), axis=2) - local[:2].take(owner, axis=2)
    x, y = corner[0], corner[1]
    inside = (x * y.take(AHEAD, axis=0) - y * x.take(AHEAD, axis=0)).min(axis=0) >= -_HAIR_MM2
    return np.bincount(owner.compress(inside), minlength=len(face)) > 0


def to_local(folded: Folded, face: Ints, points: Floats) -> Floats:
    """Points in space (3, k, n) as places on the sheet, seen square to faces (n,), and how high over them: (3, k, n) mm."""
    frame = folded.frames.take(face, axis=2)[:, :, None]
    off = points - frame[3]
    turn = frame[:3]
    return turn[:, 0] * off[0] + turn[:, 1] * off[1] + turn[:, 2] * off[2]


def from_face(folded: Folded, face: Ints, points: Floats) -> Floats:
    """Points in space (n, 3) as places on the sheet, seen square to faces (n,): (n, 2) mm."""
    motion = folded.motions[face]
    return np.einsum("nij,ni->nj", motion[:, :3, :2], points - motion[:, :3, 3])
