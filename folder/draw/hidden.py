"""Which stretches of straight edges are hidden behind triangles, seen along one direction.

view space   x to the right, y up, z toward the eye; places are mm
"""

from __future__ import annotations

import numpy as np

from folder.geometry.space import Bools, Floats, Ints

NEARER_MM = 0.02
"""A triangle hides what lies behind it by more than this: less than a layer of foil drawn on its neighbour."""

_INSIDE_MM = 1e-4
"""What only touches the border of a triangle is not behind it."""

_CHUNK = 400_000
"""Most edge-triangle pairs looked at in one go."""


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
    solid = np.nonzero(np.abs(twice) > 1e-6)[0]
    corner, turn = triangles[solid], np.sign(twice[solid])
    low = np.zeros((len(edges), len(solid)))
    high = np.ones_like(low)
    possible = ~spared[:, solid]
    for k in range(3):
        a, b = corner[:, k], corner[:, (k + 1) % 3]
        side = (b - a)[:, :2] * (turn / np.hypot(*(b - a)[:, :2].T))[:, None]
        ends = [
            side[:, 0] * (edges[:, e, 1, None] - a[:, 1]) - side[:, 1] * (edges[:, e, 0, None] - a[:, 0])
            for e in (0, 1)
        ]
        _narrow(low, high, possible, ends[0] - _INSIDE_MM, ends[1] - _INSIDE_MM)
    normal = np.cross(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0])
    plane = normal / normal[:, 2:]
    level = (plane * corner[:, 0]).sum(axis=1)
    behind = [level - edges[:, e] @ plane.T - NEARER_MM for e in (0, 1)]
    _narrow(low, high, possible, behind[0], behind[1])
    edge, triangle = np.nonzero(possible & (high - low > 1e-9))
    return edge + first, np.stack([low[edge, triangle], high[edge, triangle]], axis=1)


def _narrow(low: Floats, high: Floats, possible: Bools, at_start: Floats, at_end: Floats) -> None:
    """Keep the part of each span in which a value that runs straight from start to end is positive."""
    slope = at_end - at_start
    with np.errstate(divide="ignore", invalid="ignore"):
        zero = -at_start / slope
    np.maximum(low, zero, out=low, where=slope > 0)
    np.minimum(high, zero, out=high, where=slope < 0)
    possible &= (slope != 0) | (at_start > 0)


def _left_over(edge: Ints, spans: Floats, lengths: Floats) -> tuple[Ints, Floats]:
    """What is left of each edge, as shares, when the hidden spans are taken out; slivers are dropped."""
    order = np.lexsort((spans[:, 0], edge))
    hidden: dict[int, list[tuple[float, float]]] = {}
    for e, (a, b) in zip(edge[order].tolist(), spans[order].tolist(), strict=True):
        hidden.setdefault(e, []).append((a, b))
    kept: list[int] = []
    shares: list[tuple[float, float]] = []
    for e, length in enumerate(lengths.tolist()):
        least = 0.01 / max(length, 1e-9)
        at = 0.0
        for a, b in [*hidden.get(e, []), (1.0, 1.0)]:
            if a - at > least:
                kept.append(e)
                shares.append((at, a))
            at = max(at, b)
    return np.array(kept, dtype=np.int64), np.array(shares).reshape(-1, 2)
