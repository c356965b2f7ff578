"""Creases that came from the same fold, made one again: ends that all but meet, and lines that go straight on."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence

import numpy as np
from msgspec.structs import replace

from folder.findings import Point
from folder.pattern.faces.snap import close_pairs, near_lines
from folder.pattern.pattern import Crease, Sheet
from folder.units import TOLERANCES

LEAST_GAP_MM = 4.0 * TOLERANCES.snap_mm
"""Lines of a made pattern keep this far apart where they do not meet: nearer, they would be taken for one line."""

_SAME_MM = 1e-9
"""Ends nearer than this are one point: far above rounding, as small as the layers' own tolerance."""


def welded(creases: Sequence[Crease]) -> tuple[Crease, ...]:
    """The same lines with ends that all but meet made one point, and stretches of one fold joined to one crease."""
    points = _Points()
    ends = [replace(c, start=points.first_at(c.start), end=points.first_at(c.end)) for c in creases]
    return _joined([c for c in ends if c.start != c.end])


class _Points:
    """Points met so far, found again through a grid of cells."""

    def __init__(self) -> None:
        self.cells: dict[tuple[int, int], Point] = {}

    def first_at(self, point: Point) -> Point:
        """The first point met that all but coincides with this one."""
        cell = (math.floor(point[0] / _SAME_MM), math.floor(point[1] / _SAME_MM))
        for i in (0, -1, 1):
            for j in (0, -1, 1):
                earlier = self.cells.get((cell[0] + i, cell[1] + j))
                if earlier is not None:
                    return earlier
        self.cells[cell] = point
        return point


def _joined(creases: Sequence[Crease]) -> tuple[Crease, ...]:
    """Creases of one sense, turn and step that go straight on from end to end become one."""
    alive = dict(enumerate(creases))
    at: dict[Point, set[int]] = defaultdict(set)
    for index, crease in alive.items():
        at[crease.start].add(index)
        at[crease.end].add(index)
    for point, around in at.items():
        for a in sorted(around):
            for b in sorted(around):
                if a < b and a in alive and b in alive and _goes_on(alive[a], alive[b], point):
                    far = _other_end(alive[b], point)
                    alive[a] = replace(alive[a], start=_other_end(alive[a], point), end=far)
                    del alive[b]
                    at[far].discard(b)
                    at[far].add(a)
    return tuple(alive.values())


def _other_end(crease: Crease, end: Point) -> Point:
    return crease.end if crease.start == end else crease.start


def _goes_on(a: Crease, b: Crease, point: Point) -> bool:
    if (a.sense, a.turn_rad, a.step) != (b.sense, b.turn_rad, b.step):
        return False
    if point not in (a.start, a.end) or point not in (b.start, b.end):
        return False
    p, q = _other_end(a, point), _other_end(b, point)
    ux, uy, vx, vy = point[0] - p[0], point[1] - p[1], q[0] - point[0], q[1] - point[1]
    size = math.hypot(ux, uy) * math.hypot(vx, vy)
    return ux * vx + uy * vy > 0 and abs(ux * vy - uy * vx) < 1e-9 * size


def too_fine(creases: Sequence[Crease], sheet: Sheet) -> Point | None:
    """A place where ends and lines come so near to each other, without meeting, that no hand could fold them apart."""
    lines = np.array(
        [(c.start, c.end) for c in creases] + list(zip(sheet.corners, (*sheet.corners[1:], sheet.corners[0]), strict=True))
    )
    # Asked for the index too, for plain unique rows load the masked arrays.
    points, _ = np.unique(lines.reshape(-1, 2), axis=0, return_index=True)
    pairs = close_pairs(points, LEAST_GAP_MM)
    apart = np.abs(points[pairs[:, 0]] - points[pairs[:, 1]]).max(axis=1, initial=0.0)
    if (apart > _SAME_MM).any():
        x, y = points[pairs[apart > _SAME_MM][0, 0]]
        return (float(x), float(y))
    point, line, _ = near_lines(points, lines, LEAST_GAP_MM)
    along = lines[line, 1] - lines[line, 0]
    away = points[point] - lines[line, 0]
    off = np.abs(along[:, 0] * away[:, 1] - along[:, 1] * away[:, 0]) / np.hypot(along[:, 0], along[:, 1])
    if (off > _SAME_MM).any():
        x, y = points[point[off > _SAME_MM][0]]
        return (float(x), float(y))
    return None
