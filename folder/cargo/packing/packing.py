"""Where items fit on a floor: the best rows, then improved.

floor      the outline of the hull's floor, (n, 2) mm, its corners in order; it may be non-convex
place      the middle of one object, seen from above, mm
packing    places of equal objects that lie inside the floor and not in each other

Discs, balls and cups are discs seen from above; blocks, lying tubes and screws are blocks, which are laid in
rows at many rotations, lengthwise and crosswise, in pinwheels, and then improved too.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import shapely
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import ArrayLike

from folder.cargo.packing.block_rows import block_rows
from folder.cargo.packing.block_search import BLOCKS, fit_blocks
from folder.cargo.packing.floor import (
    Places,
    as_places,
    as_points,
    clearance,
    floor_centroid,
    inside_floor,
    polygon_area,
)
from folder.cargo.packing.outline import Outlines, checked_floor, widened
from folder.cargo.packing.rows import ROW_KINDS, TOUCH, RowKind, disc_rows
from folder.cargo.packing.search import fit
from folder.errors import BadRequest
from folder.geometry.space import Bools, Floats, Ints

ROUNDS = 6
"""Rounds of search for one disc more: these find the best known packing of nearly every number up to 30 in a square."""

SEARCHED = 48
"""Above so many discs only rows are laid: they come within a few percent there, and a round of search grows long."""

FULL = 0.93
"""No search is made for blocks that would cover more of the floor than this: only rows do."""

SLACK = 1e-6
"""A floor smaller than the object by no more than this part is the same size, but for rounding."""

MOST = 100_000
"""More objects than this are not placed one by one."""

GATHERED = 7
"""One in the middle and six round it: more do not gather about a place."""

RING_ROTATIONS = 12
"""A ring is tried rotated so many ways."""

HALVINGS = 20
"""Halvings when a layout is drawn to the middle of the floor: to a millionth of the way."""


class Packing(Struct, frozen=True, eq=False):
    """Equal objects in one layer: places (n, 2) mm, rotations (n,) rad, and `size_mm`: (radius,) or (length, width)."""

    places_mm: Floats
    rotations_rad: Floats
    size_mm: tuple[float, ...]
    kind: str

    def __post_init__(self) -> None:
        self.places_mm.flags.writeable = False
        self.rotations_rad.flags.writeable = False

    @property
    def count(self) -> int:
        """How many fit in one layer."""
        return len(self.places_mm)

    def only(self, chosen: Bools | Ints) -> Packing:
        """Some of the objects (n,)."""
        return replace(self, places_mm=self.places_mm[chosen], rotations_rad=self.rotations_rad[chosen])

    def lies_in(self, outlines: Outlines) -> Bools:
        """Which of the objects (n,) lie inside one of the outlines."""
        held = np.zeros(self.count, dtype=bool)
        for outline in outlines:
            if len(self.size_mm) == 1:
                places, floor = as_places(self.places_mm), as_places(outline)
                reach = self.size_mm[0] * (1.0 - 4.0 * TOUCH)
                held |= inside_floor(places, floor) & (clearance(places, floor)[0].min(axis=1) >= reach)
            else:
                held |= shapely.covers(_widened(outline, self.size_mm[0]), shapely.polygons(self.corners_mm()))
        return held

    def corners_mm(self) -> Floats:
        """The corners of every block, or of the square about every disc: (n, 4, 2) mm, counter-clockwise."""
        half = np.array(self.size_mm) / 2.0 if len(self.size_mm) == 2 else np.repeat(self.size_mm, 2)
        corners = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * half
        cos, sin = np.cos(self.rotations_rad), np.sin(self.rotations_rad)
        rotation = np.stack([cos, -sin, sin, cos], axis=-1).reshape(-1, 2, 2)
        placed: Floats = self.places_mm[:, None, :] + corners @ rotation.transpose(0, 2, 1)
        return placed


def pack_all(outlines: Outlines, size_mm: tuple[float, ...], pack: Callable[[Floats], Packing]) -> Packing:
    """One packing of all the outlines that are as large as one object of this size (as `Packing` has it).

    Outlines (m, 2) mm each.
    """
    least = math.prod(size_mm) if len(size_mm) == 2 else math.pi * size_mm[0] ** 2
    packings = [pack(outline) for outline in outlines if polygon_area(as_places(outline)) >= least * (1.0 - SLACK)]
    if len(packings) == 1:
        return packings[0]
    places = np.concatenate([np.empty((0, 2)), *(packing.places_mm for packing in packings)])
    rotations = np.concatenate([np.empty(0), *(packing.rotations_rad for packing in packings)])
    return Packing(places, rotations, size_mm, packings[0].kind if packings else "rows")


def pack_discs(floor_mm: ArrayLike, radius_mm: float, *, enough: int = MOST, rounds: int = ROUNDS) -> Packing:
    """As many discs as are found to fit; the search goes no further once `enough` do. With 0 rounds only rows are laid.

    Floor (m, 2) mm.
    """
    packing = pack_rows(floor_mm, radius_mm)
    floor = checked_floor(floor_mm)
    bound = min(most_discs(floor_mm, radius_mm), enough, SEARCHED) if rounds > 0 else 0
    while packing.count < bound:
        found = fit(floor, packing.count + 1, radius_mm, rounds)
        if found is None:
            break
        packing = _disc_packing(floor, found, radius_mm, "improved")
    return packing


def pack_rows(floor_mm: ArrayLike, radius_mm: float, kinds: tuple[RowKind, ...] = ROW_KINDS) -> Packing:
    """As many discs as straight rows of these kinds hold. Floor (m, 2) mm."""
    floor = checked_floor(floor_mm)
    _check_size(floor, 2.0 * radius_mm, 2.0 * radius_mm)
    rows = disc_rows(floor, radius_mm, kinds)
    return _disc_packing(floor, rows.places, radius_mm, rows.kind)


def pack_blocks(floor_mm: ArrayLike, length_mm: float, width_mm: float, *, enough: int = MOST, rounds: int = ROUNDS) -> Packing:
    """As many blocks as are found to fit, in rows, in a pinwheel or by search; with 0 rounds only rows along the sides.

    Floor (m, 2) mm.
    """
    floor = checked_floor(floor_mm)
    _check_size(floor, length_mm, width_mm)
    size = (max(length_mm, width_mm), min(length_mm, width_mm))
    rows = block_rows(floor, *size, thorough=rounds > 0)
    bound = min(int(FULL * polygon_area(floor) / (length_mm * width_mm)), enough, BLOCKS) if rounds > 0 else 0
    while len(rows.places) < bound:
        found = fit_blocks(floor, rows, size, math.ceil(rounds / 2.0))
        if found is None:
            break
        rows = found
    rotations = rows.rotations_rad if length_mm >= width_mm else rows.rotations_rad + math.pi / 2.0
    packing = Packing(as_points(rows.places), rotations, (length_mm, width_mm), rows.kind)
    room = _widened(as_points(floor), length_mm)
    corners = packing.corners_mm()

    def fits(shift: complex) -> bool:
        return bool(shapely.covers(room, shapely.polygons(corners + np.array([shift.real, shift.imag]))).all())

    return replace(packing, places_mm=as_points(_middled(floor, rows.places, fits)))


def _widened(outline: Floats, length_mm: float) -> shapely.Geometry:
    """The outline as a region, wider by what rounding may be off. Outline (m, 2) mm."""
    region = widened(shapely.Polygon(outline), 10.0 * TOUCH * length_mm)
    shapely.prepare(region)
    return region


def gathered(floor_mm: ArrayLike, packing: Packing, count: int, at_mm: tuple[float, float]) -> Packing:
    """A few of the packed objects close about a place instead, balanced: in a ring, from six on with one in the middle.

    It holds none when they are more than GATHERED, or do not fit there.
    Floor (m, 2) mm.
    """
    floor = checked_floor(floor_mm)
    radius = math.hypot(*packing.size_mm) / (1 if len(packing.size_mm) == 1 else 2)
    ring = count if count < 6 else count - 1
    wide = 0.0 if count == 1 else max(radius / math.sin(math.pi / ring), 0.0 if count < 6 else 2.0 * radius)
    around = wide * np.exp(2j * math.pi * np.arange(ring) / ring)
    for rotation in np.arange(RING_ROTATIONS) * (2.0 * math.pi / ring / RING_ROTATIONS) if 1 <= count <= GATHERED else ():
        places = complex(*at_mm) + np.append(around * np.exp(1j * rotation), [0j] * (count - ring))
        if inside_floor(places, floor).all() and clearance(places, floor)[0].min() >= radius * (1.0 - TOUCH):
            return Packing(as_points(places), np.zeros(count), packing.size_mm, "gathered")
    return Packing(np.empty((0, 2)), np.empty(0), packing.size_mm, "gathered")


def most_discs(floor_mm: ArrayLike, radius_mm: float) -> int:
    """More discs than this cannot fit, whatever the search.

    Oler's inequality (Acta Mathematica 105 (1961) 19-48), applied to the convex hull of where the middles may lie:
    at most 2 A / (sqrt 3 d^2) + P / (2 d) + 1 points keep a distance d in a convex region of area A and perimeter P.
    Floor (m, 2) mm.
    """
    apart = 2.0 * radius_mm * (1.0 - 10.0 * TOUCH)
    region = widened(shapely.Polygon(as_points(checked_floor(floor_mm))), -apart / 2.0).convex_hull
    if region.is_empty:  # one disc, if it touches the walls all round
        return 1
    # The perimeter of a flat region counts both ways along it.
    around: float = region.length if region.geom_type == "Polygon" else 2.0 * region.length
    return int(2.0 * region.area / (math.sqrt(3.0) * apart**2) + around / (2.0 * apart) + 1.0)


def _disc_packing(floor: Places, places: Places, radius: float, kind: str) -> Packing:
    """The packing with its layout drawn to the middle of the floor. Floor (m,) and places (n,) complex mm."""

    def fits(shift: complex) -> bool:
        moved = places + shift
        return bool(inside_floor(moved, floor).all() and clearance(moved, floor)[0].min() >= radius * (1.0 - 2.0 * TOUCH))

    return Packing(as_points(_middled(floor, places, fits)), np.zeros(len(places)), (radius,), kind)


def _middled(floor: Places, places: Places, fits: Callable[[complex], bool]) -> Places:
    """Places moved as one, as near to the floor's middle as they fit: the whole way, or part of it along each direction.

    Floor (m,) and places (n,) complex mm.
    """
    if not len(places):
        return places
    side = np.roll(floor, -1) - floor
    along = side[abs(side).argmax()] / abs(side).max()
    way = floor_centroid(floor) - complex(places.mean())
    if fits(way):
        return places + way
    shift = 0j
    for part in ((way * along.conjugate()).real * along, 1j * (way * along.conjugate()).imag * along):
        low, high = 0.0, 2.0  # twice the way, so that the first half is the whole of it
        for _ in range(HALVINGS):
            middle = (low + high) / 2.0
            low, high = (middle, min(high, 1.0)) if fits(shift + middle * part) else (low, middle)
            if low == high:
                break
        shift += low * part
    return places + shift


def _check_size(floor: Places, length_mm: float, width_mm: float) -> None:
    """BadRequest unless the object has a size, and one that is not lost on the floor. Floor (m,) complex mm."""
    for size in (length_mm, width_mm):
        if not (math.isfinite(size) and size > 0.0):
            raise BadRequest("the object has no size", where="size", found=f"{size:g} mm", remedy="Give a length above 0 mm")
    if polygon_area(floor) > MOST * length_mm * width_mm:
        raise BadRequest(
            "the objects are too small to be placed one by one",
            where="size",
            found=f"{min(length_mm, width_mm):g} mm",
            remedy="Count them as a heap",
        )
