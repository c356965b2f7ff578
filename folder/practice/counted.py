"""How many objects the next build holds: the counts that simulated builds reach, joined with the trials."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from msgspec.structs import replace

from folder.cargo.division.arithmetic import read_mass
from folder.cargo.item import Item
from folder.cargo.order.order import Loading
from folder.cargo.predict import Cargo, predict
from folder.cargo.vessel import Vessel
from folder.practice.estimate import Estimate, JoinedEstimate

PARTS = 65
GOLDEN = 0.6180339887498949
"""Multiples of it are spread evenly over one, in any number (Weyl 1916)."""


def joined_prediction(
    vessel: Vessel,
    item: Item,
    joined: JoinedEstimate | None,
    mass_each: str | None = None,
    wanted: int | None = None,
    forecast: Cargo | None = None,
) -> tuple[Cargo, Estimate | None]:
    """How many of an item a vessel takes, by model and trials, and what that rests on; None where the model stands alone.

    `mass_each` and `wanted` as in `cargo.predict`; `forecast` is what that says, where it has been worked out.
    """
    cargo = forecast or predict(vessel, item, mass_each=mass_each, wanted=wanted)
    each_g = float(read_mass(mass_each, "mass each")) if mass_each is not None else item.mass_g or 0.0

    def load_order(count: int) -> Loading:
        if wanted is not None:
            return cargo.loading
        return predict(vessel, item, mass_each=mass_each, wanted=count).loading

    return joined_cargo(cargo, joined, each_g, load_order)


def joined_cargo(
    cargo: Cargo, joined: JoinedEstimate | None, each_g: float, load_order: Callable[[int], Loading]
) -> tuple[Cargo, Estimate | None]:
    """A cargo as it is told: with the counts that trials lead to, and what they rest on; None where the model stands alone.

    `load_order` lays out another likely count than the cargo's.
    """
    if joined is None:
        return cargo, None
    found = count_estimate(cargo, joined, each_g)
    if not joined.evidence.n:
        return cargo, found
    low, likely, high = int(found.low), int(found.likely), int(found.high)
    placed = min(likely, cargo.stack.room)
    loading = cargo.loading if placed == cargo.count else load_order(placed)
    return replace(cargo, count_low=low, count=likely, count_high=high, perfect=max(cargo.perfect, high), loading=loading), found


def count_estimate(cargo: Cargo, joined: JoinedEstimate, each_g: float) -> Estimate:
    """How many of a cargo's objects the next build holds."""
    # Nobody lays more objects than have a place, unless trials show that there is a way to.
    room = max(cargo.stack.room, joined.evidence.most_held.get(cargo.item.name, 0))
    return by_objects(cargo, joined, each_g).in_objects(each_g, room)


def by_objects(cargo: Cargo, joined: JoinedEstimate, each_g: float) -> JoinedEstimate:
    """The same with what builds hold of this object, laid one by one, in place of a load spread low on the floor.

    A count of k is a load from k to k + 1 objects: equal counts are spread over that. The load of a simulated build, by whichever
    hand, moves as the loads below which equal parts of the builds lie.
    """
    parts = np.linspace(0.0, 1.0, PARTS)
    counts = np.sort(cargo.counts.astype(np.float64) + np.arange(0.5, len(cargo.counts)) * GOLDEN % 1.0)
    at = np.concatenate([[0.0], np.quantile(joined.held_g[joined.hand], parts)])
    to = np.concatenate([[0.0], np.quantile(counts, parts) * each_g])
    beyond = to[-1] / max(at[-1], 1e-9)
    moved = {
        hand: np.minimum(np.interp(held, at, to) + beyond * np.maximum(held - at[-1], 0.0), joined.brim_g)
        for hand, held in joined.held_g.items()
    }
    return replace(joined, held_g=moved)
