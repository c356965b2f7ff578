"""Cargo as pictures: the loading map of a card.

loading map  the floor seen from above, with each object of a layer in its place and its number in the loading order
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache

from msgspec import Struct

from folder.cargo.item import Item
from folder.cargo.predict import Cargo
from folder.cargo.spot import Spot, spots_of
from folder.draw.picture import (
    CAP_HEIGHT,
    PUPIL_MM,
    SMALL_MM,
    Area,
    Box,
    Label,
    Mark,
    Picture,
    arc,
    box_round,
)
from folder.draw.sheet.mark import badge_box, step_badge
from folder.draw.style import PAPER, SHADE
from folder.draw.text import DESCENT, width_mm
from folder.findings import Point

MOST_SHOWN = 400
"""More objects than this in one layer are a grey field, not a map."""
ROUND_RAD = math.pi / 36
"""A disc has 72 corners: at the size of a page it is round."""


class DrawnCargo(Struct, frozen=True):
    """One object in its place, in the hull's frame, mm; `number` counts in loading order from 1, `layer` from 0."""

    number: int
    layer: int
    ring: tuple[Point, ...]
    """Its outline from above."""
    low_mm: float
    high_mm: float
    ball: bool = False

    @property
    def middle(self) -> Point:
        """The middle of its outline."""
        return box_round(self.ring).middle


def cargo_outlines(cargo: Cargo) -> tuple[DrawnCargo, ...]:
    """The objects of a cargo in loading order, each in its place."""
    return drawn_spots(cargo.item, spots_of(cargo.stack, cargo.loading.places_mm), cargo.stack.first.size_mm)


def drawn_spots(item: Item, spots: Sequence[Spot], size_mm: tuple[float, ...]) -> tuple[DrawnCargo, ...]:
    """Objects on their places, numbered in the order they come in; `size_mm` as `Item.footprint_mm`."""
    return tuple(
        DrawnCargo(
            number, spot.layer, tuple((spot.x_mm + dx, spot.y_mm + dy) for dx, dy in _outline(size_mm, spot.rotation_rad)),
            spot.z_mm - spot.half_mm, spot.z_mm + spot.half_mm, item.form.outline == "ball",
        )
        for number, spot in enumerate(spots, 1)
    )  # fmt: skip


def loading_map(floor: Sequence[Point], objects: Sequence[DrawnCargo], layer: int, into: Box) -> Picture:
    """The objects of one layer on the floor, fitted into a box.

    Numbers stand in the objects. Where these are too small, rings with the first numbers stand over them, as many as
    have room.
    """
    here = [thing for thing in objects if thing.layer == layer]
    if len(here) > MOST_SHOWN:
        return Picture.of([Area((tuple(floor),), SHADE, "outline")]).fitted(into)
    # All layers to one scale: round objects may lie over the floor's edge where walls lean out.
    around = box_round([*floor, *(p for thing in objects for p in thing.ring)])
    ground = Picture.of([Area((tuple(floor),), SHADE, "outline")], around)
    things = Picture.of([Area((thing.ring,), PAPER, "thin") for thing in here], around)
    shown = (ground + things).fitted(into)
    scale = shown.box.width / around.width
    shift = (shown.box.left - scale * around.left, shown.box.bottom - scale * around.bottom)
    return Picture((*shown.marks, *_numbers(here, scale, shift, into)), shown.box)


def _numbers(objects: Sequence[DrawnCargo], scale: float, shift: Point, room: Box) -> Iterator[Mark]:
    """The loading number of each object, in it where it has room, along what is long; else in rings as far as they have room."""
    if not objects:
        return
    size = min(PUPIL_MM, *(_fitting_mm(thing, scale) for thing in objects))
    taken: list[Box] = []
    for thing in objects:
        at = (scale * thing.middle[0] + shift[0], scale * thing.middle[1] + shift[1])
        if size >= SMALL_MM:
            turn, half = upright(_sides(thing)[2]), CAP_HEIGHT * size / 2
            foot = (at[0] + half * math.sin(turn), at[1] - half * math.cos(turn))
            yield Label(str(thing.number), foot, size, "middle", "bold", rotation_rad=turn)
            continue
        half = badge_box(thing.number, at).width / 2
        at = Box(room.left + half, room.bottom + half, room.right - half, room.top - half).nearest(at)
        box = badge_box(thing.number, at).grown(0.5)
        if any(box.touches(other) for other in taken):
            return
        taken.append(box)
        yield from step_badge(thing.number, at)


def _fitting_mm(thing: DrawnCargo, scale: float) -> float:
    """How large a number may stand in an object: the box its letters may fill, not its digits alone, stands free in it."""
    long, wide, _ = _sides(thing)
    text, high = width_mm(str(thing.number), 1.0, "bold"), 2 * DESCENT + CAP_HEIGHT
    if len(thing.ring) == 4:
        return 0.96 * scale * min(long / text, wide / high)
    return 0.96 * scale * wide / math.hypot(text, high)


def _sides(thing: DrawnCargo) -> tuple[float, float, float]:
    """The long and the short side of an object's outline, mm, and which way the long one runs, rad; of a round one its width."""
    if len(thing.ring) != 4:
        box = box_round(thing.ring)
        return box.width, box.height, 0.0
    a, b, c = thing.ring[:3]
    one, other = math.dist(a, b), math.dist(b, c)
    along = math.atan2(b[1] - a[1], b[0] - a[0]) if one >= other else math.atan2(c[1] - b[1], c[0] - b[0])
    return max(one, other), min(one, other), along


def upright(turn_rad: float) -> float:
    """The direction in which what lies along a line is read from below or from the right."""
    turn = (turn_rad + math.pi / 2.0) % math.pi - math.pi / 2.0
    return turn if abs(turn + math.pi / 2.0) > 1e-6 else math.pi / 2.0


@lru_cache(maxsize=256)
def _outline(size_mm: tuple[float, ...], rotation_rad: float) -> tuple[Point, ...]:
    """The outline of an object about the origin: a circle for one size, a rotated block for two."""
    if len(size_mm) == 1:
        return arc((0.0, 0.0), size_mm[0], 0.0, 2 * math.pi, ROUND_RAD)[:-1]
    c, s = math.cos(rotation_rad), math.sin(rotation_rad)
    corners = Box(-size_mm[0] / 2, -size_mm[1] / 2, size_mm[0] / 2, size_mm[1] / 2).corners
    return tuple((c * x - s * y, s * x + c * y) for x, y in corners)
