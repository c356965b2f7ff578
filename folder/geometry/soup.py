"""Triangle soups: area, volume, centroid and moments of loose triangles, and what of them lies below a plane.

soup          triangles that need not join; each has a right-hand normal, and so a sign when seen from above
up            unit vector; heights are measured along it
level         height of a plane across `up`
moments       the 4 x 4 matrix of the integrals of c c^T over a surface seen along `up`, c = (1, x, y, z); area counts
              positive where the normal points up. It holds area, first and second moments at once, and it is exact:
              over one triangle of area A the integral of f g is A/12 (sum f sum g + sum f_i g_i) for linear f, g.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from folder.geometry.space import Bools, Floats, cross

_BLOCK = 16_000
"""Poses times triangles worked on at once: what stays in the processor's cache."""


class Soup(NamedTuple):
    """Triangles with what every cut by a plane needs of them, worked out once. All arrays are read-only."""

    corners: Floats
    """(n, 3, 4): per corner 1, x, y, z in mm."""
    corner_rows: Floats
    """(3 n, 4): the same, all first corners, then all second, then all third."""
    corner_points: Floats
    """(3 n, 3) mm: of those x, y and z alone."""
    points: Floats
    """(3, 3, n) mm: for each corner x, y and z of all triangles."""
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
        by_corner = lifted.transpose(1, 0, 2).reshape(-1, 4)
        parts = (
            lifted,
            by_corner,
            np.ascontiguousarray(by_corner[:, 1:]),
            np.ascontiguousarray(lifted[:, :, 1:].transpose(1, 2, 0)),
            area_vectors(corners),
            unit,
        )
        for array in parts:
            array.flags.writeable = False
        return cls(*parts)


_ROUND = np.array([[0, 1, 2], [1, 2, 0], [2, 0, 1]])
"""The corners of a triangle, each one first."""

# By which corners lie below, as a sum of 1, 2 and 4: none, 0, 1, 0 and 1, 2, ...
_WHOLE = np.array([0.0, 0.0, 0.0, 1.0, 0.0, 1.0, 1.0, 1.0])
_IS_CUT = np.array([False, True, True, True, True, True, True, False])
_LONE_FIRST = _ROUND[[0, 0, 1, 2, 2, 1, 0, 0]]
_TIP_SIGN = np.array([0.0, 1.0, 1.0, -1.0, 1.0, -1.0, -1.0, 0.0]) / 12.0


def area_vectors(corners: Floats) -> Floats:
    """Right-hand normal times area, `(n, 3)` mm2, of corners `(n, 3, 3)` mm."""
    return 0.5 * cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])


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
    return float(np.einsum("ij,ij->", corners[:, 0], cross(corners[:, 1], corners[:, 2])) / 6.0)


def moments_below(soup: Soup, ups: Floats, levels: Floats, counted: Bools | None = None) -> Floats:
    """Moments `(k, 4, 4)` of the part of the soup below each of k planes, seen along each up.

    `ups (k, 3)`, `levels (k,)` mm; `counted (k, n)` or `(n,)` leaves triangles out. Coordinates stay the soup's own.
    A cut triangle is its lone corner's tip, or the whole less that tip, so one clipping serves both cases.
    """
    k = len(levels)
    block = max(1, _BLOCK // max(1, len(soup.corners)))
    if k > block:
        parts = [slice(i, i + block) for i in range(0, k, block)]
        some = [counted if counted is None or counted.ndim == 1 else counted[part] for part in parts]
        return np.concatenate([moments_below(soup, ups[p], levels[p], c) for p, c in zip(parts, some, strict=True)])
    # Corner by corner, so that each array runs straight through poses and triangles.
    heights = ups @ soup.points
    heights -= levels[:, None]
    below = heights < 0.0
    count = below[0].view(np.int8) + below[1].view(np.int8) + below[2].view(np.int8)
    projected = ups @ soup.area_vectors.T
    if counted is not None:
        projected = projected * counted
    total = ((projected * (count >= 2)) @ soup.unit_moments).reshape(k, 4, 4)
    pose, triangle = np.nonzero(((count == 1) | (count == 2)) & (projected != 0.0))
    if not len(pose):
        return np.asarray(total)
    one_below = count[pose, triangle] == 1
    lone = np.argmax(below[:, pose, triangle] == one_below, axis=0)
    order = _ROUND[lone]
    height = heights[order, pose[:, None], triangle[:, None]]
    share = height[:, :1] / (height[:, :1] - height[:, 1:])
    corners = soup.corners[triangle[:, None], order]
    rows = np.empty((len(pose), 4, 4))
    rows[:, 0] = corners[:, 0]
    rows[:, 1:3] = corners[:, :1] + share[:, :, None] * (corners[:, 1:] - corners[:, :1])
    rows[:, 3] = rows[:, 0] + rows[:, 1] + rows[:, 2]
    weight = projected[pose, triangle] * share[:, 0] * share[:, 1] * np.where(one_below, 1.0 / 12.0, -1.0 / 12.0)
    weighted = rows * weight[:, None, None]
    ends = np.searchsorted(pose, np.arange(k + 1)) if k > 1 else (0, len(pose))
    for i in range(k):
        part = slice(ends[i], ends[i + 1])
        total[i] += weighted[part].reshape(-1, 4).T @ rows[part].reshape(-1, 4)
    return np.asarray(total)


def moments_below_one(soup: Soup, up: Floats, level: float) -> Floats:
    """As `moments_below` for one plane, `(4, 4)`, in fewer steps: what a hull's search for its rest spends its time on."""
    heights = soup.corner_points @ up
    heights -= level
    below = (heights < 0.0).view(np.int8).reshape(3, -1)
    which = below[0] + (below[1] << 1) + (below[2] << 2)
    projected = soup.area_vectors @ up
    total = (projected * _WHOLE[which]) @ soup.unit_moments
    triangle = _IS_CUT[which].nonzero()[0]
    which = which[triangle]
    order = _LONE_FIRST[which] * len(soup.corners) + triangle[:, None]
    height, corner = heights[order], soup.corner_rows[order]
    share = height[:, :1] / (height[:, :1] - height[:, 1:])
    weight = projected[triangle] * _TIP_SIGN[which] * share[:, 0] * share[:, 1]
    rows = np.empty((4, len(triangle), 4))
    rows[0] = corner[:, 0]
    rows[1] = corner[:, 0] + share[:, :1] * (corner[:, 1] - corner[:, 0])
    rows[2] = corner[:, 0] + share[:, 1:] * (corner[:, 2] - corner[:, 0])
    rows[3] = rows[0] + rows[1] + rows[2]
    return np.asarray(total.reshape(4, 4) + (rows * weight[:, None]).reshape(-1, 4).T @ rows.reshape(-1, 4))


def cut_by_plane(corners: Floats, up: Floats, level: float) -> Floats:
    """Where the plane cuts the triangles: segments `(s, 2, 3)` mm. Triangles that only touch it give none."""
    heights = corners @ up - level
    below = heights < 0.0
    count = below.sum(axis=1)
    cut = np.nonzero(count % 3)[0]
    lone = np.argmax(below[cut] == (count[cut] == 1)[:, None], axis=1)
    order = _ROUND[lone]
    height = heights[cut[:, None], order]
    corner = corners[cut[:, None], order]
    share = height[:, :1] / (height[:, :1] - height[:, 1:])
    return np.asarray(corner[:, :1] + share[:, :, None] * (corner[:, 1:] - corner[:, :1]))
