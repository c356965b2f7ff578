"""What hands do to a hull: the one table of assumptions behind the working load.

Nothing in this table is measured. It is judgement, written down so that it can be argued with, and it gives way to
trials as soon as there are some. It is not tuned to any class's results.

uneven        each of the rim's corners is off its height by this much (standard deviation); the lowest one lets water in
eccentricity  the load's centre is off the best place by this much along x and along y (standard deviation)
meniscus      the share of the water standing above the rim that outlasts the ripples of setting objects down

Builds are drawn evenly rather than by throwing dice: what counts of them settles with a fraction of the builds, it is
the same on every machine, and no dice need be loaded. Build i takes the fractional parts of start + i / g^k for its kth
number (Weyl 1916; Niederreiter, Random Number Generation and Quasi-Monte Carlo Methods, 1992, ch. 3), g the generalised
golden ratio (M. Roberts, The Unreasonable Effectiveness of Quasirandom Sequences, 2018).
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np
from msgspec import Struct

from folder.errors import BadRequest
from folder.geometry.space import Floats
from folder.water.fluid import CONTACT_BAND_RAD, CONTACT_RAD, Water

GAUGE_SPREAD = 0.04
"""Standard deviation of foil thickness as a share: makers hold about +-8 % (from memory), taken as two of these."""

RIM_CORNERS = 4
"""How many places of the rim can each be the lowest one."""

_GOLDEN = 1.0850702454914507
"""g^9 = g + 1: the ratio for eight numbers a build. Of these the first five serve: two by two they are the least alike."""

_NUMBERS = 5
"""How many numbers make a build: the lowest corner, the load's distance and direction, contact angle, thickness."""

_STEPS_BETWEEN = np.sqrt([2.0, 3.0, 5.0, 7.0, 11.0])
"""How far each seed starts from the one before; the whole turns do not count."""


class BuildVariation(Struct, frozen=True):
    """How well a hull is folded and loaded."""

    name: str
    uneven_mm: float
    eccentricity_mm: float
    meniscus: float


BUILD_VARIATIONS = {
    hand.name: hand
    for hand in (
        BuildVariation("careful", uneven_mm=0.8, eccentricity_mm=2.0, meniscus=0.5),
        BuildVariation("usual", uneven_mm=2.0, eccentricity_mm=5.0, meniscus=0.25),
        BuildVariation("hurried", uneven_mm=4.0, eccentricity_mm=10.0, meniscus=0.0),
    )
}

CLASS_SHARES = (0.06, 0.65)
"""What one class of 9 to 10 year olds reached with 15 cm squares, as shares of the best tray's brim load: eight hulls
held 6 to 65 US cents of 2.5 g (published on a public broadcaster's science pages for children)."""


class BuildDraws(Struct, frozen=True, eq=False):
    """What happens to `n` builds of one hull. Arrays are read-only."""

    eccentricity_mm: Floats
    """(n, 2): the load's centre off the best place."""
    shift_mm: Floats
    """(n,): how far above the rim the water may stand; negative where an uneven rim lets it in below."""
    gauge: Floats
    """(n,): foil thickness as a share of what the packet says."""


def variation_named(name: str) -> BuildVariation:
    """The hand of that name."""
    if name not in BUILD_VARIATIONS:
        raise BadRequest("no such hand", found=name, remedy=f"Choose one of {', '.join(BUILD_VARIATIONS)}.")
    return BUILD_VARIATIONS[name]


def draw_builds(
    hand: BuildVariation, water: Water, rim_mm: float, count: int, seed: int
) -> tuple[BuildDraws, BuildDraws, BuildDraws]:
    """Seeded draws: everything; only what foil and water do; only what the hand does."""
    low, far, toward, wet, thick = shares(count, seed)
    # The greatest of n shares lies below x as often as all n do: x^n.
    dip = np.minimum(hand.uneven_mm * normal(low ** (1.0 / RIM_CORNERS)), 0.9 * rim_mm)
    dip = np.maximum(dip, 0.0)
    # Box & Muller, Ann. Math. Stat. 29 (1958) 610.
    distance, turn = hand.eccentricity_mm * np.sqrt(-2.0 * np.log1p(-far)), 2.0 * np.pi * toward
    off = np.column_stack([distance * np.cos(turn), distance * np.sin(turn)])
    contact = CONTACT_BAND_RAD[0] + (CONTACT_BAND_RAD[1] - CONTACT_BAND_RAD[0]) * wet
    gauge = np.clip(1.0 + GAUGE_SPREAD * normal(thick), 0.8, 1.2)
    standing = hand.meniscus * 2.0 * water.capillary_mm * np.sin(contact / 2.0)
    usual = hand.meniscus * water.standing_mm(CONTACT_RAD)
    steady_off = np.zeros((count, 2))
    steady_off[:, 0] = percentiles(distance, 50.0)[0]
    return (
        _draws(off, standing - dip, gauge),
        _draws(steady_off, standing - percentiles(dip, 50.0)[0], gauge),
        _draws(off, usual - dip, np.ones(count)),
    )


def shares(count: int, seed: int) -> Floats:
    """Even shares from 0 to 1, `(5, count)`: one row for each of a build's numbers."""
    start = seed * _STEPS_BETWEEN
    steps = _GOLDEN ** -np.arange(1.0, _NUMBERS + 1.0)
    along = start[:, None] + steps[:, None] * np.arange(1.0, count + 1.0)
    return along - np.floor(along)


def normal(share: Floats) -> Floats:
    """The standard normal value `(...,)` below which that share of all values lies, six standard deviations at most."""
    at, below = _bell()
    return np.interp(share, below, at)


@cache
def _bell() -> tuple[Floats, Floats]:
    """Standard normal values `(601,)` and the share below each `(601,)`: close enough for straight lines between, to 2e-4."""
    at = np.linspace(-6.0, 6.0, 601)
    return at, np.array([math.erfc(-x / math.sqrt(2.0)) / 2.0 for x in at.tolist()])


def percentiles(values: Floats, *percents: float) -> list[float]:
    """Percentiles of values `(n,)`, straight between them. The library's own would load the masked arrays."""
    ordered = np.sort(values)
    at = np.array(percents) / 100.0 * (len(ordered) - 1)
    return [float(p) for p in np.interp(at, np.arange(len(ordered)), ordered)]


def first_try_text(brim_g: float) -> str:
    """What to tell a pupil who has not tried yet, in one sentence."""
    low, high = (round(share * brim_g) for share in CLASS_SHARES)
    return (
        f"First boats in a real class held 6 to 65 % of what the best tray can: here that would be {low} to {high} g. "
        "Folding with care and loading in the middle is what makes the difference."
    )


def _draws(off: Floats, shift: Floats, gauge: Floats) -> BuildDraws:
    """Read-only draws: off (n, 2) mm, shift (n,) mm, gauge (n,)."""
    for array in (off, shift, gauge):
        array.flags.writeable = False
    return BuildDraws(off, shift, gauge)
