"""A hull that a drawing may mean: every wall it takes, and what must be done to come there."""

from __future__ import annotations

import math

from msgspec import Struct

from folder.pattern.pattern import Sheet
from folder.pattern.reading.floor import FloorSide, floor_of, rim_mm, volume_mm3
from folder.pattern.reading.intended import SIDES, IntendedWall, Side

SQUARE_RAD = math.pi / 2.0
_GRID_MM = 0.5


class HullPlan(Struct, frozen=True):
    """A hull that a drawing may mean."""

    outline: tuple[complex, ...]
    """What the walls are made of, on the sheet: without the hems, and without corners folded in."""
    walls: tuple[IntendedWall, ...]
    floor: tuple[FloorSide, ...]
    hem_mm: float = 0.0
    hem_sides: tuple[Side, ...] = ()
    folded_in: tuple[IntendedWall, ...] = ()
    pleats: tuple[IntendedWall, ...] = ()
    """Lines across the floor, folded flat to a pleat."""
    added: tuple[IntendedWall, ...] = ()
    turned: int = 0
    """Walls that get another turn than was drawn."""
    moved: bool = False
    """Walls stand elsewhere than they were drawn, by more than a hand's slip."""
    lost: int = 0
    """Lines that were drawn as walls and are none here."""
    blunted: int = 0
    """Of the walls that are added, those that cut off a point which was drawn."""

    @property
    def corners(self) -> tuple[complex, ...]:
        """The corners of the floor."""
        return tuple(s.corner for s in self.floor)

    @property
    def turns_rad(self) -> tuple[float, ...]:
        """The turn of the wall on each side of the floor."""
        return tuple(self.walls[s.wall].turn_rad for s in self.floor if s.wall is not None)

    @property
    def whole(self) -> bool:
        """A wall stands on every side."""
        return bool(self.floor) and all(s.wall is not None for s in self.floor)

    @property
    def rims_mm(self) -> list[float]:
        """How high the rim stands at each corner."""
        return rim_mm(self.outline, self.corners, self.turns_rad)

    @property
    def volume_mm3(self) -> float:
        """What it holds, about."""
        return volume_mm3(self.corners, self.turns_rad, min(self.rims_mm)) if self.whole else 0.0


def round_mm(value: float) -> float:
    """A measure in the half millimetres a ruler shows."""
    return round(value / _GRID_MM) * _GRID_MM


def outline_of_plan(plan: HullPlan, sheet: Sheet) -> tuple[complex, ...]:
    """What the walls are made of: the sheet less its hems, less the corners that are folded in."""
    deep = [plan.hem_mm if side in plan.hem_sides else 0.0 for side in SIDES]
    left, right, low, high = deep[3], sheet.width_mm - deep[1], deep[0], sheet.height_mm - deep[2]
    outline = (complex(left, low), complex(right, low), complex(right, high), complex(left, high))
    return tuple(s.corner for s in floor_of(outline, plan.folded_in)) if plan.folded_in else outline
