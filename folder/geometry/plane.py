"""Points, segments and polygons of the plane: inside, clip, area, convex hull, nearest.

polygon   its corners `(m, 2)`, one after the other; the last is joined to the first. Counter-clockwise has positive area
segment   its two ends; a stack of them `(s, 2, 2)`
share     how far along a segment, 0 at its start, 1 at its end

All lengths are in one unit, mm in this program. The textbook for all of it: O'Rourke, Computational Geometry in C, 2nd
ed. (1998), ch. 1 (area), 3 (convex hull), 7 (segments, point in polygon, nearest).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from folder.geometry.space import Bools, Floats, Ints

Place = tuple[float, float]
"""A point in plain numbers, for work on a few points at a time, where arrays cost more than they save."""


def sides(corners: Floats) -> Floats:
    """The sides `(m, 2, 2)` of a polygon `(m, 2)`, each from its corner on."""
    return np.stack([corners, np.roll(corners, -1, axis=0)], axis=1)


def signed_area(corners: Floats) -> float:
    """Area of a polygon `(m, 2)`, mm2: positive when it runs counter-clockwise. The shoelace sum, about its first corner."""
    (ax, ay), (bx, by) = _about_first(corners)
    return float((ax * by - ay * bx).sum()) / 2.0


def centroid(corners: Floats) -> Floats:
    """The centre `(2,)` mm of the area of a polygon `(m, 2)`, whose area must not be zero."""
    (ax, ay), (bx, by) = _about_first(corners)
    twice = ax * by - ay * bx
    middle = np.array([((ax + bx) * twice).sum(), ((ay + by) * twice).sum()])
    return corners[0] + middle / (3.0 * twice.sum())


def _about_first(corners: Floats) -> tuple[Floats, Floats]:
    """The ends of the sides `(2, m)` mm, as seen from the first corner: far from the origin the digits last longer so."""
    start = (corners - corners[0]).T
    return start, np.roll(start, -1, axis=1)


def winding_numbers(points: Floats, segments: Floats) -> Ints:
    """How often closed rounds of segments `(s, 2, 2)` go counter-clockwise about points `(n, 2)`: `(n,)`.

    A ray to the right counts what it crosses upward less what it crosses downward.
    """
    crossed, up = _crossed(points, segments)
    return (crossed & up).sum(axis=1) - (crossed & ~up).sum(axis=1)


def inside(points: Floats, corners: Floats) -> Bools:
    """Which of points `(n, 2)` lie within a simple polygon `(m, 2)`: `(n,)`. On its border either may come out."""
    return _crossed(points, sides(corners))[0].sum(axis=1) % 2 == 1


def _crossed(points: Floats, segments: Floats) -> tuple[Bools, Bools]:
    """Which of segments `(s, 2, 2)` a ray to the right from points `(n, 2)` crosses, and which begin no higher: `(n, s)` each."""
    (ax, bx), (ay, by) = segments.transpose(2, 1, 0)
    x, y = points[:, 0, None], points[:, 1, None]
    low = ay <= y
    rise = np.where(ay == by, 1.0, by - ay)
    return (low != (by <= y)) & (x < ax + (y - ay) * (bx - ax) / rise), low


def nearest_shares(points: Floats, segments: Floats) -> Floats:
    """Where on segments `(s, 2, d)` the place nearest to each of points `(n, d)` is: shares `(n, s)`. Any dimension."""
    start, ahead = segments[:, 0], segments[:, 1] - segments[:, 0]
    along = ((points[:, None] - start) * ahead).sum(axis=2)
    return np.clip(along / np.maximum((ahead * ahead).sum(axis=1), 1e-300), 0.0, 1.0)


def distances_to(points: Floats, segments: Floats) -> Floats:
    """How far each of points `(n, d)` is from segments `(s, 2, d)`: `(n, s)` mm. Any dimension."""
    start, ahead = segments[:, 0], segments[:, 1] - segments[:, 0]
    off = points[:, None] - start - nearest_shares(points, segments)[..., None] * ahead
    return np.sqrt((off * off).sum(axis=2))


def convex_hull(points: Floats, slack_mm2: float = 0.0) -> Floats:
    """The corners `(h, 2)` of the convex hull of points `(n, 2)`, counter-clockwise from the leftmost.

    A corner that spans a parallelogram of no more than `slack_mm2` with its neighbours counts as straight. Andrew's monotone
    chain (Inf. Process. Lett. 9 (1979) 216).
    """
    if not len(points):
        return points
    ordered: list[Place] = sorted({(x, y) for x, y in points.tolist()})
    halves: list[list[Place]] = []
    for run in (ordered, ordered[::-1]):
        half: list[Place] = []
        for p in run:
            while len(half) > 1 and left_of(p, half[-2], half[-1]) <= slack_mm2:
                half.pop()
            half.append(p)
        halves.append(half[:-1])
    return np.array(halves[0] + halves[1] or ordered)


def left_of(point: Place, start: Place, end: Place) -> float:
    """How far to the left of start -> end a point lies, mm, times the length of start -> end, mm: mm2."""
    return (end[0] - start[0]) * (point[1] - start[1]) - (end[1] - start[1]) * (point[0] - start[0])


def clip_to_box(start: Place, end: Place, low: Place, high: Place) -> tuple[float, float] | None:
    """From where to where a segment runs inside an upright box, as shares of its length; None when it stays outside.

    Liang & Barsky, ACM Trans. Graphics 3 (1984) 1.
    """
    enter, leave = 0.0, 1.0
    for axis in (0, 1):
        step = end[axis] - start[axis]
        for ahead, room in ((-step, start[axis] - low[axis]), (step, high[axis] - start[axis])):
            if ahead == 0.0:
                if room < 0.0:
                    return None
            elif ahead < 0.0:
                enter = max(enter, room / ahead)
            else:
                leave = min(leave, room / ahead)
    return (enter, leave) if enter <= leave else None


def clip_to_convex(start: Place, end: Place, corners: Sequence[Place]) -> tuple[float, float] | None:
    """From where to where a segment runs inside a convex counter-clockwise polygon, as shares; None outside or touching only.

    Cyrus & Beck, Computers & Graphics 3 (1978) 23.
    """
    enter, leave = 0.0, 1.0
    for k, q in enumerate(corners):
        at_start, at_end = left_of(start, corners[k - 1], q), left_of(end, corners[k - 1], q)
        if at_start <= 0.0 and at_end <= 0.0:
            return None
        if at_start < 0.0:
            enter = max(enter, at_start / (at_start - at_end))
        elif at_end < 0.0:
            leave = min(leave, at_start / (at_start - at_end))
    return (enter, leave) if enter < leave else None
