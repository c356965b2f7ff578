"""Orders worked out before each is followed: which places are used, and which comes when.

offset     how far from the level place a mass lies, a complex number, mm; the sum of all offsets tilts the hull
response   what the hull makes of so many objects placed with such a sum of offsets: its least freeboard and its tilt,
           from poses at rest all over the range, the nearly empty hull too
cost       of an order: its worst moment, and a little of its greatest tilt
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

import numpy as np
from msgspec import Struct

from folder.cargo.packing.floor import Places
from folder.geometry.space import Floats, Ints
from folder.water.equilibrium.under_loads import LadenPoses

Lie = Callable[[Floats, Floats], LadenPoses]
"""How the hull lies under cargoes of masses (n,) g with their centres (n, 3) mm; its own weight is the callable's business."""

DIRECTIONS = 24
"""The response is known toward so many sides."""

DISTANCES = 8
"""And at so many sums of offsets, the first of them none."""

FARTHEST = 1.5
"""The largest sum of offsets known, over the largest offset of one object: two on one side, and no order does that twice."""

FIRST_ABOARD = np.array([1, 2, 3, 4, 6, 9])
LEVELS = np.array([0.0, 0.12, 0.3, 0.5, 0.7, 0.85, 1.0])
"""With so many placed, and with so much of the whole."""

SUNK_MM = -100.0
"""Stands for the freeboard where the hull does not float."""

TILT_WEIGHTS = (1.0, 25.0)
"""Freeboard in mm that a tilt of one rad is reckoned to be worth: hardly anything, or something (0.4 mm a degree)."""

EXCHANGES, WINDOW = 24, 12
"""At most so many pairs are exchanged, each within so many objects before and after the worst moment."""


class Response(Struct, frozen=True, eq=False):
    """Least freeboard mm and tilt rad over objects placed, size of the offset sum and its direction."""

    placed: Floats
    """(l,) numbers of objects"""
    reach_mm: float
    """The largest sum of offsets."""
    table: Floats
    """(l, DISTANCES, DIRECTIONS + 1, 2); the first direction comes again at the end."""

    @classmethod
    def of(
        cls,
        places_mm: Floats,
        layer: Ints,
        mass_each_g: float,
        lie: Lie,
        level_at: tuple[float, float],
        first: int = 1,
    ) -> Response:
        """From poses at rest with objects on places (n, 3) mm, layers (n,), lower ones first; from the `first` so many on."""
        count = len(places_mm)
        nodes = np.concatenate([FIRST_ABOARD, first + LEVELS * (count - first)])
        placed = np.unique(nodes.round().clip(first, count))
        far = np.abs(places_mm[:, 0] - level_at[0] + 1j * (places_mm[:, 1] - level_at[1]))
        reach = FARTHEST * float(far.max()) + 1e-9
        z = np.cumsum(places_mm[np.argsort(layer, kind="stable"), 2])[placed.astype(int) - 1]
        turns = 2j * math.pi * np.arange(DIRECTIONS) / DIRECTIONS
        sums = reach * np.linspace(0.0, 1.0, DISTANCES)[:, None] * np.exp(turns)
        centres = np.empty((len(placed), DISTANCES, DIRECTIONS, 3))
        centres[..., 0] = level_at[0] + sums.real / placed[:, None, None]
        centres[..., 1] = level_at[1] + sums.imag / placed[:, None, None]
        centres[..., 2] = (z / placed)[:, None, None]
        some = centres[:, 0, 0], centres[:, 1:].reshape(-1, 3)  # level, every direction is the same
        masses = mass_each_g * np.concatenate([placed, np.repeat(placed, (DISTANCES - 1) * DIRECTIONS)])
        poses = lie(masses, np.concatenate(some))
        found = np.stack([np.where(poses.floats, poses.least_mm, SUNK_MM), poses.tilt_rad], axis=1)
        table = np.empty((len(placed), DISTANCES, DIRECTIONS + 1, 2))
        table[:, 0] = found[: len(placed), None]
        table[:, 1:, :-1] = found[len(placed) :].reshape(len(placed), DISTANCES - 1, DIRECTIONS, 2)
        table[:, :, -1] = table[:, :, 0]
        return cls(placed, reach, table)

    def read(self, offset_sums: Places, placed: Floats | float) -> tuple[Floats, Floats]:
        """Least freeboard mm and tilt rad (...) at offset sums (...), with so many `placed` (...), straight between nodes."""
        turn = (np.angle(offset_sums) / (2.0 * math.pi) % 1.0) * DIRECTIONS
        far = np.minimum(abs(offset_sums) / self.reach_mm, 1.0) * (DISTANCES - 1)
        high = np.interp(placed, self.placed, np.arange(len(self.placed)))
        i, j, k = (
            np.minimum(at.astype(int), most)
            for at, most in ((high, max(0, len(self.placed) - 2)), (far, DISTANCES - 2), (turn, DIRECTIONS - 1))
        )
        x, y, z = high - i, far - j, turn - k
        flat = self.table.reshape(-1, 2)
        step = DISTANCES * (DIRECTIONS + 1) if len(self.placed) > 1 else 0
        found: Floats = np.zeros((*np.broadcast_shapes(offset_sums.shape, np.shape(placed)), 2))
        first = (i * DISTANCES + j) * (DIRECTIONS + 1) + k
        for up, share_up in ((0, 1.0 - x), (step, x)):
            for out, share_out in ((0, 1.0 - y), (DIRECTIONS + 1, y)):
                share = share_up * share_out
                found += (share * (1.0 - z))[..., None] * flat[first + (up + out)]
                found += (share * z)[..., None] * flat[first + (up + out + 1)]
        return found[..., 0], found[..., 1]

    def cost(self, offset_sums: Places, placed: Floats | float, weight: float) -> Floats:
        """What moments (...) cost, mm: freeboard lost, and the tilt's weight."""
        freeboard, tilt = self.read(offset_sums, placed)
        return np.asarray(weight * tilt - freeboard)

    def along(self, offset_sums: Places) -> tuple[Floats, Floats]:
        """Least freeboard mm and tilt rad (n,) along an order with these offset sums (n,)."""
        return self.read(offset_sums, np.arange(1.0, len(offset_sums) + 1.0))


def place_choices(offset: Places, layer: Ints, count: int) -> Iterator[Ints]:
    """Which places are used: all of the lower layers, and of the topmost some that balance: opposite pairs about the
    middle, spread out, or the outermost as they would be taken by hand. Offsets (n,) complex mm, layers (n,); each (count,)."""
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
    """The innermost opposite pairs (count,); of an odd number the one in the middle too. Places (n,) complex mm."""
    inward = corners_inward(spot, np.zeros(len(spot), dtype=int))
    pairs = inward[: len(spot) // 2 * 2]
    if count % 2 == len(spot) % 2:
        return inward[len(spot) - count :]
    return pairs[len(pairs) - count :]


def _spread(spot: Places, count: int) -> Ints:
    """The innermost, then each time the one farthest from all that are taken: (count,). Places (n,) complex mm."""
    taken = [int(abs(spot).argmin())]
    far = abs(spot - spot[taken[0]])
    while len(taken) < count:
        taken.append(int(far.argmax()))
        far = np.minimum(far, abs(spot - spot[taken[-1]]))
    return np.array(taken)


def arrangements(offset: Places, layer: Ints, response: Response, start: Sequence[int] = ()) -> Iterator[Ints]:
    """Orders (n,) of objects with these offsets, each layer before the next: built from either end, and exchanged.

    The first is the greedy one from a `start` that is known.
    """
    plain = greedy(offset, layer, len(offset), response, start=start)
    yield plain
    last_first = _from_the_end(offset, layer, response, TILT_WEIGHTS[-1])
    for weight in TILT_WEIGHTS:
        orders = [_exchanged(order, offset, layer, response, weight) for order in (last_first, plain)]
        yield min(orders, key=lambda order: _cost(*response.along(np.cumsum(offset[order])), weight))


def greedy(
    offset: Places,
    layer: Ints,
    count: int,
    response: Response,
    weight: float = TILT_WEIGHTS[0],
    start: Sequence[int] = (),
) -> Ints:
    """The order (count,) in which each object goes where the hull then keeps the most freeboard; lower layers first.

    With a large weight, where it then tilts least. `start` holds the first ones, where they are known.
    """
    order = list(start)
    total = complex(offset[order].sum())
    for level in np.unique(layer):
        open_ = np.setdiff1d(np.nonzero(layer == level)[0], order)
        while len(open_) and len(order) < count:
            cost = response.cost(total + offset[open_], float(len(order) + 1), weight)
            k = int(cost.argmin())
            total += complex(offset[open_[k]])
            order.append(int(open_[k]))
            open_ = np.delete(open_, k)
    return np.array(order, dtype=int)


def _from_the_end(offset: Places, layer: Ints, response: Response, weight: float) -> Ints:
    """The order (n,) built backwards: of the topmost layer the object goes that leaves the rest at the least cost."""
    left = offset.sum()
    order: list[int] = []
    for level in np.unique(layer)[::-1]:
        open_ = np.nonzero(layer == level)[0]
        while len(open_):
            placed = float(max(1, len(offset) - len(order) - 1))
            cost = response.cost(left - offset[open_], placed, weight) + 1e-9 * abs(offset[open_])
            k = int(cost.argmin())  # among equals the innermost
            left -= offset[open_[k]]
            order.append(int(open_[k]))
            open_ = np.delete(open_, k)
    return np.array(order[::-1], dtype=int)


def _cost(freeboard: Floats, tilt: Floats, weight: float) -> float:
    """What an order costs, mm, from freeboards mm and tilts rad (n,): its least freeboard and greatest tilt count."""
    return float(weight * tilt.max() - freeboard.min())


def _exchanged(order: Ints, offset: Places, layer: Ints, response: Response, weight: float) -> Ints:
    """The order (n,) with pairs of one layer exchanged, one before and one after the worst moment, while that helps."""
    for _ in range(EXCHANGES):
        sums = np.cumsum(offset[order])
        freeboard, tilt = response.along(sums)
        worst = int((weight * tilt - freeboard).argmax())
        early, late = np.meshgrid(
            np.arange(max(0, worst + 1 - WINDOW), worst + 1), np.arange(worst + 1, min(len(order), worst + 1 + WINDOW))
        )
        same = layer[order[early]] == layer[order[late]]
        early, late = early[same], late[same]
        if not early.size:
            break
        # Only the moments between the two have another sum.
        k = np.arange(early.min(), late.max())
        between = (k >= early[:, None]) & (k < late[:, None])
        tried = sums[k] + between * (offset[order[late]] - offset[order[early]])[:, None]
        lower, farther = response.read(tried, k + 1.0)
        least = np.minimum(lower.min(axis=1), np.delete(freeboard, k).min(initial=math.inf))
        most = np.maximum(farther.max(axis=1), np.delete(tilt, k).max(initial=0.0))
        cost = weight * most - least
        if cost.min() >= _cost(freeboard, tilt, weight) - 1e-9:
            break
        pick = int(cost.argmin())
        order = order.copy()
        order[[early[pick], late[pick]]] = order[[late[pick], early[pick]]]
    return order
