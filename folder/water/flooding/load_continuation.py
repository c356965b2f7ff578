"""Loads put on from empty, at many places at once: the last under which the hull still stands.

bracket   the last load known under which it stands and the first under which it no longer does, narrowed down

A hull that stands empty has its limit where it first no longer stands. One that turns over when empty is held until it
stands, and has its limit where it no longer does. Volumes stand for weights: what they displace at rest.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from folder.geometry.space import Bools, Floats, Ints, distinct
from folder.hull.rim import spills
from folder.hull.skin import Skin
from folder.units import RAD_PER_DEG
from folder.water.displace import UPRIGHT, drafts, frames, pose_moments
from folder.water.equilibrium.many import CAPSIZE_UP, least_stiffness
from folder.water.equilibrium.one import level_curve
from folder.water.equilibrium.rest import stable_rest
from folder.water.equilibrium.stand import StandingPose, standing

_LEVELS = 9
_PLAIN_SLOPE = math.tan(25.0 * RAD_PER_DEG)
"""A hull that leans by less under every load, as its level stiffness has it, does not turn over on the way."""

_PORTIONS = 24
"""In how many portions what the level hull carries is put on: a shorter loss of its stand is missed."""
_FIRST_MM3 = 1000.0
"""The first portion weighs as much as this much water, 1 g, the next ones twice as much each: a load comes in objects."""
_AT_ONCE = 4
_MOST = 3
"""A lopsided hull may take more than when level: up to so many times as much is looked at."""
_HALVINGS = 9
_NEARLY = 0.995
"""So much of the load at the rim is put on to see whether the hull comes to that balance at all."""
_SAME_UP = math.cos(0.1)


class Case(NamedTuple):
    """A hull and the places `(n, 3)` and shifts `(n,)` at which its flooding load is asked for."""

    skin: Skin
    own_mm3: float
    own_centre: Floats
    centres: Floats
    shift: Floats

    def some(self, rows: Ints) -> Case:
        """The same for some `rows (k,)` of the places."""
        return self._replace(centres=self.centres[rows], shift=self.shift[rows])

    def standing(self, loads: Floats) -> StandingPose:
        """How a load `(n,)` at each place leaves the hull."""
        return standing(self.skin, self.own_mm3, self.own_centre, loads, self.centres)


class LimitLoads(NamedTuple):
    """The last loads under which a hull stands."""

    load: Floats
    """(n,) mm3"""
    above: Floats
    """(n,) mm3: under this much more it no longer does."""
    ups: Floats
    """(n, 3): how it lies then."""
    at_rim: Bools
    """(n,): it is the balance at the rim that was expected."""
    over: Bools
    """(n,): there is none, for the hull turns over when empty and stands under no load."""


def stands_throughout(case: Case, load: Floats) -> Bools:
    """(n,) whether a hull surely stands under all loads up to `load (n,)` mm3.

    Told from the level hull: how far it would lean by its stiffness there. Walls that are upright or lean out make a
    hull stiffer as it leans, and where its chine comes out of the water it leans the more the more it carries.
    """
    levels, held = level_curve(case.skin)
    level = np.tile(np.array(UPRIGHT), (_LEVELS, 1))
    rim = float(spills(level[:1] @ case.skin.vertices.T, case.skin)[0][0]) + max(0.0, float(case.shift.max()))
    depth = np.linspace(float(np.interp(case.own_mm3, held, levels)), rim, _LEVELS)
    m = pose_moments(case.skin, level, depth, frames(level))
    carried = np.maximum(-m[:, 0, 3] - case.own_mm3, 0.0)
    fixed = -depth * m[:, 0, 3] - m[:, 3, 3] / 2.0 - case.own_mm3 * case.own_centre[2]
    stiffness = least_stiffness(m, fixed)[:, None] - carried[:, None] * case.centres[:, 2]
    own = -m[:, 1:3, 3] - case.own_mm3 * case.own_centre[:2]
    x, y = (own[:, i, None] - carried[:, None] * case.centres[:, i] for i in (0, 1))
    plain = (stiffness > 0.0) & (np.hypot(x, y) <= _PLAIN_SLOPE * stiffness)
    return np.logical_and.reduce(plain | (carried[:, None] > 1.1 * load), axis=0)


def limit_loads(case: Case, rim_load: Floats, rim_ups: Floats, slack: float) -> LimitLoads:
    """The last loads, to that `slack` of themselves.

    `rim_load (n,)` mm3 and `rim_ups (n, 3)` are where a balance at the rim is; NaN where there is none.
    """
    last, most = _nothing(case), _level_load(case)
    if most <= 0.0:
        return last
    has_stood = _put_on(case, last, most)
    last.over[:] = ~has_stood & (last.above == math.inf)
    last.above[~has_stood] = 0.0
    expected = np.nonzero((last.load <= rim_load) & (rim_load <= last.above))[0]
    if len(expected):
        trial_load = np.maximum(_NEARLY * rim_load[expected], last.load[expected])
        found = case.some(expected).standing(trial_load)
        _narrowed(last, expected, trial_load, found, case.shift)
        same = (found.ups * rim_ups[expected]).sum(axis=1) > _SAME_UP
        sure = expected[same & (last.load[expected] == trial_load)]
        last.load[sure], last.ups[sure], last.at_rim[sure] = rim_load[sure], rim_ups[sure], True
    for _ in range(_HALVINGS):
        wide = (last.above - last.load > slack * last.above) & (last.above < math.inf) & ~last.at_rim
        rows = np.nonzero(wide)[0]
        if not len(rows):
            break
        trial_load = (last.load[rows] + last.above[rows]) / 2.0
        _narrowed(last, rows, trial_load, case.some(rows).standing(trial_load), case.shift)
    return last


def _nothing(case: Case) -> LimitLoads:
    n = len(case.shift)
    no = np.zeros(n, dtype=np.bool_)
    return LimitLoads(np.zeros(n), np.zeros(n), np.tile(np.array(UPRIGHT), (n, 1)), no, no.copy())


def _level_load(case: Case) -> float:
    """What the level hull carries, mm3, the water as high as any of the shifts lets it stand."""
    level = np.array([UPRIGHT])
    rim = float(spills(level @ case.skin.vertices.T, case.skin)[0][0]) + max(0.0, float(case.shift.max()))
    return -float(pose_moments(case.skin, level, np.array([rim]), frames(level))[0, 0, 3]) - case.own_mm3


def _put_on(case: Case, last: LimitLoads, most: float) -> Bools:
    """Portion by portion to where it first no longer stands; into `last`. Where it stands under any load, `(n,)`."""
    level, own = np.array([UPRIGHT]), np.array([case.own_mm3])
    empty = stable_rest(case.skin, own, case.own_centre[None], level, drafts(case.skin, level, own))
    has_stood = np.zeros(len(case.shift), dtype=np.bool_)
    last.above[:] = math.inf
    if empty is not None and empty.ups[0, 2] >= CAPSIZE_UP:
        has_stood = np.asarray(spills(empty.ups @ case.skin.vertices.T, case.skin)[0] + case.shift >= empty.drafts_mm)
        last.ups[:], last.above[~has_stood] = empty.ups, 0.0
    places, which = _distinct(case.centres)
    steps = most / _PORTIONS * np.arange(1, _MOST * _PORTIONS + 1)
    doubled = _FIRST_MM3 * 2.0 ** np.arange(20)
    steps = np.concatenate([doubled[doubled < steps[0]], steps])
    for first in range(0, len(steps), _AT_ONCE):
        loads = steps[first : first + _AT_ONCE]
        rows = np.nonzero((last.above == math.inf) & (has_stood | (loads[0] <= most)))[0]
        if not len(rows):
            break
        asked = distinct(which[rows])
        here = case._replace(centres=np.tile(places[asked], (len(loads), 1)))
        found = here.standing(np.repeat(loads, len(asked)))
        for k, load in enumerate(loads.tolist()):
            rows = rows[last.above[rows] == math.inf]
            at = np.searchsorted(asked, which[rows]) + k * len(asked)
            stands = found.still[at] & (found.freeboard_mm[at] + case.shift[rows] >= 0.0)
            held, lost = rows[stands], rows[~stands & has_stood[rows]]
            last.load[held], last.ups[held], has_stood[held] = load, found.ups[at[stands]], True
            last.above[lost] = load
    return has_stood


def _narrowed(last: LimitLoads, rows: Ints, trial_load: Floats, found: StandingPose, shift: Floats) -> None:
    """The brackets of some rows `(k,)` after a load `(k,)` mm3 tried in each."""
    stands = found.still & (found.freeboard_mm + shift[rows] >= 0.0)
    held = rows[stands]
    last.load[held], last.ups[held] = trial_load[stands], found.ups[stands]
    last.above[rows[~stands]] = trial_load[~stands]


def _distinct(points: Floats) -> tuple[Floats, Ints]:
    """The points `(p, 3)`, each once, and which of them each of `points (n, 3)` is."""
    order = np.lexsort(points.T)
    new = np.ones(len(points), dtype=np.bool_)
    new[1:] = (points[order[1:]] != points[order[:-1]]).any(axis=1)
    which = np.empty(len(points), dtype=np.int64)
    which[order] = np.cumsum(new) - 1
    return points[order[new]], which
