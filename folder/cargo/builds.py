"""How many objects each of many builds holds, set down one by one by hands at the pile's own height.

build     one hull as hands fold and load it: its rim is uneven, its load off the middle (see `water.build_variation`)
moment    the hull at rest with the first objects placed, one moment for each number of them
tower     objects on top of each other, or one that is taller than it is wide
fails     a build at a moment: water comes in, the hull does not stand, or a tower topples

A build holds as many as are placed before the first moment at which it fails. A hull that turns over when empty is held by
a hand, each build until it stands; one that never does holds none. The moment at which it fails is guessed first: how the hull
lies is asked for loads off the middle by a few distances along and across, and what lies between is read off straight
lines, corner by corner of the rim (each corner rises and sinks evenly with the tilt, while the lowest of them jumps from
one to the next). Then every build itself is asked at moments about the guess, until one holds and the next fails.
"""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct

from folder.cargo.order.arrange import Lie
from folder.cargo.packing.stack import centres
from folder.geometry.space import Bools, Floats, Ints
from folder.water.build_variation import BuildDraws, percentiles

STEPS = np.array([-1.0, -0.45, 0.0, 0.45, 1.0])
"""The distances off the middle that are asked, over that which hardly any load is beyond; those are taken to be there."""

BEYOND = 98.0
"""Percentage of the loads that are nearer."""

MOMENTS = 16
"""Of more moments so many are asked for the guess, evenly."""

STANDING = 0.75
"""Between places where the hull stands and such where it does not, it is guessed to stand so near to the former."""

MIDDLE_THIRD = 3.0
"""Loose things one on the other stand while their weight stays in the middle third of the foot: the joint does not gape
(the mason's rule, from memory). That is a third of the tilt at which one rigid tower would fall."""

NESTED = 1.5
"""Cups in each other are one rigid tower: it stands while its weight is over its foot, two thirds as wide as the rim
(common practice)."""


class BuildCounts(Struct, frozen=True, eq=False):
    """What builds `(d,)` hold, and whether each one's end was that it tipped: the hull over, or a tower."""

    counts: Ints
    tips: Bools

    def __post_init__(self) -> None:
        self.counts.flags.writeable = False
        self.tips.flags.writeable = False

    def at(self, percent: float) -> int:
        """As many as that share of the builds holds at most, rounded down."""
        return math.floor(percentiles(self.counts.astype(float), percent)[0] + 1e-9)


def held_by_builds(
    places_mm: Floats,
    mass_each_g: float,
    lie: Lie,
    builds: BuildDraws,
    stands_rad: Floats,
    most: int,
    hold_until: int = 0,
) -> BuildCounts:
    """What builds hold of objects on places (n, 3) mm in loading order.

    `stands_rad` (n,) is the tilt up to which what is placed stands, `most` as many as any build is promised; before
    `hold_until` are placed no build stands by itself.
    """
    count, centre = min(len(places_mm), most), centres(places_mm)
    off = np.column_stack([builds.eccentricity_mm, np.zeros(len(builds.eccentricity_mm))])

    def fails(build: Ints, placed: Ints) -> tuple[Bools, Bools]:
        """Which builds (k,) fail with so many placed (k,), and which of these tip (k,).

        Beyond the last object all fail, with none not one.
        """
        over = (placed > 0) & (placed < hold_until)
        failed = over | (placed > count)
        asked = np.nonzero((placed > 0) & ~failed)[0]
        moment = placed[asked] - 1
        poses = lie(np.asarray(mass_each_g * placed[asked]), centre[moment] + off[build[asked]])
        over[asked] = ~poses.stands | (poses.tilt_rad > stands_rad[moment])
        failed[asked] = over[asked] | (poses.least_mm + builds.shift_mm[build[asked]] < 0.0)
        return failed, over

    held, ends, tips = np.zeros(len(off), dtype=int), np.full(len(off), count + 1), np.zeros(len(off), dtype=bool)

    def search(open_: Ints, asked: Ints) -> None:
        """Where builds (m,) end, from counts (n,) on: in growing steps until an end and what is held are known, then halfway."""
        step = 1
        while len(open_):
            failed, over = fails(open_, asked[open_])
            now, then = open_[failed], open_[~failed]
            ends[now], tips[now], held[then] = asked[now], over[failed], asked[then]
            open_ = open_[ends[open_] > held[open_] + 1]
            away = np.where(held == 0, ends - step, np.where(ends > count, held + step, (held + ends) // 2))
            asked = np.clip(away, held + 1, ends - 1)
            step *= 2

    search(np.arange(len(off)), np.maximum(_guess(centre[:count], mass_each_g, lie, builds, stands_rad, hold_until), 1))
    # One object tilts the hull, the next one opposite levels it: a build may fail where with one more it would not.
    again = np.nonzero(held > 1)[0]
    while len(again):
        failed, over = fails(again, held[again] - 1)
        again = again[failed]
        ends[again], tips[again], held[again] = held[again] - 1, over[failed], 0
        again = again[ends[again] > 1]
        search(again, np.maximum(ends - 1, 1))
        again = again[held[again] > 1]
    return BuildCounts(held, tips)


def _guess(centre: Floats, mass_each_g: float, lie: Lie, builds: BuildDraws, stands_rad: Floats, hold_until: int) -> Ints:
    """How many each build (d,) seems to hold, the load's centre (n, 3) mm after each."""
    count = len(centre)
    if not count:
        return np.zeros(len(builds.eccentricity_mm), dtype=int)
    moments = np.unique(np.linspace(0, count - 1, min(count, MOMENTS)).round().astype(int))
    freeboard, tips = _moments(centre[moments], mass_each_g * (moments + 1.0), lie, builds, stands_rad[moments])
    fails = (freeboard < 0.0) | tips
    if hold_until:
        stands = ~fails & (moments + 1 >= hold_until)
        begins = np.where(stands.any(axis=1), stands.argmax(axis=1), 0)
        fails &= np.arange(len(moments)) >= begins[:, None]
    first, rows = fails.argmax(axis=1), np.arange(len(fails))
    ends = np.where(fails.any(axis=1), moments[first], count)
    if len(moments) == count:
        return np.asarray(ends)
    # Between the moments that were asked: where the freeboard runs out on a straight line.
    before = np.maximum(first - 1, 0)
    low, high = freeboard[rows, before], freeboard[rows, first]
    part = np.clip(low / np.maximum(low - high, 1e-9), 0.0, 1.0)
    between = moments[before] + 1 + np.floor(part * (ends - moments[before] - 1)).astype(int)
    return np.where((first > 0) & (ends < count), between, ends)


def fails_level(placed: int, level_mm: Floats, mass_each_g: float, lie: Lie, builds: BuildDraws) -> Bools:
    """Which builds (d,) fail with so many placed even if these lie balanced about the level place (3,) mm."""
    free = np.full(1, math.inf)
    freeboard, tips = _moments(level_mm[None], np.array([mass_each_g * placed]), lie, builds, free)
    fails: Bools = ((freeboard < 0.0) | tips)[:, 0]
    return fails


def standing_rad(tall_mm: Floats, width_mm: float, lone_mm: float, nests: bool = False) -> Floats:
    """The tilt (n,) up to which the tallest tower placed stands, (n,) mm tall; `lone_mm` is how tall one object is.

    A lone object is rigid: it stands while its weight is over its foot. On top of each other: MIDDLE_THIRD, or NESTED.
    """
    slender = np.where(tall_mm > lone_mm + 1e-9, NESTED if nests else MIDDLE_THIRD, 1.0)
    return np.asarray(np.arctan2(width_mm, slender * tall_mm))


def _moments(centre: Floats, mass_g: Floats, lie: Lie, builds: BuildDraws, stands_rad: Floats) -> tuple[Floats, Bools]:
    """The freeboard of every build at moments (k,), (d, k) mm, and whether it tips over then."""
    far = percentiles(np.hypot(builds.eccentricity_mm[:, 0], builds.eccentricity_mm[:, 1]), BEYOND)[0] + 1e-9
    nodes = far * STEPS
    grid = np.stack([*np.meshgrid(nodes, nodes, indexing="ij"), np.zeros((len(nodes),) * 2)], axis=-1).reshape(-1, 3)
    poses = lie(np.repeat(mass_g, len(grid)), (centre[:, None] + grid).reshape(-1, 3))
    share = _shares(builds.eccentricity_mm, nodes)
    stands = poses.stands.reshape(len(centre), len(grid))
    # What does not stand has no freeboard: the others around it speak for it.
    standing = share @ stands.T
    whole = np.maximum(standing, 1e-9)
    corners = (poses.corners_mm * poses.stands[:, None]).reshape(len(centre), len(grid), -1)
    least = np.full((len(share), len(centre)), math.inf)
    for k in range(corners.shape[2]):
        np.minimum(least, share @ corners[:, :, k].T / whole, out=least)
    tilt = share @ (poses.tilt_rad * poses.stands).reshape(stands.shape).T / whole
    tips: Bools = (standing < STANDING) | (tilt > stands_rad)
    return np.asarray(least + builds.shift_mm[:, None]), tips


def _shares(eccentricity_mm: Floats, nodes: Floats) -> Floats:
    """How much each node of the grid counts for offsets (d, 2): (d, g^2), straight lines along and across."""
    along = []
    for axis in range(2):
        at = np.clip(eccentricity_mm[:, axis], nodes[0], nodes[-1])
        low = np.clip(np.searchsorted(nodes, at, side="right") - 1, 0, len(nodes) - 2)
        part = (at - nodes[low]) / (nodes[low + 1] - nodes[low])
        share, rows = np.zeros((len(at), len(nodes))), np.arange(len(at))
        share[rows, low], share[rows, low + 1] = 1.0 - part, part
        along.append(share)
    product: Floats = (along[0][:, :, None] * along[1][:, None, :]).reshape(len(eccentricity_mm), -1)
    return product
