"""The sheet and the creases laid on it.

sheet     the flat rectangle of foil, lower left corner at (0, 0), x right, y up, mm; the side facing you becomes the inside
crease    a straight line on the sheet with a sense and a turn
sense     valley (the sheet beside it comes up toward you), mountain (goes away), cut (a slit), guide (drawn only)
turn      how far the sheet turns at the crease in the finished hull, rad; None = free, to be solved
crimp     a pinch that holds layers together; a mark, not a crease
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Literal

from msgspec import Struct, field
from msgspec.structs import force_setattr

from folder.findings import Point

Sense = Literal["valley", "mountain", "cut", "guide"]
SENSES: tuple[Sense, ...] = ("valley", "mountain", "cut", "guide")

SHEET_SIDE_MM = (20.0, 1000.0)
THICKNESS_UM = (1.0, 1000.0)
MOST_CREASES = 5000


class Sheet(Struct, frozen=True):
    """A flat rectangle of foil."""

    width_mm: float = 150.0
    height_mm: float = 150.0
    thickness_um: float = 16.0

    @property
    def corners(self) -> tuple[Point, Point, Point, Point]:
        """The four corners, mm, counter-clockwise from the lower left."""
        w, h = self.width_mm, self.height_mm
        return ((0.0, 0.0), (w, 0.0), (w, h), (0.0, h))


class Crease(Struct, frozen=True):
    """A straight line on the sheet from `start` to `end`, mm; `turn_rad` in 0..pi, None = free."""

    start: Point
    end: Point
    sense: Sense = "valley"
    turn_rad: float | None = math.pi / 2
    step: int | None = None

    def __post_init__(self) -> None:
        # Turns are kept to 1e-12 deg, so that a file, which holds degrees, gives back the very same pattern.
        if self.turn_rad is not None:
            force_setattr(self, "turn_rad", math.radians(round(math.degrees(self.turn_rad), 12)))

    @property
    def length_mm(self) -> float:
        """Length on the sheet."""
        return math.dist(self.start, self.end)

    @property
    def signed_turn_rad(self) -> float:
        """The turn with its sense: valley positive, mountain negative, 0 for cut, guide and free creases."""
        if self.turn_rad is None or self.sense not in ("valley", "mountain"):
            return 0.0
        return self.turn_rad if self.sense == "valley" else -self.turn_rad


class FamilyRef(Struct, frozen=True):
    """The family a pattern was made from, and with which parameters (numbers in mm and degrees, or words)."""

    name: str
    parameters: Mapping[str, float | str] = field(default_factory=dict)


class Pattern(Struct, frozen=True):
    """Everything that lies on the sheet. An edit makes a new one (`pattern.edit`)."""

    name: str = "Untitled"
    note: str = ""
    sheet: Sheet = Sheet()
    floor_at: Point = (75.0, 75.0)
    creases: tuple[Crease, ...] = ()
    crimps: tuple[Point, ...] = ()
    family: FamilyRef | None = None
