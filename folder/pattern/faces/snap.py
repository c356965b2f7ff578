"""Places that nearly meet: pairs of points, points near lines, points near the sheet's edge."""

from __future__ import annotations

import numpy as np

from folder.geometry.space import Complexes, Floats, Ints, begins

_CHUNK = 200_000
"""Most point-line pairs looked at in one go: keeps the arrays in the processor's cache."""

_SKEW = np.array([0.8, 0.6039])
"""Skew, so that points on one grid line do not share a place along the sweep."""


def close_pairs(points: Floats, within_mm: float) -> Ints:
    """Pairs i < j of points (n, 2) nearer than `within_mm`: (k, 2) indices. A sweep along a skew direction."""
    along = points @ _SKEW
    order = along.argsort(kind="stable")
    along = along[order]
    found: list[Ints] = []
    for k in range(1, len(points)):
        near = along[k:] - along[:-k] <= within_mm * 1.01
        if not np.count_nonzero(near):
            break
        i = near.nonzero()[0]
        gap = points[order[i + k]] - points[order[i]]
        i = i[np.hypot(gap[:, 0], gap[:, 1]) <= within_mm]
        if len(i):
            found.append(np.sort(np.stack([order[i], order[i + k]], axis=1), axis=1))
    return np.concatenate(found) if found else np.empty((0, 2), dtype=np.int64)


def merge_points(points: Floats, within_mm: float) -> Ints:
    """For each point (n, 2) the index of the earliest point it is one with: (n,)."""
    single = complex_of(points)
    order = single.argsort(kind="stable")
    new = begins(single[order])
    # Most points stand there several times: each place is looked at once.
    first, keeper = order[new], np.empty(len(points), dtype=np.int64)
    keeper[order] = first[new.cumsum() - 1]
    first.sort()
    earlier, later = first[close_pairs(points[first], within_mm)].T
    # Passed on from the earlier to the later until all have heard: lines that all but meet in one place make a million pairs.
    before = keeper[later]
    while len(later):
        np.minimum.at(keeper, later, keeper[earlier])
        if np.array_equal(keeper[later], before):
            break
        before = keeper[later]
    return keeper[keeper]


def near_lines(points: Floats, lines: Floats, within_mm: float) -> tuple[Ints, Ints, Floats]:
    """Which points (p, 2) lie on which lines (n, 2, 2): point indices, line indices, place along the line in mm."""
    start, end = complex_of(lines).T
    way = end - start
    half = np.abs(way) / 2.0
    # Turned by this, a line runs along the real axis, from its middle both ways.
    back, middle, reach = way.conj() / (2.0 * half), (start + end) / 2.0, half + within_mm
    places = complex_of(points)[:, None]
    hits: list[tuple[Ints, Ints, Floats]] = []
    rows = max(1, _CHUNK // max(1, len(lines)))
    for first in range(0, len(points), rows):
        off = (places[first : first + rows] - middle) * back
        point, line = ((np.abs(off.imag) <= within_mm) & (np.abs(off.real) <= reach)).nonzero()
        hits.append((point + first, line, off.real[point, line] + half[line]))
    if len(hits) == 1:
        return hits[0]
    point, line, t = (np.concatenate(part) for part in zip(*hits, strict=True))
    return point, line, t


def complex_of(points: Floats) -> Complexes:
    """Points (..., 2) as single numbers (...,), x + iy: so that they can be sorted, looked up and turned."""
    return np.ascontiguousarray(points).view(np.complex128)[..., 0]


def onto_edge(points: Floats, edge: Floats, within_mm: float) -> Floats:
    """Points (n, 2), those close to the sheet's edge (4, 2, 2) put on it: foil has straight edges, so it is not they that give."""
    low, high = edge.min(axis=(0, 1)), edge.max(axis=(0, 1))
    points = np.where(np.abs(points - low) <= within_mm, low, points)
    return np.where(np.abs(points - high) <= within_mm, high, points)
