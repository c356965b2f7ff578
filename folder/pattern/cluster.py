"""Vertices that a rounded drawing sets a hair apart: folded, they are one vertex.

hair      an edge shorter than what a closed gap may be
cluster   vertices joined by hairs
"""

from __future__ import annotations

import numpy as np

from folder.geometry.space import Bools, Floats, Ints
from folder.pattern.net import Faces
from folder.units import TOLERANCES


def lengths(faces: Faces) -> Floats:
    """(e,) mm: how long each edge is."""
    ends = faces.vertices.take(faces.edges, axis=0)
    length: Floats = np.hypot(ends[:, 1, 0] - ends[:, 0, 0], ends[:, 1, 1] - ends[:, 0, 1])
    return length


def hairs(faces: Faces) -> Bools:
    """(e,) edges too short to be seen."""
    short: Bools = lengths(faces) < TOLERANCES.closed_mm
    return short


def clusters(faces: Faces, hair: Bools) -> list[tuple[int, ...]]:
    """Vertices joined by hairs (e,), each cluster sorted."""
    group: dict[int, set[int]] = {}
    for a, b in faces.edges[hair].tolist():
        both = group.get(a, {a}) | group.get(b, {b})
        for vertex in both:
            group[vertex] = both
    return sorted({tuple(sorted(g)) for g in group.values()})


def fan_of_cluster(faces: Faces, cluster: tuple[int, ...], hair: Bools) -> tuple[Ints, Floats]:
    """The edges that leave a cluster, counter-clockwise, and their directions in rad: (d,) each."""
    start, edges, angles = faces.fans
    fan = {v: edges[start[v] : start[v + 1]].tolist() for v in cluster}
    first = next(((v, k) for v in cluster for k, e in enumerate(fan[v]) if not hair[e]), None)
    found: list[tuple[int, float]] = []
    here = first
    while here is not None and (not found or here != first):
        vertex, k = here
        found.append((fan[vertex][k], float(angles[start[vertex] + k])))
        k = (k + 1) % len(fan[vertex])
        while hair[edge := fan[vertex][k]]:
            # Across the hair, and on from there.
            a, b = faces.edges[edge].tolist()
            vertex = b if vertex == a else a
            k = (fan[vertex].index(edge) + 1) % len(fan[vertex])
        here = (vertex, k)
    return np.array([e for e, _ in found], dtype=np.int64), np.array([d for _, d in found])
