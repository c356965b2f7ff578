"""Parallel redrawing: the same lines in the same directions, some of them pushed aside.

redrawing   a drawing whose edges are all parallel to those of another; its angles are the same at every vertex, so what
            closed still closes and what folded flat still does (parallel drawings: Whiteley, in Handbook of Discrete and
            Computational Geometry, 1997, ch. 49)
rate        how each vertex moves while the pushed edges move by one mm: one rate gives all redrawings of a drawing
room        how far one can go before an edge has shrunk to nothing
"""

from __future__ import annotations

import math

import numpy as np
from msgspec.structs import replace

from folder.findings import Point
from folder.geometry.space import Bools, Floats, Ints
from folder.pattern.faces.faces import Faces
from folder.pattern.faces.net import BORDER
from folder.pattern.pattern import Pattern

LEAST_EDGE_MM = 3.0
"""Edges are not shortened below this, or below half of what they are: lines closer together are hard to fold (common practice)."""

MET = 1e-7
"""A redrawing meets its conditions when they are off by no more than this, mm for a mm."""

ON_LINE_MM = 0.06
"""A place of the pattern is that of a vertex when it is no further off: what noding snaps, and rounding."""


def redrawing_rate(faces: Faces, pushed: Ints, outward: Floats) -> Floats | None:
    """The rate (v, 2) at which vertices move when edges `pushed` (w,) move along their normals `outward` (w, 2), unit length.

    Edges stay parallel to what they were, border vertices on the border, the sheet's corners where they are; of all rates the one
    that moves least. None where no redrawing does that.
    """
    count, across = len(faces.vertices), _normals(faces)
    inner = faces.crease != BORDER
    still, along = _border(faces)
    rows = int(inner.sum()) + len(along[0]) + 2 * len(still) + 2 * len(pushed)
    system, wanted = np.zeros((rows, 2 * count)), np.zeros(rows)
    row = 0
    for edge in np.nonzero(inner)[0]:
        start, end = faces.edges[edge]
        system[row, 2 * start : 2 * start + 2], system[row, 2 * end : 2 * end + 2] = across[edge], -across[edge]
        row += 1
    for vertex, normal in zip(*along, strict=True):
        system[row, 2 * vertex : 2 * vertex + 2] = normal
        row += 1
    for vertex in still:
        system[row, 2 * vertex], system[row + 1, 2 * vertex + 1] = 1.0, 1.0
        row += 2
    for edge, normal in zip(pushed, outward, strict=True):
        for vertex in faces.edges[edge]:
            system[row, 2 * vertex : 2 * vertex + 2], wanted[row] = normal, 1.0
            row += 1
    found = np.asarray(np.linalg.lstsq(system, wanted, rcond=1e-10)[0], dtype=np.float64)
    if np.abs(system @ found - wanted).max(initial=0.0) >= MET:
        return None
    rate: Floats = found.reshape(-1, 2)
    return rate


def redrawing_room(faces: Faces, rate: Floats) -> tuple[float, float]:
    """From and to how many mm a redrawing may go, so that no edge gets too short."""
    ends, moves = faces.vertices[faces.edges], rate[faces.edges]
    line, change = ends[:, 1] - ends[:, 0], moves[:, 1] - moves[:, 0]
    length = np.hypot(line[:, 0], line[:, 1])
    grows = (line * change).sum(axis=1) / np.maximum(length, 1e-12)
    spare = np.maximum(length - np.minimum(LEAST_EDGE_MM, length / 2.0), 0.0)
    shrinking, growing = grows < -1e-9, grows > 1e-9
    most = float((spare[shrinking] / -grows[shrinking]).min(initial=math.inf))
    least = float((spare[growing] / grows[growing]).min(initial=math.inf))
    return -least, most


def redrawn(pattern: Pattern, faces: Faces, rate: Floats, by_mm: float) -> Pattern | None:
    """The pattern with its vertices moved by so many times their rate; None where a line ends at none of them."""
    moved = faces.vertices + by_mm * rate
    creases = []
    for crease in pattern.creases:
        if crease.sense == "guide":
            creases.append(crease)
            continue
        start, end = _vertex_at(faces, crease.start), _vertex_at(faces, crease.end)
        if start is None or end is None:
            return None
        creases.append(replace(crease, start=_point(moved[start]), end=_point(moved[end])))
    crimps = tuple(_carried(faces, moved, crimp) for crimp in pattern.crimps)
    floor_at = _carried(faces, moved, pattern.floor_at)
    return replace(pattern, creases=tuple(creases), crimps=crimps, floor_at=floor_at, family=None)


def outward_normals(faces: Faces, edges: Ints, inside: Bools) -> Floats:
    """(w, 2) unit normals of edges, away from that one of their two faces that is `inside` (f,)."""
    across = _normals(faces)[edges]
    left = faces.sides[edges, 0]
    from_left = (left >= 0) & inside[left]
    return np.where(from_left[:, None], -across, across)


def _normals(faces: Faces) -> Floats:
    """(e, 2) unit normals of the edges, to their left."""
    ends = faces.vertices[faces.edges]
    line = ends[:, 1] - ends[:, 0]
    return np.column_stack([-line[:, 1], line[:, 0]]) / np.maximum(np.hypot(*line.T), 1e-12)[:, None]


def _border(faces: Faces) -> tuple[Ints, tuple[Ints, Floats]]:
    """The vertices at the sheet's corners, and the others on its border with the normal of the border there."""
    rows = np.nonzero(faces.crease == BORDER)[0]
    across = _normals(faces)
    normals: dict[int, list[Floats]] = {}
    for edge in rows:
        for vertex in faces.edges[edge]:
            normals.setdefault(int(vertex), []).append(across[edge])
    still = [v for v, found in normals.items() if any(abs(found[0] @ other) < 0.999 for other in found[1:])]
    sliding = [v for v in normals if v not in set(still)]
    return np.array(still, dtype=np.int64), (
        np.array(sliding, dtype=np.int64),
        np.array([normals[v][0] for v in sliding]).reshape(-1, 2),
    )


def _vertex_at(faces: Faces, place: Point) -> int | None:
    away = np.hypot(*(faces.vertices - np.array(place)).T)
    nearest = int(away.argmin())
    return nearest if away[nearest] <= ON_LINE_MM else None


def _carried(faces: Faces, moved: Floats, place: Point) -> Point:
    """Where a place of the sheet goes: with the corners of the triangle that holds it."""
    vertex = _vertex_at(faces, place)
    if vertex is not None:
        return _point(moved[vertex])
    at, corners = np.array(place), faces.vertices[faces.triangles]
    one, two, away = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0], at - corners[:, 0]
    area = np.maximum(one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0], 1e-12)
    u = (away[:, 0] * two[:, 1] - away[:, 1] * two[:, 0]) / area
    v = (one[:, 0] * away[:, 1] - one[:, 1] * away[:, 0]) / area
    if not len(u):
        return place
    holds = int(np.minimum(np.minimum(u, v), 1.0 - u - v).argmax())
    to = moved[faces.triangles[holds]]
    return _point(to[0] + u[holds] * (to[1] - to[0]) + v[holds] * (to[2] - to[0]))


def _point(place: Floats) -> Point:
    return float(place[0]) + 0.0, float(place[1]) + 0.0
