"""The corner fold laid on a drawing: the spare sheet between two walls folded to a flap, in one edit."""

from __future__ import annotations

import math
from typing import TypeVar

import numpy as np

from folder.findings import Point, Remedy, Stroke
from folder.geometry.space import Complexes
from folder.pattern.corner import corner_fold, to_sheet_edge
from folder.pattern.faces.net import Faces
from folder.pattern.pattern import Crease, Pattern

Complex = TypeVar("Complex", complex, Complexes)


def flap_at(pattern: Pattern, faces: Faces, vertex: int, floor_face: int, tuck_on_first: bool) -> Remedy | None:
    """The edit that folds the corner of a floor at a vertex; None where two walls do not meet like that.

    The two creases that bound `floor_face` at the vertex stay; whatever else meets there gives way to two side creases
    and a diagonal. `tuck_on_first`: the flap lies on the wall that comes first counter-clockwise, seen from the floor.
    """
    start, edge, angle = faces.fans
    rows = slice(int(start[vertex]), int(start[vertex + 1]))
    edges, angles = edge[rows], angle[rows]
    after = np.where(faces.edges[edges, 0] == vertex, faces.sides[edges, 0], faces.sides[edges, 1])
    slots = np.nonzero(after == floor_face)[0]
    if len(slots) != 1 or not faces.inner[vertex]:
        return None
    first, second = int(slots[0]), (int(slots[0]) + 1) % len(edges)
    indices = [int(faces.crease[edges[k]]) for k in (first, second)]
    if min(indices) < 0:
        return None
    walls = [pattern.creases[i] for i in indices]
    turns = [w.signed_turn_rad for w in walls]
    if (angles[second] - angles[first]) % (2.0 * math.pi) > math.pi - 0.01 or not all(0.05 < t < math.pi - 0.05 for t in turns):
        return None
    ahead = [(math.cos(angles[k]), math.sin(angles[k])) for k in (first, second)]
    fold = corner_fold(ahead[0], ahead[1], turns[0], turns[1])
    if fold is None:
        return None
    x, y = faces.vertices[vertex]
    at = (float(x), float(y))
    kept = [_kept(wall, at, direction) for wall, direction in zip(walls, ahead, strict=True)]
    lines = (fold.first, fold.diagonal, fold.second)
    ends = [to_sheet_edge(at, direction, pattern.sheet.width_mm, pattern.sheet.height_mm) for direction in lines]
    flap = [
        Stroke(at, end, "valley" if turn > 0 else "mountain", abs(turn))
        for end, turn in zip(ends, fold.turns(tuck_on_first), strict=True)
    ]
    side_end = ends[0] if tuck_on_first else ends[2]
    place = complex(*at) + pinch(complex(*side_end) - complex(*at), complex(*ends[1]) - complex(*at))
    drop = sorted({int(c) for c in faces.crease[edges] if c >= 0})
    return Remedy("Fold this corner to a flap.", tuple(drop), (*kept, *flap), ((place.real, place.imag),))


def _kept(wall: Crease, at: Point, ahead: tuple[float, float]) -> Stroke:
    """The part of a floor crease that runs along the floor from the corner."""
    far = max((wall.start, wall.end), key=lambda p: (p[0] - at[0]) * ahead[0] + (p[1] - at[1]) * ahead[1])
    return Stroke(at, far, wall.sense, wall.turn_rad)


def pinch(side: Complex, tip: Complex) -> Complex:
    """Where to pinch a flap to its wall, from the corner: on the wall, well inside the flap laid on it.

    side    the end of the side crease on the wall that the flap lies on, as complex numbers from the corner
    tip     the end of the diagonal; the flap is the mirror image of half the spare sheet
    """
    place: Complex = 0.4 * (side + side**2 / abs(side) ** 2 * tip.conjugate())
    return place
