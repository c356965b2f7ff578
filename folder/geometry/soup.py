"""Triangle soups: area, volume, centroid and moments of loose triangles, and what of them lies below a plane.

soup          triangles that need not join; each has a right-hand normal, and so a sign when seen from above
up            unit vector; heights are measured along it
level         height of a plane across `up`
moments       the 4 x 4 matrix of the integrals of c c^T over a surface seen along `up`, c = (1, x, y, z); area counts
              positive where the normal points up. It holds area, first and second moments at once, and it is exact:
              over one triangle of area A the integral of f g is A/12 (sum f sum g + sum f_i g_i) for linear f, g.
"""

from __future__ import annotations

from functools import cached_property

import numpy as np

from folder.geometry.space import Bools, Floats, cross, frozen

_BLOCK = 8_000
"""Poses times triangles worked on at once: what stays in the processor's cache."""


class Soup:
    """Triangles with what every cut by a plane needs of them, worked out once. All arrays are read-only."""

    def __init__(self, corners: Floats) -> None:
        """Of corners `(n, 3, 3)` in mm."""
        rows = np.empty((3, len(corners), 4))
        rows[..., 0] = 1.0
        rows[..., 1:] = np.asarray(corners).transpose(1, 0, 2)
        self.corner_rows: Floats = frozen(rows.reshape(-1, 4))
        """(3 n, 4): 1, x, y, z in mm of all first corners, then all second, then all third."""
        self.corner_points: Floats = frozen(np.ascontiguousarray(self.corner_rows[:, 1:]))
        """(3 n, 3) mm: of those x, y and z alone."""
        self.area_vectors: Floats = frozen(area_vectors(corners))
        """(n, 3) mm2: right-hand normal times area."""
        every = np.concatenate([rows, (rows[0] + rows[1] + rows[2])[None]]).transpose(1, 2, 0)
        self.unit_moments: Floats = frozen((every @ every.transpose(0, 2, 1)).reshape(-1, 16) / 12.0)
        """(n, 16): moments of each triangle divided by its area."""

    @cached_property
    def points(self) -> Floats:
        """(3, 3, n) mm: for each corner x, y and z of all triangles."""
        return frozen(np.ascontiguousarray(self.corner_points.reshape(3, -1, 3).transpose(0, 2, 1)))

    @cached_property
    def products(self) -> Floats:
        """(6, n, 16): a^T a, b^T b, c^T c of the corners a, b, c, then a^T b + b^T a and so on for ab, bc and ca."""
        ends = self.corner_rows.reshape(3, -1, 4)
        squares = ends[:, :, :, None] * ends[:, :, None, :]
        mixed = ends[:, :, :, None] * ends[[1, 2, 0]][:, :, None, :]
        return frozen(np.concatenate([squares, mixed + mixed.transpose(0, 1, 3, 2)]).reshape(6, -1, 16))


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
    return np.linalg.norm(area_vectors(corners), axis=1)


def surface(corners: Floats) -> tuple[float, Floats]:
    """Area mm2 and centroid `(3,)` mm of the surface itself, every layer counted; the plain mean where there is no area."""
    weights = areas(corners)
    middles = corners.sum(axis=1) / 3.0
    total = float(weights.sum())
    return total, np.asarray(weights @ middles / total if total > 0 else middles.mean(axis=0))


def moments_below(soup: Soup, ups: Floats, levels: Floats, counted: Bools | None = None) -> Floats:
    """Moments `(k, 4, 4)` of the part of the soup below each of k planes, seen along each up.

    `ups (k, 3)`, `levels (k,)` mm; `counted (k, n)` or `(n,)` leaves triangles out. Coordinates stay the soup's own.
    A cut triangle is its lone corner's tip, or the whole less that tip. A tip's corners are shares of the triangle's, so
    its moments are shares of the products of these: all poses and triangles at once, with one sum at the end.
    """
    k, n = len(levels), len(soup.area_vectors)
    if k == 1:
        only = counted if counted is None or counted.ndim == 1 else counted[0]
        return moments_below_one(soup, ups[0], float(levels[0]), only)[None]
    block = max(1, _BLOCK // max(1, n))
    if k > block:
        parts = [slice(i, i + block) for i in range(0, k, block)]
        some = [counted if counted is None or counted.ndim == 1 else counted[part] for part in parts]
        return np.concatenate([moments_below(soup, ups[p], levels[p], c) for p, c in zip(parts, some, strict=True)])
    # Corner by corner, so that each array runs straight through poses and triangles.
    heights = ups @ soup.points
    heights -= levels[:, None]
    a, b, c = heights < 0.0
    projected = ups @ soup.area_vectors.T
    if counted is not None:
        projected *= counted
    ab, bc, ca = a ^ b, b ^ c, c ^ a
    total = (projected * np.where(ab, c, a)) @ soup.unit_moments
    products, cut = soup.products, np.nonzero((ab | bc).any(axis=0))[0]
    if len(cut) < n:
        heights, projected, products = heights[:, :, cut], projected[:, cut], products[:, cut]
        ab, bc, ca = ab[:, cut], bc[:, cut], ca[:, cut]
    shares = _tips(heights, projected, np.stack([ab & ca, ab & bc, bc & ca]))
    total += (shares @ products).sum(axis=0)
    return total.reshape(k, 4, 4)


def _tips(heights: Floats, projected: Floats, lone: Bools) -> Floats:
    """How much of each of a soup's `products` the tips of k cuts have, `(6, k, n)`: less than none where one is taken off.

    `heights (3, k, n)` of the corners above the plane, `projected (k, n)` areas, `lone (3, k, n)` marks the lone corner.
    """
    size = projected.size
    # Places in an array (3, k, n) laid out flat: the lone corner's, and those of the two that follow it round.
    at = np.nonzero(lone.ravel())[0]
    second, third = np.searchsorted(at, (size, 2 * size))
    pair, after, before = at.copy(), at + size, at + 2 * size
    pair[second:] -= size
    pair[third:] -= size
    after[third:] -= 3 * size
    before[second:] -= 3 * size
    flat = heights.ravel()
    height = flat[at]
    s, t = height / (height - flat[after]), height / (height - flat[before])
    weight = projected.ravel()[pair] * s * t * np.where(height < 0.0, 1.0 / 12.0, -1.0 / 12.0)
    # The tip's corners are e, (1 - s) e + s f and (1 - t) e + t g; with their sum they are the rows of its moments.
    left_s, left_t, by_s, by_t = 1.0 - s, 1.0 - t, weight * s, weight * t
    both = 1.0 + left_s + left_t
    shares = np.zeros((2, 3 * size))
    shares[0, at] = weight * (1.0 + left_s * left_s + left_t * left_t + both * both)
    shares[0, after], shares[0, before] = 2.0 * by_s * s, 2.0 * by_t * t
    shares[1, at], shares[1, after], shares[1, before] = by_s * (left_s + both), by_s * t, by_t * (left_t + both)
    return shares.reshape(6, *projected.shape)


def moments_below_one(soup: Soup, up: Floats, level: float, counted: Bools | None = None) -> Floats:
    """As `moments_below` for one plane, `(4, 4)`, in fewer steps: what a hull's search for its rest spends its time on."""
    heights = soup.corner_points @ up
    heights -= level
    below = (heights < 0.0).view(np.int8).reshape(3, -1)
    which = below[0] + (below[1] << 1) + (below[2] << 2)
    projected = soup.area_vectors @ up
    if counted is not None:
        projected *= counted
    total = (projected * _WHOLE[which]) @ soup.unit_moments
    triangle = _IS_CUT[which].nonzero()[0]
    which = which[triangle]
    order = _LONE_FIRST[which] * len(projected) + triangle[:, None]
    height, corner = heights[order], soup.corner_rows[order]
    share = height[:, :1] / (height[:, :1] - height[:, 1:])
    weight = projected[triangle] * _TIP_SIGN[which] * share[:, 0] * share[:, 1]
    rows = np.empty((4, len(triangle), 4))
    rows[0] = corner[:, 0]
    rows[1] = corner[:, 0] + share[:, :1] * (corner[:, 1] - corner[:, 0])
    rows[2] = corner[:, 0] + share[:, 1:] * (corner[:, 2] - corner[:, 0])
    rows[3] = rows[0] + rows[1] + rows[2]
    return total.reshape(4, 4) + (rows * weight[:, None]).reshape(-1, 4).T @ rows.reshape(-1, 4)


def distances(points: Floats, corners: Floats) -> Floats:
    """How far points (n, 3) are from the nearest of triangles (m, 3, 3): (n,), in one unit."""
    least = np.empty(len(points))
    block = max(1, _BLOCK // max(1, len(corners)))
    for first in range(0, len(points), block):
        least[first : first + block] = distances_to_each(points[first : first + block], corners).min(axis=1, initial=np.inf)
    return least


def distances_to_each(points: Floats, corners: Floats) -> Floats:
    """How far points (n, 3) are from triangles (m, 3, 3): (n, m), in one unit.

    Straight down onto the triangle's plane where that lands on it, else to the nearest of its three sides.
    """
    ahead = np.roll(corners, -1, axis=1) - corners
    length2 = np.maximum((ahead * ahead).sum(axis=2), 1e-300)
    normal = area_vectors(corners)
    size = np.linalg.norm(normal, axis=1)
    normal = normal / np.maximum(size, 1e-300)[:, None]
    off = points[:, None, None, :] - corners
    share = np.clip((off * ahead).sum(axis=3) / length2, 0.0, 1.0)
    to_side = np.linalg.norm(off - share[..., None] * ahead, axis=3).min(axis=2)
    left = (cross(ahead, off) * normal[:, None, :]).sum(axis=3)
    over = (left >= 0.0).all(axis=2) & (size > 1e-12)
    return np.where(over, abs((off[:, :, 0] * normal).sum(axis=2)), to_side)
