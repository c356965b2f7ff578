"""The largest value of a function of a few numbers that has no slopes, and no value where no design is.

Nelder and Mead's simplex (Computer J. 7 (1965) 308) with the factors that suit the number of unknowns (Gao & Han, Comput.
Optim. Appl. 51 (2012) 259), begun anew where it came to rest: a simplex that lies flat along a limit gets up again.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from folder.geometry.space import Floats

Value = Callable[[Floats], float]
"""Of a place (d,): -inf where there is no design."""

_RESTARTS = 6


def nelder_mead(
    value: Value, start: Floats, width: Floats, *, most: int, relative: float = 1e-6, at_start: float | None = None
) -> tuple[Floats, float]:
    """The place (d,) with the largest value found near a start (d,), and that value.

    width (d,)   how far the first simplex reaches
    most         how many values are asked for at most
    relative     the search rests when a simplex's values differ by no more than this part
    at_start     the value at the start, if it is known already
    """
    calls = 0

    def cost(place: Floats) -> float:
        nonlocal calls
        calls += 1
        return -value(place)

    best, least = start, cost(start) if at_start is None else -at_start
    for _ in range(_RESTARTS):
        before = least
        place, found = _rest(cost, best, least, width, lambda: calls >= most, relative)
        if found < least:
            best, least = place, found
        if calls >= most or not before - least > relative * abs(least):
            break
        width = width / 3.0
    return best, -least


def _rest(
    cost: Value, start: Floats, at_start: float, width: Floats, is_over: Callable[[], bool], relative: float
) -> tuple[Floats, float]:
    """Where one simplex comes to rest."""
    d = len(start)
    expand, contract, shrink = 1.0 + 2.0 / d, 0.75 - 0.5 / d, 1.0 - 1.0 / d if d > 1 else 0.5
    places = [start, *(start + step for step in np.diag(width))]
    costs = [at_start, *(cost(place) for place in places[1:])]
    while not is_over():
        order = np.argsort(costs, kind="stable")
        places, costs = [places[k] for k in order], [costs[k] for k in order]
        if math.isfinite(costs[-1]) and costs[-1] - costs[0] <= relative * abs(costs[0]):
            break
        if max(np.abs(place - places[0]).max() for place in places[1:]) < 1e-9:
            break
        middle, worst = np.mean(places[:-1], axis=0), places[-1]
        place = 2.0 * middle - worst
        found = cost(place)
        if found < costs[0]:
            farther = middle + expand * (middle - worst)
            beyond = cost(farther)
            place, found = (farther, beyond) if beyond < found else (place, found)
        elif found >= costs[-2]:
            nearer = middle + contract * ((place if found < costs[-1] else worst) - middle)
            within = cost(nearer)
            if within >= min(found, costs[-1]):
                places[1:] = [places[0] + shrink * (other - places[0]) for other in places[1:]]
                costs[1:] = [cost(other) for other in places[1:]]
                continue
            place, found = nearer, within
        places[-1], costs[-1] = place, found
    k = int(np.argmin(costs))
    return places[k], costs[k]


def evenly_spread(count: int, d: int) -> Floats:
    """(count, d) places spread evenly over all ranges: multiples of the powers of one number (Roberts 2018, after Weyl 1916)."""
    root = 2.0
    for _ in range(32):
        root = (1.0 + root) ** (1.0 / (d + 1.0))
    powers = root ** -np.arange(1.0, d + 1.0)
    return np.asarray((0.5 + np.arange(1.0, count + 1.0)[:, None] * powers) % 1.0)
