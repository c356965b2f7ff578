"""Rooms between flat walls that all turn alike, whose measures are known by heart."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import shapely
from numpy.typing import ArrayLike

from folder.cargo.item import Item
from folder.cargo.packing.floor import as_places, as_points
from folder.cargo.packing.outline import checked_floor
from folder.cargo.packing.room import Room
from folder.cargo.packing.stack import Stack, fill
from folder.errors import BadRequest
from folder.hull.skin import Skin


def straight_room(floor_mm: ArrayLike, height_mm: float, wall_turn_rad: float = math.pi / 2.0) -> Room:
    """The room between flat walls that all turn as far from a floor (n, 2) mm: a right angle when they are upright."""
    if not 0.0 < wall_turn_rad < math.pi:
        raise BadRequest(
            "the walls do not stand",
            where="turn of the walls",
            found=f"{math.degrees(wall_turn_rad):g}°",
            remedy="Give more than 0° and less than 180°; 90° is upright",
        )
    if not 0.0 < height_mm < math.inf:
        raise BadRequest("the wall height is not possible", where="room", found=f"{height_mm:g}", remedy="Give more than 0")
    floor = checked_floor(floor_mm)
    ahead = np.roll(floor, -1) - floor
    ahead = ahead / abs(ahead)
    behind = np.roll(ahead, 1)
    # Each corner moves so that both of its walls move straight out by the same.
    out = -1j * (ahead + behind) / (1.0 + (ahead * np.conj(behind)).real)
    aside = height_mm / math.tan(wall_turn_rad) if wall_turn_rad != math.pi / 2.0 else 0.0
    top = as_points(floor + aside * out)
    bottom = as_points(floor)
    sides = np.roll(as_places(top), -1) - as_places(top)
    if not ((sides * np.conj(ahead)).real > 0.0).all() or not shapely.Polygon(top).is_valid:
        raise BadRequest("the walls lean in so far that nothing has room between them", where="floor")
    n = len(floor)
    vertices = np.column_stack([np.concatenate([bottom, top]), np.repeat([0.0, height_mm], n)])
    k, after = np.arange(n), np.roll(np.arange(n), -1)
    fan = np.column_stack([np.zeros(n - 2, dtype=int), k[1:-1], k[2:]])  # signed: right for any floor
    walls = [np.column_stack([k, n + after, after]), np.column_stack([k, n + k, n + after])]
    return Room(Skin.of(vertices, np.concatenate([fan, *walls]), np.arange(n - 2)), bottom, height_mm)


def stack_item(
    floor_mm: ArrayLike, item: Item, *, wall_height_mm: float, wall_turn_rad: float = math.pi / 2.0, **given: Any
) -> Stack:
    """As `fill`, for the room between flat walls that all turn alike. Floor (m, 2) mm."""
    return fill(straight_room(floor_mm, wall_height_mm, wall_turn_rad), item, **given)
