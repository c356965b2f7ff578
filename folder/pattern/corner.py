"""The fold that closes a corner where two walls meet.

At a floor corner the two walls share one edge in space. On the sheet that edge appears twice, once as the side crease
of each wall; the spare sheet between them is halved by a diagonal, folded to a flap, and the flap is laid flat on the
outside of one of the walls.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from folder.findings import Point

Vector = tuple[float, float]


class CornerFold(Struct, frozen=True):
    """Directions on the sheet (unit vectors from the corner) and turns (signed rad, valley positive)."""

    first: Vector
    """Side crease of the first wall."""
    diagonal: Vector
    second: Vector
    """Side crease of the second wall."""
    between_rad: float
    """The turn between the two wall planes about their common edge."""

    def turns(self, tuck_on_first: bool) -> tuple[float, float, float]:
        """Turns of the first side, the diagonal and the second side, for a flap tucked on one of the walls."""
        if tuck_on_first:
            return -math.pi, math.pi, self.between_rad
        return self.between_rad, math.pi, -math.pi


def corner_fold(first: Vector, second: Vector, first_turn_rad: float, second_turn_rad: float) -> CornerFold | None:
    """The corner fold for walls that rise from two floor creases.

    `first` and `second` run along the floor creases away from the corner (unit vectors), the floor lying
    counter-clockwise from `first` to `second`, less than a half turn. The walls turn up by the two angles, 0 to a half
    turn, both ends excluded. None when the walls have no common edge that leaves sheet to fold.

    With inside normals N1, N2 the common edge lies along N1 x N2. For a square corner and equal turns f the side
    creases lean by atan(cos f) from square.
    """
    outward_1 = (first[1], -first[0])
    outward_2 = (-second[1], second[0])
    n1 = _normal(outward_1, first_turn_rad)
    n2 = _normal(outward_2, second_turn_rad)
    edge = (n1[1] * n2[2] - n1[2] * n2[1], n1[2] * n2[0] - n1[0] * n2[2], n1[0] * n2[1] - n1[1] * n2[0])
    size = math.hypot(*edge)
    if size < 1e-9 or abs(edge[2]) < 1e-9 * size:
        return None
    up = math.copysign(size, edge[2])
    edge = (edge[0] / up, edge[1] / up, edge[2] / up)
    side_1 = _unfolded(edge, first, outward_1, first_turn_rad)
    side_2 = _unfolded(edge, second, outward_2, second_turn_rad)
    # The spare sheet runs clockwise from the first side to the second.
    spare = math.atan2(side_2[0] * side_1[1] - side_2[1] * side_1[0], side_1[0] * side_2[0] + side_1[1] * side_2[1])
    if spare <= 1e-6:
        return None
    half = -spare / 2.0
    diagonal = (
        side_1[0] * math.cos(half) - side_1[1] * math.sin(half),
        side_1[0] * math.sin(half) + side_1[1] * math.cos(half),
    )
    between = math.acos(max(-1.0, min(1.0, sum(a * b for a, b in zip(n1, n2, strict=True)))))
    return CornerFold(side_1, diagonal, side_2, between)


def _cos(turn_rad: float) -> float:
    """The cosine, with that of a right angle exactly zero, so that square walls get square creases."""
    return 0.0 if abs(turn_rad - math.pi / 2.0) < 1e-12 else math.cos(turn_rad)


def _normal(outward: Vector, turn_rad: float) -> tuple[float, float, float]:
    """The inside normal of a wall that has turned up from the floor."""
    lean = math.sin(turn_rad)
    return (-lean * outward[0], -lean * outward[1], _cos(turn_rad))


def _unfolded(edge: tuple[float, ...], along: Vector, outward: Vector, turn_rad: float) -> Vector:
    """A direction in a wall, laid back on the sheet."""
    a = edge[0] * along[0] + edge[1] * along[1]
    b = (edge[0] * outward[0] + edge[1] * outward[1]) * _cos(turn_rad) + edge[2] * math.sin(turn_rad)
    return (along[0] * a + outward[0] * b, along[1] * a + outward[1] * b)


def to_outline(start: Point, direction: Vector, outline: Sequence[Point]) -> Point:
    """Where a ray from inside a convex outline (counter-clockwise) leaves it; a corner it all but hits is hit exactly."""
    best, end = math.inf, start
    for k, (px, py) in enumerate(outline):
        qx, qy = outline[(k + 1) % len(outline)]
        ex, ey = qx - px, qy - py
        leaving = direction[0] * ey - direction[1] * ex
        if leaving <= 1e-12 * math.hypot(ex, ey):
            continue
        reach = ((px - start[0]) * ey - (py - start[1]) * ex) / leaving
        if reach < best:
            best = reach
            x, y = start[0] + reach * direction[0], start[1] + reach * direction[1]
            # On an upright or level side the point lies exactly.
            end = (px if ex == 0.0 else x, py if ey == 0.0 else y)
    return next((corner for corner in outline if math.dist(corner, end) < 1e-9), end)


def to_sheet_edge(start: Point, direction: Vector, width_mm: float, height_mm: float) -> Point:
    """Where a ray from a point of the sheet leaves it; exactly on the sheet's edge."""
    return to_outline(start, direction, ((0.0, 0.0), (width_mm, 0.0), (width_mm, height_mm), (0.0, height_mm)))
