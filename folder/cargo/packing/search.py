"""A search for places that rows do not find: rounds of random starts and of the best so far, shaken.

fit            as many discs of one radius as asked for, or nothing
search_round   one round for radii as large as are found: no end to what is enough

One round relaxes many starts for a while, goes on with the few that look best, and polishes those. The random
numbers are seeded by the number of discs: the same question always has the same answer.
"""

from __future__ import annotations

import math

import numpy as np

from folder.cargo.packing.floor import Places, inside_floor
from folder.cargo.packing.relax import polish, relax
from folder.cargo.packing.rows import TOUCH
from folder.geometry.space import Floats

STARTS, FINALISTS = 32, 8
"""Starts of a round, and how many of them are carried through."""

EASY = 30
"""Up to so many discs. Of more, fewer rounds are made and fewer finalists polished: both grow dear with their square."""

PERTURBED = 10
"""How many of the starts are the best places so far, shaken; the others are random."""

FIRST_REST, SECOND_REST = 60, 90
"""Rounds of relaxing for all starts, then for the finalists."""

PRESS = 1.005
"""Discs are relaxed a little too large: pressed together they find their order. Tried from 1 to 1.02 on 13 to 30 discs."""

HOPELESS = 5e-4
"""Energy per pressed disc that says they are half a percent too large or more, which no polishing mends. Tried likewise."""

FAR_OFF = 2.0 * HOPELESS
"""Least energy per disc of a round after which no further round is tried."""

KEPT = 4
"""So many of the best results are shaken in the next round."""

Results = list[tuple[float, Places]]
"""Radius and places, the largest radius first."""


def fit(floor: Places, count: int, radius_mm: float, rounds: int) -> Places | None:
    """Places (count,) for discs of the radius, or None when `rounds` rounds found none."""
    random = np.random.default_rng(count)
    enough = radius_mm * (1.0 - TOUCH)
    results: Results = []
    for _ in range(fewer(rounds, count)):
        results, energy = search_round(random, floor, count, radius_mm, results, enough)
        if results and results[0][0] >= enough:
            return results[0][1]
        if energy > FAR_OFF * count:
            break
    return None


def search_round(
    random: np.random.Generator, floor: Places, count: int, radius: float, best: Results, enough: float
) -> tuple[Results, float]:
    """The best results after one more round, and the least energy that a start came to rest with. Floor (m,) complex mm.

    It ends early at a radius that is `enough`, mm.
    """
    starts = scatter(random, floor, STARTS * count).reshape(STARTS, count)
    if best:
        for k in range(PERTURBED):
            starts[k] = _perturbed(random, best[k % len(best)][1], radius, starts[k])
    starts, energy = relax(starts, floor, PRESS * radius, FIRST_REST)
    starts, energy = relax(starts[energy.argsort(kind="stable")[:FINALISTS]], floor, PRESS * radius, SECOND_REST)
    results = list(best)
    last = -1.0
    for k in energy.argsort(kind="stable")[: fewer(FINALISTS, count)]:
        if energy[k] > HOPELESS * count and enough < np.inf:
            break
        if energy[k] - last < 1e-7:  # the same rest once more
            continue
        last = energy[k]
        places, reached = polish(starts[k], floor, radius, enough)
        if all(abs(reached - other) > TOUCH * radius for other, _ in results):
            results.append((reached, places))
        if reached >= enough:
            break
    results.sort(key=lambda result: -result[0])
    return results[:KEPT], float(energy.min())


def fewer(number: int, count: int) -> int:
    """The number itself for few discs, less of it for many."""
    return math.ceil(number * min(1.0, (EASY / count) ** 2))


def _perturbed(random: np.random.Generator, places: Places, radius: float, elsewhere: Places) -> Places:
    """Every disc moved a little, one or two put elsewhere. All places (n,) complex mm."""
    size = len(places)
    moved = places + 0.2 * radius * (random.standard_normal(size) + 1j * random.standard_normal(size))
    taken = random.choice(size, min(size, int(random.integers(1, 3))), replace=False)
    moved[taken] = elsewhere[taken]
    return moved


def scatter(random: np.random.Generator, floor: Places, count: int) -> Places:
    """Random places (count,) on the floor."""
    low, high = complex(floor.real.min(), floor.imag.min()), complex(floor.real.max(), floor.imag.max())
    found = np.empty(0, dtype=np.complex128)
    while len(found) < count:
        share: Floats = random.random((2, 2 * count))
        tried = low + (high - low).real * share[0] + 1j * (high - low).imag * share[1]
        found = np.concatenate([found, tried[inside_floor(tried, floor)]])
    return found[:count]
