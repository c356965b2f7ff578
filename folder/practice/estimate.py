"""What the next build of a design will hold: the model and the trials in one.

The model (simulated builds of the hull, by hands) is what is known beforehand; trials join it (see `hierarchy`). Without any
trial the model speaks alone. Every load that is told comes from here, with what it rests on.

low, high   8 builds in 10 hold from low to high, one less, one more; leaks are among them as soon as there are trials
likely      as many builds hold more as hold less
count on    19 builds in 20 hold that; told as soon as there are trials
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cached_property

import numpy as np
from msgspec import Struct

from folder.errors import one_line
from folder.geometry.space import Floats
from folder.pattern.pattern import Pattern
from folder.practice.evidence import Evidence, evidence
from folder.practice.hierarchy import BuildSpread, Posterior, posterior
from folder.practice.identity import identity_of
from folder.practice.trial import HAND_NAMES, Trial, pupil_key
from folder.units import rounded_down
from folder.water.build_variation import percentiles
from folder.water.working_load import HIGH, LIKELY, LOW

COUNT_ON = 0.05
"""The chance that a build holds less than what can be counted on."""

LONGEST_PUPIL = 60
"""Letters of a pupil's name that are shown."""

_NUMBER: dict[str, int] = {hand: number for number, hand in enumerate(HAND_NAMES)}


class Estimate(Struct, frozen=True):
    """What the next build holds, in g or in objects, with how many trials it rests on and a sentence that says so."""

    low: float
    likely: float
    high: float
    count_on: float | None
    """None without any trial."""
    n_own: int
    n_others: int
    set_aside: int
    text: str

    @property
    def n(self) -> int:
        """How many trials it rests on."""
        return self.n_own + self.n_others


class JoinedEstimate(Struct, frozen=True, eq=False, dict=True):
    """The model of a design joined with trials.

    `held_g` are the loads that simulated builds hold, (n,) g for each hand; hands that are missing vary like the one asked for.
    """

    brim_g: float
    hand: str
    held_g: Mapping[str, Floats]
    evidence: Evidence
    pupil: str = ""
    """Whose next build it is; anyone's of the class where no name is given."""

    @property
    def of_one(self) -> bool:
        """Whether it is of one pupil's next build."""
        return bool(pupil_key(self.pupil))

    @cached_property
    def _posterior(self) -> Posterior:
        mine = self.held_g[self.hand]
        spreads = [BuildSpread.of(self.held_g.get(hand, mine) / self.brim_g) for hand in HAND_NAMES]
        number = _NUMBER[self.hand]
        if not self.of_one:
            return posterior(spreads, number, self.evidence.own, self.evidence.others)
        return posterior(spreads, number, *self.evidence.parted(self.pupil))

    @cached_property
    def in_grams(self) -> Estimate:
        """What the next build holds, g."""
        if not self.evidence.n:
            return self._alone(*percentiles(self.held_g[self.hand], LOW, LIKELY, HIGH))
        chances = (LOW / 100.0, LIKELY / 100.0, HIGH / 100.0, COUNT_ON)
        low, likely, high, sure = (self.brim_g * share for share in self._posterior.quantiles(chances))
        lacking = self.evidence.each_g - (high - low)
        if lacking > 0.0:  # counted in whole objects, nothing is known more closely than one
            low, high = max(low - lacking / 2.0, 0.0), high + lacking / 2.0
            low, high = (low, high) if high <= self.brim_g else (max(low - (high - self.brim_g), 0.0), self.brim_g)
        return self._estimate(low, likely, high, min(sure, low), "g")

    def in_objects(self, each_g: float, room: float = math.inf) -> Estimate:
        """How many objects of a mass the next build holds, where there is room for so many."""
        most = int(min(math.floor(self.brim_g / each_g + 1e-9), room))
        if not self.evidence.n:
            counts = np.minimum(np.floor(self.held_g[self.hand] / each_g + 1e-9), most)
            return self._alone(*(math.floor(count) for count in percentiles(counts, LOW, LIKELY, HIGH)))
        # The chance of at most k objects is that of a load under k + 1 of them.
        below = self._posterior.below(np.arange(1.0, most + 2.0) * (each_g / self.brim_g))
        below[-1] = 1.0
        chances = (LOW / 100.0, LIKELY / 100.0, HIGH / 100.0, COUNT_ON)
        low, likely, high, sure = np.searchsorted(np.maximum.accumulate(below), chances).tolist()
        if high == low and most:
            low, high = (low, high + 1) if high < most else (low - 1, high)
        return self._estimate(low, likely, high, min(sure, low), "")

    def _alone(self, low: float, likely: float, high: float) -> Estimate:
        of_trials = self.evidence
        text = "No trials yet: from the model alone, for builds that do not leak."
        return Estimate(low, likely, high, None, 0, 0, of_trials.set_aside, " ".join((text, *_left_out(of_trials))))

    def _estimate(self, low: float, likely: float, high: float, sure: float, unit: str) -> Estimate:
        of_trials = self.evidence
        sure_text = f"{rounded_down(sure)} g" if unit else f"{sure}"
        of = self._rests_on()
        text = f"{of}: 8 builds in 10 lie in that span. Count on {sure_text}: 19 builds in 20 hold that."
        return Estimate(
            low,
            likely,
            high,
            sure,
            of_trials.n_own,
            of_trials.n_others,
            of_trials.set_aside,
            " ".join((text, *_left_out(of_trials))),
        )

    def _rests_on(self) -> str:
        """With how many trials the model is joined, and whose they are."""
        of_trials = self.evidence
        if self.of_one:
            here, elsewhere = of_trials.n_of(self.pupil)
            n, name = here + elsewhere, one_line(self.pupil, LONGEST_PUPIL)
            pupil = f"{n} {_trials(n)} of {name} ({here} of this design)"
            left, left_here = of_trials.n - n, of_trials.n_own - here
            the_class = f" of the class ({left_here} of this design)"
            if not n:
                return f"No trial of {name} yet: from the model and {left} {_trials(left)}{the_class}"
            return f"From the model, {pupil} and {left}{the_class}" if left else f"From the model and {pupil}"
        own = f"{of_trials.n_own} {_trials(of_trials.n_own)} of this design"
        others = f"{of_trials.n_others} of {of_trials.designs} other {'design' if of_trials.designs == 1 else 'designs'}"
        of = " and ".join(part for part, n in ((own, of_trials.n_own), (others, of_trials.n_others)) if n)
        if not of_trials.n_own:
            of = f"{of_trials.n_others} {_trials(of_trials.n_others)} of {others.partition(' of ')[2]}"
        return f"From the model and {of}"


def join(
    trials: Iterable[Trial],
    pattern: Pattern,
    brim_g: float,
    hand: str,
    held_by: Callable[[str], Sequence[float]],
    pupil: str = "",
) -> JoinedEstimate:
    """What a log's trials say of a pattern, joined with the loads, g, that its simulated builds hold by each hand.

    With a pupil's name it is of that pupil's next build.
    """
    of_trials = evidence(trials, identity_of(pattern, brim_g))
    held = {name: np.array(loads) for name in dict.fromkeys((hand, *of_trials.hands)) if (loads := held_by(name))}
    return JoinedEstimate(brim_g, hand, held, of_trials, pupil)


def _left_out(of_trials: Evidence) -> list[str]:
    """What is not, or not surely, counted in."""
    sentences: list[str] = []
    if of_trials.by_name:
        sentences.append(f"{of_trials.by_name} {_trials(of_trials.by_name)} known by name and brim load alone.")
    if of_trials.set_aside:
        n = of_trials.set_aside
        sentences.append(f"{n} {_trials(n)} set aside: more than the brim load. Look for a slip with: folder trial list.")
    return sentences


def _trials(n: int) -> str:
    return "trial" if n == 1 else "trials"
