"""How builds of a design vary, learned from trials: a hierarchical model on a grid.

share    the load a build takes over the brim load of its design; the model of the hull gives its spread (the prior)
shift    how much better or worse than the model real builds of a design do: log of a factor on the share
stretch  how much wider than the model's their spread is: a factor on the logs of shares
leak     a build that fails at once takes a share from another spread, by one of two shapes: holds nearly nothing, or some part
class    what all designs of one log have in common; each design differs from its class in shift, stretch and leaks
pupil    builds with a shift of its own about that of any design

The unknowns of a design are shift, stretch, how often builds leak, and the shape of leaks: one axis of a grid each. The
trials of a design give a likelihood on the grid. The class is weighed by the likelihoods of the other designs, each blurred by how
far a design may lie from its class; blurred once more it is what is known of this design before its own trials count
(Gelman et al., Bayesian Data Analysis, 3rd ed. 2013, ch. 5, worked on a grid). For one pupil the trials of all others come first;
what they say of the design is blurred by how far pupils lie apart, then the pupil's own trials count.

A trial of k objects says that the load lies from k to k + 1 of them (interval censoring). Any trial may be a slip of the
pen, which then says nothing: that keeps the middle robust (a contaminated likelihood, Tukey 1960).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import NamedTuple

import numpy as np
from msgspec import Struct

from folder.geometry.space import Floats

# Nothing below is measured on pupils: it is judgement, written down in one place, and gives way to trials.
SLIP = 0.02
"""How often a number is noted wrongly."""
CLASS_SHIFT, DESIGN_SHIFT = 0.08, 0.06
"""How far, in logs, a class lies from the model and a design from its class: scale of Student's t with 4 degrees."""
STRETCHES = np.array([0.5, 0.7, 0.85, 1.0, 1.25, 1.6, 2.0])
CLASS_STRETCH, DESIGN_STRETCH = 0.2, 0.15
"""Standard deviations of the log of the stretch."""
LEAKS = np.array([0.005, 0.02, 0.05, 0.1, 0.18, 0.3, 0.48, 0.7, 0.93])
LEAKS_PRIOR, LEAKS_OPEN = (0.7, 6.5), 0.03
"""Of ten builds of an unknown class about one leaks: a Beta distribution with that mean, but for a part open to anything."""
DESIGN_LEAKS = 0.4
"""How a design's leaks lie about those of its class, in logits: scale of Student's t with 4 degrees."""
PUPIL_SHIFT = 0.12
"""How far, in logs, a pupil lies from the class: scale of Student's t with 4 degrees."""
SHAPE_STAYS = 0.8
"""The chance that the leaks of a design have the shape of its class's."""
LEAST_SPREAD = 0.03
"""Standard deviation of log shares: no two builds of a pupil are more alike, whatever the model says."""
TAIL = 0.1
"""This part of the builds varies twice as widely as the model's do (logistic)."""

SHIFTS = np.concatenate([np.linspace(-4.5, -1.5, 9)[:-1], np.linspace(-1.5, -0.6, 13)[:-1], np.linspace(-0.6, 0.5, 41)])
"""Fine where a build may lie, coarse where only a design that fails lies."""
_OFTEN = LEAKS[:, None]
SHAPE = (len(SHIFTS), len(STRETCHES), len(LEAKS), 2)


class HeldShares(NamedTuple):
    """What trials say, as shares of the brim load: the load lies from `low` to `high` (n,)."""

    low: Floats
    high: Floats
    """Infinite where there was room for no more, or the brim is reached."""
    hand: Floats
    """(n,) which of the model's spreads it belongs to."""
    design: Floats
    """(n,) the number of the design."""


class BuildSpread(Struct, frozen=True, eq=False):
    """How the model's log shares spread: middle, points of the cumulative distribution, scale of the tails."""

    middle: float
    at: Floats
    scale: float

    @classmethod
    def of(cls, share: Floats) -> BuildSpread:
        """The spread of the shares (n,) that simulated builds take."""
        logs = np.log(np.maximum(share, 1e-3))
        at = np.quantile(logs, np.linspace(0.0, 1.0, 65))
        middle, deviation = float(at[32]), float(np.std(logs))
        if deviation < LEAST_SPREAD:
            at = middle + LEAST_SPREAD * np.linspace(-1.7, 1.7, 65)
        return cls(middle, at, 2.0 * max(deviation, LEAST_SPREAD) * 0.5513)  # a logistic's scale is sqrt(3)/pi deviations

    def below(self, logs: Floats) -> Floats:
        """The part of builds whose log share lies below, of any shape."""
        z = np.clip((logs - self.middle) / self.scale, -40.0, 40.0)
        steps = np.linspace(0.0, 1.0, len(self.at))
        return np.asarray((1.0 - TAIL) * np.interp(logs, self.at, steps) + TAIL / (1.0 + np.exp(-z)))

    def on_grid(self, share: Floats) -> Floats:
        """(n, shifts, stretches): the part of sound builds that takes less than each share (n,)."""
        with np.errstate(divide="ignore"):
            logs = np.maximum(np.log(share), -50.0)
        away = (logs[:, None, None] - self.middle - SHIFTS[None, :, None]) / STRETCHES
        found = self.below(self.middle + away)
        found[share >= 1.0] = 1.0
        return found


class Posterior(Struct, frozen=True, eq=False):
    """What is known of the next build: weights of the grid's nodes, and the spread of its hand."""

    sound: Floats
    """(shifts, stretches): how likely it is sound, with those."""
    leaky: Floats
    """(2,): how likely it leaks, by shape."""
    spread: BuildSpread
    middle: float

    def below(self, share: Floats) -> Floats:
        """The chance that the next build takes less than each share (n,); 1 from the brim on."""
        sound = np.tensordot(self.spread.on_grid(share), self.sound, 2)
        below = sound + leaks_below(share, self.middle) @ self.leaky
        return np.asarray(np.where(share >= 1.0, 1.0, np.minimum(below, 1.0)))

    def quantiles(self, chances: Sequence[float], points: int = 241) -> list[float]:
        """The shares below which the next build falls with these chances."""
        share = np.linspace(0.0, 1.0, points)
        below = np.maximum.accumulate(self.below(share))
        below[0] = 0.0
        at = np.searchsorted(below, chances)
        before, after = np.maximum(at - 1, 0), np.minimum(at, points - 1)
        rise = np.maximum(below[after] - below[before], 1e-12)
        part = np.clip((np.array(chances) - below[before]) / rise, 0.0, 1.0)
        return [float(x) for x in share[before] + part * (share[after] - share[before])]


class OfPupil(NamedTuple):
    """The trials of the pupil whose next build it is; they are not among those of all others."""

    own: HeldShares
    """Of the design that is built."""
    others: HeldShares
    """Of other designs."""


def posterior(
    spreads: Sequence[BuildSpread], hand: int, own: HeldShares, others: HeldShares, pupil: OfPupil | None = None
) -> Posterior:
    """What `own` trials of a design and those of other designs say of its next build by a hand: by anyone, or by one pupil."""
    middle = spreads[hand].middle
    weight = _class_prior()
    if len(others.low):
        weight = weight + np.log(_toward_class(np.exp(_likelihood(spreads, middle, others))) + 1e-300).sum(axis=0)
    before = _toward_design(np.exp(weight - weight.max()))
    with np.errstate(divide="ignore"):
        weight = np.log(before)
    if len(own.low):
        weight += _likelihood(spreads, middle, own)[0]
    if pupil is not None:
        weight = _of_pupil(weight, spreads, middle, pupil)
    found = np.exp(weight - weight.max())
    found /= found.sum()
    sound, leaky = (found * (1.0 - _OFTEN)).sum(axis=(2, 3)), (found * _OFTEN).sum(axis=(0, 1, 2))
    return Posterior(sound, leaky, spreads[hand], middle)


def _of_pupil(weight: Floats, spreads: Sequence[BuildSpread], middle: float, pupil: OfPupil) -> Floats:
    """Log weights of what a design is like when one pupil builds it, from those of what it is like for the class; of the same shape."""
    blurred = np.tensordot(_pupil_step(), np.exp(weight - weight.max()), (0, 0))
    with np.errstate(divide="ignore"):
        weight = np.log(blurred)
    if len(pupil.own.low):
        weight += _likelihood(spreads, middle, pupil.own)[0]
    if len(pupil.others.low):
        # From another design to this one is twice as far as to the class, which lies between.
        likely = _toward_class(_toward_class(np.exp(_likelihood(spreads, middle, pupil.others))))
        weight += np.log(likely + 1e-300).sum(axis=0)
    return weight


def leaks_below(share: Floats, middle: float) -> Floats:
    """(n, 2): the part of leaks that take less than each share (n,): nearly nothing, or up to what a sound build takes."""
    little = -np.expm1(-np.minimum(share, 1e3) / 0.03)
    part = np.clip(share / np.exp(middle), 0.0, 1.0)
    return np.column_stack([little, 1.0 - (1.0 - part) ** 1.5])


def _likelihood(spreads: Sequence[BuildSpread], middle: float, held: HeldShares) -> Floats:
    """(designs, shifts, stretches, leaks, 2): log of how likely is what was held of each design; its largest is 0."""
    rows, which = np.unique(np.column_stack(held[:3]), axis=0, return_inverse=True)
    often = np.zeros((int(held.design.max()) + 1, len(rows)), dtype=np.float32)
    np.add.at(often, (held.design.astype(int), which.ravel()), 1.0)
    sound = np.empty((len(rows), *SHAPE[:2]))
    for hand in np.unique(rows[:, 2]).astype(int).tolist():
        mine = rows[:, 2] == hand
        low, high = spreads[hand].on_grid(rows[mine, 0]), spreads[hand].on_grid(rows[mine, 1])
        sound[mine] = high - low
    leak = leaks_below(rows[:, 1], middle) - leaks_below(rows[:, 0], middle)
    slip = np.minimum(rows[:, 1], 1.0) - np.minimum(rows[:, 0], 1.0)
    # In single precision: some million logarithms, of which only the sums matter.
    often_sound = ((1.0 - SLIP) * sound).astype(np.float32)[..., None, None] * (1.0 - _OFTEN).astype(np.float32)
    otherwise = SLIP * slip[:, None, None] + (1.0 - SLIP) * _OFTEN * leak[:, None, :]
    chance = often_sound + otherwise.astype(np.float32)[:, None, None]
    found = (often @ np.log(np.maximum(chance, 1e-30)).reshape(len(rows), -1)).astype(np.float64)
    return np.asarray((found - found.max(axis=1, keepdims=True)).reshape(-1, *SHAPE))


def _toward_class(likely: Floats) -> Floats:
    """The likelihood of each design's trials (designs, ...), given what its class is like."""
    for axis, step in enumerate(_steps(), start=1):
        likely = np.moveaxis(np.tensordot(step, likely, (1, axis)), 0, axis)
    return likely


def _toward_design(weight: Floats) -> Floats:
    """What a design is like, given the weights (shifts, stretches, leaks, 2) of what its class is like; of the same shape."""
    for axis, step in enumerate(_steps()):
        weight = np.moveaxis(np.tensordot(step, weight, (0, axis)), 0, axis)
    return weight


@cache
def _steps() -> tuple[Floats, ...]:
    """For each axis of the grid (class, design): the chance of a design's node, given that of its class."""
    logit = np.log(LEAKS / (1.0 - LEAKS))
    logs = np.log(STRETCHES)
    widths = np.gradient(SHIFTS)
    return (
        _rows(_student(SHIFTS[None, :] - SHIFTS[:, None], DESIGN_SHIFT) * widths),
        _rows(np.exp(-0.5 * ((logs[None, :] - logs[:, None]) / DESIGN_STRETCH) ** 2)),
        _rows(_student(logit[None, :] - logit[:, None], DESIGN_LEAKS)),
        np.array([[SHAPE_STAYS, 1.0 - SHAPE_STAYS], [1.0 - SHAPE_STAYS, SHAPE_STAYS]]),
    )


@cache
def _pupil_step() -> Floats:
    """(shifts, shifts): the chance of a pupil's shift, given that of the class."""
    return _rows(_student(SHIFTS[None, :] - SHIFTS[:, None], PUPIL_SHIFT) * np.gradient(SHIFTS))


@cache
def _class_prior() -> Floats:
    """(shifts, stretches, leaks, 2): log weights of what a class may be like."""
    shift = _student(SHIFTS, CLASS_SHIFT) * np.gradient(SHIFTS)
    stretch = np.exp(-0.5 * (np.log(STRETCHES) / CLASS_STRETCH) ** 2)
    a, b = LEAKS_PRIOR
    leak = LEAKS ** (a - 1.0) * (1.0 - LEAKS) ** (b - 1.0) * np.gradient(LEAKS)
    leak = (1.0 - LEAKS_OPEN) * leak / leak.sum() + LEAKS_OPEN / len(LEAKS)
    each = (shift, stretch, leak, np.array([0.25, 0.75]))
    one, two, three, four = (np.log(_rows(values[None])[0]) for values in each)
    return np.asarray(one[:, None, None, None] + two[:, None, None] + three[:, None] + four)


def _student(x: Floats, scale: float) -> Floats:
    """Student's t with 4 degrees of freedom, but for a factor. Of any shape; x and scale in logs."""
    return np.asarray((1.0 + (x / scale) ** 2 / 4.0) ** -2.5)


def _rows(values: Floats) -> Floats:
    """Values (n, m) over their sum: rows that add up to 1."""
    return np.asarray(values / values.sum(axis=1, keepdims=True))
