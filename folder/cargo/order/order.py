"""In what order to load, and where each object goes, so that the hull stays as level as it can after every one.

moment   the hull at rest with the first objects placed, one moment for each number of them
least    the least freeboard under way: an order is judged by it first, then by its greatest tilt

Every moment of every order that is weighed against others is a pose at rest of the real hull, the first object's too.
Of a few objects no order is missed (see `few`). Of more some are built, from either end, and exchanged (see `arrange`);
the plain greedy way is always among them, and what is chosen rides no lower and tilts hardly farther than that.
"""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct

from folder.cargo.order import few
from folder.cargo.order.arrange import Lie, Response, arrangements, corners_inward, greedy, place_choices
from folder.cargo.order.by_pose import GreedyOrder, greedy_starts
from folder.cargo.order.few import Sets
from folder.cargo.packing.stack import centres
from folder.errors import BadRequest
from folder.geometry.space import Floats, Ints
from folder.water.equilibrium.rest import State

SAME_MM = 0.05
"""Freeboards this close are the same: no ruler tells them apart. Then the tilt decides."""

MORE_TILT_RAD = math.radians(1.0)
"""An order may tilt so much farther than the greedy one where it keeps more freeboard: no eye sees it."""

ROLLS_RAD = math.radians(5.0)
"""What rolls leaves its dimple at more than this: an edge of 0.1 mm holds a ball of 16 mm so far (closed form; judgement)."""

BUILT = 200
"""More objects than this are laid in the greedy order: each one moves the hull so little that no other is better."""

GREEDY, FIRST = 120, 6
"""So many objects of the greedy order on all places, and on some of them, are found by poses; farther on by the response."""

LEVEL_WEIGHT = 1e4
"""Freeboard in mm that a tilt of one rad is worth where each object goes to the place that keeps the hull most level."""

ARRANGED = 1000
"""More objects than this are laid in rings from the outside in: nobody puts each one on its own place."""

FOLLOWED = 1000
"""Of more objects than this so many are followed, evenly, and straight lines drawn between."""


class Loading(Struct, frozen=True, eq=False):
    """Places (n, 3) mm in loading order, and what the hull does after each: least freeboard (n,) mm, state, tilt (n,) rad.

    The freeboard and the tilt are NaN from the object on that lets water in or turns the hull over.
    """

    places_mm: Floats
    freeboard_mm: Floats
    states: tuple[State, ...]
    tilt_rad: Floats

    def __post_init__(self) -> None:
        for array in (self.places_mm, self.freeboard_mm, self.tilt_rad):
            array.flags.writeable = False

    @property
    def held(self) -> int:
        """How many objects the hull takes in this order. The object that lets water in does not count."""
        return self.states.count("floats")

    def first(self, count: int) -> Loading:
        """The same with only the first `count` objects."""
        return Loading(self.places_mm[:count], self.freeboard_mm[:count], self.states[:count], self.tilt_rad[:count])

    @property
    def least_mm(self) -> float:
        """The least freeboard under way, while the hull floats."""
        return float(self.freeboard_mm[: self.held].min(initial=math.inf))

    @property
    def most_rad(self) -> float:
        """The greatest tilt under way, while the hull floats."""
        return float(self.tilt_rad[: self.held].max(initial=0.0))


def load_order(
    places_mm: Floats,
    layer: Ints,
    count: int,
    mass_each_g: float,
    lie: Lie,
    level_at_mm: tuple[float, float] = (0.0, 0.0),
    rolls: bool = False,
    searched: bool = True,
    greedy_order: GreedyOrder | None = None,
) -> Loading:
    """The order for `count` objects on some of the places (n, 3) mm; each layer (n,), from below, is filled before the next.

    `level_at_mm` is where the load's centre must be for the hull to lie level.
    If it is not to be `searched` for, the plain greedy order is taken. `greedy_order` is that on all places, asked of the hull,
    where some of it may be known.
    """
    if not 0 <= count <= len(places_mm):
        raise BadRequest("there are not that many places", where="count", found=f"{count}", remedy=f"Give 0 to {len(places_mm)}")
    if not (math.isfinite(mass_each_g) and mass_each_g > 0.0):
        raise BadRequest("an object must weigh something", where="mass each", found=f"{mass_each_g:g} g", remedy="Weigh it")
    offset = (places_mm[:, 0] - level_at_mm[0]) + 1j * (places_mm[:, 1] - level_at_mm[1])
    if count == 0 or count > ARRANGED:
        rings = np.lexsort([-abs(offset[:count]), layer[:count]])
        return follow(places_mm[rings], mass_each_g, lie)
    top = np.nonzero(layer <= layer[count - 1])[0]
    by_pose = min(count, GREEDY if searched else FIRST)
    known = (greedy_order or GreedyOrder(places_mm, layer, mass_each_g, lie)).first(by_pose)
    if by_pose == count and not searched:
        return follow(places_mm[known], mass_each_g, lie)
    response = Response.of(
        places_mm[top[:count]], layer[top[:count]], mass_each_g, lie, level_at_mm, first=1 if searched else by_pose
    )
    plain = top[greedy(offset[top], layer[top], count, response, start=np.searchsorted(top, known).tolist())]
    if count > BUILT or not searched:
        return follow(places_mm[plain], mass_each_g, lie)
    level = top[greedy(offset[top], layer[top], count, response, LEVEL_WEIGHT)]
    choices, found = [plain, level, *place_choices(offset, layer, count)], []
    if count <= few.MOST:
        for chosen in choices:
            sets = Sets.of(places_mm[chosen], layer[chosen], mass_each_g, lie)
            found.append([chosen[sets.order(SAME_MM, MORE_TILT_RAD, ROLLS_RAD if rolls else math.inf)]])
    else:
        firsts = greedy_starts([(places_mm[chosen], layer[chosen]) for chosen in choices[1:]], FIRST, mass_each_g, lie)
        # The plain choice stands in its order already.
        for chosen, first in zip(choices, [list(range(len(known))), *firsts], strict=True):
            spots, layers = offset[chosen], layer[chosen]
            orders = *arrangements(spots, layers, response, first), corners_inward(spots, layers)
            found.append([chosen[order] for order in orders])
    return best_of([[follow(places_mm[order], mass_each_g, lie) for order in one] for one in found], rolls)


def best_of(found: list[list[Loading]], rolls: bool = False) -> Loading:
    """The best of orders on several choices of places; the first of each is the plain greedy one, as is the very first.

    Where there is one, it keeps as much freeboard as both greedy ones and tilts hardly farther.
    """
    ranked: list[tuple[tuple[float, ...], Loading]] = []
    every = [loading for one in found for loading in one]
    most = max(loading.held for loading in every)
    for one in found:
        plain = [loading for loading in (found[0][0], one[0]) if loading.held == most]
        for loading in one:
            beyond = 0.0
            for other in plain:
                lower = max(0.0, other.least_mm - SAME_MM - loading.least_mm) / SAME_MM
                steeper = max(0.0, loading.most_rad - other.most_rad - MORE_TILT_RAD) / MORE_TILT_RAD
                beyond = max(beyond, lower, steeper)
            slides = max(0.0, loading.most_rad - ROLLS_RAD) if rolls else 0.0
            ranked.append(((loading.held, -round(beyond, 3), -round(slides, 3), loading.least_mm), loading))
    best = max(rank for rank, _ in ranked)
    close = [one for rank, one in ranked if rank[:3] == best[:3] and rank[3] >= best[3] - SAME_MM]
    return min(close, key=lambda loading: loading.most_rad)


def follow(places_mm: Floats, mass_each_g: float, lie: Lie) -> Loading:
    """What the hull does as objects are laid on these places (n, 3), one after the other."""
    count, centre = len(places_mm), centres(places_mm)

    def ask(moments: Ints) -> tuple[Floats, int, bool]:
        """Moment, freeboard and tilt (m, 3) up to the first at which it sinks, which that is, and whether it turns over."""
        poses = lie(np.asarray(mass_each_g * (moments + 1.0)), centre[moments])
        rows = np.column_stack([moments, poses.least_mm, poses.tilt_rad])
        sinks = np.nonzero(~poses.floats)[0]
        return (rows[: sinks[0]], int(moments[sinks[0]]), bool(poses.tips[sinks[0]])) if len(sinks) else (rows, count, False)

    asked = np.unique(np.linspace(0, count - 1, min(count, FOLLOWED)).round().astype(int))
    known, afloat, tips = ask(asked)
    passed_over = np.arange(int(known[-1, 0]) + 1 if len(known) else 0, afloat)
    if afloat < count and len(passed_over):
        more, sooner, tips_sooner = ask(passed_over)
        known = np.concatenate([known, more])
        if sooner < count:
            afloat, tips = sooner, tips_sooner
    freeboard, tilt = np.full((2, count), math.nan)
    if afloat:
        freeboard[:afloat], tilt[:afloat] = (np.interp(np.arange(afloat), known[:, 0], known[:, k]) for k in (1, 2))
    floats: State = "floats"
    failed: State = "capsizes" if tips else "floods"
    return Loading(places_mm, freeboard, (floats,) * afloat + (failed,) * (count - afloat), tilt)
