"""Lines that run along the sides of the sheet, in bundles of one fold each.

side line    runs along a side of the sheet, more or less: level or upright
bundle       side lines of one side that lie as near to each other as doubles do: one fold, drawn in pieces or twice
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from msgspec.structs import replace

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
_GOES_ON_MM = 0.02


def side_along(crease: Crease, floor: complex) -> Side | None:
    """The side of the sheet a line runs along; None for a slanted line."""
    lean, middle = lean_rad(crease), line_middle(crease)
    if lean <= CROOKED_RAD:
        return 0 if middle.imag < floor.imag else 2
    if lean >= math.pi / 2.0 - CROOKED_RAD:
        return 3 if middle.real < floor.real else 1
    return None


def in_one(creases: Sequence[Crease]) -> list[Crease]:
    """Lines that go on from each other as one, made one: where a fold is divided, and nothing else meets it, is no matter."""
    lines = list(creases)
    ends: dict[tuple[float, float], list[int]] = {}
    for k, crease in enumerate(lines):
        for p in (crease.start, crease.end):
            ends.setdefault((round(p[0], 2) + 0.0, round(p[1], 2) + 0.0), []).append(k)
    now = list(range(len(lines)))
    for at, here in ends.items():
        if len(here) != 2:
            continue
        a, b = (_of(now, k) for k in here)
        joined = None if a == b else _go_on(lines[a], lines[b], complex(*at))
        if joined is not None and not any(_passes(c, complex(*at)) for k, c in enumerate(creases) if k not in here):
            lines[a], now[b] = joined, a
    return [line for k, line in enumerate(lines) if now[k] == k]


def _of(now: Sequence[int], k: int) -> int:
    """Which line a piece has become a part of."""
    while now[k] != k:
        k = now[k]
    return k


def _go_on(a: Crease, b: Crease, at: complex) -> Crease | None:
    """Both as one line, where one folds on in the direction of the other; else None."""
    if (a.sense, a.turn_rad) != (b.sense, b.turn_rad):
        return None
    first, last = (max((complex(*c.start), complex(*c.end)), key=lambda p: abs(p - at)) for c in (a, b))
    way = (last - first) / abs(last - first) if first != last else 0j
    off = abs((way.conjugate() * (at - first)).imag)
    between = 0.0 < (way.conjugate() * (at - first)).real < abs(last - first)
    return replace(a, start=(first.real, first.imag), end=(last.real, last.imag)) if between and off < _GOES_ON_MM else None


def _passes(crease: Crease, at: complex) -> bool:
    """Whether a line runs through a place."""
    start, along = complex(*crease.start), complex(*crease.end) - complex(*crease.start)
    share = ((at - start) * along.conjugate()).real / abs(along) ** 2
    return abs(start + min(max(share, 0.0), 1.0) * along - at) < _GOES_ON_MM


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
