"""Orders worked out before the water is asked: which places are used, and which comes when.

offset     how far from the level place a mass lies, a complex number, mm; the sum of all offsets tilts the hull
bother     what costs freeboard: every object sinks the hull, and an offset sum tilts it, to some sides more than to others
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import permutations

import numpy as np
from msgspec import Struct

from folder.cargo.floor import Places
from folder.geometry.space import Floats, Ints

DIRECTIONS = 16
"""The bother is known toward so many sides."""

EXCHANGES, WINDOW = 40, 30
"""At most so many pairs are exchanged, each within so many objects before and after the worst moment."""

ALL_ORDERS = 7
"""Of so few objects every order is tried: 5,040 of seven."""

ASKED = 12
"""So many of them are put to the water: of a few heavy objects each one tilts the hull further than straight lines tell."""

BOUNDS = 10
"""Bounds tried, each time halving between one that serves and one that does not."""


class Bother(Struct, frozen=True, eq=False):
    """Freeboard lost: `sink_mm` with each object, `tilt` (DIRECTIONS,) mm per mm of offset sum toward each side."""

    sink_mm: float
    tilt: Floats

    def of(self, offset_sum: Places) -> Floats:
        """What offset sums (...) cost, mm."""
        turn = np.angle(offset_sum) / (2.0 * math.pi) * DIRECTIONS
        side = np.floor(turn).astype(int)
        part = turn - side
        share = (1.0 - part) * self.tilt[side % DIRECTIONS] + part * self.tilt[(side + 1) % DIRECTIONS]
        cost: Floats = abs(offset_sum) * share
        return cost

    def moments(self, offset_sums: Places) -> Floats:
        """The cost of every moment of orders (..., n), mm: tilt, and how deep the hull is by then."""
        cost: Floats = self.of(offset_sums) + self.sink_mm * np.arange(offset_sums.shape[-1])
        return cost

    def worst(self, offset_sums: Places) -> Floats:
        """The cost of orders (..., n), mm: their worst moment, and a little of how far from level they are all along."""
        cost: Floats = self.moments(offset_sums).max(axis=-1) + 0.01 * self.of(offset_sums).mean(axis=-1)
        return cost


def chosen_places(offset: Places, layer: Ints, count: int) -> Iterator[Ints]:
    """Which places are used: all of the lower layers, and of the topmost some that balance: opposite pairs about the
    middle, spread out, or the outermost as they would be taken by hand."""
    pool = np.nonzero(layer == layer[count - 1])[0]
    below = np.nonzero(layer < layer[count - 1])[0]
    spot = offset[pool]
    wanted = count - len(below)
    total = complex(offset[below].sum())
    if wanted == len(pool):
        yield np.arange(count)
        return
    for taken in (_inner_pairs(spot, wanted), _spread(spot, wanted)):
        yield np.concatenate([below, pool[_balanced(spot, taken, total)]])
    yield np.concatenate([below, pool[corners_inward(spot, 0 * pool)[:wanted]]])


def corners_inward(offset: Places, layer: Ints) -> Ints:
    """The order by hand (n,): in each layer the outermost object, then the one most opposite, and so on inward."""
    order: list[int] = []
    for level in np.unique(layer):
        left: list[int] = np.nonzero(layer == level)[0].tolist()
        left.sort(key=lambda k: -abs(offset[k]))
        while left:
            order.append(left.pop(0))
            if left:
                order.append(left.pop(int(np.argmin(abs(offset[left] + offset[order[-1]])))))
    return np.array(order, dtype=int)


def _balanced(spot: Places, taken: Ints, below: complex) -> Ints:
    """Some of the spots (m,), those taken at first exchanged for others while that brings the offset sum nearer to 0."""
    used = np.zeros(len(spot), dtype=bool)
    used[taken] = True
    total = below + spot[used].sum()
    for _ in range(EXCHANGES):
        out, in_ = np.nonzero(used)[0], np.nonzero(~used)[0]
        after = abs(total - spot[out, None] + spot[in_])
        o, i = divmod(int(after.argmin()), len(in_))
        if after[o, i] > abs(total) - 1e-6:
            break
        used[out[o]], used[in_[i]] = False, True
        total += spot[in_[i]] - spot[out[o]]
    return np.nonzero(used)[0]


def _inner_pairs(spot: Places, count: int) -> Ints:
    """The innermost opposite pairs; of an odd number the one in the middle too."""
    inward = corners_inward(spot, np.zeros(len(spot), dtype=int))
    pairs = inward[: len(spot) // 2 * 2]
    if count % 2 == len(spot) % 2:
        return inward[len(spot) - count :]
    return pairs[len(pairs) - count :]


def _spread(spot: Places, count: int) -> Ints:
    """The innermost, then each time the one farthest from all that are taken."""
    taken = [int(abs(spot).argmin())]
    far = abs(spot - spot[taken[0]])
    while len(taken) < count:
        taken.append(int(far.argmax()))
        far = np.minimum(far, abs(spot - spot[taken[-1]]))
    return np.array(taken)


def arranged(offset: Places, layer: Ints, bother: Bother) -> Ints:
    """The best orders (m, n) that are found before the water is asked: one, or a few of all orders of a few objects."""
    if len(offset) <= ALL_ORDERS:
        every = np.array(list(permutations(range(len(offset)))))
        every = every[(np.diff(layer[every], axis=1) >= 0).all(axis=1)]
        cost = bother.worst(np.cumsum(offset[every], axis=1)).round(6)
        _, different = np.unique(cost, return_index=True)  # of mirrored orders, which cost the same, one
        best: Ints = every[different[:ASKED]]
        return best
    last_first = _from_the_end(offset, layer, bother)
    orders = [last_first, _outermost_first(offset, layer, bother, float(bother.worst(np.cumsum(offset[last_first]))))]
    orders = [_exchanged(order, offset, layer, bother) for order in orders]
    return np.array([min(orders, key=lambda order: float(bother.worst(np.cumsum(offset[order]))))])


def _from_the_end(offset: Places, layer: Ints, bother: Bother) -> Ints:
    """The order (n,) built backwards: of the topmost layer the object goes that leaves the rest most level."""
    left = offset.sum()
    order: list[int] = []
    for level in np.unique(layer)[::-1]:
        open_ = np.nonzero(layer == level)[0]
        while len(open_):
            cost = bother.of(left - offset[open_]) + 1e-9 * abs(offset[open_])  # among equals the innermost
            k = int(cost.argmin())
            left -= offset[open_[k]]
            order.append(int(open_[k]))
            open_ = np.delete(open_, k)
    return np.array(order[::-1], dtype=int)


def _outermost_first(offset: Places, layer: Ints, bother: Bother, bound_mm: float) -> Ints:
    """The order (n,) in which each time the outermost object goes that costs no more than a bound, the least that is found."""
    best = np.arange(len(offset))
    low, high = 0.0, bound_mm
    for _ in range(BOUNDS):
        bound = (low + high) / 2.0
        order: list[int] = []
        sums = 0j
        for level in np.unique(layer):
            open_ = np.nonzero(layer == level)[0]
            while len(open_):
                cost = bother.of(sums + offset[open_]) + bother.sink_mm * len(order)
                if cost.min() > bound:
                    break
                k = int(np.where(cost <= bound, abs(offset[open_]) - 1e-6 * cost, -np.inf).argmax())
                sums += offset[open_[k]]
                order.append(int(open_[k]))
                open_ = np.delete(open_, k)
        if len(order) == len(offset):
            best, high = np.array(order), bound
        else:
            low = bound
    return best


def _exchanged(order: Ints, offset: Places, layer: Ints, bother: Bother) -> Ints:
    """The order (n,) with pairs of one layer exchanged, one before and one after the worst moment, while that helps."""
    for _ in range(EXCHANGES):
        sums = np.cumsum(offset[order])
        worst = int(bother.moments(sums).argmax())
        early, late = np.meshgrid(
            np.arange(max(0, worst + 1 - WINDOW), worst + 1), np.arange(worst + 1, min(len(order), worst + 1 + WINDOW))
        )
        same = layer[order[early]] == layer[order[late]]
        early, late = early[same], late[same]
        k = np.arange(len(order))
        between = (k >= early[:, None]) & (k < late[:, None])
        tried = sums + between * (offset[order[late]] - offset[order[early]])[:, None]
        cost = bother.worst(tried)
        if not cost.size or cost.min() >= bother.worst(sums) - 1e-9:
            break
        pick = int(cost.argmin())
        order = order.copy()
        order[[early[pick], late[pick]]] = order[[late[pick], early[pick]]]
    return order
