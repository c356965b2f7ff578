"""Better hulls: the parameters of a family that carry most.

sweep      one parameter walked over its range, the others kept
improve    sweep after sweep, each time narrower, until nothing is won
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from msgspec import Struct

from folder.errors import BadRequest
from folder.pattern.families.catalogue import find_family, make
from folder.pattern.families.parameter import Parameter, Value
from folder.pattern.pattern import Pattern, Sheet
from folder.studies import study

Score = Callable[[Pattern], float | None]
"""What is to be large; None where the pattern is no hull."""

_GRID, _ROUNDS = 25, 60
_LEAST_GAIN = 1e-9


class DesignPoint(Struct, frozen=True):
    """One set of parameters and what it scores."""

    values: Mapping[str, Value]
    score: float


class Improvement(Struct, frozen=True):
    """The best parameters found, where the search began, and how many patterns it tried."""

    family: str
    best: DesignPoint
    start: DesignPoint | None
    tried: int


def brim_score(pattern: Pattern) -> float | None:
    """The brim load, g; None when the pattern does not fold to a hull or something stops it."""
    result = study(pattern)
    return None if result.report.stops or result.brim is None else result.brim.load_g


def improve(
    family: str, keep: Mapping[str, object] | None = None, *, sheet: Sheet | None = None, score: Score = brim_score
) -> Improvement:
    """The parameters of a family that score most, those in `keep` held fast.

    Every free number is walked over a grid of its range, then over ever narrower grids round the best, turn by turn,
    until a whole round wins nothing. BadRequest when no setting makes a hull.
    """
    kind = find_family(family)
    kept = dict(keep or {})
    values = kind.values(kept)
    free = [p for p in kind.parameters if p.name not in kept and not isinstance(p.default, str)]
    sheet = sheet or Sheet()
    tried = 0

    def at(candidate: Mapping[str, Value]) -> float | None:
        nonlocal tried
        tried += 1
        return _scored(family, candidate, sheet, score)

    first = at(values)
    start = None if first is None else DesignPoint(values, first)
    best = start
    width = {p.name: _range(p, sheet) for p in free}
    for _ in range(_ROUNDS):
        before = -math.inf if best is None else best.score
        for p in free:
            best = _along(p, width[p.name], best, values, at)
            width[p.name] *= 0.35
        gain = (-math.inf if best is None else best.score) - before
        if max(width.values(), default=0.0) < 1e-4 and not gain > _LEAST_GAIN:
            break
    if best is None:
        raise BadRequest("no setting of this family makes a hull on this sheet", where=family, remedy="Keep fewer parameters")
    return Improvement(family, best, start, tried)


def _range(parameter: Parameter, sheet: Sheet) -> float:
    high = parameter.high if parameter.unit != "mm" else min(parameter.high, max(sheet.width_mm, sheet.height_mm) / 2.0)
    return high - parameter.low


def _along(
    parameter: Parameter,
    width: float,
    best: DesignPoint | None,
    values: Mapping[str, Value],
    at: Callable[[Mapping[str, Value]], float | None],
) -> DesignPoint | None:
    """The best point on a grid of one parameter, `width` wide round the best so far."""
    base = dict(best.values if best else values)
    middle = float(base[parameter.name]) if best else (parameter.low + width / 2.0)
    low, high = max(parameter.low, middle - width / 2.0), min(parameter.high, middle + width / 2.0)
    grid = [low + (high - low) * k / (_GRID - 1) for k in range(_GRID)]
    if parameter.whole:
        grid = sorted({float(round(v)) for v in grid})
    for value in grid:
        candidate = {**base, parameter.name: value}
        score = at(candidate)
        if score is not None and (best is None or score > best.score):
            best = DesignPoint(candidate, score)
    return best


def _scored(family: str, values: Mapping[str, object], sheet: Sheet | None, score: Score) -> float | None:
    try:
        return score(make(family, values, sheet=sheet))
    except BadRequest:
        return None
