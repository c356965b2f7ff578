"""The arrows of folding diagrams, as lines and areas (Yoshizawa 1954; Randlett 1961).

valley_arrow    fold this toward you: a bowed line with a full head
along_arrow     the same along any path
mountain_arrow  fold this away: a bowed line with a hollow half head
there_and_back  fold and unfold: a full head where it goes, a hollow one where it comes back
turn_over       turn the sheet over: a line with a loop
"""

from __future__ import annotations

import math
from itertools import pairwise

from folder.draw.picture import Area, Line, Mark, arc, stretch
from folder.draw.style import INK, PAPER
from folder.findings import Point

HEAD_MM = 4.0
"""Length of an arrow's head."""
HALF_MM = 1.4
"""Half its width."""


def valley_arrow(start: Point, end: Point, bow: float = 0.25, head_mm: float = HEAD_MM) -> tuple[Mark, ...]:
    """Fold toward you, from `start` to `end`; the line bulges to its left by `bow` times its length (right if < 0)."""
    path = bowed(start, end, bow)
    return Line(_shortened(path, head_mm)), Area((_head(path, head_mm),), INK)


def along_arrow(path: tuple[Point, ...], head_mm: float = HEAD_MM) -> tuple[Mark, ...]:
    """Fold toward you, along a path of its own; a short one has a smaller head."""
    head_mm = min(head_mm, 0.45 * sum(math.dist(a, b) for a, b in pairwise(path)))
    return Line(_shortened(path, head_mm)), Area((_head(path, head_mm),), INK)


def mountain_arrow(start: Point, end: Point, bow: float = 0.25, head_mm: float = HEAD_MM) -> tuple[Mark, ...]:
    """Fold away from you: as `valley_arrow`, with a hollow half head on the outer side of the bow."""
    path = bowed(start, end, bow)
    tip, left, notch, right = _head(path, head_mm)
    return Line(path), Area(((tip, left if bow > 0 else right, notch),), PAPER, "outline")


def there_and_back(start: Point, end: Point, bow: float = 0.25, head_mm: float = HEAD_MM) -> tuple[Mark, ...]:
    """Fold and unfold: a full head at `end`, a hollow one at `start`."""
    path = bowed(start, end, bow)
    back = path[::-1]
    line = Line(_shortened(_shortened(path, head_mm)[::-1], head_mm))
    return line, Area((_head(path, head_mm),), INK), Area((_head(back, head_mm),), PAPER, "outline")


def turn_over(middle: Point, width_mm: float = 18.0, head_mm: float = HEAD_MM) -> tuple[Mark, ...]:
    """Turn the sheet over: from left to right with one loop in the middle."""
    x, y = middle
    r, half = width_mm / 6, width_mm / 2
    loop = (middle, *arc((x, y + r), r, -math.pi / 2, 1.5 * math.pi)[1:-1], middle)
    path = ((x - half, y - r / 2), (x - half / 2, y - r / 8), *loop, (x + half / 2, y - r / 8), (x + half, y - r / 2))
    return Line(_shortened(path, head_mm)), Area((_head(path, head_mm),), INK)


def bowed(start: Point, end: Point, bow: float) -> tuple[Point, ...]:
    """Points on the circular arc from `start` to `end` whose height over the chord is `bow` times the chord."""
    chord = math.dist(start, end)
    if chord < 1e-9 or abs(bow) < 1e-6:
        return (start, end)
    rise = bow * chord
    radius = (chord * chord / 4 + rise * rise) / (2 * rise)
    along = math.atan2(end[1] - start[1], end[0] - start[0])
    up = along + math.pi / 2
    drop = rise - radius
    middle = ((start[0] + end[0]) / 2 + drop * math.cos(up), (start[1] + end[1]) / 2 + drop * math.sin(up))
    half = 2 * math.atan(2 * bow)
    facing = up if bow > 0 else up - math.pi
    points = arc(middle, abs(radius), facing + half, facing - half, abs(half) / 8)
    return (start, *points[1:-1], end)


def _head(path: tuple[Point, ...], head_mm: float) -> tuple[Point, Point, Point, Point]:
    """Tip, left barb, notch, right barb of a head at the end of a path."""
    tip, back = path[-1], _shortened(path, head_mm)[-1]
    length = math.dist(tip, back) or 1.0
    ux, uy = (tip[0] - back[0]) / length, (tip[1] - back[1]) / length
    half = HALF_MM * head_mm / HEAD_MM
    left = (tip[0] - ux * head_mm - uy * half, tip[1] - uy * head_mm + ux * half)
    right = (tip[0] - ux * head_mm + uy * half, tip[1] - uy * head_mm - ux * half)
    notch = (tip[0] - 0.8 * ux * head_mm, tip[1] - 0.8 * uy * head_mm)
    return tip, left, notch, right


def _shortened(path: tuple[Point, ...], by_mm: float) -> tuple[Point, ...]:
    """A path without its last `by_mm`, but never without its last half."""
    length = sum(math.dist(a, b) for a, b in pairwise(path))
    return stretch(path, 0.0, max(length - by_mm, length / 2))
