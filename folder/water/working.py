"""The working load: what a real build carries, low, likely and high; why no more; and which change would win most.

Many builds are drawn by chance (see `hands`) and each one's flooding load is read off a table: flooding loads worked
out exactly for a fan of directions, distances and rim shifts, with curves through the nearest of them between. The
percentiles come out within about 1 % of those of the exact loads; the tests hold them against each other. A single
reading may be off by more where the hull begins to go over instead of flooding. No draw is promised more than the brim.
"""

from __future__ import annotations

from typing import Literal

import numpy as np
from msgspec import Struct

from folder.geometry.space import Bools, Floats, Ints
from folder.hull.skin import Skin
from folder.hull.weight import Weight
from folder.water.capacity import Brim, brim
from folder.water.density import Water
from folder.water.flood import floods
from folder.water.hands import Draws, draw, hand_named

Limit = Literal["rim", "tilt", "stability"]

DRAWS = 2000
LOAD_HEIGHT_MM = 5.0
"""Height of the load's centre above the floor when none is given: a layer or two of small objects (judgement)."""

LOW, LIKELY, HIGH = 10.0, 50.0, 90.0
"""Percentiles: one build in ten carries less than low, one in ten more than high."""

_DIRECTIONS = 24
_DISTANCES = np.array([0.0, 0.07, 0.17, 0.3, 0.47, 0.7, 1.0])
_SHIFTS = 3
_MIDDLING = 12
"""Directions over which a middling build is averaged."""


class Win(Struct, frozen=True):
    """What one change would win for the likely load."""

    change: str
    gain_g: float


class Load(Struct, frozen=True):
    """What a hull carries."""

    brim_g: float
    surface_tension_g: float
    low_g: float
    likely_g: float
    high_g: float
    limited_by: Limit
    hand: str
    at_brim: Brim
    physics_g: tuple[float, float]
    """Low and high if only foil and water varied, at the hand's middling care."""
    hand_g: tuple[float, float]
    """Low and high if only the hand varied."""
    wins: tuple[Win, ...]
    """Largest first."""


class FloodTable(Struct, frozen=True, eq=False):
    """Flooding loads over distance and direction from the best place, and rim shift. Arrays are read-only."""

    distances_mm: Floats
    """(r,)"""
    shifts_mm: Floats
    """(s,)"""
    loads_g: Floats
    """(d + 1, r, s): the first direction comes again at the end."""
    capsizes: Bools
    """(d + 1, r, s)"""

    def read(self, off_mm: Floats, shift_mm: Floats) -> tuple[Floats, Floats]:
        """Loads `(n,)` g at offsets `(n, 2)` and shifts `(n,)`, and how much of each is capsizing, 0 to 1."""
        direction = np.arctan2(off_mm[:, 1], off_mm[:, 0]) / (2.0 * np.pi) % 1.0 * _DIRECTIONS
        # Straight between directions, where the load has kinks; smooth along the other two.
        i, along = _nearest(np.arange(_DIRECTIONS + 1.0), direction, 2)
        j, out = _nearest(self.distances_mm, np.hypot(off_mm[:, 0], off_mm[:, 1]), 4)
        k, high = _nearest(self.shifts_mm, shift_mm, 3)
        index = (i[:, :, None, None], j[:, None, :, None], k[:, None, None, :])
        parts = along[:, :, None, None] * out[:, None, :, None] * high[:, None, None, :]
        return (parts * self.loads_g[index]).sum(axis=(1, 2, 3)), (parts * self.capsizes[index]).sum(axis=(1, 2, 3))


def load_of(
    skin: Skin,
    own: Weight,
    water: Water,
    hand: str = "usual",
    height_mm: float = LOAD_HEIGHT_MM,
    count: int = DRAWS,
    seed: int = 1,
) -> Load:
    """What a hull with its `own` weight carries, with the load's centre `height_mm` above the floor."""
    held = hand_named(hand)
    top = brim(skin, own, water)
    best = _best_place(skin, top)
    everything, by_physics, by_hand = (
        _kept_on_floor(skin, best, some) for some in draw(held, water, top.rim_mm, count, seed)
    )
    table = flood_table(skin, own, water, (*best, height_mm), everything)

    def loads(some: Draws) -> tuple[Floats, Floats]:
        load, over = table.read(some.off_mm, some.shift_mm)
        return np.clip(load + own.mass_g * (1.0 - some.gauge), 0.0, top.load_g), over

    load, over = loads(everything)
    low, likely, high = (float(p) for p in np.percentile(load, (LOW, LIKELY, HIGH)))
    limit, wins = _limits(skin, own, water, everything, (*best, height_mm))
    return Load(
        top.load_g,
        top.surface_tension_g,
        low,
        likely,
        high,
        "stability" if float(over.mean()) > 0.5 else limit,
        held.name,
        top,
        _span(loads(by_physics)[0]),
        _span(loads(by_hand)[0]),
        wins,
    )


def flood_table(skin: Skin, own: Weight, water: Water, best: tuple[float, float, float], draws: Draws) -> FloodTable:
    """The table that covers the draws, about the best place for a load."""
    farthest = max(float(np.hypot(draws.off_mm[:, 0], draws.off_mm[:, 1]).max()), 1e-3)
    distances = farthest * _DISTANCES
    ends = (min(0.0, float(draws.shift_mm.min())) - 1e-6, max(1.0, float(draws.shift_mm.max())))
    shifts = np.linspace(*ends, _SHIFTS)
    turns = 2.0 * np.pi * np.arange(_DIRECTIONS) / _DIRECTIONS
    around = np.stack([np.cos(turns), np.sin(turns), np.zeros(_DIRECTIONS)], axis=1)
    places = np.array(best) + around[:, None, :] * distances[None, :, None]
    grid = np.broadcast_to(places[:, :, None, :], (_DIRECTIONS, len(distances), _SHIFTS, 3))
    shift = np.broadcast_to(shifts, grid.shape[:3])
    # The middle is one place, whatever the direction.
    middle = floods(skin, own, grid[0, 0], water, shift[0, 0])
    beside = floods(skin, own, grid[:, 1:].reshape(-1, 3), water, shift[:, 1:].ravel())
    load, over = np.empty(shift.shape), np.empty(shift.shape, dtype=bool)
    load[:, 0], over[:, 0] = middle.load_g, middle.capsizes
    load[:, 1:] = beside.load_g.reshape(_DIRECTIONS, -1, _SHIFTS)
    over[:, 1:] = beside.capsizes.reshape(_DIRECTIONS, -1, _SHIFTS)
    load, over = (np.concatenate([a, a[:1]]) for a in (load, over))
    for array in (distances, shifts, load, over):
        array.flags.writeable = False
    return FloodTable(distances, shifts, load, over)


def _limits(
    skin: Skin, own: Weight, water: Water, draws: Draws, best: tuple[float, float, float]
) -> tuple[Limit, tuple[Win, ...]]:
    """Whether the rim or the tilt costs the middling build more, and what one change would win for it."""
    off = float(np.median(np.hypot(draws.off_mm[:, 0], draws.off_mm[:, 1])))
    shift, height = float(np.median(draws.shift_mm)), best[2]
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
    shifts = np.repeat(cases[:, 1], _MIDDLING)
    load = floods(skin, own, places.reshape(-1, 3), water, shifts).load_g.reshape(len(cases), -1).mean(axis=1)
    gain = (load - load[0]).tolist()
    wins = (
        Win(f"load {closer:.2g} mm closer to the middle", gain[1]),
        Win("rim 1 mm higher all round", gain[2]),
        Win(f"load {lower:.2g} mm lower", gain[3]),
    )
    ranked = sorted((win for win in wins if win.gain_g > 0.0), key=lambda win: -win.gain_g)
    return ("tilt" if gain[4] > gain[5] else "rim"), tuple(ranked)


def _best_place(skin: Skin, top: Brim) -> tuple[float, float]:
    """Where a load keeps the floor level, or the floor's middle where that is not on the floor."""
    return top.level_at if skin.over_floor(np.array([top.level_at]))[0] else (0.0, 0.0)


def _kept_on_floor(skin: Skin, best: tuple[float, float], draws: Draws) -> Draws:
    """The draws with each load's centre over the floor: what would miss it is brought half the way back, and again."""
    off = draws.off_mm.copy()
    for _ in range(8):
        outside = ~skin.over_floor(off + np.array(best))
        if not outside.any():
            break
        off[outside] /= 2.0
    off.flags.writeable = False
    return Draws(off, draws.shift_mm, draws.gauge)


def _span(load: Floats) -> tuple[float, float]:
    low, high = np.percentile(load, (LOW, HIGH))
    return float(low), float(high)


def _nearest(nodes: Floats, at: Floats, width: int) -> tuple[Ints, Floats]:
    """The `width` nodes round each value, `(n, width)`, and how much each counts (Lagrange); the ends hold beyond."""
    at = np.clip(at, nodes[0], nodes[-1])
    low = np.clip(np.searchsorted(nodes, at, side="right") - 1 - (width - 1) // 2, 0, len(nodes) - width)
    index = low[:, None] + np.arange(width)
    spots = nodes[index]
    parts = np.ones_like(spots)
    for i in range(width):
        for j in range(width):
            if i != j:
                parts[:, i] *= (at - spots[:, j]) / (spots[:, i] - spots[:, j])
    return index, parts
