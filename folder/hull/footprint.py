"""The folded hull seen from above: the smallest rectangle it fits, and whether it fits a given one at some turn.

extent  how wide the outline is along a direction; between two neighbouring edge directions it is the distance of one pair of
        corners times a cosine, which is the idea of rotating calipers (Toussaint, Solving geometric problems with the rotating
        calipers, 1983)
"""

from __future__ import annotations

import math

import numpy as np

from folder.geometry.plane import convex_hull
from folder.geometry.space import Floats, begins
from folder.hull.hull import Hull


def outline_of(hull: Hull) -> Floats:
    """The corners (n, 2) mm of the convex outline of everything that is folded, flaps and all, seen from above."""
    return convex_hull(hull.skin.vertices[:, :2])


def smallest_rectangle(outline: Floats) -> tuple[float, float]:
    """Length and width, mm, of the rectangle of least area round a convex outline (n, 2): one of its sides lies on an edge."""
    turns = _edge_turns(outline)
    sides = _extents(outline, turns)
    least = sides[:, int(sides.prod(axis=0).argmin())]
    return float(least.max()), float(least.min())


def over_by_mm(outline: Floats, rectangle_mm: tuple[float, float]) -> float:
    """By how much a convex outline (n, 2) passes a rectangle at the best turn, mm; zero or less where it fits.

    The longer of both overlaps is least where an edge lies along a side, or between two such turns where both are the same.
    """
    turns = _edge_turns(outline)
    sizes = np.array([[max(rectangle_mm)], [min(rectangle_mm)]])
    best = min(float((_extents(outline, t) - sizes).max(axis=0).min()) for t in (turns, turns + math.pi / 2.0))
    stops = np.sort(np.concatenate([turns, turns + math.pi / 2.0]) % math.pi)
    for start, end in zip(stops, np.append(stops[1:], stops[0] + math.pi), strict=True):
        level = _level_turn(outline, (start + end) / 2.0, float(sizes[0, 0] - sizes[1, 0]))
        for turn in level:
            if start < turn < end:
                best = min(best, float((_extents(outline, np.array([turn])) - sizes).max()))
    return best


def _edge_turns(outline: Floats) -> Floats:
    """(n,) rad: the directions of the edges, in 0..pi."""
    ahead = np.roll(outline, -1, axis=0) - outline
    turns = np.sort(np.arctan2(ahead[:, 1], ahead[:, 0]) % math.pi)
    return turns[begins(turns)]  # `np.unique` would load the masked arrays, a tenth of a short command's time


def _extents(outline: Floats, turns: Floats) -> Floats:
    """(2, k) mm: how far an outline (n, 2) reaches along directions (k,) and square to them."""
    along = np.array([np.cos(turns), np.sin(turns)])
    across = np.array([-along[1], along[0]])
    return np.stack([np.ptp(outline @ along, axis=0), np.ptp(outline @ across, axis=0)])


def _level_turn(outline: Floats, near: float, apart_mm: float) -> tuple[float, ...]:
    """Turns at which the extent along is `apart_mm` more than the one across, if the same corners set both as at `near`.

    Outline (m, 2) mm; turns in rad.
    """
    along = np.array([math.cos(near), math.sin(near)])
    across = np.array([-along[1], along[0]])
    (ax, ay), (cx, cy) = (outline[(outline @ d).argmax()] - outline[(outline @ d).argmin()] for d in (along, across))
    # a.u - c.v with u = (cos t, sin t), v = (-sin t, cos t): (ax - cy) cos t + (ay + cx) sin t = apart
    cosine, sine = ax - cy, ay + cx
    reach = math.hypot(cosine, sine)
    if reach <= abs(apart_mm):
        return ()
    middle, half = math.atan2(sine, cosine), math.acos(apart_mm / reach)
    return tuple(near + math.remainder(t - near, 2.0 * math.pi) for t in (middle - half, middle + half))
