"""What the pages of an event are made from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from folder.errors import BadRequest
from folder.event.places import Standing
from folder.event.rules import Rules

if TYPE_CHECKING:
    from folder.paper.pages import PaperName

MOST_STATIONS = 100


class EventJob(Struct, frozen=True):
    """What is to be printed of an event: its rules, its teams with their places so far, on what paper, for how many tubs."""

    rules: Rules
    standings: tuple[Standing, ...]
    paper: PaperName = "a4"
    stations: int = 1

    def __post_init__(self) -> None:
        if not 1 <= self.stations <= MOST_STATIONS:
            remedy = f"Give 1 to {MOST_STATIONS}"
            raise BadRequest("too few or too many stations", where="stations", found=str(self.stations), remedy=remedy)

    @property
    def by_number(self) -> tuple[Standing, ...]:
        """The teams in the order of their numbers."""
        return tuple(sorted(self.standings, key=lambda s: s.result.team.number))
