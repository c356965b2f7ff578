"""A hull being made better: what was found so far, and which of it is looked at. No pygame.

offer    the best so far: it is taken, or the hull stays as it is
way      the hulls from the pupil's own to the offer, each better than the one before
"""

from __future__ import annotations

from msgspec import Struct

from folder.draw.picture import Picture
from folder.pattern.pattern import Pattern
from folder.window.background.snapshot import Snapshot

LEAST_GAIN_G = 1.0
"""Less is no better hull: no hand folds so exactly (judgement)."""


class BetterStep(Struct, frozen=True, eq=False):
    """One hull of the way: what it likely carries (g; 0 where it is no hull or is not allowed), how it looks, and what makes it better."""

    pattern: Pattern
    likely_g: float
    snapshot: Snapshot
    lines: Picture
    """Its lines on the sheet."""
    cause: str
    """Against the hull before it; "" where nothing of it can be seen."""
    cause_in_all: str
    """Against the pupil's own."""
    breaks_rules: bool = False
    """It is a hull, but not one that the event allows."""


class TriedCount(Struct, frozen=True):
    """So many designs were tried."""

    count: int


class BetterState(Struct, frozen=True):
    """What there is of it; `of` is the pupil's own drawing, None while nothing is made better."""

    of: Pattern | None = None
    way: tuple[BetterStep, ...] = ()
    tried: int = 0
    searches: bool = False
    failed: str = ""
    """Why nothing can be made better, or with what the search broke off."""
    looked_at: int | None = None
    """Which hull of the way is looked at; None, they are shown one after another."""
    reached: int = 0
    """How far along the way they have been shown so, and since when."""
    since_s: float = 0.0

    @property
    def shown(self) -> int:
        """Which of the way is shown."""
        return self.reached if self.looked_at is None else self.looked_at

    @property
    def is_on_the_way(self) -> bool:
        """More is to come: it is looked for, or not all has been shown."""
        return self.searches or (self.looked_at is None and self.reached < len(self.way) - 1)

    @property
    def gain_g(self) -> float:
        """How much more the hull looked at carries than the pupil's own."""
        return self.way[self.shown].likely_g - self.way[0].likely_g if self.way else 0.0

    @property
    def is_found(self) -> bool:
        """The hull looked at carries more, by what a hand can fold."""
        return self.gain_g >= LEAST_GAIN_G
