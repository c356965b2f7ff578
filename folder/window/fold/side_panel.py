"""What the side panel is about: which of its four pages is in front, and what is set on each. No pygame.

hull      the sheet is laid out and folded
water     the hull afloat with a load
compare   the hull beside others
paper     what is printed of it
"""

from __future__ import annotations

from concurrent.futures import Future
from pathlib import Path
from typing import Any, Literal

from msgspec import Struct
from msgspec.structs import replace

from folder.findings import Point
from folder.paper.kinds import USUAL
from folder.pattern.pattern import Pattern

Mode = Literal["hull", "water", "compare", "paper"]

MODES: dict[Mode, tuple[str, str]] = {
    "hull": ("Hull", "hull"),
    "water": ("Water", "water"),
    "compare": ("Compare", "compare"),
    "paper": ("Paper", "print"),
}
"""Each page: its word, its icon."""

FIRST_ITEM = "us-cent"
"""The object to begin with: a common coin."""
PLAIN = "*"
"""No object, but a mass in one pile; no object can be named so."""
MOST_COUNT = 10_000
HEAVIEST_G = 5000.0
"""More than the largest sheet could float."""


class Afloat(Struct, frozen=True):
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


class Other(Struct, frozen=True, eq=False):
    """A hull that stands beside the one on the table, as it was when it was put there."""

    pattern: Pattern
    ready: bool
    """One of the ready patterns: opened, it is a model and no work that could be lost."""
    future: Future[Any]
    """What is shown of it, once it has been worked out."""


class Printing(Struct, frozen=True):
    """Which pages are to be written, and where."""

    kinds: tuple[str, ...] = USUAL
    shown: str = USUAL[0]
    """The kind whose first page is shown."""
    paper: str = "a4"
    directory: Path | None = None
    """None: beside the work."""
    anyway: bool = False
    """Also where something stops the pattern."""


class SidePanel(Struct, frozen=True):
    """The state of the side panel."""

    mode: Mode = "hull"
    afloat: Afloat = Afloat()
    others: tuple[Other, ...] = ()
    printing: Printing = Printing()
    written: tuple[object, Future[list[Path]]] | None = None
    """The study whose pages were last written, and what came of it."""

    def opened(self) -> SidePanel:
        """As it is when another document has been opened: home, and nothing is said any more of the one before."""
        return replace(self, mode="hull", written=None, printing=replace(self.printing, anyway=False))
