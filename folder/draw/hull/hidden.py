"""Which stretches of straight edges are hidden behind triangles, seen along one direction.

view space   x to the right, y up, z toward the eye; places are mm
pair         an edge and a triangle that may hide part of it
"""

from __future__ import annotations

import numpy as np

from folder.geometry.space import Bools, Floats, Ints

NEARER_MM = 0.02
"""A triangle hides what lies behind it by more than this: less than the step between two layers."""

_BORDER_MM = 1e-6
"""What is behind the border of a triangle is behind the triangle: no line shows where two of them meet."""

_LEAST_SHARE = 1e-9
_CHUNK = 2_000_000
"""Most pairs looked at in one go."""


def visible_stretches(edges: Floats, triangles: Floats, spared: Bools) -> tuple[Ints, Floats]:
    """The stretches of edges that no triangle hides.

    edges (n, 2, 3) and triangles (m, 3, 3) in view space, spared (n, m): triangles that cannot hide an edge, such as
    those of its own faces -> edge index (k,), from and to as shares of the edge (k, 2).
    """
    rows = max(1, _CHUNK // max(1, len(triangles)))
    found = [_hidden(edges[i : i + rows], triangles, spared[i : i + rows], i) for i in range(0, len(edges), rows)]
    edge = np.concatenate([f[0] for f in found]) if found else np.empty(0, dtype=np.int64)
    spans = np.concatenate([f[1] for f in found]) if found else np.empty((0, 2))
    return _left_over(edge, spans, np.linalg.norm(edges[:, 1, :2] - edges[:, 0, :2], axis=1))


def _hidden(edges: Floats, triangles: Floats, spared: Bools, first: int) -> tuple[Ints, Floats]:
    """Edge indices (k,) and the shares (k, 2) between which one triangle hides each."""
    x, y = triangles[..., 0], triangles[..., 1]
    twice = (x[:, 1] - x[:, 0]) * (y[:, 2] - y[:, 0]) - (x[:, 2] - x[:, 0]) * (y[:, 1] - y[:, 0])
    edge, triangle = np.nonzero(_near(edges, triangles) & ~spared & (np.abs(twice) > 1e-6))
    start, end = edges[edge, 0], edges[edge, 1]
    low, high = np.zeros(len(edge)), np.ones(len(edge))
    for k in range(3):
        a, b = triangles[:, k, :2], triangles[:, (k + 1) % 3, :2]
        side = (b - a) * (np.sign(twice) / np.maximum(np.hypot(*(b - a).T), 1e-12))[:, None]
        sx, sy = side[triangle].T
        level = sx * a[triangle, 1] - sy * a[triangle, 0] - _BORDER_MM
        kept = _narrow(low, high, sx * start[:, 1] - sy * start[:, 0] - level, sx * end[:, 1] - sy * end[:, 0] - level)
        edge, triangle = edge[kept], triangle[kept]
        start, end, low, high = start[kept], end[kept], low[kept], high[kept]
    normal = np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])[triangle]
    plane = normal / normal[:, 2:]
    level = (plane * triangles[triangle, 0]).sum(axis=1) - NEARER_MM
    kept = _narrow(low, high, level - (plane * start).sum(axis=1), level - (plane * end).sum(axis=1))
    return edge[kept] + first, np.stack([low, high], axis=1)[kept]


def _near(edges: Floats, triangles: Floats) -> Bools:
    """(n, m) whether the boxes of an edge and a triangle overlap in the picture, the triangle not wholly behind."""
    edge_low, edge_high = edges.min(axis=1)[:, None], edges.max(axis=1)[:, None]
    low, high = triangles.min(axis=1), triangles.max(axis=1)
    near: Bools = (edge_low[..., 0] <= high[:, 0] + _BORDER_MM) & (edge_high[..., 0] >= low[:, 0] - _BORDER_MM)
    near &= (edge_low[..., 1] <= high[:, 1] + _BORDER_MM) & (edge_high[..., 1] >= low[:, 1] - _BORDER_MM)
    near &= edge_low[..., 2] < high[:, 2] - NEARER_MM
    return near


def _narrow(low: Floats, high: Floats, at_start: Floats, at_end: Floats) -> Bools:
    """Keep of each span, in place, the part where a value that runs straight from start to end is positive; which are left.

    All (k,); shares of the edge.
    """
    slope = at_end - at_start
    with np.errstate(divide="ignore", invalid="ignore"):
        zero = -at_start / slope
    np.maximum(low, zero, out=low, where=slope > 0)
    np.minimum(high, zero, out=high, where=slope < 0)
    left: Bools = (high - low > _LEAST_SHARE) & ((slope != 0) | (at_start > 0))
    return left


def _left_over(edge: Ints, spans: Floats, lengths: Floats) -> tuple[Ints, Floats]:
    """What is left of each edge, as shares, when the hidden spans are taken out; slivers are dropped."""
    count = len(lengths)
    edge = np.concatenate([edge, np.arange(count)])
    start, end = np.concatenate([spans, np.ones((count, 2))]).T  # the end of each edge, as a span of no length
    order = np.lexsort((start, edge))
    edge, start, end = edge[order], start[order], end[order]
    # How far an edge is hidden so far; edges lie two apart, so that none reaches into the next.
    reached = np.maximum.accumulate(2 * edge + end)
    before = np.maximum(np.concatenate([[0.0], reached[:-1]])[: len(edge)] - 2 * edge, 0.0)
    seen = start - before > (0.01 / np.maximum(lengths, 1e-9))[edge]
    return edge[seen], np.stack([before[seen], start[seen]], axis=1)
