"""Vertices that a rounded drawing sets a hair apart: folded, they are one vertex.

hair      an edge so short that foil takes it up
cluster   vertices joined by hairs, all within as little
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from folder.geometry.space import Bools, Floats, Ints
from folder.pattern.faces.net import Faces
from folder.units import TOLERANCES


def lengths(faces: Faces) -> Floats:
    """(e,) mm: how long each edge is."""
    ends = faces.vertices.take(faces.edges, axis=0)
    return np.hypot(ends[:, 1, 0] - ends[:, 0, 0], ends[:, 1, 1] - ends[:, 0, 1])


def hairs(length: Floats) -> tuple[Bools, Bools]:
    """Edges (e,) so short that a closed gap may be as wide, and so short that foil takes them up; `length` (e,) mm."""
    return length < TOLERANCES.closed_mm, length < TOLERANCES.take_up_mm


def clusters_of(faces: Faces, vertex: int, hair: tuple[Bools, Bools]) -> Iterator[tuple[tuple[int, ...], Bools]]:
    """Clusters of a vertex with others, the nearest ones first, and the hairs (e,) they are joined by."""
    for short in hair:
        cluster = _joined(faces, vertex, short)
        if len(cluster) > 1:
            (left, low), (right, high) = faces.vertices[cluster].min(axis=0), faces.vertices[cluster].max(axis=0)
            if math.hypot(right - left, high - low) < TOLERANCES.take_up_mm:
                yield tuple(sorted(cluster)), short


def _joined(faces: Faces, vertex: int, hair: Bools) -> list[int]:
    """The vertices that hairs (e,) join to one; that one alone where they lead on and on."""
    found = [vertex]
    start, edges, _ = faces.fans
    for v in found:
        around = edges[start[v] : start[v + 1]]
        for edge in around[hair[around]]:
            found += [end for end in faces.edges[edge].tolist() if end not in found]
        x, y = faces.vertices[found[-1]] - faces.vertices[vertex]
        if math.hypot(x, y) > TOLERANCES.take_up_mm:
            return [vertex]
    return found


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
