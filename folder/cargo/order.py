"""In what order to load, and where each object goes, so that the hull stays as level as it can after every one.

offset   how far from the level place a mass lies; the sum of all offsets is what tilts the hull
bother   what costs freeboard: every object sinks the hull, and an offset sum tilts it, to some sides more than to others
least    the least freeboard under way: the order is judged by it

By hand one loads opposite corners first and then works inward. Here the order is built from its end, because the last
objects find the hull deepest: the object whose place leaves the rest most level is loaded last. Pairs are then
exchanged while that helps, and the result is held against the order by hand.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
from msgspec import Struct

from folder.cargo.arrange import DIRECTIONS, Bother, arranged, chosen_places, corners_inward
from folder.cargo.stack import centres
from folder.errors import BadRequest
from folder.geometry.space import Floats, Ints
from folder.hull.weight import Weight
from folder.water.balance import Rest, State

Settle = Callable[[Weight], Rest]
"""How the hull lies with a load; the hull's own weight is the callable's business."""

PROBES = 5
"""An order is judged by its worst moments, so many as the bother sees them, and by the last, before it is followed."""

SAME_MM = 1e-3
"""Freeboards this close are the same: no ruler tells them apart."""

HOPELESS = 4
"""So many orders are followed where none keeps the water out, to see which holds most."""

ARRANGED = 1000
"""More objects than this are laid in rings from the outside in: nobody puts each one on its own place."""

FOLLOWED = 200
"""Of more objects than this so many are followed, evenly, and straight lines drawn between."""


class Loading(Struct, frozen=True, eq=False):
    """Places (n, 3) mm in loading order, and what the hull does after each: its state and least freeboard (n,) mm.

    The freeboard is NaN from the object on that lets water in or turns the hull over.
    """

    places_mm: Floats
    freeboard_mm: Floats
    states: tuple[State, ...]

    def __post_init__(self) -> None:
        self.places_mm.flags.writeable = False
        self.freeboard_mm.flags.writeable = False

    @property
    def held(self) -> int:
        """How many objects the hull takes in this order. The object that lets water in does not count."""
        return self.states.count("floats")

    def first(self, count: int) -> Loading:
        """The same with only the first `count` objects."""
        return Loading(self.places_mm[:count], self.freeboard_mm[:count], self.states[:count])

    @property
    def least_mm(self) -> float:
        """The least freeboard under way, while the hull floats."""
        return float(self.freeboard_mm[: self.held].min(initial=math.inf))


def load_order(
    places_mm: Floats,
    layer: Ints,
    count: int,
    mass_each_g: float,
    settle: Settle,
    level_at_mm: tuple[float, float] = (0.0, 0.0),
) -> Loading:
    """The order for `count` objects on some of the places (n, 3) mm; each layer (n,), from below, is filled before the next.

    `level_at_mm` is where the load's centre must be for the hull to lie level.
    """
    if not 0 <= count <= len(places_mm):
        raise BadRequest(
            "there are not that many places", where="count", found=f"{count}", remedy=f"Give 0 to {len(places_mm)}"
        )
    if not (math.isfinite(mass_each_g) and mass_each_g > 0.0):
        raise BadRequest(
            "an object must weigh something", where="mass each", found=f"{mass_each_g:g} g", remedy="Weigh it"
        )
    offset = (places_mm[:, 0] - level_at_mm[0]) + 1j * (places_mm[:, 1] - level_at_mm[1])
    if count == 0 or count > ARRANGED:
        rings = np.lexsort([-abs(offset[:count]), layer[:count]])
        return follow(places_mm[rings], mass_each_g, settle)
    bother = _bother(places_mm[:count], mass_each_g, settle, level_at_mm)
    tried: list[tuple[float, Floats]] = []
    for chosen in chosen_places(offset, layer, count):
        spots, layers = offset[chosen], layer[chosen]
        for order in (*arranged(spots, layers, bother), corners_inward(spots, layers)):
            worst = bother.moments(np.cumsum(spots[order])).argsort()[-PROBES:]
            placed = places_mm[chosen[order]]
            tried.append((float(_freeboards(placed, [*worst, count - 1], mass_each_g, settle).min()), placed))
    tried.sort(key=lambda bound_and_places: -bound_and_places[0])
    if tried[0][0] == -math.inf:
        tried = tried[:HOPELESS]
    best = follow(tried[0][1], mass_each_g, settle)
    for bound_mm, placed in tried[1:]:  # what was found at the worst moments bounds what an order can reach
        if best.held < count or best.least_mm < bound_mm - SAME_MM:
            loading = follow(placed, mass_each_g, settle)
            best = max(best, loading, key=lambda one: (one.held, one.least_mm))
    return best


def _freeboards(places_mm: Floats, steps: Sequence[int], mass_each_g: float, settle: Settle) -> Floats:
    """The least freeboard mm after the objects numbered by `steps`, from 0; minus infinity where the hull does not float."""
    centre = centres(places_mm)
    found = np.full(len(steps), -math.inf)
    for number, k in enumerate(steps):
        x, y, z = centre[k].tolist()
        rest = settle(Weight(mass_each_g * (int(k) + 1), (x, y, z)))
        if rest.freeboard is None:
            break  # the least is known
        found[number] = rest.freeboard.least_mm
    return found


def follow(places_mm: Floats, mass_each_g: float, settle: Settle) -> Loading:
    """What the hull does as objects are laid on these places (n, 3), one after the other."""
    count = len(places_mm)
    centre = centres(places_mm)
    known: dict[int, float] = {}
    state: State = "floats"
    ahead = list(np.unique(np.linspace(0, count - 1, min(count, FOLLOWED)).round().astype(int)))
    afloat, failed = 0, count
    while ahead:
        k = int(ahead.pop(0))
        x, y, z = centre[k].tolist()
        rest = settle(Weight(mass_each_g * (k + 1), (x, y, z)))
        if rest.freeboard is not None:
            known[k], afloat = rest.freeboard.least_mm, k + 1
        else:
            state, failed = rest.state, k
        if failed < count:  # close in on the first that fails among those that were passed over
            ahead = [(afloat + failed) // 2] if afloat < failed else []
    freeboard = np.full(count, math.nan)
    if known:
        freeboard[:afloat] = np.interp(np.arange(afloat), list(known), list(known.values()))
    floats: State = "floats"
    return Loading(places_mm, freeboard, (floats,) * afloat + (state,) * (count - afloat))


def _bother(places_mm: Floats, mass_each_g: float, settle: Settle, level_at: tuple[float, float]) -> Bother:
    """Asked of the hull, level and then with one object's place off to each side, as heavily laden as it floats."""
    count = len(places_mm)
    reach = float(np.hypot(*(places_mm[:, :2] - level_at).T).mean()) + 1e-9
    z = float(places_mm[:, 2].mean())
    sides = np.exp(2j * math.pi * np.arange(DIRECTIONS) / DIRECTIONS).tolist()

    def freeboard(objects: float, aside: complex) -> float:
        at = (level_at[0] + aside.real, level_at[1] + aside.imag, z)
        rest = settle(Weight(mass_each_g * objects, at))
        return -math.inf if rest.freeboard is None else rest.freeboard.least_mm

    full = freeboard(count, 0j)
    for laden in (max(1.0, share * count) for share in (0.9, 0.5, 0.1)):
        level = freeboard(laden, 0j)
        lost = [level - freeboard(laden, reach / laden * side) for side in sides] if level > -math.inf else []
        if lost and max(lost) < math.inf:
            sink = max(0.0, level - full) / max(1.0, count - laden) if full > -math.inf else 0.0
            return Bother(sink, np.maximum(lost, 0.0) / reach)
    return Bother(0.0, np.ones(DIRECTIONS))  # it does not float like that: one side is as bad as another
