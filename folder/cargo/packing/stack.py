"""How an item fills a hull beyond its first layer: columns, hollows, nests and heaps, and where every mass is.

column   one straight on top of the other; it stands by itself, also above the rim
hollow   the dip between balls below, where one more settles; the walls hold it while its middle is below the rim
nest     cups one inside the other: each adds its nest step to the height
heap     poured in, level with the rim at most: objects take up a fraction of the room, air the rest
single   one layer: what neither stacks nor nests nor pours, or a few of what pours, side by side

What is assumed stands in `Stack.assumes`, in a sentence for people.
"""

from __future__ import annotations

import math
from typing import Literal

import numpy as np
from msgspec import Struct

from folder.cargo.item import Item
from folder.cargo.packing.hollows import CLOSE, hollows
from folder.cargo.packing.packing import MOST, ROUNDS, Packing, pack_all, pack_blocks, pack_discs
from folder.cargo.packing.room import Room
from folder.errors import BadRequest
from folder.geometry.space import Floats, Ints

Way = Literal["column", "hollow", "nest", "heap", "single"]

SLENDER: dict[Way, float] = {"column": 2.0, "nest": 3.0, "single": 1.0}
"""A free column is at most so many times as tall as it is wide. Loose things one on the other stand while their weight stays
in the middle third of the foot: twice as tall as wide up to a tilt of 9.5 deg, which a hull reaches under way. Cups in each
other hold each other and stand farther (common practice)."""

LEVELS = 65
"""The room below the rim is measured at so many heights; between them it is taken to grow evenly."""

BANDS = 6
"""The layers of a heap are laid anew this often on the way up."""

MOST_BALLS = 400
"""More balls than this in the first layer are counted as a heap: no hand lays them one by one."""


class Stack(Struct, frozen=True, eq=False):
    """The objects' places (n, 3) mm, layer by layer from below: centres of mass above the floor, and each one's layer (n,).

    `room` is how many there is room for; places are given for no more whole layers than were asked for. `half_mm` is
    how far an object of each place reaches above its centre, `rotations_rad` how it is turned: each layer of a heap lies its own way.
    """

    way: Way
    first: Packing
    places_mm: Floats
    layer: Ints
    half_mm: Floats
    rotations_rad: Floats
    room: int
    assumes: str

    def __post_init__(self) -> None:
        for array in (self.places_mm, self.layer, self.half_mm, self.rotations_rad):
            array.flags.writeable = False

    @property
    def fits_per_layer(self) -> int:
        """How many lie in the first layer."""
        return self.first.count

    def layers(self, count: int) -> int:
        """How many layers the first `count` objects take up."""
        return int(self.layer[: max(0, count)].max(initial=-1)) + 1

    def height_mm(self, count: int) -> float:
        """How high the first `count` objects reach above the floor."""
        return float((self.places_mm[: max(0, count), 2] + self.half_mm[: max(0, count)]).max(initial=0.0))


def centres(places_mm: Floats) -> Floats:
    """The centre of mass (n, 3) mm of equal objects after the first, after the second, and so on."""
    return np.cumsum(places_mm, axis=0) / np.arange(1, len(places_mm) + 1)[:, None]


def fill(
    room: Room,
    item: Item,
    *,
    enough: int = MOST,
    heap_fraction: float | None = None,
    column_mm: float | None = None,
    rounds: int = ROUNDS,
    first: Packing | None = None,
) -> Stack:
    """How the item fills the room, upon its `first` layer where that is given.

    `enough` objects are as many as anyone will ask for. A `heap_fraction` makes it a heap whatever it is; `column_mm`
    is how high columns and nests may stand, SLENDER times their width when not given. `rounds` is how long the packing
    searches.
    """
    _check("heap fraction", heap_fraction, 1.0)
    _check("height of a column", column_mm, math.inf)
    if first is None:
        first = first_layer(room, item, enough=enough, rounds=rounds)
    way = _way(item, heap_fraction, first.count)
    if way == "heap":
        return _heap(first, item, room, heap_fraction or item.form.heap_fraction, enough)
    if way == "hollow":
        return _hollows(first, item.size_mm[0] / 2.0, room, enough)
    return _columns(first, item, room, way, column_mm, enough, rounds)


def first_layer(
    room: Room,
    item: Item,
    *,
    enough: int = MOST,
    rounds: int = ROUNDS,
    low_mm: float = 0.0,
    tall_mm: float | None = None,
) -> Packing:
    """One layer of the item as it is best loaded: tubes and screws lie, cups stand, blocks lie on length by width.

    It lies on the floor, or as high as `low_mm`. It has room for things `tall_mm` high, if they are taller than the item.
    """
    length, width, height = item.extents_mm
    radius = width / 2.0

    def discs(floor: Floats) -> Packing:
        return pack_discs(floor, radius, enough=enough, rounds=rounds)

    if item.form.outline == "ball" and low_mm <= 0.0:
        packing = pack_all(room.clear_for_balls(radius), (radius,), discs)
        middles = np.column_stack([packing.places_mm, np.full(packing.count, radius)])
        return packing.only(room.distance_mm(middles) >= radius * (1.0 - CLOSE))
    outlines = room.clear(low_mm, low_mm + (tall_mm or height))
    if item.form.outline == "block":
        return pack_all(outlines, (length, width), lambda floor: pack_blocks(floor, length, width, enough=enough, rounds=rounds))
    return pack_all(outlines, (radius,), discs)


def _way(item: Item, heap_fraction: float | None, per_layer: int) -> Way:
    if heap_fraction is not None:
        return "heap"
    if item.form.outline == "ball":
        return "hollow" if per_layer <= MOST_BALLS else "heap"
    if item.nests:
        return "nest"
    if item.stacks:
        return "column"
    return "heap" if item.form.poured else "single"


def _columns(first: Packing, item: Item, room: Room, way: Way, column_mm: float | None, enough: int, rounds: int) -> Stack:
    length, width, height = item.extents_mm
    step = item.nest_step_mm if item.nest_step_mm is not None else height
    tallest = SLENDER[way] * min(length, width) if column_mm is None else column_mm
    layers = 1 if way == "single" else max(1, math.floor((tallest - height) / step + 1e-9) + 1)
    most = _tallest(first, room, height, step, layers)
    if most.min(initial=layers) < layers:  # walls lean in: fewer columns, all of them whole, may hold more
        upright = first_layer(room, item, enough=enough, rounds=rounds, tall_mm=height + step * (layers - 1))
        if upright.count * layers > most.sum():
            first, most = upright, np.full(upright.count, layers)
    given = min(layers, math.ceil(enough / first.count)) if first.count else 0
    while 0 < given < layers and np.minimum(most, given).sum() < enough:
        given += 1
    place, layer = np.nonzero(np.arange(given) < most[:, None])
    order = np.lexsort([place, layer])
    place, layer = place[order], layer[order]
    z = height / 2.0 + step * layer
    assumes = {
        "single": "One layer: this object neither stacks nor nests.",
        "nest": f"Cups nest, each {step:g} mm higher than the last, in columns up to {tallest:g} mm.",
    }.get(way, f"Columns stand by themselves up to {tallest:g} mm, also above the rim.")
    places = np.column_stack([first.places_mm[place], z])
    return Stack(way, first, places, layer, np.full(len(z), height / 2.0), first.rotations_rad[place], int(most.sum()), assumes)


def _tallest(first: Packing, room: Room, height: float, step: float, layers: int) -> Ints:
    """How many objects high each column (n,) may be before it meets foil, at most `layers`."""
    found = np.ones(first.count, dtype=int)
    for add in (layers - 1, *(1 << bit for bit in range((layers - 1).bit_length() - 1, -1, -1))):
        tried = np.minimum(found + add, layers)
        for number in np.unique(tried[tried > found]).tolist():
            asked = np.nonzero((tried == number) & (tried > found))[0]
            fits = first.only(asked).lies_in(room.clear(0.0, height + step * (number - 1)))
            found[asked[fits]] = number
    return found


def _heap(first: Packing, item: Item, room: Room, fraction: float, enough: int) -> Stack:
    """Objects fill the room from below, each layer as many as lie side by side in the room at its height.

    The first layer lies on the floor; of what is poured on it the level is known, and no more.
    """
    if first.count == 0:
        none = np.empty(0)
        return Stack("heap", first, np.empty((0, 3)), none.astype(int), none, none.copy(), 0, "It does not fit on the floor.")
    tall = item.extents_mm[2]
    levels = np.linspace(0.0, room.rim_mm, LEVELS)
    room_below = np.maximum.accumulate([room.volume_mm3(level) for level in levels.tolist()])
    each = item.form.volume_mm3(item.size_mm) / fraction
    most = max(first.count, math.floor(room_below[-1] / each + 1e-9))
    band = max(tall, room.rim_mm / BANDS)
    layers: list[Floats] = []
    number, bottom, current, at = 0, 0.0, first, 0
    while number < min(most, enough):
        if (step := int(bottom / band)) > at:
            above = first_layer(room, item, rounds=0, low_mm=step * band)
            current, at = above if above.count else current, step
        spots = current.places_mm[: most - number]
        number += len(spots)
        top = float(np.interp(each * number, room_below, levels))
        z = max(tall / 2.0, (bottom + top) / 2.0) if layers else tall / 2.0
        half = tall / 2.0 if not layers else max(0.0, top - z)
        turned = current.rotations_rad[: len(spots)]
        layers.append(np.column_stack([spots, np.full(len(spots), z), np.full(len(spots), half), turned]))
        bottom = top
    layer = np.repeat(np.arange(len(layers)), [len(one) for one in layers])
    rows = np.concatenate(layers)
    places, half_mm, rotations = rows[:, :3], rows[:, 3], rows[:, 4]
    if len(layers) == 1 and enough <= first.count:
        return Stack("single", first, places, layer, half_mm, rotations, most, "They lie side by side on the floor.")
    assumes = f"A heap, level with the rim at most: {fraction:.0%} object and {1.0 - fraction:.0%} air, held by the walls."
    return Stack("heap", first, places, layer, half_mm, rotations, most, assumes)


def _hollows(first: Packing, radius: float, room: Room, enough: int) -> Stack:
    """Balls settle in the hollows of the layer below as long as the walls reach up to their middle."""
    layers = hollows(first.places_mm, radius, room, enough)
    places = np.concatenate(layers)
    layer = np.repeat(np.arange(len(layers)), [len(one) for one in layers])
    assumes = "Balls settle in the hollows of the layer below; the walls hold them while their middle is below the rim."
    half_mm = np.full(len(places), radius)
    return Stack("hollow", first, places, layer, half_mm, np.zeros(len(places)), len(places), assumes)


def _check(what: str, value: float | None, most: float) -> None:
    if (value is not None and not 0.0 < value <= most) or value == math.inf:
        limit = "" if most == math.inf else f" and at most {most:g}"
        raise BadRequest(f"the {what} is not possible", where="room", found=f"{value:g}", remedy=f"Give more than 0{limit}")
