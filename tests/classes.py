"""A simulated class: 30 pupils, ten designs, and a coach who notes what floats. Nothing here knows how the estimate is made.

honest    a build holds what a simulated build of the model holds (other draws than the estimate knows), times the pupil's skill
          (normal, 6 %), times how the class does (even between logs -0.3 and 0.15: on average 7 % worse than the model), times
          how its design does (a triangle from 0.75 to 1.2)
careless  as honest, times a share of Beta(4, 2): two thirds on average; nobody notes that the hands were careless
leaky     two builds in five fail and hold an even share, from 0 to 0.7, of what they would have held
slip      one number of the log is noted with a nought too many, a figure lost, or a ten off

What is held is counted in whole objects of masses from 0.4 to 5.7 g.
"""

from __future__ import annotations

from functools import cache

import numpy as np

from folder.geometry.space import Floats, Ints
from folder.pattern.pattern import Sheet
from folder.practice.estimate import JoinedEstimate
from folder.practice.evidence import evidence
from folder.practice.identity import Identity
from folder.practice.trial import Trial
from folder.water.working_load import working_load
from tests.studied import ready_study

DESIGNS = (
    "plain-tray", "hemmed-tray", "tall-small-tray", "shallow-tray", "long-barge",
    "keel-tray", "leaning-tray", "two-bend-tray", "bevelled-tray", "heavy-duty-tray",
)  # fmt: skip
MASSES_G = (2.5, 1.0, 1.83, 3.57, 5.67, 5.0, 0.443)
KINDS = {"honest": (30, 0, 0), "mixed": (20, 5, 5), "leaky": (13, 12, 5)}
"""How many of 30 pupils are honest, leaky and careless."""


@cache
def design(number: int) -> tuple[Identity, Floats, Floats]:
    """A ready pattern: who it is, what simulated builds hold as the estimate knows them, and as they turn out, g."""
    done = ready_study(DESIGNS[number])
    assert done.hull is not None
    assert done.brim is not None
    known, true = (working_load(done.hull.skin, done.hull.weight, done.water, top=done.brim, seed=seed) for seed in (1, 7))
    who = Identity(f"{number:016x}", DESIGNS[number], Sheet(), done.brim.load_g)
    return who, np.array(known.held_g), np.array(true.held_g)


class SchoolClass:
    """A class that can build and float any of the designs."""

    def __init__(self, kind: str, rng: np.random.Generator, apart: float | None = None) -> None:
        """`apart`, where given: the pupils' skill is log-normal, its logs so far apart (standard deviation)."""
        self.rng = rng
        self.way = np.repeat([0, 1, 2], KINDS[kind])
        self.skill = rng.normal(1.0, 0.06, 30) if apart is None else np.exp(rng.normal(0.0, apart, 30))
        self.all = np.exp(rng.uniform(-0.3, 0.15))
        self.each = rng.triangular(0.75, 1.0, 1.2, len(DESIGNS))

    def builds(self, number: int, count: int, pupil: Ints | None = None) -> Floats:
        """What so many builds of a design, each by some pupil or by those given, truly hold, g."""
        rng, (who, _, true) = self.rng, design(number)
        pupil = rng.integers(30, size=count) if pupil is None else pupil
        held = rng.choice(true, count) * self.skill[pupil] * self.all * self.each[number]
        held = np.where(self.way[pupil] == 2, held * rng.beta(4, 2, count), held)
        fails = (self.way[pupil] == 1) & (rng.random(count) < 0.4)
        held = np.where(fails, held * rng.uniform(0.0, 0.7, count), held)
        return np.minimum(held, who.brim_g)

    def noted(self, number: int, held_g: float, pupil: str = "") -> Trial:
        """A build as it is noted: whole objects."""
        who = design(number)[0]
        each = float(self.rng.choice(MASSES_G))
        count = int(held_g / each)
        return Trial("2025-03-14", who.name, "an object", each, count, brim_g=who.brim_g, design=who.key, pupil=pupil)

    def slipped(self, count: int) -> int:
        """A count as a slip of the pen makes it."""
        which = self.rng.integers(3)
        return count * 10 if which == 0 else count // 10 if which == 1 else max(count + int(self.rng.choice([-10, 10])), 0)


def joined(number: int, trials: list[Trial], pupil: str = "") -> JoinedEstimate:
    """The estimate of a design, for usual hands: for the next build of anyone, or of a pupil."""
    who, known, _ = design(number)
    return JoinedEstimate(who.brim_g, "usual", {"usual": known}, evidence(trials, who), pupil)
