"""Which turns and mirrors of the sheet leave a drawing's walls where they are.

symmetry   one of the eight motions of a square onto itself, of which a sheet that is no square has four
walls      folds up by less than half a turn: corners and flaps may lie either way round
"""

from __future__ import annotations

import math

import numpy as np

from folder.geometry.plane import distances_to
from folder.geometry.space import Floats
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
    walls = [c for c in pattern.creases if c.sense == "valley" and c.turn_rad is not None and 0.05 < c.turn_rad < math.pi - 0.05]
    if not walls:
        return frozenset()
    middle = np.array([sheet.width_mm, sheet.height_mm]) / 2.0
    ends: Floats = np.array([(c.start, c.end) for c in walls]) - middle
    turns: Floats = np.array([c.turn_rad for c in walls])
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
