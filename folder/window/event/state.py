"""What the page Event is about: which part of the day is shown, what is about to be noted, the clocks. No pygame."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

Part = Literal["rules", "teams", "test", "room", "places", "pages"]
PARTS: dict[Part, str] = {
    "rules": "Rules", "teams": "Teams", "test": "Test", "room": "Room", "places": "Places", "pages": "Pages",
}  # fmt: skip
"""The parts of a day in the order they come."""

Thing = Literal["guess", "held", "sheets"]
THINGS: dict[Thing, str] = {"guess": "guess", "held": "held", "sheets": "sheets"}
"""What is noted of a team."""

LAST_MINUTE_S = 60.0
"""From here on a clock says that it is nearly over."""
MOST_DIGITS = 6

ClockName = Literal["build", "load"]


class Clock(Struct, frozen=True):
    """A clock that runs down. `left_s` is what was left when it was last stopped; it runs while `ends_s` is set."""

    left_s: float
    ends_s: float | None = None

    def left(self, now_s: float) -> float:
        """What is left of it, s; never below zero."""
        return max(self.left_s if self.ends_s is None else self.ends_s - now_s, 0.0)

    def pressed(self, now_s: float) -> Clock:
        """Started, or stopped where it runs."""
        if self.ends_s is not None:
            return Clock(self.left(now_s))
        return Clock(self.left_s, now_s + self.left_s)


class Draft(Struct, frozen=True):
    """What is about to be noted of a team; None for what stays as it was."""

    guess: int | None = None
    held: int | None = None
    sheets: int | None = None

    def value(self, thing: Thing) -> int | None:
        """What is about to be noted of a thing."""
        found: int | None = getattr(self, thing)
        return found

    def with_value(self, thing: Thing, value: int | None) -> Draft:
        """With another value of one thing."""
        return replace(self, **{thing: value})


class EventState(Struct, frozen=True):
    """The page Event at one moment."""

    part: Part = "test"
    team: str = ""
    """The identifier of the team that is being tested."""
    thing: Thing = "guess"
    """What the digits that are typed go to."""
    draft: Draft = Draft()
    fresh: bool = True
    """The next digit begins the number anew."""
    clocks: dict[ClockName, Clock] = {}
    shown_clock: ClockName = "build"
    reading: int | None = None
    """How many places have been read out; None while they are kept to oneself."""
    is_announced: bool = False
    """The object fills the whole window."""
    hull: str = "none"
    """The hull the team is known to have: the name of a ready pattern, "*" for the one that is open, "none" when unknown."""
    asked: str = ""
    """What file is asked for: "open", "table", "station", "rules"."""
    kinds: tuple[str, ...] = ("slips", "stations")
    """The pages that are to be written."""
    stations: int = 1
    """How many tubs there are."""

    def typed(self, digit: str) -> EventState:
        """With a digit put after the number that is being typed."""
        before = self.draft.value(self.thing)
        text = digit if self.fresh or before is None else f"{before}{digit}"
        if len(text) > MOST_DIGITS:
            return self
        return replace(self, draft=self.draft.with_value(self.thing, int(text)), fresh=False)

    def rubbed(self) -> EventState:
        """With the last digit taken away again."""
        before = self.draft.value(self.thing)
        text = "" if before is None or self.fresh else str(before)[:-1]
        return replace(self, draft=self.draft.with_value(self.thing, int(text) if text else None), fresh=False)
