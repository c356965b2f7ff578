"""Triangle soups: area, volume, centroid and moments of loose triangles, and what of them lies below a plane.

soup          triangles that need not join; each has a right-hand normal, and so a sign when seen from above
up            unit vector; heights are measured along it
level         height of a plane across `up`
moments       the 4 x 4 matrix of the integrals of c c^T over a surface seen along `up`, c = (1, x, y, z); area counts
              positive where the normal points up. It holds area, first and second moments at once, and it is exact:
              over one triangle of area A the integral of f g is A/12 (sum f sum g + sum f_i g_i) for linear f, g.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Soup:
    """Triangles with what every cut by a plane needs of them, worked out once. All arrays are read-only."""

    corners: Floats
    """(n, 3, 4): per corner 1, x, y, z in mm."""
    area_vectors: Floats
    """(n, 3) mm2: right-hand normal times area."""
    unit_moments: Floats
    """(n, 16): moments of each triangle divided by its area."""

    @classmethod
    def of(cls, corners: Floats) -> Soup:
        """The soup of corners `(n, 3, 3)` in mm."""
        ones = np.ones((len(corners), 3, 1))
        lifted = np.concatenate([ones, np.asarray(corners, dtype=float)], axis=2)
        rows = np.concatenate([lifted, lifted.sum(axis=1, keepdims=True)], axis=1)
        unit = (rows.transpose(0, 2, 1) @ rows / 12.0).reshape(len(rows), 16)
        vectors = area_vectors(corners)
        for array in (lifted, vectors, unit):
            array.flags.writeable = False
        return cls(lifted, vectors, unit)


def area_vectors(corners: Floats) -> Floats:
    """Right-hand normal times area, `(n, 3)` mm2, of corners `(n, 3, 3)` mm."""
    return np.asarray(0.5 * np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]))


def areas(corners: Floats) -> Floats:
    """Areas `(n,)` mm2, never negative."""
    return np.asarray(np.linalg.norm(area_vectors(corners), axis=1))


def surface_centroid(corners: Floats) -> Floats:
    """Centroid `(3,)` mm of the surface itself, every layer counted; the plain mean where there is no area."""
    weights = areas(corners)
    middles = corners.mean(axis=1)
    total = weights.sum()
    return np.asarray(weights @ middles / total if total > 0 else middles.mean(axis=0))


def enclosed_volume(corners: Floats) -> float:
    """Signed volume in mm3 of a closed soup: positive when the normals point out."""
    return float(np.einsum("ij,ij->", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])) / 6.0)


def moments_below(soup: Soup, ups: Floats, levels: Floats, counted: Flags | None = None) -> Floats:
    """Moments `(k, 4, 4)` of the part of the soup below each of k planes, seen along each up.

    `ups (k, 3)`, `levels (k,)` mm; `counted (k, n)` or `(n,)` leaves triangles out. Coordinates stay the soup's own.
    A cut triangle is its lone corner's tip, or the whole less that tip, so one clipping serves both cases.
    """
    k, n = len(levels), len(soup.corners)
    heights = (ups @ soup.corners[:, :, 1:].reshape(-1, 3).T).reshape(k, n, 3) - levels[:, None, None]
    below = heights < 0.0
    count = below.sum(axis=2)
    projected = ups @ soup.area_vectors.T
    if counted is not None:
        projected = projected * counted
    total = (np.where(count >= 2, projected, 0.0) @ soup.unit_moments).reshape(k, 4, 4)
    pose, triangle = np.nonzero((count % 3 != 0) & (projected != 0.0))
    if not len(pose):
        return np.asarray(total)
    one_below = count[pose, triangle] == 1
    lone = np.argmax(below[pose, triangle] == one_below[:, None], axis=1)
    order = (lone[:, None] + np.arange(3)) % 3
    height = heights[pose[:, None], triangle[:, None], order]
    share = height[:, :1] / (height[:, :1] - height[:, 1:])
    corner = soup.corners[triangle[:, None], order]
    rows = np.empty((len(pose), 4, 4))
    rows[:, 0] = corner[:, 0]
    rows[:, 1:3] = corner[:, :1] + share[:, :, None] * (corner[:, 1:] - corner[:, :1])
    rows[:, 3] = rows[:, :3].sum(axis=1)
    weight = projected[pose, triangle] * share[:, 0] * share[:, 1] * np.where(one_below, 1.0, -1.0) / 12.0
    weighted = rows * weight[:, None, None]
    ends = np.searchsorted(pose, np.arange(k + 1))
    for i in range(k):
        part = slice(ends[i], ends[i + 1])
        total[i] += weighted[part].reshape(-1, 4).T @ rows[part].reshape(-1, 4)
    return np.asarray(total)


def cut_by_plane(corners: Floats, up: Floats, level: float) -> Floats:
    """Where the plane cuts the triangles: segments `(s, 2, 3)` mm. Triangles that only touch it give none."""
    heights = corners @ up - level
    below = heights < 0.0
    count = below.sum(axis=1)
    cut = np.nonzero(count % 3)[0]
    lone = np.argmax(below[cut] == (count[cut] == 1)[:, None], axis=1)
    order = (lone[:, None] + np.arange(3)) % 3
    height = heights[cut[:, None], order]
    corner = corners[cut[:, None], order]
    share = height[:, :1] / (height[:, :1] - height[:, 1:])
    return np.asarray(corner[:, :1] + share[:, :, None] * (corner[:, 1:] - corner[:, :1]))
