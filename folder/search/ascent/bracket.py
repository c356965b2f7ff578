"""The largest value of a function of one number, between two bounds.

Brent's way (Algorithms for Minimization without Derivatives, 1973, ch. 5): the top of the parabola through the three best places
where that can be trusted, a golden section where not. Where no design is the value is -inf: such a place only bounds the search.
"""

from __future__ import annotations

import math
from collections.abc import Callable

_GOLDEN = (3.0 - math.sqrt(5.0)) / 2.0


def highest_between(
    value: Callable[[float], float], low: float, high: float, top: tuple[float, float], *, within: float = 1e-4, most: int = 40
) -> tuple[float, float]:
    """The place with the largest value between low and high, and that value; `top` is a place between them and its value.

    within   the place is found this near
    most     how many values are asked for at most
    """
    x = w = v = top[0]
    fx = fw = fv = top[1]
    step = before = high - low
    for _ in range(most):
        middle = (low + high) / 2.0
        if abs(x - middle) + (high - low) / 2.0 <= 2.0 * within:
            break
        longest, before = before, step
        parabola = _vertex(x, fx, w, fw, v, fv)
        if parabola is not None and abs(parabola - x) < longest / 2.0 and low + within < parabola < high - within:
            step = parabola - x
        else:
            before = (high if x < middle else low) - x
            step = _GOLDEN * before
        u = x + (step if abs(step) >= within else math.copysign(within, step))
        fu = value(u)
        if fu >= fx:
            low, high = (x, high) if u >= x else (low, x)
            v, fv, w, fw, x, fx = w, fw, x, fx, u, fu
            continue
        low, high = (u, high) if u < x else (low, u)
        if fu >= fw or w == x:
            v, fv, w, fw = w, fw, u, fu
        elif fu >= fv or v in (x, w):
            v, fv = u, fu
    return x, fx


def _vertex(x: float, fx: float, w: float, fw: float, v: float, fv: float) -> float | None:
    """Where the parabola through three places has its top; None where it has none."""
    if len({x, w, v}) < 3 or not math.isfinite(fw + fv):
        return None
    r, q = (x - w) * (fx - fv), (x - v) * (fx - fw)
    p, q = (x - v) * q - (x - w) * r, 2.0 * (q - r)
    return x - p / q if q else None
