"""What limits a count, and what follows from the object and from that: a sentence each.

mass      balanced about the best place, so many would not float either
room      no more objects have a place
tilt      balanced they would still float, but loaded object by object water comes in
tipping   the stack is so high that it topples, or the hull turns over or leans where a lower stack would float
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

import numpy as np

from folder.cargo.builds import BuildCounts, fails_level
from folder.cargo.order.order import Loading
from folder.cargo.plan import FEW, Plan

CargoLimit = Literal["mass", "room", "tilt", "tipping"]

NO_PLACE = "Make the floor wider, or stand it on another side"

ABOVE_MM = 0.5
"""What reaches less above the rim is level with it."""

SURE = 0.8
"""So large a share of the builds that end is as good as all of them."""


def limit_of(plan: Plan, loading: Loading, held: BuildCounts, likely: int) -> CargoLimit:
    """Why the builds that hold no more than the likely count end there."""
    if likely >= plan.stack.room:
        return "room"
    ended = held.counts <= likely
    if held.tips[ended].mean() > 0.5:
        return "tipping"
    if likely >= plan.most:
        return "mass"

    def as_good_as_all(z_mm: float) -> bool:
        """Whether those builds would have ended by then anyhow, balanced about the level place with their middle so high."""
        at = np.array([*plan.vessel.level_at_mm, z_mm])
        fails = fails_level(likely + 1, at, plan.each_g, plan.vessel.lie, plan.vessel.builds)
        return float(fails.mean()) >= SURE * float(ended.mean())

    if not as_good_as_all(float(loading.places_mm[: likely + 1, 2].mean())):
        return "tilt"
    return "mass" if as_good_as_all(float(loading.places_mm[0, 2])) else "tipping"


def advised(plan: Plan, count: int, limit: CargoLimit) -> Iterator[str]:
    """What follows from the object and from what limits it, a sentence each."""
    vessel, item, stack = plan.vessel, plan.item, plan.stack
    if stack.fits_per_layer == 0:
        yield f"It does not fit on the floor: {NO_PLACE[0].lower()}{NO_PLACE[1:]}."
        return
    if plan.hold_until:
        yield f"Empty, the hull turns over: hold it until {plan.hold_until} stand in it."
    if item.sharp and vessel.floor_layers < 2:
        yield "It has edges or points: fold the floor so that two layers of foil lie under it."
    if item.rolls:
        yield "It rolls: press a dimple into the floor for each one, or all run to the low side."
    if limit == "room":
        yield "Room and height limit it, not mass: a wider floor and higher walls take more."
    elif limit == "mass":
        yield "Mass limits it: only more hull under water carries more, so give the walls height and the floor width."
        if vessel.load_limit == "tilt":
            yield "A load off the middle costs most here: set each object on its own place."
    elif limit == "tilt":
        yield "Tilt limits it: set each object on its own place, and keep the load's middle over the hull's."
    else:
        yield "Tipping limits it: a wide floor and fewer layers keep the load low."
    tops = stack.places_mm[:count, 2] + stack.half_mm[:count]
    above = tops - vessel.wall_height_mm > ABOVE_MM
    if above.any():
        some = f"{int(above.sum())} of {count}" if not above.all() else "All" if count > 1 else "It"
        sentence = (
            f"{some} stand{'s' if some == 'It' else ''} above the rim, by up to {tops.max() - vessel.wall_height_mm:.0f} mm"
        )
        if stack.layers(count) == 1:
            yield f"{sentence}."
        elif stack.fits_per_layer == 1 or stack.way == "nest":
            yield f"{sentence}: set each one straight on the one below, for a crooked tower topples."
        else:
            yield f"{sentence}: finish each layer before the next, so that none topples."
    if 0 < count <= FEW and limit != "room":
        yield "So few, so heavy: each one tilts the hull as it lands, so lower it gently onto its place."
