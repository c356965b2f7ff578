"""How often the lines of a drawing cross: each crossing is a point of the sheet that must be looked at.

A drawing that folds has few. Of thousands of lines laid at random across the sheet there are millions, and no memory holds them.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from folder.geometry.space import Floats
from folder.pattern.pattern import Crease

MOST_CROSSINGS = 60_000
"""So many are studied in five seconds and a quarter of a gigabyte; a grid of 200 lines each way has 40,000."""

_ASKED = 200
"""Lines that are held against all others, evenly taken out of the drawing."""
_AT_ONCE = 10
"""So many of them at a time: of 10,000 lines that is 3 MB."""


def crossings_about(creases: Sequence[Crease]) -> int:
    """About how often lines cross inside one another, from a sample of them; exact for few lines."""
    ends = np.array([(crease.start, crease.end) for crease in creases], dtype=float).reshape(-1, 2, 2)
    if not len(ends):
        return 0
    asked = ends[np.linspace(0, len(ends) - 1, min(_ASKED, len(ends))).astype(int)]
    found = 0
    for first in range(0, len(asked), _AT_ONCE):
        some = asked[first : first + _AT_ONCE, None]
        found += int(((_sides(some, ends[None]) < 0.0) & (_sides(ends[None], some) < 0.0)).sum())
    return round(found * len(ends) / len(asked) / 2.0)


def _sides(line: Floats, other: Floats) -> Floats:
    """Below zero where the ends of the other lie on two sides of a line. Both (..., 2, 2) mm; the product of two areas, mm4."""
    way = line[..., 1, :] - line[..., 0, :]
    off = other - line[..., :1, :]
    area = way[..., None, 0] * off[..., 1] - way[..., None, 1] * off[..., 0]
    return np.asarray(area[..., 0] * area[..., 1])
