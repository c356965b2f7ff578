"""How many objects a hull will take: low, likely and high, what limits it, and what follows from the object.

Low, likely and high are read from what many builds hold, each loaded object by object by hands (see `builds`),
in the order in which such builds hold the most. The object that lets water in does not count.
"""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction
from typing import Any

from msgspec import Struct

from folder.cargo.advice import NO_PLACE, CargoLimit, advised, limit_of
from folder.cargo.division.arithmetic import read_mass
from folder.cargo.item import Item
from folder.cargo.order.order import Loading
from folder.cargo.packing.packing import MOST, ROUNDS
from folder.cargo.packing.stack import Stack, fill
from folder.cargo.plan import SPARE, Plan
from folder.cargo.vessel import Vessel
from folder.errors import BadRequest
from folder.geometry.space import Ints
from folder.water.working_load import HIGH, LIKELY, LOW


class Cargo(Struct, frozen=True, eq=False):
    """How an item loads a hull. `loading` is for the likely count, or for as many as were asked for."""

    item: Item
    stack: Stack
    loading: Loading
    count_low: int
    count: int
    count_high: int
    limited_by: CargoLimit
    advice: tuple[str, ...]
    counts: Ints
    """(d,): what each of many builds holds; low, likely and high are read from these."""
    hold_until: int = 0
    """So long a hand must hold the hull: from so many objects on it stands by itself."""
    perfect: int = 0
    """What perfect hands could: by the brim load, rounded down, or as many as have a place where those are fewer."""
    simulated: Loading | None = None
    """The order in which the builds were loaded, as far as any of them gets; None where no build was."""

    def as_json(self) -> dict[str, Any]:
        """The same in plain types. Freeboard and tilt are null from the object on that lets water in."""
        return {
            "fits_per_layer": self.stack.fits_per_layer,
            "layers": self.stack.layers(len(self.loading.places_mm)),
            "placed": [
                {"n": n, "x_mm": x, "y_mm": y, "z_mm": z} for n, (x, y, z) in enumerate(self.loading.places_mm.tolist(), start=1)
            ],
            "least_freeboard_mm": [None if math.isnan(mm) else mm for mm in self.loading.freeboard_mm.tolist()],
            "tilt_deg": [None if math.isnan(rad) else math.degrees(rad) for rad in self.loading.tilt_rad.tolist()],
            "hold_until": self.hold_until,
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

    `mass_each` in g replaces the item's own; `wanted` lays out so many instead of the likely count. With 0 `rounds` it is a
    first count: rows, laid in the greedy order; packing and order are not searched for better ones.
    """
    each = _mass_each(item, mass_each)
    if wanted is not None and wanted < 0:
        raise BadRequest("a count cannot be less than nothing", where="count", found=f"{wanted}", remedy="Give 0 or more")
    by_brim = held_by_mass(vessel.brim_g, each)
    enough = max(min(by_brim, math.ceil(SPARE * held_by_mass(vessel.loads_g[2], each)) + 1), wanted or 0, 1)
    if enough > MOST:
        raise BadRequest(
            "that is more than anyone lays one by one",
            where="count",
            found=f"{enough}",
            remedy="Weigh ten or a hundred together and take them as one object",
        )
    stack = fill(vessel.room, item, enough=enough, heap_fraction=heap_fraction, column_mm=column_mm, rounds=rounds)
    if wanted and not stack.fits_per_layer:
        raise BadRequest("not one of them fits on the floor", where="count", found=f"{wanted}", remedy=NO_PLACE)
    if wanted is not None and wanted > stack.room:
        raise BadRequest("there is no room for that many", where="count", found=f"{wanted}", remedy=f"Give 0 to {stack.room}")
    plan = Plan(vessel, item, stack, each, min(by_brim, len(stack.places_mm)), rounds > 0)
    simulated, held = plan.simulated()
    tower = plan.tower(held, wanted or 0)
    if tower is not None:
        upright = tower.simulated()
        if upright[1].at(LIKELY) > held.at(LIKELY):
            plan, (simulated, held) = tower, upright
    low, likely, high = (held.at(percent) for percent in (LOW, LIKELY, HIGH))
    first = wanted is None and rounds == 0
    loading = simulated.first(likely) if first else plan.loaded(likely if wanted is None else wanted)
    limit = limit_of(plan, simulated, held, likely)
    advice = tuple(advised(plan, likely, limit))
    perfect = max(min(by_brim, plan.stack.room), high)
    return Cargo(item, plan.stack, loading, low, likely, high, limit, advice, held.counts, plan.hold_until, perfect, simulated)


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
