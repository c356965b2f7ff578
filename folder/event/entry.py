"""What is noted on the day: teams, and entries at the stations.

Nothing noted is ever changed: a correction is a later entry, and both are kept. Teams, entries and rules have identifiers of
their own, so that files from several stations can be put together in any order and any number of times.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import count

from msgspec import Struct

from folder.errors import BadRequest

LONGEST_NAME = 300
MOST = 1_000_000
JOINERS = "\u200c\u200d"
"""Unseen, but letters of Persian and Hindi names and the parts of one emoji hang on them."""


class Team(Struct, frozen=True):
    """A team. Names may repeat; the number tells them apart. `at` is when it was entered (ISO, UTC)."""

    id: str
    at: str
    number: int
    name: str


class Entry(Struct, frozen=True):
    """One thing noted at a station for a team; what was not noted with it is None."""

    id: str
    at: str
    station: str
    team: str
    """The team's identifier."""
    guess: int | None = None
    held: int | None = None
    sheets: int | None = None

    def __post_init__(self) -> None:
        for key, least in (("guess", 0), ("held", 0), ("sheets", 1)):
            value = getattr(self, key)
            if value is not None and not least <= value <= MOST:
                raise BadRequest(f"a whole number from {least} to {MOST} is wanted", where=key, found=str(value))


class Result(Struct, frozen=True):
    """What counts of a team: of each thing what was noted last."""

    team: Team
    guess: int | None = None
    held: int | None = None
    sheets: int | None = None

    @property
    def off(self) -> int | None:
        """How far the guess was from what was held."""
        return None if self.guess is None or self.held is None else abs(self.guess - self.held)


def plain_name(text: str) -> str:
    """A team's name on one line, no longer than a slip of paper takes; BadRequest where nothing is left."""
    name = " ".join("".join(c if c.isprintable() or c in JOINERS else " " for c in text).split())
    if not name.strip(f"{JOINERS} "):
        raise BadRequest("a team needs a name", where="team")
    if len(name) > LONGEST_NAME:
        raise BadRequest(f"a team's name has at most {LONGEST_NAME} letters", where="team", found=f"{len(name)} letters")
    return name


def numbered(teams: Iterable[Team]) -> tuple[Team, ...]:
    """The teams by number, each number once, whatever order they came in: of two the one entered first keeps it.

    The other gets the first free number above its own, so that teams that are entered later move nobody again.
    """
    taken: dict[int, Team] = {}
    by_time = sorted(teams, key=lambda t: (t.at, t.id))
    for team in [team for team in by_time if taken.setdefault(team.number, team) is not team]:
        number = next(n for n in count(team.number) if n not in taken)
        taken[number] = Team(team.id, team.at, number, team.name)
    return tuple(taken[number] for number in sorted(taken))


def results(teams: Sequence[Team], entries: Iterable[Entry]) -> tuple[Result, ...]:
    """What counts of each team, in the order of the teams."""
    last: dict[str, dict[str, int]] = {team.id: {} for team in teams}
    for entry in sorted(entries, key=lambda e: (e.at, e.id)):
        for key in ("guess", "held", "sheets"):
            value = getattr(entry, key)
            if value is not None and entry.team in last:
                last[entry.team][key] = value
    return tuple(Result(team, **last[team.id]) for team in teams)
