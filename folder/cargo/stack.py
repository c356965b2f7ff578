"""How an item fills a hull beyond its first layer: columns, hollows, nests and heaps, and where every mass is.

column   one straight on top of the other; it stands by itself, also above the rim
hollow   the dip between balls below, where one more settles; the walls hold it while its middle is below the rim
nest     cups one inside the other: each adds its nest step to the height
heap     poured in, level with the rim at most: objects take up a fraction of the room, air the rest
single   one layer and no more, for what neither stacks nor nests nor pours

What is assumed stands in `Stack.assumes`, in a sentence for people.
"""

from __future__ import annotations

import math
from typing import Literal

import numpy as np
from msgspec import Struct
from numpy.typing import ArrayLike

from folder.cargo.floor import Places, area, as_places, as_points, clearance, inside
from folder.cargo.item import Item, Shape
from folder.cargo.packing import MOST, ROUNDS, Packing, ball_floor, checked_floor, pack_item, raised_floor
from folder.errors import BadRequest
from folder.geometry.space import Floats, Ints

Way = Literal["column", "hollow", "nest", "heap", "single"]

SLENDER = 3.0
"""A free column is at most so many times as tall as it is wide: taller ones topple when the hull rocks (common practice)."""

HEAP_FRACTIONS: dict[Shape, float] = {"ball": 0.6, "block": 0.6, "disc": 0.4, "tube": 0.55, "cup": 0.3, "screw": 0.35}
"""How much of a heap is object. Spheres .55 to .64: Song, Wang, Makse, Nature 453 (2008) 629; dice .54 to .67: Baker &
Kudrolli, Phys. Rev. E 82 (2010) 061304; screws and nuts .3 to .45, tubes and cups: from memory. The user may change it."""

SHANK = 0.5
"""A screw's shank is taken to be half as wide as its head (common practice)."""

MOST_BALLS = 400
"""More balls than this in the first layer are counted as a heap: no hand lays them one by one."""


class Stack(Struct, frozen=True, eq=False):
    """The objects' places (n, 3) mm, layer by layer from below: centres of mass above the floor, and each one's layer (n,).

    `room` is how many there is room for; places are given for no more whole layers than were asked for. `half_mm` is
    how far an object of each place reaches above its centre.
    """

    way: Way
    first: Packing
    places_mm: Floats
    layer: Ints
    half_mm: Floats
    room: int
    assumes: str

    def __post_init__(self) -> None:
        for array in (self.places_mm, self.layer, self.half_mm):
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


def stack_item(
    floor_mm: ArrayLike,
    item: Item,
    *,
    wall_height_mm: float,
    wall_turn_rad: float = math.pi / 2.0,
    enough: int = MOST,
    heap_fraction: float | None = None,
    column_mm: float | None = None,
    rounds: int = ROUNDS,
) -> Stack:
    """How the item fills the hull.

    `enough` objects are as many as anyone will ask for. A `heap_fraction` makes it a heap whatever it is; `column_mm`
    is how high columns and nests may stand, SLENDER times their width when not given. `rounds` is how long the packing
    searches.
    """
    _check("wall height", wall_height_mm, math.inf)
    _check("heap fraction", heap_fraction, 1.0)
    _check("height of a column", column_mm, math.inf)
    first = pack_item(floor_mm, item, wall_turn_rad, enough=enough, rounds=rounds)
    way = _way(item, heap_fraction, first.count)
    if way == "heap":
        fraction = heap_fraction or HEAP_FRACTIONS[item.shape]
        return _heap(first, item, checked_floor(floor_mm), wall_height_mm, wall_turn_rad, fraction, enough)
    if way == "hollow":
        radius = item.size_mm[0] / 2.0
        return _hollows(first, checked_floor(ball_floor(floor_mm, radius, wall_turn_rad)), radius, wall_height_mm)
    return _columns(first, item, way, column_mm, enough)


def _way(item: Item, heap_fraction: float | None, per_layer: int) -> Way:
    if heap_fraction is not None:
        return "heap"
    if item.shape == "ball":
        return "hollow" if per_layer <= MOST_BALLS else "heap"
    if item.nests:
        return "nest"
    if item.stacks:
        return "column"
    return "single" if item.shape == "cup" else "heap"


def _columns(first: Packing, item: Item, way: Way, column_mm: float | None, enough: int) -> Stack:
    length, width, height = item.extents_mm
    step = item.nest_step_mm if item.nest_step_mm is not None else height
    tallest = SLENDER * min(length, width) if column_mm is None else column_mm
    layers = 1 if way == "single" else max(1, math.floor((tallest - height) / step + 1e-9) + 1)
    given = min(layers, math.ceil(enough / first.count)) if first.count else 0
    layer = np.repeat(np.arange(given), first.count)
    z = height / 2.0 + step * layer
    assumes = {
        "single": "One layer: this object neither stacks nor nests.",
        "nest": f"Cups nest, each {step:g} mm higher than the last, in columns up to {tallest:g} mm.",
    }.get(way, f"Columns stand by themselves up to {tallest:g} mm, also above the rim.")
    places = np.column_stack([np.tile(first.places_mm, (given, 1)), z])
    return Stack(way, first, places, layer, np.full(len(z), height / 2.0), layers * first.count, assumes)


def _heap(
    first: Packing, item: Item, floor: Places, wall_height: float, wall_turn: float, fraction: float, enough: int
) -> Stack:
    """Objects fill the hull from below, each layer as many as lie on the floor, spread as those are."""
    if first.count == 0:
        return Stack(
            "heap", first, np.empty((0, 3)), np.empty(0, dtype=int), np.empty(0), 0, "It does not fit on the floor."
        )
    low, middle, high = (
        area(checked_floor(raised_floor(as_points(floor), share * wall_height, wall_turn))) for share in (0.0, 0.5, 1.0)
    )
    # The area between straight walls is quadratic in the height: three values give it, and the room below, exactly.
    s = np.linspace(0.0, 1.0, 257)
    room_below = wall_height * (
        low * s + (4.0 * middle - 3.0 * low - high) * s**2 / 2.0 + (2.0 * low - 4.0 * middle + 2.0 * high) * s**3 / 3.0
    )
    each = _volume_mm3(item) / fraction
    room = max(first.count, math.floor(room_below[-1] / each + 1e-9))
    number = min(room, math.ceil(enough / first.count) * first.count)
    layer = np.arange(number) // first.count
    filled = each * np.minimum((np.arange(layer.max(initial=-1) + 2)) * first.count, room)
    level = np.interp(filled, room_below, wall_height * s)
    half = np.diff(level)[layer] / 2.0
    places = np.column_stack([first.places_mm[np.arange(number) % first.count], level[layer] + half])
    assumes = (
        f"A heap, level with the rim at most: {fraction:.0%} object and {1.0 - fraction:.0%} air, held by the walls."
    )
    return Stack("heap", first, places, layer, half, room, assumes)


def _volume_mm3(item: Item) -> float:
    """The object's own volume, its holes and hollows filled."""
    size = item.size_mm
    if item.shape == "ball":
        return math.pi / 6.0 * size[0] ** 3
    if item.shape == "block":
        return math.prod(size)
    width = SHANK * size[0] if item.shape == "screw" else size[0]
    return math.pi / 4.0 * width**2 * size[1]


def _hollows(first: Packing, floor: Places, radius: float, wall_height: float) -> Stack:
    """Balls settle in the hollows of the layer below as long as the walls reach up to their middle."""
    upper = np.column_stack([first.places_mm, np.full(first.count, radius)])
    layers = [upper]
    while len(upper):
        upper = _settled(upper, np.concatenate(layers), radius)
        near = clearance(as_places(upper[:, :2]), floor)[0].min(axis=1, initial=np.inf)
        held = (upper[:, 2] <= wall_height) & (near >= radius * (1.0 - 1e-6)) & inside(as_places(upper[:, :2]), floor)
        upper = upper[held]
        layers.append(upper)
    places = np.concatenate(layers)
    layer = np.repeat(np.arange(len(layers)), [len(one) for one in layers])
    assumes = "Balls settle in the hollows of the layer below; the walls hold them while their middle is below the rim."
    return Stack("hollow", first, places, layer, np.full(len(places), radius), len(places), assumes)


def _settled(below: Floats, all_below: Floats, radius: float) -> Floats:
    """Balls (m, 3) that rest on three balls of the layer below (n, 3), and touch neither another ball nor each other."""
    touching = 2.0 * radius * (1.0 - 1e-6)
    found = _over_three(below, 2.0 * radius)
    found = found[_apart(found, all_below).min(axis=1, initial=np.inf) >= touching]
    clash = _apart(found, found) < touching
    best: list[int] = []
    for x, y in ((1.0, 1e-3), (-1e-3, 1.0), (0.5, 0.866), (-0.5, 0.866)):  # laid from one side, or from another
        order = np.lexsort([np.round(found[:, 0] * x + found[:, 1] * y, 6), np.round(found[:, 2], 6)])
        taken, free = [], np.ones(len(found), dtype=bool)
        for k in order:
            if free[k]:
                taken.append(int(k))
                free &= ~clash[k]
        best = taken if len(taken) > len(best) else best
    chosen: Floats = found[best]
    return chosen


def _over_three(points: Floats, distance: float) -> Floats:
    """All points (m, 3) above and at one distance from three of the points (n, 3), between them as seen from above."""
    apart = _apart(points, points)
    near = (apart < math.sqrt(3.0) * distance) & (apart > 0.0)  # farther apart, three let the fourth fall through
    one, two = np.nonzero(np.triu(near))
    pair, three = np.nonzero(near[one] & near[two] & (np.arange(len(points)) > two[:, None]))
    one, two = one[pair], two[pair]
    a, b, c = apart[two, three] ** 2, apart[one, three] ** 2, apart[one, two] ** 2
    # The middle of the circle through three corners, by their weights; a weight below 0: it lies outside the triangle.
    weight = np.stack([a * (b + c - a), b * (c + a - b), c * (a + b - c)], axis=1)
    sixteen_areas = weight.sum(axis=1)
    good = (sixteen_areas > 1e-6 * distance**4) & (weight.min(axis=1) > -1e-6 * distance**4)
    good[good] = (distance**2 - a * b * c / np.where(good, sixteen_areas, 1.0))[good] > 0.0
    corners = points[np.stack([one, two, three], axis=1)[good]]
    weight, radius2 = weight[good] / sixteen_areas[good, None], (a * b * c)[good] / sixteen_areas[good]
    up = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    up *= np.sign(up[:, 2:]) / np.linalg.norm(up, axis=1, keepdims=True)
    above: Floats = np.einsum("mk,mkc->mc", weight, corners) + np.sqrt(distance**2 - radius2)[:, None] * up
    return above


def _apart(some: Floats, others: Floats) -> Floats:
    """Distances (n, m) between points (n, 3) and (m, 3)."""
    apart: Floats = np.linalg.norm(some[:, None] - others, axis=2)
    return apart


def _check(what: str, value: float | None, most: float) -> None:
    if (value is not None and not 0.0 < value <= most) or value == math.inf:
        limit = "" if most == math.inf else f" and at most {most:g}"
        raise BadRequest(
            f"the {what} is not possible", where="room", found=f"{value:g}", remedy=f"Give more than 0{limit}"
        )
