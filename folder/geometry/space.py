"""Turns and rigid motions in space.

A turn is a (3, 3) rotation matrix, a motion a (4, 4) matrix that acts on columns (x, y, z, 1); both come in stacks.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
Complexes = NDArray[np.complex128]


def frozen(array: NDArray[Any]) -> NDArray[Any]:
    """The same array, of any shape, made read-only."""
    array.setflags(write=False)
    return array


def begins(values: NDArray[Any]) -> Bools:
    """(n,) where a run of equal values begins."""
    new = np.empty(len(values), dtype=np.bool_)
    new[:1] = True
    np.not_equal(values[1:], values[:-1], out=new[1:])
    return new


def distinct(values: Ints) -> Ints:
    """Whole numbers of any shape sorted, each once: `(m,)`. Plain `np.unique` would load the masked arrays, which takes time."""
    ordered = np.sort(values, axis=None)
    return ordered[begins(ordered)]


def cross(a: Floats, b: Floats) -> Floats:
    """Cross products (..., 3) of vectors (..., 3) in any units, written out: the library's own takes its time over small arrays."""
    out: Floats = np.empty(np.broadcast_shapes(a.shape, b.shape))
    out[..., 0] = a[..., 1] * b[..., 2] - a[..., 2] * b[..., 1]
    out[..., 1] = a[..., 2] * b[..., 0] - a[..., 0] * b[..., 2]
    out[..., 2] = a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]
    return out


def motions_about(start: Floats, end: Floats, angles: Floats) -> Floats:
    """Turns by `angles` about lines of the plane z = 0, right-handed along start -> end.

    start, end (n, 2) mm, angles (n,) rad -> (n, 4, 4). The closed form of Rodrigues' formula for an axis in the plane.
    """
    d = end - start
    d = d / np.hypot(d[:, 0], d[:, 1])[:, None]
    x, y = d[:, 0], d[:, 1]
    c, s = np.cos(angles), np.sin(angles)
    # Written as 1 - c = 2 sin^2(angle / 2) so that small turns keep their digits.
    k = 2.0 * np.sin(angles / 2.0) ** 2
    out = np.zeros((len(angles), 4, 4))
    out[:, 0, 0] = 1.0 - k * y * y
    out[:, 0, 1] = out[:, 1, 0] = k * x * y
    out[:, 1, 1] = 1.0 - k * x * x
    out[:, 0, 2] = s * y
    out[:, 1, 2] = -s * x
    out[:, 2, 0] = -s * y
    out[:, 2, 1] = s * x
    out[:, 2, 2] = c
    # The line's own points stay where they are.
    out[:, :2, 3] = start - np.einsum("nij,nj->ni", out[:, :2, :2], start)
    out[:, 2, 3] = -(out[:, 2, 0] * start[:, 0] + out[:, 2, 1] * start[:, 1])
    out[:, 3, 3] = 1.0
    return out


WAY_BACK = frozen(np.array([[1.0, 1, -1, 1], [1, 1, -1, 1], [-1, -1, 1, -1], [1, 1, -1, 1]]))
"""Times a motion about a line of the plane z = 0: the motion back, its mirror image in that plane."""


def carry(motions: Floats, points: Floats) -> Floats:
    """Motions applied to points of the plane z = 0: (n, 4, 4), (n, 2) mm -> (n, 3) mm."""
    return motions[:, :3, 0] * points[:, :1] + motions[:, :3, 1] * points[:, 1:2] + motions[:, :3, 3]


def turn_angle(turns: Floats) -> Floats:
    """How far each rotation turns: (n, 3, 3) -> (n,) rad in 0..pi.

    From the Frobenius distance to the identity, 2 sqrt 2 sin(angle / 2): exact near zero, where the trace loses half its digits.
    """
    distance = np.sqrt(((turns - np.eye(3)) ** 2).sum(axis=(1, 2)))
    return 2.0 * np.arcsin(np.minimum(1.0, distance / (2.0 * np.sqrt(2.0))))
