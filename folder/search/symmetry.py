"""Which turns and mirrors of the sheet leave a drawing's walls where they are.

symmetry   one of the eight motions of a square onto itself, of which a sheet that is no square has four
walls      the folds round the floor with their turns: corners and flaps may lie either way round
"""

from __future__ import annotations

import math

import numpy as np

from folder.geometry.plane import distances_to
from folder.geometry.space import Floats
from folder.pattern.faces.faces import faces_of
from folder.pattern.pattern import Pattern

SAME_MM, SAME_RAD = 0.3, math.radians(0.5)
"""Walls this near to each other's image are alike: what a fold cannot be told from."""
_MOTIONS = {
    "turned by 90": ((0, -1), (1, 0)), "turned by 180": ((-1, 0), (0, -1)), "turned by 270": ((0, 1), (-1, 0)),
    "left and right": ((-1, 0), (0, 1)), "up and down": ((1, 0), (0, -1)),
    "one diagonal": ((0, 1), (1, 0)), "other diagonal": ((0, -1), (-1, 0)),
}  # fmt: skip


def symmetries(pattern: Pattern) -> frozenset[str]:
    """The symmetries of the walls, by name; that everything is left as it is counts for none."""
    sheet = pattern.sheet
    faces = faces_of(pattern)
    if faces.root < 0:
        return frozenset()
    between = {frozenset(pair): e for e, pair in enumerate(faces.edges.tolist())}
    ring = faces.outer_ring(faces.root).tolist()
    edges = [e for pair in zip(ring, (*ring[1:], ring[0]), strict=True) if (e := between.get(frozenset(pair))) is not None]
    walls = [e for e in edges if faces.crease[e] >= 0 and pattern.creases[int(faces.crease[e])].turn_rad]
    if not walls:
        return frozenset()
    middle = np.array([sheet.width_mm, sheet.height_mm]) / 2.0
    ends: Floats = faces.vertices[faces.edges[walls]] - middle
    turns: Floats = np.array([pattern.creases[int(faces.crease[e])].turn_rad for e in walls])
    places = np.stack([ends[:, 0], ends.mean(axis=1), ends[:, 1]], axis=1)
    alike = np.abs(turns[:, None] - turns[None, :]) < SAME_RAD
    found = set()
    for name, motion in _MOTIONS.items():
        if motion[0][0] == 0 and sheet.width_mm != sheet.height_mm:
            continue
        moved = places @ np.array(motion, dtype=float).T
        near = (distances_to(moved.reshape(-1, 2), ends) < SAME_MM).reshape(len(walls), 3, len(walls))
        if (near & alike[:, None, :]).any(axis=2).all():
            found.add(name)
    return frozenset(found)
