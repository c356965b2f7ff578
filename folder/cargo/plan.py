"""How an item is loaded into a vessel: the order for so many, and what builds hold in the order that serves them best.

searched     the order is looked for among many (see `order`); otherwise it is the greedy one, at once
simulated    the order in which the builds are loaded, one by one: as far as any of them gets
tower        all in one column on the best single place: where the floor is so small that a first object beside its middle
             turns the hull over
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from decimal import Decimal
from functools import cached_property

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from folder.cargo.builds import BuildCounts, held_by_builds, standing_rad
from folder.cargo.item import Item
from folder.cargo.order.by_pose import GreedyOrder
from folder.cargo.order.few import Sets
from folder.cargo.order.free import FREE, free_layouts, shifted
from folder.cargo.order.order import MORE_TILT_RAD, ROLLS_RAD, SAME_MM, Loading, best_of, follow, load_order
from folder.cargo.packing.stack import Stack, fill
from folder.cargo.vessel import BUILDS, Vessel
from folder.geometry.space import Floats
from folder.water.build_variation import BuildDraws
from folder.water.working_load import HIGH

FEW = 6
"""So few objects, when it is not room that limits them, are heavy ones (judgement)."""

SPARE = 1.1
"""Objects lie lower than the load by which a hull's working load is told, so that a few more may be held."""

COMPARED, FIRST_BUILDS = 100, 200
"""Orders are compared by so many builds, and a first count follows so many: drawn evenly, the first are spread as all are."""

ENDING = 0.1
"""Where so many of the builds tip before the first layer is full, a tower is tried too: the low count is theirs."""


class Plan(Struct, frozen=True, eq=False, dict=True):
    """An item of some mass that is to fill a vessel, with places for at most so many."""

    vessel: Vessel
    item: Item
    stack: Stack
    each: Decimal
    most: int
    searched: bool = True

    @property
    def each_g(self) -> float:
        """The mass of one, in floats."""
        return float(self.each)

    @property
    def hold_until(self) -> int:
        """From so many on the hull stands by itself."""
        return math.ceil((self.vessel.stands_from_g or 0.0) / self.each_g - 1e-9)

    @cached_property
    def _greedy_order(self) -> GreedyOrder:
        """The greedy order on the places: it begins the same way however many objects are to be loaded."""
        return GreedyOrder(self.stack.places_mm, self.stack.layer, self.each_g, self.vessel.lie)

    @cached_property
    def _laid(self) -> dict[int, Loading]:
        """The orders found so far, by the number of objects: the likely count is often one of those that builds were loaded in."""
        return {}

    def loaded(self, count: int) -> Loading:
        """The order on places of the stack; of a few heavy ones freely placed where that is better."""
        if count not in self._laid:
            self._laid[count] = self._best_order(count)
        return self._laid[count]

    def _best_order(self, count: int) -> Loading:
        vessel, stack, rolls = self.vessel, self.stack, self.item.rolls
        loading = load_order(
            stack.places_mm,
            stack.layer,
            count,
            self.each_g,
            vessel.lie,
            vessel.level_at_mm,
            rolls,
            self.searched,
            self._greedy_order,
        )
        if not (0 < count <= FREE and (loading.held < count or FEW * self.each_g > vessel.brim_g)):
            return loading
        layouts = free_layouts(vessel.room, self.item, stack.first, count, vessel.level_at_mm)
        found = [[loading], *([self._in_order(layout)] for layout in layouts)]
        if len(layouts) and self.searched:
            starts = np.array([one[0].places_mm[:, :2] for one in found[1:]])
            moved = shifted(starts, vessel.room, self.item, stack.first, self.each_g, vessel.lie, vessel.level_at_mm)
            found.append([self._in_order(moved)])
        return best_of(found, rolls)

    def _in_order(self, spots_mm: Floats) -> Loading:
        """The best order on places (n, 2) on the floor."""
        places = np.column_stack([spots_mm, np.full(len(spots_mm), self.item.extents_mm[2] / 2.0)])
        asked = Sets.of(places, np.zeros(len(places), dtype=int), self.each_g, self.vessel.lie)
        order = asked.order(SAME_MM, MORE_TILT_RAD, ROLLS_RAD if self.item.rolls else math.inf)
        return follow(places[order], self.each_g, self.vessel.lie)

    def held(self, loading: Loading, builds: int | None = None) -> BuildCounts:
        """What builds hold in that order; only the first so many if it is said."""
        every, some = self.vessel.builds, builds or (BUILDS if self.searched else FIRST_BUILDS)
        length, width, tall = self.item.extents_mm
        stands = standing_rad(self._towers_mm(loading.places_mm), min(length, width), tall, self.stack.way == "nest")
        return held_by_builds(
            loading.places_mm,
            self.each_g,
            self.vessel.lie,
            BuildDraws(every.eccentricity_mm[:some], every.shift_mm[:some], every.gauge[:some]),
            stands,
            self.most if self.vessel.stands_from_g is not None else 0,
            self.hold_until,
        )

    def _towers_mm(self, places_mm: Floats) -> Floats:
        """How tall the tallest tower is with the first objects aboard (n,); 0 where none stands by itself: balls, heaps."""
        if not self.item.form.stands or self.stack.way == "heap":
            return np.zeros(len(places_mm))
        top: Floats = np.maximum.accumulate(places_mm[:, 2] + self.item.extents_mm[2] / 2.0)
        return top

    def simulated(self) -> tuple[Loading, BuildCounts]:
        """The order in which builds hold the most objects on the whole, and what they hold in it."""
        good = math.ceil(SPARE * self.vessel.loads_g[2] / self.each_g) + 1
        aimed = self.most if self.most <= FEW else min(self.most, max(good, FEW + 1))
        loading = self._continued(aimed)
        held = self.held(loading)
        # Where not all float, an order for fewer may hold more of them than the first part of one for more.
        high = held.at(HIGH) + 1
        fewer: Iterable[int] = [high] if max(high, loading.held) < aimed else []
        if aimed <= FEW and self.searched:
            fewer = range(aimed - 1, 0, -1)
        best, counts = loading, held.counts[:COMPARED]
        for count in fewer:
            if count <= counts.mean():
                break  # nor can it hold more
            other = self._continued(count)
            tried = self.held(other, COMPARED).counts
            if tried.mean() > counts.mean():
                best, counts = other, tried
        return best, held if best is loading else self.held(best)

    def _continued(self, count: int) -> Loading:
        """The order for so many, and then the places that are left; a few placed freely leave none."""
        loading = self.loaded(count)
        if count <= FREE or count >= self.most:
            return loading
        taken = {tuple(place) for place in loading.places_mm.tolist()}
        left = [place for place in self.stack.places_mm[: self.most].tolist() if tuple(place) not in taken]
        return follow(np.concatenate([loading.places_mm, np.array(left)]), self.each_g, self.vessel.lie)

    def tower(self, held: BuildCounts, needed: int) -> Plan | None:
        """The same with all in one column, for at least so many; None where nothing speaks for it."""
        stack, first = self.stack, self.stack.first
        early = held.tips & (held.counts < first.count)
        if first.count < 2 or stack.way not in ("column", "nest") or early.mean() < ENDING:
            return None
        at = np.array([self.vessel.level_at_mm])
        nearest = np.linalg.norm(first.places_mm - at, axis=1).argmin()
        lone = replace(first.only(np.array([nearest])), places_mm=at)
        if not lone.lies_in(self.vessel.room.clear(0.0, self.item.extents_mm[2]))[0]:
            lone = first.only(np.array([nearest]))
        one = fill(self.vessel.room, self.item, first=lone)
        return replace(self, stack=one, most=min(self.most, one.room)) if one.room >= needed else None
