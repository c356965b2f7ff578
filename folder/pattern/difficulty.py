"""How hard a pattern is to fold, told from its drawing alone: how many creases, how many different turns, how near they lie.

The weights are judgement from folding the ready patterns, not measured.
"""

from __future__ import annotations

import math
from typing import Literal

import numpy as np
from msgspec import Struct

from folder.pattern.pattern import Crease, Pattern
from folder.units import DEG_PER_RAD

Level = Literal[1, 2, 3]
LEVEL_WORDS: dict[Level, str] = {1: "easy", 2: "medium", 3: "hard"}
MEDIUM_FROM, HARD_FROM = 30.0, 70.0
PER_TURN, CLOSE_MM, CLOSE_COSTS = 5.0, 8.0, 12.0
"""A turn more counts like so many creases; so does a stretch narrower than a child's fingertip."""


class Difficulty(Struct, frozen=True, order=True):
    """The level, and the score within it: the smaller the easier."""

    level: Level
    score: float

    @property
    def word(self) -> str:
        """For people."""
        return LEVEL_WORDS[self.level]


def difficulty(pattern: Pattern) -> Difficulty:
    """How hard it is to fold."""
    folds = [c for c in pattern.creases if c.sense != "guide"]
    turns = {None if c.turn_rad is None else round(c.turn_rad * DEG_PER_RAD) for c in folds}
    corners = pattern.sheet.corners
    edge = [Crease(a, b) for a, b in zip(corners, (*corners[1:], corners[0]), strict=True)]
    close = least_spacing_mm([*folds, *edge]) < CLOSE_MM
    score = len(folds) + PER_TURN * max(len(turns) - 1, 0) + (CLOSE_COSTS if close else 0.0)
    return Difficulty(3 if score >= HARD_FROM else 2 if score >= MEDIUM_FROM else 1, score)


def least_spacing_mm(creases: list[Crease]) -> float:
    """The least distance, mm, between two parallel creases that lie beside each other; inf where there are none."""
    if len(creases) < 2:
        return math.inf
    start, end = (np.array([getattr(c, name) for c in creases]) for name in ("start", "end"))
    along = (end - start) / np.linalg.norm(end - start, axis=1)[:, None]
    least = math.inf
    for i in range(len(creases) - 1):
        parallel = np.abs(along[i, 0] * along[i + 1 :, 1] - along[i, 1] * along[i + 1 :, 0]) < 1e-6
        from_here = np.stack((start[i + 1 :][parallel], end[i + 1 :][parallel]), axis=1) - start[i]  # (m, 2 ends, 2)
        on = from_here @ along[i]
        beside = (on.max(axis=1) > 1e-6) & (on.min(axis=1) < math.dist(start[i], end[i]) - 1e-6)
        away = np.abs(along[i, 0] * from_here[:, 0, 1] - along[i, 1] * from_here[:, 0, 0])
        least = min(least, float(away[beside & (away > 1e-3)].min(initial=math.inf)))
    return least
