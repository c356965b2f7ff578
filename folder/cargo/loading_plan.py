"""The loading plan: every place for an item in a hull, in the order in which they are taken, up to the last.

The first are those of the likely count in its best order, the numbers that a card prints; then each object goes where the hull
keeps the most freeboard, layer by layer, to the end of the places. A few heavy ones that are placed freely go on upon each other.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

from folder.cargo.item import Item
from folder.cargo.order.by_pose import greedy_start
from folder.cargo.packing.stack import SLENDER
from folder.cargo.predict import Cargo
from folder.cargo.spot import Spot, spots_of
from folder.cargo.vessel import Vessel
from folder.geometry.space import Floats, Ints

MOST = 1000
"""Nobody loads more than this one by one on a screen."""
SOUGHT = 60
"""So many objects after the likely count are placed by how the hull lies; the rest as the stack has them."""


class LoadingPlan(Struct, frozen=True, eq=False):
    """Places in loading order; the first `likely` are those of the count to say beforehand."""

    item: Item
    each_g: float
    spots: tuple[Spot, ...]
    likely: int
    per_layer: int

    @property
    def layers(self) -> int:
        """How many layers it has."""
        return 1 + max((spot.layer for spot in self.spots), default=-1)


def plan_of_cargo(cargo: Cargo, vessel: Vessel, each_g: float, *, sought: int = SOUGHT) -> LoadingPlan:
    """The plan of a cargo laid out for its likely count; `sought` objects after that are placed by how the hull lies."""
    stack, start_mm = cargo.stack, cargo.loading.places_mm
    spots = spots_of(stack, start_mm)
    row_of = {place: row for row, place in enumerate(map(tuple, stack.places_mm.tolist()))}
    rows = [row_of.get(tuple(place)) for place in start_mm.tolist()]
    if None in rows:
        return LoadingPlan(cargo.item, each_g, _stacked(spots, cargo.item)[:MOST], len(spots), max(len(spots), 1))
    taken = [row for row in rows if row is not None]
    order = [] if cargo.simulated is None else [row_of.get(tuple(place)) for place in cargo.simulated.places_mm.tolist()]
    then = [row for row in order if row is not None]
    whole = _continued(stack.places_mm, stack.layer, taken, each_g, vessel, sought, then)[:MOST]
    return LoadingPlan(cargo.item, each_g, spots_of(stack, stack.places_mm[whole]), len(spots), max(stack.first.count, 1))


def _continued(
    places_mm: Floats, layer: Ints, taken: list[int], each_g: float, vessel: Vessel, more: int, then: list[int]
) -> list[int]:
    """All rows of places (n, 3), layer by layer (n,), after those that are taken; where none are sought, `then` as they come."""
    sought = min(len(places_mm), len(taken) + more)
    known = set(taken)
    if not more:
        return [*taken, *(row for row in then if row not in known), *sorted(set(range(len(places_mm))) - known - set(then))]
    near = [row for row in range(len(places_mm)) if row in known or row < sought]
    order = greedy_start(places_mm[near], layer[near], len(near), each_g, vessel.lie, [near.index(row) for row in taken])
    found = [near[k] for k in order]
    return [*found, *sorted(set(range(len(places_mm))) - set(found))]


def _stacked(spots: Sequence[Spot], item: Item) -> tuple[Spot, ...]:
    """Free places, and those upon them while a column of the item stands."""
    length, width, height = item.extents_mm
    if not (item.stacks or item.nests) or not spots:
        return tuple(spots)
    step = item.nest_step_mm or height
    more = max(1, int((SLENDER["nest" if item.nests else "column"] * min(length, width) - height) / step + 1e-9) + 1)
    return tuple(replace(spot, z_mm=spot.z_mm + k * step, half_mm=height / 2.0, layer=k) for k in range(more) for spot in spots)
