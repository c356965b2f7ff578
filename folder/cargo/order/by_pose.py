"""The greedy order with each place asked of the hull: nearly empty it tilts most, and there no table is near enough.

Asking the water takes longest, and hardly longer for many loads than for a few: several choices of places are filled in
step, and what has been asked of one is not asked again for a larger number of objects.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from folder.cargo.order.arrange import Lie
from folder.geometry.space import Floats, Ints

Choice = tuple[Floats, Ints]
"""Places (n, 3) mm that may be taken, and the layer (n,) of each."""


class GreedyOrder:
    """The greedy order on some places, worked out as far as it has been asked for. For fewer objects it is its beginning."""

    def __init__(self, places_mm: Floats, layer: Ints, mass_each_g: float, lie: Lie) -> None:
        """Places (n, 3) mm, layers (n,), from below."""
        self._choice, self._mass_each_g, self._lie = (places_mm, layer), mass_each_g, lie
        self._order: list[int] = []

    def first(self, count: int) -> list[int]:
        """The rows of the first so many."""
        if len(self._order) < count:
            self._order = greedy_start(*self._choice, count, self._mass_each_g, self._lie, self._order)
        return self._order[:count]


def greedy_start(
    places_mm: Floats, layer: Ints, count: int, mass_each_g: float, lie: Lie, start: Sequence[int] = ()
) -> list[int]:
    """The first objects of the greedy order, each place asked of the hull.

    `start` holds those that lie there already. Places (n, 3) mm, layers (n,).
    """
    return greedy_starts([(places_mm, layer)], count, mass_each_g, lie, start)[0]


def greedy_starts(
    choices: Sequence[Choice], count: int, mass_each_g: float, lie: Lie, start: Sequence[int] = ()
) -> list[list[int]]:
    """The same on each of several choices of as many places."""
    orders = [list(start) for _ in choices]
    totals = [places[order].sum(axis=0) for (places, _), order in zip(choices, orders, strict=True)]
    for placed in range(len(start) + 1, count + 1):
        opens = [_open(layer, order) for (_, layer), order in zip(choices, orders, strict=True)]
        ends = np.cumsum([len(open_) for open_ in opens])
        if not len(ends) or not ends[-1]:
            break
        tried = [total + places[open_] for total, (places, _), open_ in zip(totals, choices, opens, strict=True)]
        poses = lie(np.full(ends[-1], mass_each_g * placed), np.concatenate(tried) / placed)
        merit = np.where(poses.floats, poses.least_mm - 1e-3 * poses.tilt_rad, -np.inf)
        for k, (open_, own) in enumerate(zip(opens, np.split(merit, ends[:-1]), strict=True)):
            best = int(open_[own.argmax()])
            totals[k] = totals[k] + choices[k][0][best]
            orders[k].append(best)
    return orders


def _open(layer: Ints, order: list[int]) -> Ints:
    """The places of the lowest layer that is not full yet; layers (n,)."""
    free = np.ones(len(layer), dtype=bool)
    free[order] = False
    return np.nonzero(free & (layer == layer[free].min()))[0] if free.any() else np.zeros(0, dtype=int)
