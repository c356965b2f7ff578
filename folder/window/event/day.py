"""The open event as it stands in its file: read in a thread, and read again when any program has written to it. No pygame."""

from __future__ import annotations

import time
from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import NamedTuple

from msgspec import Struct

from folder.errors import FolderError
from folder.event.entry import Entry, Result, results
from folder.event.file import EventFile
from folder.event.places import Standing, standings
from folder.event.rules import Rules
from folder.window.autosave import Memory
from folder.window.background.worker import Worker
from folder.window.tools.tool import sentence

PRESS_S = 0.1
"""How long a press waits for another program that is writing; an entry takes about a millisecond."""
READ_S = 1.0
"""How long the thread that reads the event waits."""
AGAIN_S = 2.0
"""So long after an event could not be read it is tried again."""


class Day(Struct, frozen=True, eq=False):
    """An event as it was last read."""

    path: Path
    rules: Rules
    results: tuple[Result, ...]
    """By the teams' numbers."""
    standings: tuple[Standing, ...]
    entries: tuple[Entry, ...]

    @property
    def tested(self) -> int:
        """How many teams have a result."""
        return sum(result.held is not None for result in self.results)

    @property
    def read_order(self) -> tuple[Standing, ...]:
        """Who has a place, from the last to the first."""
        return tuple(s for s in reversed(self.standings) if s.place is not None)

    def of_team(self, team: str) -> Result | None:
        """What counts of a team."""
        return next((result for result in self.results if result.team.id == team), None)

    def noted(self, team: str) -> tuple[Entry, ...]:
        """Everything that was noted of a team, in its order."""
        return tuple(entry for entry in self.entries if entry.team == team)


def read_day(path: Path) -> Day | str:
    """The event in a file, or a sentence on why it cannot be read."""
    try:
        with EventFile(path, READ_S) as event:
            rules, teams, entries = event.rules(), event.teams(), event.entries()
    except FolderError as error:
        return f"“{path.name}” cannot be opened. {sentence(error)}"
    found = results(teams, entries)
    return Day(path, rules, found, standings(rules, found), entries)


def change_count(path: Path) -> bytes:
    """What differs after every change of an SQLite file (sqlite.org, Database File Format, 1.3.7); nothing where there is none."""
    try:
        with path.open("rb") as file:
            file.seek(24)
            return file.read(4)
    except OSError:
        return b""


def day_of(worker: Worker, path: str) -> Day | str | None:
    """The open event, a sentence on why it cannot be read, or None while it is read for the first time."""
    if not path:
        return None
    last = worker.last_answer("event")
    again = int(time.monotonic() / AGAIN_S) if isinstance(last, str) else 0
    key = (path, change_count(Path(path)), again)
    answer = worker.ask_job("event", key, partial(read_day, Path(path))).answer
    value = last if answer is None else answer.value
    if isinstance(value, Day) and str(value.path) != path:
        return None
    return value if isinstance(value, Day | str) else None


def open_event_rules(memory: Memory) -> Rules | None:
    """The rules of the event that is open in the window; None where none is.

    Read anew when the file has changed. Where it cannot be read the rules last read from it stay, and it is tried again by and by.
    """
    if not memory.event:
        return None
    change, now_s = change_count(Path(memory.event)), time.monotonic()
    last = next((known for known in _last_rules if known.path == memory.event), None)
    if last is not None and last.change == change and (last.is_read or now_s - last.at_s < AGAIN_S):
        return last.rules
    try:
        with EventFile(Path(memory.event), PRESS_S) as event:
            read = _LastRules(memory.event, change, event.rules(), True, now_s)
    except FolderError:
        read = _LastRules(memory.event, change, None if last is None else last.rules, False, now_s)
    _last_rules[:] = [read]
    return read.rules


class _LastRules(NamedTuple):
    """What came of reading an event's rules: of which file, as it was when; the rules, whether they could be read, and when that was."""

    path: str
    change: bytes
    rules: Rules | None
    is_read: bool
    at_s: float


_last_rules: list[_LastRules] = []
"""Those that were read last."""


def next_team(found: Sequence[Result], after: str, wants: str) -> str:
    """The team after this one, in the circle of numbers, of which something is still to be noted; this one where none is."""
    ids = [result.team.id for result in found]
    start = ids.index(after) + 1 if after in ids else 0
    circle = [*found[start:], *found[:start]]
    return next((r.team.id for r in circle if getattr(r, wants) is None and r.team.id != after), after or (ids[0] if ids else ""))
