"""How many objects a hull will take: low, likely and high, what limits it, and what follows from the object.

Low, likely and high are read from what many builds hold, each loaded object by object by hands (see `builds`).

mass      balanced about the best place, so many would not float either
room      no more objects have a place
tilt      balanced they would still float, but loaded object by object water comes in
tipping   the stack is so high that it topples, or the hull turns over or leans where a lower stack would float

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

from folder.cargo.builds import BuildCounts, fails_level, held_by_builds, standing_rad
from folder.cargo.division.arithmetic import read_mass
from folder.cargo.item import Item
from folder.cargo.order.few import Sets
from folder.cargo.order.free import FREE, free_layouts, shifted
from folder.cargo.order.order import MORE_TILT_RAD, ROLLS_RAD, SAME_MM, Loading, best_of, follow, load_order
from folder.cargo.packing.packing import MOST, ROUNDS
from folder.cargo.packing.stack import Stack, fill
from folder.cargo.vessel import Vessel
from folder.errors import BadRequest
from folder.geometry.space import Floats, Ints
from folder.water.working_load import HIGH, LIKELY, LOW

CargoLimit = Literal["mass", "room", "tilt", "tipping"]

FEW = 6
"""So few objects, when it is not room that limits them, are heavy ones (judgement)."""

ABOVE_MM = 0.5
"""What reaches less above the rim is level with it."""

SURE = 0.8
"""So large a share of the builds that end is as good as all of them."""

SPARE = 1.1
"""Objects lie lower than the load by which a hull's working load is told, so that a few more may be held."""


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

    def as_json(self) -> dict[str, Any]:
        """The same in plain types. Freeboard and tilt are null from the object on that lets water in."""
        return {
            "fits_per_layer": self.stack.fits_per_layer,
            "layers": self.stack.layers(len(self.loading.places_mm)),
            "placed": [
                {"n": n, "x_mm": x, "y_mm": y, "z_mm": z}
                for n, (x, y, z) in enumerate(self.loading.places_mm.tolist(), start=1)
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

    `mass_each` in g replaces the item's own; `wanted` lays out so many instead of the likely count.
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
    if wanted is not None and wanted > stack.room:
        raise BadRequest(
            "there is no room for that many", where="count", found=f"{wanted}", remedy=f"Give 0 to {stack.room}"
        )
    job = _Job(vessel, item, stack, each, min(by_brim, len(stack.places_mm)))
    last, held = _most_held(job)
    low, likely, high = (held.at(percent) for percent in (LOW, LIKELY, HIGH))
    loading = job.loaded(likely if wanted is None else wanted)
    limit = _limit(job, last, held, likely)
    advice = tuple(_advice(vessel, item, stack, likely, limit, job.hold_until))
    return Cargo(item, stack, loading, low, likely, high, limit, advice, held.counts, job.hold_until)


def laid_out(vessel: Vessel, item: Item, stack: Stack, count: int, each: Decimal) -> Loading:
    """So many of what a stack has places for, in the order that keeps the hull most level."""
    return _Job(vessel, item, stack, each, len(stack.places_mm)).loaded(count)


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


class _Job(Struct, frozen=True, eq=False):
    """An item of some mass that is to fill a vessel, with places for at most so many."""

    vessel: Vessel
    item: Item
    stack: Stack
    each: Decimal
    most: int

    @property
    def each_g(self) -> float:
        """The mass of one, in floats."""
        return float(self.each)

    @property
    def hold_until(self) -> int:
        """From so many on the hull stands by itself."""
        return math.ceil((self.vessel.stands_from_g or 0.0) / self.each_g - 1e-9)

    def loaded(self, count: int) -> Loading:
        """The order on places of the stack; of a few heavy ones freely placed where that is better."""
        vessel, stack = self.vessel, self.stack
        loading = load_order(
            stack.places_mm, stack.layer, count, self.each_g, vessel.lie, vessel.level_at_mm, self.item.rolls
        )
        if not (0 < count <= FREE and (loading.held < count or FEW * self.each_g > vessel.brim_g)):
            return loading
        layouts = free_layouts(vessel.room, self.item, stack.first, count, vessel.level_at_mm)
        found = [[loading], *([self._in_order(layout)] for layout in layouts)]
        if len(layouts):
            starts = np.array([one[0].places_mm[:, :2] for one in found[1:]])
            moved = shifted(
                starts, vessel.room, self.item, stack.first, self.each_g, vessel.lie, vessel.level_at_mm
            )
            found.append([self._in_order(moved)])
        return best_of(found, self.item.rolls)

    def _in_order(self, spots_mm: Floats) -> Loading:
        """The best order on places (n, 2) on the floor."""
        places = np.column_stack([spots_mm, np.full(len(spots_mm), self.item.extents_mm[2] / 2.0)])
        asked = Sets.of(places, np.zeros(len(places), dtype=int), self.each_g, self.vessel.lie)
        order = asked.order(SAME_MM, MORE_TILT_RAD, ROLLS_RAD if self.item.rolls else math.inf)
        return follow(places[order], self.each_g, self.vessel.lie)

    def held(self, loading: Loading) -> BuildCounts:
        """What builds hold in that order."""
        length, width, tall = self.item.extents_mm
        stands = standing_rad(self._towers_mm(loading.places_mm), min(length, width), tall, self.stack.way == "nest")
        return held_by_builds(
            loading.places_mm,
            self.each_g,
            self.vessel.lie,
            self.vessel.builds,
            stands,
            self.most if self.vessel.stands_from_g is not None else 0,
        )

    def _towers_mm(self, places_mm: Floats) -> Floats:
        """How tall the tallest tower is with the first objects aboard (n,); 0 where none stands by itself: balls, heaps."""
        if self.item.shape in ("ball", "tube", "screw") or self.stack.way == "heap":
            return np.zeros(len(places_mm))
        top: Floats = np.maximum.accumulate(places_mm[:, 2] + self.item.extents_mm[2] / 2.0)
        return top


def _most_held(job: _Job) -> tuple[Loading, BuildCounts]:
    """The order in which builds hold the most objects, on the whole: that for as many as may be held, or for fewer."""
    loading = job.loaded(job.most)
    held = job.held(loading)
    high = held.at(HIGH)
    # Where not all float, an order for fewer may hold more of them than the first part of one for more.
    again = [high + 1] if loading.held < job.most and high + 1 < job.most else []
    fewer = range(job.most - 1, 0, -1) if job.most <= FEW else again
    for count in fewer:
        other = job.loaded(count)
        tried = job.held(other)
        if tried.counts.mean() > held.counts.mean():
            loading, held = other, tried
    return loading, held


def _limit(job: _Job, loading: Loading, held: BuildCounts, likely: int) -> CargoLimit:
    """Why the builds that hold no more than the likely count end there."""
    if likely >= job.stack.room:
        return "room"
    ended = held.counts <= likely
    if held.tips[ended].mean() > 0.5:
        return "tipping"
    if likely >= job.most:
        return "mass"

    def as_good_as_all(z_mm: float) -> bool:
        """Whether those builds would have ended by then anyhow, balanced about the level place with their middle so high."""
        at = np.array([*job.vessel.level_at_mm, z_mm])
        fails = fails_level(likely + 1, at, job.each_g, job.vessel.lie, job.vessel.builds)
        return float(fails.mean()) >= SURE * float(ended.mean())

    if not as_good_as_all(float(loading.places_mm[: likely + 1, 2].mean())):
        return "tilt"
    return "mass" if as_good_as_all(float(loading.places_mm[0, 2])) else "tipping"


def _advice(vessel: Vessel, item: Item, stack: Stack, count: int, limit: CargoLimit, hold_until: int) -> Iterator[str]:
    """What follows from the object and from what limits it, a sentence each."""
    if stack.fits_per_layer == 0:
        yield "It does not fit on the floor: make the floor wider, or stand it on another side."
        return
    if hold_until:
        yield f"Empty, the hull turns over: hold it until {hold_until} stand in it."
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
        said = f"{some} stand{'s' if some == 'It' else ''} above the rim, by up to {tops.max() - vessel.wall_height_mm:.0f} mm"
        yield f"{said}: finish each layer before the next, so that none topples." if stack.layers(count) > 1 else f"{said}."
    if 0 < count <= FEW and limit != "room":
        yield "So few, so heavy: each one tilts the hull as it lands, so lower it gently onto its place."
