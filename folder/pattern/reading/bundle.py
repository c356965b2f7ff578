"""Lines that run along the sides of the sheet, in bundles of one fold each.

side line    runs along a side of the sheet, more or less: level or upright
bundle       side lines of one side that lie as near to each other as doubles do: one fold, drawn in pieces or twice
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from folder.pattern.pattern import Crease, Sheet
from folder.pattern.reading.intended import (
    ALL_THE_WAY_RAD,
    INWARD,
    IntendedWall,
    Side,
    depth_of,
    lean_rad,
    line_middle,
    side_offset,
    turn_of,
)  # fmt: skip

CROOKED_RAD = math.radians(12.0)
"""A line this far from level or upright is still meant to be so: a child's hand on kitchen foil (judgement)."""
DOUBLE_MM = 6.0
"""Lines along a side that are nearer to each other than this are one fold (judgement: no wall is so low)."""


def side_along(crease: Crease, floor: complex) -> Side | None:
    """The side of the sheet a line runs along; None for a slanted line."""
    lean, middle = lean_rad(crease), line_middle(crease)
    if lean <= CROOKED_RAD:
        return 0 if middle.imag < floor.imag else 2
    if lean >= math.pi / 2.0 - CROOKED_RAD:
        return 3 if middle.real < floor.real else 1
    return None


def bundles_along(creases: Sequence[Crease], side: Side, sheet: Sheet) -> list[list[Crease]]:
    """Lines along a side in bundles of one fold each, the outermost first."""

    def depth(c: Crease) -> float:
        return depth_of(line_middle(c), side, sheet)

    bundles: list[list[Crease]] = []
    for crease in sorted(creases, key=depth):
        before = bundles[-1][-1] if bundles else None
        if before is not None and depth(crease) - depth(before) < _apart_mm(before, crease):
            bundles[-1].append(crease)
        else:
            bundles.append([crease])
    return bundles


def _apart_mm(a: Crease, b: Crease) -> float:
    """How far apart two lines along a side must be to be two folds: a hem and its wall, or both folds of a pleat, less."""
    both_ways = (turn_of(a) > ALL_THE_WAY_RAD) != (turn_of(b) > ALL_THE_WAY_RAD)
    return DOUBLE_MM / 2.0 if both_ways else DOUBLE_MM


def _shares(crease: Crease, side: Side, sheet: Sheet) -> tuple[float, float]:
    """From where to where along its side a line runs, as shares of the side."""
    level = side in (0, 2)
    room = sheet.width_mm if level else sheet.height_mm
    a, b = (p[0 if level else 1] / room for p in (crease.start, crease.end))
    return min(a, b), max(a, b)


def in_middle(crease: Crease, side: Side, sheet: Sheet) -> bool:
    """A line reaches into the middle third of its side."""
    low, high = _shares(crease, side, sheet)
    return min(high, 2.0 / 3.0) - max(low, 1.0 / 3.0) > 0.02


def spans_middle(bundle: Iterable[Crease], side: Side, sheet: Sheet) -> bool:
    """Together the lines run along half of the middle third of their side or more, or of a short line's own length."""
    covered = 0.0
    reached = 1.0 / 3.0
    for low, high in sorted(_shares(c, side, sheet) for c in bundle):
        covered += max(0.0, min(high, 2.0 / 3.0) - max(low, reached))
        reached = max(reached, high)
    return covered >= 1.0 / 6.0 - 1e-9


def bundled(lines: Sequence[Crease], side: Side, sheet: Sheet) -> IntendedWall:
    """One wall for the lines of a bundle, where they are on average."""
    whole = sum(c.length_mm for c in lines)
    depth = sum(depth_of(line_middle(c), side, sheet) * c.length_mm for c in lines) / whole
    turns: dict[float, float] = {}
    for c in lines:
        turns[turn_of(c)] = turns.get(turn_of(c), 0.0) + c.length_mm
    turn = max(turns, key=lambda t: (round(turns[t], 6), -abs(t - math.pi / 2.0)))
    return IntendedWall(INWARD[side], side_offset(side, depth, sheet), turn, side, drawn=len(lines))
