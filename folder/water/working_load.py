"""The working load: what a real build carries, low, likely and high; why no more; and which change would win most.

Many builds are drawn by chance (see `hands`) and each one's flooding load is read off a table (see `table`). The
percentiles come out within 1 % of those of the exact loads; the tests hold them against each other. A single reading may
be off by more where the hull begins to go over instead of flooding. No draw is promised more than the brim.

The load is put on from empty (see `from_empty`). A build that turns over on the way carries nothing from there on; a hull
that turns over when empty is held by hand until it stands (see `stand`), and one that never stands carries nothing.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

import numpy as np
from msgspec import Struct

from folder.geometry.space import Floats
from folder.hull.skin import Skin
from folder.hull.weight import Weight
from folder.units import rounded_down
from folder.water.brim_load import BrimLoad, brim_load
from folder.water.build_variation import BuildDraws, draw_builds, percentiles, variation_named
from folder.water.displace import Triple
from folder.water.equilibrium.stand import stands_from
from folder.water.flooding.load import flooding_loads
from folder.water.flooding.table import SLACK_RAD, Fan
from folder.water.fluid import Water

Limit = Literal["rim", "tilt", "stability"]

DRAWS, SEED = 2000, 1
LOAD_HEIGHT_MM = 5.0
"""Height of the load's centre above the floor when none is given: a layer or two of small objects (judgement)."""

LOW, LIKELY, HIGH = 10.0, 50.0, 90.0
"""Percentiles: one build in ten carries less than low, one in ten more than high."""

_MIDDLING = 12
"""Directions over which a middling build is averaged."""
_FEW_DRAWS = 200
"""So many draws tell the middle of each of a build's numbers."""
_PART = 8
"""What only foil and water, or only the hand, make of it is told from one draw in so many: they are drawn evenly."""


class Win(Struct, frozen=True):
    """What one change would win for the likely load."""

    change: str
    gain_g: float


class WorkingLoad(Struct, frozen=True):
    """What a hull carries."""

    brim_g: float
    surface_tension_g: float
    low_g: float
    likely_g: float
    high_g: float
    limited_by: Limit
    hand: str
    at_brim: BrimLoad
    physics_g: tuple[float, float]
    """Low and high if only foil and water varied, at the hand's middling care."""
    hand_g: tuple[float, float]
    """Low and high if only the hand varied."""
    wins: tuple[Win, ...]
    """Largest first."""
    stands_from_g: float | None = 0.0
    """From this load on the hull stands by itself: 0.0 when it stands empty, None when it never does (see `stand`)."""
    held_g: tuple[float, ...] = ()
    """What each simulated build holds: the same build has the same place for every hand."""

    @property
    def shares(self) -> str:
        """Which part of the spread is physics and which is the hand, in words."""
        physics, hand = (rounded_down(high - low) for low, high in (self.physics_g, self.hand_g))
        return f"foil and water make {physics} g of that span, the hands {hand} g"


def working_load(
    skin: Skin,
    own: Weight,
    water: Water,
    hand: str = "usual",
    height_mm: float = LOAD_HEIGHT_MM,
    count: int = DRAWS,
    seed: int = SEED,
    top: BrimLoad | None = None,
) -> WorkingLoad:
    """What a hull with its `own` weight carries, with the load's centre `height_mm` above the floor.

    `top` is its brim load, if that is known already.
    """
    held = variation_named(hand)
    top = brim_load(skin, own, water) if top is None else top
    place = load_place(skin, top, height_mm)
    x, y, _ = place
    begins = stands_from(skin, own, water, place)
    if begins is None:
        none = (0.0, 0.0)
        return WorkingLoad(top.load_g, top.surface_tension_g, 0.0, 0.0, 0.0, "stability", held.name, top, none, none, (), None)
    everything, by_physics, by_hand = draw_builds(held, water, top.rim_mm, count, seed)
    off = kept_on_floor(skin, (x, y), np.concatenate([everything.eccentricity_mm, by_physics.eccentricity_mm[:1]]))
    everything = BuildDraws(off[:count], everything.shift_mm, everything.gauge)
    fan, cases = Fan.over(place, everything), _Cases.of(place, everything)
    places, shifts = np.concatenate([fan.places, cases.places]), np.concatenate([fan.shifts, cases.shifts])
    found = flooding_loads(skin, own, places, water, shifts, SLACK_RAD)
    # All three sets are read at once; of the two that are told apart a part is enough.
    some = max(1, count // _PART)
    sets = (everything, _first(by_physics, some), _first(by_hand, some))
    table = fan.table(found)
    load, over = table.read(
        np.concatenate([off[:count], np.repeat(off[count:], some, axis=0), off[:some]]),
        np.concatenate([part.shift_mm for part in sets]),
    )
    gauge = np.concatenate([part.gauge for part in sets])
    load = np.clip(load + own.mass_g * (1.0 - gauge), 0.0, top.load_g)
    load[load < begins] = 0.0  # it went over while it was being loaded
    limit, wins = cases.limits(found.load_g[len(fan.shifts) :])
    low, likely, high = (p if p >= begins else 0.0 for p in percentiles(load[:count], LOW, LIKELY, HIGH))
    return WorkingLoad(
        top.load_g,
        top.surface_tension_g,
        low,
        likely,
        high,
        "stability" if float(over[:count].mean()) > 0.5 else limit,
        held.name,
        top,
        _span(load[count : count + some]),
        _span(load[count + some :]),
        wins,
        begins,
        tuple(load[:count].tolist()),
    )


def middling_load(skin: Skin, own: Weight, water: Water, hand: str, top: BrimLoad, height_mm: float = LOAD_HEIGHT_MM) -> float:
    """What a build carries, g, whose rim and load are as far off as those of half of all builds, in the mean over directions.

    A sixth of the time of `working_load`, whose likely load it meets within 2 % where the hull does not go over.
    """
    x, y, z = load_place(skin, top, height_mm)
    draws = draw_builds(variation_named(hand), water, top.rim_mm, _FEW_DRAWS, SEED)[0]
    far = percentiles(np.hypot(draws.eccentricity_mm[:, 0], draws.eccentricity_mm[:, 1]), 50.0)[0]
    shift = percentiles(draws.shift_mm, 50.0)[0]
    turns = 2.0 * np.pi * (np.arange(_MIDDLING) + 0.5) / _MIDDLING
    off = kept_on_floor(skin, (x, y), far * np.stack([np.cos(turns), np.sin(turns)], axis=1))
    places = np.column_stack([off + np.array([x, y]), np.full(_MIDDLING, z)])
    load_g = flooding_loads(skin, own, places, water, np.full(_MIDDLING, shift), SLACK_RAD).load_g
    return min(float(load_g.mean()), top.load_g)


class _Cases(NamedTuple):
    """The middling build as it is, and with one thing changed."""

    closer: float
    lower: float
    places: Floats
    """(6 n, 3) mm: where the load's centre is, all round for each case."""
    shifts: Floats
    """(6 n,) mm"""

    @classmethod
    def of(cls, best: Triple, draws: BuildDraws) -> _Cases:
        """The cases for draws with the load's centre `best` where it is best."""
        off = percentiles(np.hypot(draws.eccentricity_mm[:, 0], draws.eccentricity_mm[:, 1]), 50.0)[0]
        shift, height = percentiles(draws.shift_mm, 50.0)[0], best[2]
        closer, lower = min(2.0, off), min(2.0, height)
        cases = np.array(
            [
                (off, shift, height),
                (off - closer, shift, height),
                (off, shift + 1.0, height),
                (off, shift, height - lower),
                (0.0, shift, height),
                (off, max(0.0, shift), height),
            ]
        )
        turns = 2.0 * np.pi * (np.arange(_MIDDLING) + 0.5) / _MIDDLING
        places = np.empty((len(cases), _MIDDLING, 3))
        places[:, :, 0] = best[0] + cases[:, :1] * np.cos(turns)
        places[:, :, 1] = best[1] + cases[:, :1] * np.sin(turns)
        places[:, :, 2] = cases[:, 2:]
        return cls(closer, lower, places.reshape(-1, 3), np.repeat(cases[:, 1], _MIDDLING))

    def limits(self, load_g: Floats) -> tuple[Limit, tuple[Win, ...]]:
        """Whether the rim or the tilt costs the middling build more, and what one change would win for it.

        Loads (changes * _MIDDLING,) g: the builds as they are, then with each change.
        """
        load = load_g.reshape(-1, _MIDDLING).mean(axis=1)
        gain = (load - load[0]).tolist()
        wins = (
            Win(f"load {self.closer:.2g} mm closer to the middle", gain[1]),
            Win("rim 1 mm higher all round", gain[2]),
            Win(f"load {self.lower:.2g} mm lower", gain[3]),
        )
        ranked = sorted((win for win in wins if win.gain_g > 0.0), key=lambda win: -win.gain_g)
        return ("tilt" if gain[4] > gain[5] else "rim"), tuple(ranked)


def level_place(skin: Skin, top: BrimLoad) -> tuple[float, float]:
    """Where a load keeps the floor level, or the floor's middle where that is not on the floor."""
    return top.level_at if skin.over_floor(np.array([top.level_at]))[0] else (0.0, 0.0)


def load_place(skin: Skin, top: BrimLoad, height_mm: float = LOAD_HEIGHT_MM) -> Triple:
    """The load's centre where it is best."""
    return (*level_place(skin, top), height_mm)


def kept_on_floor(skin: Skin, best: tuple[float, float], eccentricity_mm: Floats) -> Floats:
    """The offsets `(n, 2)` with each load's centre over the floor: what would miss it comes half the way back, and again."""
    off, outside = eccentricity_mm.copy(), np.arange(len(eccentricity_mm))
    for _ in range(8):
        outside = outside[~skin.over_floor(off[outside] + np.array(best))]
        if not len(outside):
            break
        off[outside] /= 2.0
    off.flags.writeable = False
    return off


def _first(draws: BuildDraws, count: int) -> BuildDraws:
    return BuildDraws(draws.eccentricity_mm[:count], draws.shift_mm[:count], draws.gauge[:count])


def _span(load: Floats) -> tuple[float, float]:
    """Low and high of loads (n,) g."""
    low, high = percentiles(load, LOW, HIGH)
    return low, high
