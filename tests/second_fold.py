"""A second folding program: pieces by shapely's polygonizer, each turned about shared lines by scipy's rotations.

It shares nothing with the program's own but the drawing. Places are rounded to a grid: a coarse one for drawings that are not exact.
"""

from __future__ import annotations

import math
from collections import deque
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation
from shapely.ops import polygonize

from folder.pattern.pattern import Pattern

_GRID_MM = 1e-9

Motion = tuple[NDArray[np.float64], NDArray[np.float64]]
"""A rotation (3, 3) and a shift (3,) mm."""


class SecondFold:
    """The folded pieces: `pieces` on the sheet, `motions` into space, `gap_mm` by which ways round disagree."""

    def __init__(self, pattern: Pattern, grid_mm: float = _GRID_MM) -> None:
        w, h = pattern.sheet.width_mm, pattern.sheet.height_mm
        ends: list[tuple[float, float]] = []
        lines = [shapely.LineString([_first_near(ends, c.start), _first_near(ends, c.end)]) for c in pattern.creases]
        whole = shapely.unary_union([shapely.box(0.0, 0.0, w, h).exterior, *lines], grid_size=grid_mm)
        self.pieces = list(polygonize(whole))
        turns = {}
        for crease, line in zip(pattern.creases, lines, strict=True):
            turns[line] = crease.turn_rad * (1.0 if crease.sense == "valley" else -1.0)
        edges: dict[tuple[tuple[float, float], ...], list[tuple[int, NDArray[np.float64], NDArray[np.float64]]]] = {}
        for number, piece in enumerate(self.pieces):
            ring = np.array(shapely.geometry.polygon.orient(piece).exterior.coords)
            for start, end in pairwise(ring):
                key = tuple(sorted((tuple(np.round(start, 6)), tuple(np.round(end, 6)))))
                edges.setdefault(key, []).append((number, start, end))
        self.joints = []
        for sides in edges.values():
            if len(sides) == 2:
                (a, start, end), (b, _, _) = sides
                middle = shapely.Point((start + end) / 2.0)
                line = min(turns, key=middle.distance)
                turn = turns[line] if middle.distance(line) < 1e-6 + 2.0 * grid_mm else 0.0
                self.joints += [(a, b, start, end, turn), (b, a, end, start, turn)]
        self.motions = self._placed(pattern.floor_at)

    def _placed(self, floor_at: tuple[float, float]) -> dict[int, Motion]:
        foot = shapely.Point(floor_at)  # which may lie on a line: then it means the larger piece beside it
        root = min(range(len(self.pieces)), key=lambda k: (self.pieces[k].distance(foot), -self.pieces[k].area))
        found: dict[int, Motion] = {root: (np.eye(3), np.zeros(3))}
        queue = deque([root])
        while queue:
            here = queue.popleft()
            for one, other, start, end, turn in self.joints:
                if one == here and other not in found:
                    found[other] = _beyond(found[here], start, end, turn)
                    queue.append(other)
        return found

    def place(self, piece: int, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Where points (n, 2) mm of a piece come to lie: (n, 3) mm."""
        rotation, shift = self.motions[piece]
        return np.column_stack([points, np.zeros(len(points))]) @ rotation.T + shift

    def at(self, point: tuple[float, float]) -> NDArray[np.float64]:
        """Where a point of the sheet comes to lie, (3,) mm."""
        piece = next(k for k, piece in enumerate(self.pieces) if piece.distance(shapely.Point(point)) < 1e-6)
        return self.place(piece, np.array([point]))[0]

    @property
    def gap_mm(self) -> float:
        """How far the two pieces at any line disagree about its ends, and about a place as far beside it as it is long.

        On the line itself nobody would see a turn that is not the one drawn.
        """
        most = 0.0
        for one, other, start, end, turn in self.joints:
            (x, y), rotation, shift = end - start, *_beyond(self.motions[one], start, end, turn)
            places = np.array([start, end, start + np.array([-y, x])])
            due = np.column_stack([places, np.zeros(3)]) @ rotation.T + shift
            most = max(most, float(np.linalg.norm(due - self.place(other, places), axis=1).max()))
        return most


def _first_near(ends: list[tuple[float, float]], end: tuple[float, float]) -> tuple[float, float]:
    """The end met first of those that lie within a twentieth of a millimetre; a hand means one point by them."""
    for other in ends:
        if math.dist(other, end) <= 0.05:
            return other
    ends.append(end)
    return end


def _beyond(motion: Motion, start: NDArray[np.float64], end: NDArray[np.float64], turn: float) -> Motion:
    """The motion of the piece on the right of a line, given that on its left: a valley comes up."""
    way = np.append(end - start, 0.0) / np.linalg.norm(end - start)
    turned = Rotation.from_rotvec(-turn * way).as_matrix()
    foot = np.append(start, 0.0)
    rotation, shift = motion
    return rotation @ turned, rotation @ (foot - turned @ foot) + shift
