"""How many objects the next build holds: the counts that simulated builds reach, joined with the trials."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from msgspec.structs import replace

from folder.cargo.item import Item
from folder.cargo.order import Loading
from folder.cargo.predict import Cargo, predict
from folder.cargo.vessel import Vessel
from folder.practice.estimate import Estimate, Joined
from folder.water.hands import percentiles
from folder.water.working import HIGH, LIKELY, LOW


def joined_prediction(
    vessel: Vessel, item: Item, joined: Joined | None, mass_each: str | None = None, wanted: int | None = None
) -> tuple[Cargo, Estimate | None]:
    """How many of an item a vessel takes, by model and trials, and what that rests on; None where the model stands alone.

    `mass_each` and `wanted` as in `cargo.predict`.
    """
    cargo = predict(vessel, item, mass_each=mass_each, wanted=wanted)
    each_g = float(mass_each) if mass_each is not None else item.mass_g or 0.0

    def laid(count: int) -> Loading:
        if wanted is not None:
            return cargo.loading
        return predict(vessel, item, mass_each=mass_each, wanted=count).loading

    return joined_cargo(cargo, joined, each_g, laid)


def joined_cargo(
    cargo: Cargo, joined: Joined | None, each_g: float, laid: Callable[[int], Loading]
) -> tuple[Cargo, Estimate | None]:
    """A cargo as it is told: with the counts that trials lead to, and what they rest on; None where the model stands alone.

    `laid` lays out another likely count than the cargo's.
    """
    if joined is None:
        return cargo, None
    found = by_objects(cargo, joined, each_g).in_objects(each_g)
    if not joined.evidence.n:
        return cargo, found
    # Nobody lays more objects than have a place.
    low, likely, high = (min(int(count), cargo.stack.room) for count in (found.low, found.likely, found.high))
    loading = cargo.loading if likely == cargo.count else laid(likely)
    return replace(cargo, count_low=low, count=likely, count_high=high, loading=loading), found


def by_objects(cargo: Cargo, joined: Joined, each_g: float) -> Joined:
    """The same with what builds hold of this object, laid one by one, in place of a load spread low on the floor.

    Every load of a simulated build, by whichever hand, is moved as the three counts of the cargo lie to the three loads of the
    model. A count of k is a load from k to k + 1 objects: taken as k and a half.
    """
    loads = percentiles(joined.held_g[joined.hand], LOW, LIKELY, HIGH)
    counts = np.array((cargo.count_low, cargo.count, cargo.count_high)) + 0.5
    beyond = counts[2] * joined.brim_g / max(loads[2], 1e-9)
    at, to = np.array((0.0, *loads, joined.brim_g)), np.array((0.0, *counts, beyond)) * each_g
    moved = {hand: np.minimum(np.interp(held, at, to), joined.brim_g) for hand, held in joined.held_g.items()}
    return replace(joined, held_g=moved)
