"""What hands do to a hull: the one table of assumptions behind the working load.

Nothing in this table is measured. It is judgement, written down so that it can be argued with, and it gives way to
trials as soon as there are some. It is not tuned to any class's results.

uneven    each of the rim's corners is off its height by this much (standard deviation); the lowest one lets water in
off       the load's centre is off the best place by this much along x and along y (standard deviation)
film      the share of the water standing above the rim that outlasts the ripples of setting objects down
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from folder.errors import BadRequest
from folder.geometry.space import Floats
from folder.water.density import CONTACT_BAND_RAD, CONTACT_RAD, Water

GAUGE_SPREAD = 0.04
"""Standard deviation of foil thickness as a share: makers hold about +-8 % (from memory), taken as two of these."""

RIM_CORNERS = 4
"""How many places of the rim can each be the lowest one."""


class Hand(Struct, frozen=True):
    """How well a hull is folded and loaded."""

    name: str
    uneven_mm: float
    off_mm: float
    film: float


HANDS = {
    hand.name: hand
    for hand in (
        Hand("careful", uneven_mm=0.8, off_mm=2.0, film=0.5),
        Hand("usual", uneven_mm=2.0, off_mm=5.0, film=0.25),
        Hand("hurried", uneven_mm=4.0, off_mm=10.0, film=0.0),
    )
}

CLASS_SHARES = (0.06, 0.65)
"""What one class of 9 to 10 year olds reached with 15 cm squares, as shares of the best tray's brim load: eight hulls
held 6 to 65 US cents of 2.5 g (published on a public broadcaster's science pages for children)."""


class Draws(Struct, frozen=True, eq=False):
    """What happens to `n` builds of one hull. Arrays are read-only."""

    off_mm: Floats
    """(n, 2): the load's centre off the best place."""
    shift_mm: Floats
    """(n,): how far above the rim the water may stand; negative where an uneven rim lets it in below."""
    gauge: Floats
    """(n,): foil thickness as a share of what the packet says."""


def hand_named(name: str) -> Hand:
    """The hand of that name."""
    if name not in HANDS:
        raise BadRequest("no such hand", found=name, remedy=f"Choose one of {', '.join(HANDS)}.")
    return HANDS[name]


def draw(hand: Hand, water: Water, rim_mm: float, count: int, seed: int) -> tuple[Draws, Draws, Draws]:
    """Seeded draws: everything; only what foil and water do; only what the hand does."""
    chance = np.random.default_rng(seed)
    dip = np.minimum(hand.uneven_mm * chance.standard_normal((count, RIM_CORNERS)).max(axis=1), 0.9 * rim_mm)
    dip = np.maximum(dip, 0.0)
    off = hand.off_mm * chance.standard_normal((count, 2))
    contact = chance.uniform(*CONTACT_BAND_RAD, count)
    gauge = np.clip(1.0 + GAUGE_SPREAD * chance.standard_normal(count), 0.8, 1.2)
    standing = hand.film * 2.0 * water.capillary_mm * np.sin(contact / 2.0)
    usual = hand.film * water.standing_mm(CONTACT_RAD)
    middle_dip, middle_off = float(np.median(dip)), float(np.median(np.hypot(off[:, 0], off[:, 1])))
    steady_off = np.tile([middle_off, 0.0], (count, 1))
    return (
        _draws(off, standing - dip, gauge),
        _draws(steady_off, standing - middle_dip, gauge),
        _draws(off, usual - dip, np.ones(count)),
    )


def first_try(brim_g: float) -> str:
    """What to tell a pupil who has not tried yet, in one sentence."""
    low, high = (round(share * brim_g) for share in CLASS_SHARES)
    return (
        f"First boats in a real class held 6 to 65 % of what the best tray can: here that would be {low} to {high} g. "
        "Folding with care and loading in the middle is what makes the difference."
    )


def _draws(off: Floats, shift: Floats, gauge: Floats) -> Draws:
    for array in (off, shift, gauge):
        array.flags.writeable = False
    return Draws(off, shift, gauge)
