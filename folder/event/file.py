"""An event on disk: one SQLite file a coach can copy. Rules, teams and entries are only added."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, NamedTuple
from uuid import uuid4

from folder.database import HEAD, DamagedDatabase, FileKind, OpenDatabase, opened, plain_errors, transaction
from folder.errors import BadRequest, UnreadableFile, UnwritableFile, one_line
from folder.event.entry import Entry, Result, Team, numbered, plain_name, results
from folder.event.places import Standing, standings
from folder.event.rules import Rules, parse_rules, read_rules, rules_json
from folder.event.soundness import is_sound, is_time

WAIT_S = 5.0
"""How long a writer waits for its turn; an entry takes some milliseconds."""

LONGEST_FOUND = 80
RESCUE = "folder event new NEW --rescue takes what can be read of it into a new one"

TABLES = {"rules": ("id", "at", "json"), "team": Team.__struct_fields__, "entry": Entry.__struct_fields__}
_CREATE = (
    "CREATE TABLE event (id TEXT PRIMARY KEY) STRICT",
    "CREATE TABLE rules (id TEXT PRIMARY KEY, at TEXT NOT NULL, json TEXT NOT NULL) STRICT",
    "CREATE TABLE team (id TEXT PRIMARY KEY, at TEXT NOT NULL, number INTEGER NOT NULL, name TEXT NOT NULL) STRICT",
    "CREATE TABLE entry (id TEXT PRIMARY KEY, at TEXT NOT NULL, station TEXT NOT NULL, team TEXT NOT NULL,"
    " guess INTEGER, held INTEGER, sheets INTEGER) STRICT",
)

EVENT = FileKind("event file", 0x464F4556, _CREATE)
"""Its mark is "FOEV" in ASCII."""


class MergeCount(NamedTuple):
    """How much of another file was new here."""

    teams: int
    entries: int
    rules: int
    ahead_min: int = 0
    """By how many whole minutes its newest time is ahead of this computer's clock: one of the two is set wrong."""

    @property
    def clock_words(self) -> str:
        """What a clock set wrong means for the places; nothing where none is seen."""
        if not self.ahead_min:
            return ""
        return f"Its times are {self.ahead_min} min ahead of this clock: look again at teams corrected elsewhere, the later time counts."


class EventFile(OpenDatabase):
    """An open event, to be used in a `with`. Several programs may have the same file open.

    UnreadableFile where it is no event or damaged, UnwritableFile where it cannot be written.
    """

    def __init__(self, path: Path, wait_s: float = WAIT_S) -> None:
        if not os.path.isfile(path):  # False for a name no system takes, where `is_file` raises
            found = "a directory" if os.path.isdir(path) else ""
            raise UnreadableFile("there is no such event", where=str(path), found=found, remedy="folder event new begins one")
        if not path.stat().st_size:  # SQLite would take it for a new one and write its tables into it
            raise UnreadableFile("this event was never begun", where=str(path), found="an empty file")
        self.path = path
        try:
            self._db = opened(EVENT, path, "rw", wait_s)
        except DamagedDatabase as error:
            with path.open("rb") as file:
                is_database = file.read(len(HEAD)) == HEAD
            remedy = RESCUE if is_database else ""
            raise DamagedDatabase(error.what, where=error.where, found=error.found, remedy=remedy) from error
        try:
            self.id = str(self._rows("SELECT id FROM event")[0][0])
        except IndexError as error:
            self.close()
            raise UnreadableFile("this event was never begun", where=str(path)) from error

    @classmethod
    def new(cls, path: Path, rules: Rules) -> EventFile:
        """Begin an event; UnwritableFile where something stands there already. What cannot be begun leaves nothing behind."""
        try:
            os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o644))
        except OSError as error:
            remedy = "Choose another name" if os.path.exists(path) else ""
            raise UnwritableFile(
                "the event cannot be begun", where=str(path), found=error.strerror or "", remedy=remedy
            ) from error
        with undone(path):
            db = opened(EVENT, path, "rw", WAIT_S)
            try:
                with transaction(EVENT, db, path):
                    db.execute("INSERT INTO event VALUES (?)", (uuid4().hex,))
            finally:
                db.close()
            event = cls(path)
            event.rule(rules)
        return event

    def rules(self) -> Rules:
        """The rules that count: those set last."""
        rows = self._sound_rows("rules", "ORDER BY at DESC, id DESC LIMIT 1")
        return parse_rules(str(rows[0][2]).encode(), str(self.path)) if rows else Rules()

    def rule(self, rules: Rules) -> None:
        """Set the rules anew; those before are kept."""
        with transaction(EVENT, self._db, self.path):
            self._add("rules", [(uuid4().hex, self._now(), rules_json(rules).decode())])

    def teams(self) -> tuple[Team, ...]:
        """All teams by their numbers."""
        return numbered(Team(*row) for row in self._sound_rows("team"))

    def add_teams(self, names: Sequence[str]) -> tuple[Team, ...]:
        """Enter teams, all or none, with the next free numbers."""
        plain = [plain_name(name) for name in names]
        with transaction(EVENT, self._db, self.path):
            at, first = self._now(), max((t.number for t in self.teams()), default=0) + 1
            added = tuple(Team(uuid4().hex, at, first + i, name) for i, name in enumerate(plain))
            self._add("team", [(t.id, t.at, t.number, t.name) for t in added])
        return added

    def import_teams(self, names: Sequence[str]) -> tuple[Team, ...]:
        """Enter the teams of a table that are not there yet; a name that stands in it twice is two. The same table twice adds none."""
        there = Counter(team.name for team in self.teams())
        fresh = []
        for name in map(plain_name, names):
            there[name] -= 1
            if there[name] < 0:
                fresh.append(name)
        return self.add_teams(fresh) if fresh else ()

    def team(self, named: str) -> Team:
        """The team of a number, or of a name that only one has."""
        teams = self.teams()
        name = plain_name(named)
        found = [t for t in teams if name.isdecimal() and t.number == int(name)] or [t for t in teams if t.name == name]
        if len(found) == 1:
            return found[0]
        remedy = (
            f"Give its number: {', '.join(str(t.number) for t in found)}" if found else "folder event team EVENT list shows them"
        )
        raise BadRequest(
            "several teams have this name" if found else "there is no such team", where="team", found=named, remedy=remedy
        )

    def note(
        self, team: Team, station: str = "", *, guess: int | None = None, held: int | None = None, sheets: int | None = None
    ) -> Entry:
        """Note something for a team. When this returns, it is on the disk."""
        if guess is None and held is None and sheets is None:
            raise BadRequest("nothing to note", where="note", remedy="Give --guess, --held or --sheets")
        with transaction(EVENT, self._db, self.path):
            entry = Entry(uuid4().hex, self._now(), " ".join(station.split()), team.id, guess, held, sheets)
            self._add("entry", [tuple(getattr(entry, c) for c in TABLES["entry"])])
        return entry

    def entries(self) -> tuple[Entry, ...]:
        """Everything that was noted, in its order."""
        return tuple(Entry(*row) for row in self._sound_rows("entry", "ORDER BY at, id"))

    def results(self) -> tuple[Result, ...]:
        """What counts of each team."""
        return results(self.teams(), self.entries())

    def standings(self) -> tuple[Standing, ...]:
        """The places."""
        return standings(self.rules(), self.results())

    def merge(self, other: Path, wait_s: float = WAIT_S) -> MergeCount:
        """Take over what another station's file has and this one has not, waiting so long for who writes in that one.

        BadRequest for a file of another event; UnreadableFile for a damaged one, of which nothing is taken.
        """
        with EventFile(other, wait_s) as theirs:
            if theirs.id != self.id:
                raise BadRequest("this file is of another event", where=str(other), remedy="Merge copies of one event file")
            rows = {table: theirs._sound_rows(table) for table in TABLES}
        newest = max((str(row[1]) for found in rows.values() for row in found), default="")
        ahead = datetime.fromisoformat(newest) - datetime.now(UTC) if newest else timedelta()
        with transaction(EVENT, self._db, self.path):
            added = {table: self._add(table, rows[table]) for table in rows}
        return MergeCount(added["team"], added["entry"], added["rules"], max(int(ahead / timedelta(minutes=1)), 0))

    def _add(self, table: str, rows: Iterable[Sequence[Any]]) -> int:
        """Add rows that are not there yet; how many were new."""
        columns = TABLES[table]
        command = f"INSERT OR IGNORE INTO {table} ({', '.join(columns)}) VALUES ({', '.join('?' * len(columns))})"
        return self._db.executemany(command, rows).rowcount

    def _now(self) -> str:
        """The time, but later than all that is noted: a clock set back must not put a correction before what it corrects."""
        latest = max((str(row[0]) for t in TABLES for row in self._rows(f"SELECT max(at) FROM {t}") if row[0]), default="")
        now = datetime.now(UTC)
        if latest and not is_time(latest):
            raise self._damaged(latest)
        if latest and now <= (last := datetime.fromisoformat(latest)):
            now = last + timedelta(microseconds=1)
        return now.isoformat(timespec="microseconds")

    def _rows(self, query: str) -> list[tuple[Any, ...]]:
        with plain_errors(EVENT, self.path):
            return self._db.execute(query).fetchall()

    def _sound_rows(self, table: str, order: str = "") -> list[tuple[Any, ...]]:
        """The rows of a table; DamagedDatabase where one of them cannot be counted."""
        rows = self._rows(f"SELECT {', '.join(TABLES[table])} FROM {table} {order}")
        for row in rows:
            if not is_sound(table, row):  # somebody else wrote into the file, or its bytes have changed
                raise self._damaged(", ".join(map(str, row)))
        return rows

    def _damaged(self, found: str) -> DamagedDatabase:
        return DamagedDatabase(
            "the event file is damaged", where=str(self.path), found=one_line(found, LONGEST_FOUND), remedy=RESCUE
        )


@contextmanager
def undone(path: Path) -> Iterator[None]:
    """Where this does not come to its end, a file that was just begun is taken away again."""
    try:
        yield
    except BaseException:
        for left in (path, path.with_name(f"{path.name}-journal")):
            left.unlink(missing_ok=True)
        raise


def rules_of(path: Path) -> Rules:
    """The rules of an event, from its file or written as JSON."""
    if path.suffix.lower() == ".json":
        return read_rules(path)
    with EventFile(path) as event:
        return event.rules()
