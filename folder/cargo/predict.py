"""How many objects a hull will take: low, likely and high, what limits it, and what follows from the object.

mass      the load that the hull carries is used up
room      no more objects have a place
tilt      level it would still float, but loaded object by object water comes in
tipping   the stack is so high that the hull turns over

The object that lets water in does not count.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from typing import Any, Literal

import numpy as np
from msgspec import Struct

from folder.cargo.arithmetic import read_mass
from folder.cargo.item import Item
from folder.cargo.order import Loading, follow, load_order
from folder.cargo.packing import GATHERED, MOST, ROUNDS, gathered
from folder.cargo.stack import Stack, fill
from folder.cargo.vessel import Vessel
from folder.errors import BadRequest
from folder.hull.weight import Weight

Limit = Literal["mass", "room", "tilt", "tipping"]

FEW = 6
"""So few objects, when it is not room that limits them, are heavy ones (judgement)."""


class Cargo(Struct, frozen=True, eq=False):
    """How an item loads a hull. `loading` is for the likely count, or for as many as were asked for."""

    item: Item
    stack: Stack
    loading: Loading
    count_low: int
    count: int
    count_high: int
    limited_by: Limit
    advice: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        """The same in plain types. A freeboard is null from the object on that lets water in."""
        return {
            "fits_per_layer": self.stack.fits_per_layer,
            "layers": self.stack.layers(len(self.loading.places_mm)),
            "placed": [
                {"n": n, "x_mm": x, "y_mm": y, "z_mm": z}
                for n, (x, y, z) in enumerate(self.loading.places_mm.tolist(), start=1)
            ],
            "least_freeboard_mm": [None if math.isnan(mm) else mm for mm in self.loading.freeboard_mm.tolist()],
            "count": self.count,
            "count_low": self.count_low,
            "count_high": self.count_high,
            "limited_by": self.limited_by,
        }


def predict(
    vessel: Vessel,
    item: Item,
    *,
    mass_each: str | int | Decimal | None = None,
    wanted: int | None = None,
    heap_fraction: float | None = None,
    column_mm: float | None = None,
    rounds: int = ROUNDS,
) -> Cargo:
    """How many of the item the vessel takes, and where they go.

    `mass_each` in g replaces the item's own; `wanted` lays out so many instead of the likely count.
    """
    each = _mass_each(item, mass_each)
    by_mass = [held_by_mass(load, each) for load in vessel.loads_g]
    enough = max(by_mass[2], wanted or 0, 1)
    if enough > MOST:
        raise BadRequest(
            "that is more than anyone lays one by one",
            where="count",
            found=f"{enough}",
            remedy="Weigh ten or a hundred together and take them as one object",
        )
    stack = fill(vessel.room, item, enough=enough, heap_fraction=heap_fraction, column_mm=column_mm, rounds=rounds)

    def loaded(count: int) -> Loading:
        return _loaded(vessel, stack, count, float(each))

    most = min(by_mass[2], stack.room)
    last = loaded(most)
    high = last.held
    if high < most:  # a layout for fewer may hold more than the first part of a layout for many
        few = range(min(most - 1, GATHERED), high, -1)
        high = next((n for n in few if loaded(n).held == n), high)
        while high + 1 < most and loaded(high + 1).held == high + 1:
            high += 1
    likely = min(by_mass[1], high)
    loading = last if likely == most else loaded(likely)
    if loading.held < likely:
        last, likely = loading, loading.held
        loading = loading.first(likely)
    limit: Limit
    if likely == by_mass[1]:
        limit = "tipping" if vessel.load_limit == "stability" else "mass"
    elif likely == stack.room:
        limit = "room"
    else:
        limit = _limit_afloat(vessel, last, float(each))
    if wanted is not None:
        if not 0 <= wanted <= stack.room:
            raise BadRequest(
                "there is no room for that many", where="count", found=f"{wanted}", remedy=f"Give 0 to {stack.room}"
            )
        loading = loaded(wanted)
    advice = tuple(_advice(vessel, item, stack, likely, limit))
    return Cargo(item, stack, loading, min(by_mass[0], likely), likely, high, limit, advice)


def held_by_mass(load_g: float | Decimal, each_g: Decimal) -> int:
    """How many objects a load makes, in decimals: exactly, and rounded down."""
    load = load_g if isinstance(load_g, Decimal) else Decimal(repr(float(load_g)))
    if not load.is_finite() or load < 0:
        raise BadRequest("the load is not possible", where="load", found=f"{load} g", remedy="Give 0 g or more")
    return Fraction(load) // Fraction(each_g)


def _mass_each(item: Item, given: str | int | Decimal | None) -> Decimal:
    """The mass of one object in g, as written."""
    if given is not None:
        return read_mass(given, "mass each")
    if item.mass_g is None:
        raise BadRequest(
            "its mass varies too much to be listed",
            where=f"object '{item.name}'",
            remedy="Weigh yours and give its mass",
        )
    return read_mass(format(Decimal(repr(item.mass_g)), "f"), "mass each")


def _loaded(vessel: Vessel, stack: Stack, count: int, mass_each_g: float) -> Loading:
    """The order on the places of the stack, or of a few gathered in the middle where that holds more."""
    loading = load_order(stack.places_mm, stack.layer, count, mass_each_g, vessel.settle, vessel.level_at_mm)
    if loading.held == count:
        return loading
    few = gathered(vessel.floor_mm, stack.first, count, vessel.level_at_mm)
    places = np.column_stack([few.places_mm, np.full(few.count, stack.places_mm[0, 2])])
    together = follow(places, mass_each_g, vessel.settle)
    return together if together.held > loading.held else loading


def _limit_afloat(vessel: Vessel, loading: Loading, mass_each_g: float) -> Limit:
    """Why the first object failed that did: would the same load have floated with its centre where the hull lies level?"""
    aboard = loading.held + 1
    z = float(loading.places_mm[:aboard, 2].mean())
    level = vessel.settle(Weight(mass_each_g * aboard, (*vessel.level_at_mm, z)))
    if "capsizes" in (level.state, loading.states[loading.held]):
        return "tipping"
    return "tilt" if level.state == "floats" else "mass"


def _advice(vessel: Vessel, item: Item, stack: Stack, count: int, limit: Limit) -> Iterator[str]:
    """What follows from the object and from what limits it, a sentence each."""
    if stack.fits_per_layer == 0:
        yield "It does not fit on the floor: make the floor wider, or stand it on another side."
        return
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
    over = stack.height_mm(count) - vessel.wall_height_mm
    if over > 0.0 and stack.layers(count) > 1:
        yield f"The stack stands {over:.0f} mm above the rim: finish each layer before the next, so that none topples."
    if 0 < count <= FEW and limit != "room":
        yield "So few, so heavy: each one tilts the hull as it lands, so lower it gently onto its place."
