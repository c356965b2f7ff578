"""What the page Float is about: the load that is put aboard, and the hand that folds and loads. No pygame."""

from __future__ import annotations

from msgspec import Struct

from folder.findings import Point
from folder.window.objects.state import FIRST_ITEM

PLAIN = "*"
"""No object, but a mass in one pile; no object can be named so."""
MOST_COUNT = 10_000
HEAVIEST_G = 5000.0
"""More than the largest sheet could float."""


class FloatState(Struct, frozen=True):
    """The load that is put on the floor, and the hand that folds and loads."""

    item: str = FIRST_ITEM
    """The name of an object, or PLAIN."""
    count: int = 20
    mass_g: float = 50.0
    """The mass of a plain load."""
    each_g: float | None = None
    """The mass of one object, where the user has weighed it."""
    hand: str = "usual"
    eccentricity_mm: Point = (0.0, 0.0)
    """How far off its best place the load is put."""
    layer: int = 0
    """Which layer of objects the map shows, from below."""

    @property
    def is_off(self) -> bool:
        """The load is put off its place, in one pile."""
        return self.eccentricity_mm != (0.0, 0.0)
