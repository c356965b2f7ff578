"""What the page Compare is about: the hulls beside the one on the table, and the number of this one that is being changed. No pygame."""

from __future__ import annotations

from msgspec import Struct, field
from msgspec.structs import replace

from folder.pattern.pattern import Pattern
from folder.window.compare.counts import Counts


class Other(Struct, frozen=True, eq=False):
    """A hull that stands beside the one on the table, as it was when it was put there."""

    pattern: Pattern
    ready: bool
    """One of the ready patterns: opened, it is a model and no work that could be lost."""


class CompareState(Struct, frozen=True):
    """The hulls beside the one on the table, and the sweep below them."""

    others: tuple[Other, ...] = ()
    sweeping: bool = False
    """The number of this hull that is changed stands below, with its curve."""
    variable: str = ""
    """Which number; "" for the first there is."""
    value: float | None = None
    """What it is set to; None for what it is now."""
    counts: Counts = field(default_factory=Counts)
    """What was worked out, kept."""

    def opened(self) -> CompareState:
        """As it is when another document has been opened: its numbers as they are."""
        return replace(self, variable="", value=None)

    def of_variable(self, name: str) -> CompareState:
        """Another number, as it is now."""
        return self if name == self.variable else replace(self, variable=name, value=None)
