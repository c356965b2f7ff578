"""The widest discs of a number on a floor: the search of the program, driven to what published tables list."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from folder.cargo.packing.floor import Places, as_points, margin, polygon_area
from folder.cargo.packing.outline import checked_floor
from folder.cargo.packing.packing import Packing
from folder.cargo.packing.relax import polish
from folder.cargo.packing.rows import disc_rows
from folder.cargo.packing.search import fewer, search_round

HALVINGS = 20


def widest_discs(floor_mm: ArrayLike, count: int, *, rounds: int) -> Packing:
    """Places for `count` discs as wide as `rounds` rounds find them; the radius is `size_mm[0]`. Floor (m, 2) mm."""
    floor = checked_floor(floor_mm)
    low, high = 0.0, math.sqrt(polygon_area(floor) / (count * math.pi))
    for _ in range(HALVINGS):
        radius = (low + high) / 2.0
        low, high = (radius, high) if len(disc_rows(floor, radius).places) >= count else (low, radius)
    start = disc_rows(floor, low).places[:count]
    places, radius = widen(floor, start, rounds)
    return Packing(as_points(places), np.zeros(count), (radius,), "improved")


def widen(floor: Places, start: Places, rounds: int) -> tuple[Places, float]:
    """Places (n,) complex mm and radius mm of the widest discs that `rounds` rounds found, never less than at the start."""
    places, radius = polish(start, floor)
    results = [(max(radius, margin(start, floor)), places)]
    random = np.random.default_rng(len(start))
    for _ in range(fewer(rounds, len(start))):
        results, _ = search_round(random, floor, len(start), results[0][0], results, np.inf)
    radius, places = results[0]
    return places, radius
