"""Which trials say something of a design, and what.

own        of this very design: its creases and sheet; a trial noted before designs were told apart counts when name, sheet
           and brim load are the same
other      of another design: it speaks through its held share
set aside  held more than the brim load of its own design: a slip of the pen, or another hull than was noted
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np
from msgspec import Struct

from folder.geometry.space import Bools
from folder.practice.hierarchy import HeldShares, OfPupil
from folder.practice.identity import Identity
from folder.practice.trial import HAND_NAMES, NO_ROOM, HandName, Trial, pupil_key

SAME_BRIM = 0.02
"""Brim loads of one design, worked out by two versions of the program, differ by no more than this part (judgement)."""

MOST_OTHERS = 60
"""So many other designs count, those noted last: what they have in common has long settled."""

MANY_OWN = 50
OWN_STEP, OTHER_STEP = 1.0 / 128.0, 1.0 / 64.0
"""Shares of other designs, and of its own from so many trials on, are told apart only to such steps: finer than builds vary."""

FULLEST = 1.0 - 1e-6
"""A build that held the whole brim load is told from one past it, which no build reaches."""


class Evidence(Struct, frozen=True, eq=False):
    """What the trials of a log say of one design."""

    own: HeldShares
    others: HeldShares
    n_own: int = 0
    n_others: int = 0
    designs: int = 0
    """How many other designs there are."""
    by_name: int = 0
    """How many of its own are known by their name alone."""
    set_aside: int = 0
    without_brim: int = 0
    """Trials of other designs with no brim load: they say nothing of this one."""
    each_g: float = 0.0
    """Mass of the objects it was tried with, the middle of them; 0 where there are none."""

    hands: tuple[HandName, ...] = ()
    """Whose trials they are."""
    most_held: Mapping[str, int] = {}
    """The most objects of a name that its own builds held."""
    own_pupils: tuple[str, ...] = ()
    others_pupils: tuple[str, ...] = ()
    """Who built, trial by trial, as `pupil_key` has it; empty where that was not noted."""

    @property
    def n(self) -> int:
        """How many trials speak."""
        return self.n_own + self.n_others

    def n_of(self, pupil: str) -> tuple[int, int]:
        """How many trials of a pupil speak: of this design, and of others."""
        name = pupil_key(pupil)
        return self.own_pupils.count(name), self.others_pupils.count(name)

    def parted(self, pupil: str) -> tuple[HeldShares, HeldShares, OfPupil]:
        """What all but a pupil held of this design and of others, and what the pupil did."""
        name = pupil_key(pupil)
        own, others = (np.array([one == name for one in by], dtype=np.bool_) for by in (self.own_pupils, self.others_pupils))
        return _some(self.own, ~own), _some(self.others, ~others), OfPupil(_some(self.own, own), _some(self.others, others))


def evidence(trials: Iterable[Trial], design: Identity) -> Evidence:
    """What these trials, of any designs, say of one."""
    own: list[Trial] = []
    groups: dict[object, list[Trial]] = {}
    by_name = set_aside = without_brim = 0
    for trial in trials:
        if trial.design == design.key or (not trial.design and _by_name(trial, design)):
            if trial.held_g > design.brim_g:
                set_aside += 1
                continue
            own.append(trial)
            by_name += not trial.design
        elif trial.brim_g is None:
            without_brim += 1
        elif trial.held_g > trial.brim_g:
            set_aside += 1
        else:
            key = trial.design or (trial.pattern, trial.sheet_width_mm, trial.sheet_height_mm)
            groups.setdefault(key, []).append(trial)
    others = list(groups.values())[-MOST_OTHERS:]
    masses = [trial.mass_each_g for trial in own] or [trial.mass_each_g for group in others for trial in group]
    return Evidence(
        _held([own], design.brim_g, OWN_STEP if len(own) > MANY_OWN else 0.0),
        _held(others, None, OTHER_STEP),
        len(own),
        sum(map(len, others)),
        len(others),
        by_name,
        set_aside,
        without_brim,
        float(np.median(masses)) if masses else 0.0,
        tuple({trial.hand: None for group in (own, *others) for trial in group}),
        {name: max(trial.count for trial in own if trial.item == name) for name in {trial.item for trial in own}},
        tuple(pupil_key(trial.pupil) for trial in own),
        tuple(pupil_key(trial.pupil) for group in others for trial in group),
    )


def _by_name(trial: Trial, design: Identity) -> bool:
    """Whether a trial that has no key is of this design, as far as can be told."""
    sheet = design.sheet
    same = (trial.pattern, trial.sheet_width_mm, trial.sheet_height_mm) == (design.name, sheet.width_mm, sheet.height_mm)
    return same and (trial.brim_g is None or abs(trial.brim_g - design.brim_g) <= SAME_BRIM * design.brim_g)


def _held(groups: Sequence[Sequence[Trial]], brim_g: float | None, step: float) -> HeldShares:
    """What was held, as shares of `brim_g` or of the trial's own, to steps where one is given."""
    trials = [trial for group in groups for trial in group]
    count = np.array([trial.count for trial in trials], dtype=np.float64)
    brims = [trial.brim_g if brim_g is None else brim_g for trial in trials]
    each = np.array([trial.mass_each_g for trial in trials], dtype=np.float64) / np.array(brims, dtype=np.float64)
    low, high = count * each, (count + 1.0) * each
    if step:
        low = np.floor(low / step) * step
        high = np.maximum(np.round(high / step) * step, low + step)
    full = np.array([trial.happened == NO_ROOM for trial in trials], dtype=np.bool_)
    hands = np.array([HAND_NAMES.index(trial.hand) for trial in trials], dtype=np.float64)
    design = np.repeat(np.arange(float(len(groups))), list(map(len, groups)))
    low = np.minimum(low, FULLEST)
    return HeldShares(low, np.where(full | (high >= 1.0), np.inf, high), hands, design)


def _some(held: HeldShares, which: Bools) -> HeldShares:
    """Those of some trials (n,), designs numbered anew."""
    design = np.unique(held.design[which], return_inverse=True)[1].astype(np.float64)
    return HeldShares(held.low[which], held.high[which], held.hand[which], design)
