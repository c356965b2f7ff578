"""What can be counted on: a bound below which the next build is unlikely to fall.

n         how many trials the bound rests on; it always stands beside it
chance    the probability that the next build reaches the bound
student   the one-sided lower prediction bound m - t s sqrt(1 + 1/n), for values that vary like a bell curve
smallest  the smallest of n, which the next of the same kind reaches with probability n / (n + 1), however they vary

Student's bound is given from 4 trials on, and only while it is above zero; in all other cases the smallest stands.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache
from statistics import NormalDist
from typing import Literal

from msgspec import Struct

CONFIDENCE = 0.95

FEWEST_FOR_STUDENT = 4
"""With three trials the factor t sqrt(1 + 1/n) is 3.4 and the bound says nothing (common practice)."""

SERIES_FREEDOM = 500
"""Up to here t is summed exactly; above, the asymptotic series is right to 1e-12."""


class Bound(Struct, frozen=True):
    """What can be counted on, on which ground, and a sentence that says so. `value` is None without any trial."""

    value: float | None
    n: int
    ground: Literal["none", "smallest", "student"]
    chance: float
    text: str


def bound(n: int, mean: float, deviation: float, smallest: float, show: Callable[[float], str]) -> Bound:
    """The bound of n trials. `deviation` is the sample standard deviation; `show` writes a value with its unit."""
    if n == 0:
        return Bound(None, 0, "none", 0.0, "No trials yet: nothing is known from real builds.")
    if n >= FEWEST_FOR_STUDENT and (value := lower_prediction(mean, deviation, n)) > 0:
        text = (
            f"{n} trials, {show(mean)} on average: count on {show(value)}. "
            f"The next build reaches that with {100 * CONFIDENCE:.0f} chances in 100."
        )
        return Bound(value, n, "student", CONFIDENCE, text)
    if n == 1:
        text = f"1 trial, {show(smallest)}. One trial cannot show how much builds vary"
    elif n < FEWEST_FOR_STUDENT:
        text = f"{n} trials, the smallest {show(smallest)}. So few cannot show how much builds vary"
    else:
        text = f"{n} trials, the smallest {show(smallest)}. They vary too much for a bound from their spread"
    text += f"; the next build reaches {show(smallest)} with {n} {'chance' if n == 1 else 'chances'} in {n + 1}."
    return Bound(smallest, n, "smallest", n / (n + 1), text)


def lower_prediction(mean: float, deviation: float, n: int, confidence: float = CONFIDENCE) -> float:
    """The one-sided lower prediction bound for the next value (Montgomery & Runger, section 8-6); may be negative."""
    return mean - t_quantile(confidence, n - 1) * deviation * math.sqrt(1.0 + 1.0 / n)


@lru_cache(maxsize=1024)
def t_quantile(probability: float, freedom: int) -> float:
    """Student's t that is not passed with this probability, for a whole number of degrees of freedom.

    Abramowitz & Stegun, Handbook of Mathematical Functions (1964): the finite sums 26.7.3 and 26.7.4, solved by
    halving; for many degrees of freedom the asymptotic series 26.7.5.
    """
    if not (0.0 < probability < 1.0 and freedom >= 1):
        raise ValueError(f"no t quantile for probability {probability} and {freedom} degrees of freedom")
    if probability < 0.5:
        return -t_quantile(1.0 - probability, freedom)
    if freedom > SERIES_FREEDOM:
        return _t_of_many(NormalDist().inv_cdf(probability), freedom)
    low, high = 0.0, math.pi / 2
    while low < (middle := (low + high) / 2) < high:
        if _within(middle, freedom) < 2.0 * probability - 1.0:
            low = middle
        else:
            high = middle
    return math.sqrt(freedom) * math.tan(low)


def _within(angle_rad: float, freedom: int) -> float:
    """The probability of |T| <= sqrt(freedom) tan(angle): A&S 26.7.3 (odd) and 26.7.4 (even)."""
    square = math.cos(angle_rad) ** 2
    odd = freedom % 2
    term = math.cos(angle_rad) if odd else 1.0
    total = 0.0
    for k in range(odd, freedom - 1, 2):
        total += term
        term *= square * (k + 1) / (k + 2)
    total *= math.sin(angle_rad)
    return (angle_rad + total) * 2.0 / math.pi if odd else total


def _t_of_many(x: float, freedom: int) -> float:
    """A&S 26.7.5, with the normal quantile x."""
    square = x * x
    terms = (
        x * (square + 1) / 4,
        x * ((5 * square + 16) * square + 3) / 96,
        x * (((3 * square + 19) * square + 17) * square - 15) / 384,
        x * ((((79 * square + 776) * square + 1482) * square - 1920) * square - 945) / 92160,
    )
    return x + sum(term / float(freedom) ** power for power, term in enumerate(terms, start=1))
