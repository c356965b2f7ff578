"""Spots: where each object lies in the hull, one by one.

spot   the centre of mass of one object, how it is turned, and how many lie below it
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from folder.geometry.space import Floats

if TYPE_CHECKING:  # the window knows spots from the start, and packs nothing before it is asked to
    from folder.cargo.packing.stack import Stack


class Spot(Struct, frozen=True):
    """Where one object lies: its centre, mm in the hull's frame, how it is turned about the vertical, and its layer from 0."""

    x_mm: float
    y_mm: float
    z_mm: float
    half_mm: float
    """How far it reaches above and below its centre."""
    rotation_rad: float = 0.0
    layer: int = 0

    @property
    def centre(self) -> tuple[float, float, float]:
        """The centre as one."""
        return (self.x_mm, self.y_mm, self.z_mm)


def spots_of(stack: Stack, places_mm: Floats) -> tuple[Spot, ...]:
    """Places (n, 3) of a loading as spots: they are places of the stack, number for number, or free ones on the floor."""
    row_of = {place: row for row, place in enumerate(map(tuple, stack.places_mm.tolist()))}
    found = []
    for x, y, z in places_mm.tolist():
        row = row_of.get((x, y, z))
        if row is None:  # a few heavy ones, unturned
            found.append(Spot(x, y, z, z))
        else:
            found.append(Spot(x, y, z, float(stack.half_mm[row]), float(stack.rotations_rad[row]), int(stack.layer[row])))
    return tuple(found)


def centre_of(spots: tuple[Spot, ...]) -> tuple[float, float, float]:
    """The centre of mass of equal objects, mm; the floor's middle where there are none."""
    if not spots:
        return (0.0, 0.0, 0.0)
    x, y, z = np.mean([spot.centre for spot in spots], axis=0).tolist()
    return (x, y, z)
