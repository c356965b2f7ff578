"""The places: who comes where, by the rules' order, shared where all that decides is equal."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from decimal import Decimal

from msgspec import Struct

from folder.event.entry import Result
from folder.event.rules import Criterion, Rules


class Standing(Struct, frozen=True):
    """A team's result with its place. `place` is None without a result; `points` None where there are no points."""

    place: int | None
    result: Result
    points: float | None = None


def points_of(result: Result, rules: Rules) -> float | None:
    """The points of a result; None without one, or where the rules give none. Added up in decimals, so that equal ones are equal.

    Who did not guess is as far off as who guessed nothing at all; where nobody is asked for a guess, nobody is off.
    """
    rule = rules.points
    if result.held is None or rule is None:
        return None
    off = (result.held if result.off is None else result.off) if rules.guess else 0
    extra = max((result.sheets or 1) - 1, 0)
    each = ((rule.per_object, result.held), (rule.per_guess_off, off), (rule.per_extra_sheet, extra))
    return float(sum(Decimal(repr(float(points))) * times for points, times in each))


def _merits(rules: Rules) -> dict[Criterion, Callable[[Result], float]]:
    """For each thing that decides how good a result is: more is better, what was not noted is worst."""
    return {
        "points": lambda r: points_of(r, rules) or 0.0,
        "held": lambda r: float(r.held or 0),
        "sheets": lambda r: -math.inf if r.sheets is None else -float(r.sheets),
        "guess": lambda r: -math.inf if r.off is None else -float(r.off),
    }


def standings(rules: Rules, results: Iterable[Result]) -> tuple[Standing, ...]:
    """All teams, the best first: equal ones share a place (1, 2, 2, 4) in the order of their numbers, those without a result last."""
    merits = _merits(rules)

    def key(result: Result) -> tuple[float, ...]:
        return tuple(-merits[criterion](result) for criterion in rules.deciding)

    by_number = sorted(results, key=lambda r: r.team.number)
    found: list[Standing] = []
    for n, result in enumerate(sorted((r for r in by_number if r.held is not None), key=key), start=1):
        shared = found and key(found[-1].result) == key(result)
        found.append(Standing(found[-1].place if shared else n, result, points_of(result, rules)))
    return (*found, *(Standing(None, r) for r in by_number if r.held is None))
