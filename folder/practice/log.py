"""The trial log: trials on disk, in one SQLite file that a coach can copy.

Nothing noted is ever changed or deleted. A correction is a later entry for the number of the trial, and striking a trial out
is one too: the last entry counts, and a later one undoes it.
"""

from __future__ import annotations

import os
import sqlite3
import time
from collections.abc import Callable, Iterable, Sequence
from datetime import UTC, datetime
from operator import attrgetter
from pathlib import Path
from typing import Any, NamedTuple, TypeVar

from msgspec.structs import replace

from folder import places
from folder.database import (
    BusyDatabase,
    DamagedDatabase,
    FileKind,
    OpenDatabase,
    file_identity,
    keep_aside,
    opened,
    opened_beside,
    plain_errors,
    transaction,
)
from folder.errors import BadRequest, FolderError, UnreadableFile, UnwritableFile
from folder.practice.trial import COLUMNS, Trial

_CREATE = """
CREATE TABLE trial (
    number INTEGER PRIMARY KEY AUTOINCREMENT,
    date TEXT NOT NULL, pattern TEXT NOT NULL, item TEXT NOT NULL,
    mass_each_g REAL NOT NULL, count INTEGER NOT NULL, guess INTEGER,
    sheet_width_mm REAL NOT NULL, sheet_height_mm REAL NOT NULL, thickness_um REAL NOT NULL,
    sheets_used INTEGER NOT NULL, hand TEXT NOT NULL, brim_g REAL, note TEXT NOT NULL,
    design TEXT NOT NULL DEFAULT '', pupil TEXT NOT NULL DEFAULT '', happened TEXT NOT NULL DEFAULT ''
) STRICT
"""
_CREATE_LATER = """
CREATE TABLE later (
    entry INTEGER PRIMARY KEY AUTOINCREMENT,
    number INTEGER NOT NULL REFERENCES trial (number), noted_at TEXT NOT NULL, struck INTEGER NOT NULL,
    date TEXT NOT NULL, pattern TEXT NOT NULL, item TEXT NOT NULL,
    mass_each_g REAL NOT NULL, count INTEGER NOT NULL, guess INTEGER,
    sheet_width_mm REAL NOT NULL, sheet_height_mm REAL NOT NULL, thickness_um REAL NOT NULL,
    sheets_used INTEGER NOT NULL, hand TEXT NOT NULL, brim_g REAL, note TEXT NOT NULL,
    design TEXT NOT NULL, pupil TEXT NOT NULL, happened TEXT NOT NULL
) STRICT
"""
_FROM_1 = tuple(f"ALTER TABLE trial ADD COLUMN {name} TEXT NOT NULL DEFAULT ''" for name in ("design", "pupil", "happened"))
"""What a log of version 1 lacks: trials knew neither their design's key, nor the pupil, nor what happened."""

LOG = FileKind("trial log", 0x464F494C, (_CREATE, _CREATE_LATER), ((*_FROM_1, _CREATE_LATER),))
"""Its mark is "FOIL" in ASCII."""

WAIT_S = 5.0
"""How long a writer waits for its turn. A trial takes some milliseconds: who holds the log longer is not noting."""

LOOK_S = 0.5
"""How long someone who only looks waits: a check must not stand still because another program holds the log."""

GLANCE_S = 0.05
"""How long the window waits before it draws."""

AGAIN_S = 2.0
"""So long after the log could not be read it is tried again."""

SUFFIXES = (".sqlite", ".sqlite3", ".db")
"""Only a file so named is taken for a damaged log and set aside; anything else was named by mistake and stays."""

_INSERT = f"INSERT INTO trial ({', '.join(COLUMNS)}) VALUES ({', '.join('?' * len(COLUMNS))})"
_INSERT_LATER = (
    f"INSERT INTO later (number, noted_at, struck, {', '.join(COLUMNS)}) VALUES ({', '.join('?' * (len(COLUMNS) + 3))})"
)
_values = attrgetter(*COLUMNS)
_SELECT = f"SELECT number, {', '.join(COLUMNS)} FROM trial ORDER BY number"
_SELECT_LATER = f"SELECT number, noted_at, struck, {', '.join(COLUMNS)} FROM later ORDER BY entry"


Seen = TypeVar("Seen")


class LogEntry(NamedTuple):
    """What was noted for one number at one time; `noted_at` is empty for the first entry, which has its trial's date."""

    trial: Trial
    struck: bool = False
    noted_at: str = ""


class TrialLog(OpenDatabase):
    """An open log, to be used in a `with`. Several programs may have the same log open.

    Opening creates the file where there is none. A damaged file is renamed, never overwritten, and a new log begun;
    `notice` then says so in a sentence, and must be shown.
    """

    def __init__(self, path: Path | None = None) -> None:
        self.path = default_path() if path is None else path
        self.notice = ""
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            where, found = str(self.path.parent), error.strerror or ""
            raise UnwritableFile("there is no place for trials", where=where, found=found, remedy="Nothing was noted") from error
        before = file_identity(self.path)
        try:
            self._db = opened(LOG, self.path, "rwc", WAIT_S)
        except DamagedDatabase as damage:
            if self.path.suffix not in SUFFIXES:
                raise
            if file_identity(self.path) == before:  # else another program saw it too, and was quicker
                self.notice = keep_aside(LOG, self.path, damage.found)
            self._db = opened(LOG, self.path, "rwc", WAIT_S)

    def add(self, trial: Trial) -> int:
        """Note a trial. When this returns its number, the trial is on the disk."""
        return self.add_all((trial,))

    def add_all(self, trials: Iterable[Trial]) -> int:
        """Note many trials, all or none of them. Returns the number of the last, 0 if there were none."""
        last = 0
        with transaction(LOG, self._db, self.path):
            for trial in trials:
                last = self._db.execute(_INSERT, _values(trial)).lastrowid or 0
        return last

    def edit(self, number: int, **changes: Any) -> Trial:
        """Correct a trial by a later entry; a struck one counts again. Returns it as it counts now."""
        with transaction(LOG, self._db, self.path):
            trial = replace(self.entry(number).trial, **changes)
            self._note_later(number, trial, struck=False)
        return trial

    def remove(self, number: int) -> Trial:
        """Strike out one trial, such as a mistyped one, by a later entry. Returns what it said."""
        with transaction(LOG, self._db, self.path):
            last = self.entry(number)
            if last.struck:
                raise BadRequest("this trial is struck out already", where=str(self.path), found=str(number))
            self._note_later(number, last.trial, struck=True)
        return last.trial

    def history(self) -> dict[int, tuple[LogEntry, ...]]:
        """Everything noted for each number, the first entry first."""
        return _history(self._db, self.path)

    def numbered(self) -> dict[int, Trial]:
        """All trials that count by their number, in the order they were noted."""
        return _counting(self._db, self.path)

    def trials(self) -> tuple[Trial, ...]:
        """All trials that count, in the order they were noted."""
        return tuple(self.numbered().values())

    def entry(self, number: int) -> LogEntry:
        """What was last noted for a number; it may be struck out."""
        entries = self.history().get(number)
        if not entries:
            raise BadRequest("there is no trial of that number", where=str(self.path), found=str(number))
        return entries[-1]

    def _note_later(self, number: int, trial: Trial, *, struck: bool) -> None:
        at = datetime.now(UTC).isoformat(timespec="seconds")
        self._db.execute(_INSERT_LATER, (number, at, struck, *_values(trial)))


def default_path() -> Path:
    """Where the log is kept when no path is given."""
    return places.user_data() / "trials.sqlite"


def read_trials(path: Path | None = None, wait_s: float = LOOK_S) -> tuple[Trial, ...]:
    """The trials of a log that count, for those who only look. `wait_s` is how long to wait for another program to let go of it.

    No trials where there is no log. A damaged log raises DamagedDatabase and stays where it is.
    """
    return tuple(_read(_counting, path, wait_s).values())


def read_history(path: Path | None = None) -> dict[int, tuple[LogEntry, ...]]:
    """Everything noted for each number, for those who only look; nothing where there is no log."""
    return _read(_history, path, LOOK_S)


def _read(look: Callable[[sqlite3.Connection, Path], dict[int, Seen]], path: Path | None, wait_s: float) -> dict[int, Seen]:
    path = default_path() if path is None else path
    if not os.path.exists(path):  # not Path.exists: it raises where the directory may not be looked into
        return {}
    if not path.is_file():
        raise UnreadableFile("the trial log is no file", where=str(path), found="a directory" if path.is_dir() else "")
    try:
        db = opened(LOG, path, "rw", wait_s)  # not "ro": what a killed writer left half done must be rolled back first
    except BusyDatabase:
        with opened_beside(LOG, path) as held:
            return look(held, path)
    try:
        return look(db, path)
    finally:
        db.close()


def trials_at_hand(path: Path | None = None, wait_s: float = LOOK_S) -> tuple[tuple[Trial, ...], str]:
    """The trials of a log for those who can go on without, and what is wrong with the log in a line; "" when nothing is."""
    try:
        return read_trials(path, wait_s), ""
    except FolderError as error:
        return (), f"{error}. Going on without trials."


def trials_now() -> tuple[Trial, ...]:
    """The trials of the user's own log, read anew only when the file has changed; none where it cannot be read."""
    return trials_now_or_fault()[0]


def trials_now_or_fault() -> tuple[tuple[Trial, ...], str]:
    """The same, and what is wrong with the log in a line; "" when nothing is. One that cannot be read is tried again by and by."""
    path = default_path()
    try:
        found = os.stat(path)
    except OSError:
        return (), ""
    stamp = (found.st_mtime_ns, found.st_size, found.st_ino)
    now_s = time.monotonic()
    for known in _last_read:
        if known.of == (path, stamp) and (not known.answer[1] or now_s - known.at_s < AGAIN_S):
            return known.answer
    answer = trials_at_hand(path, GLANCE_S)
    _last_read[:] = [_LastRead((path, stamp), answer, now_s)]
    return answer


class _LastRead(NamedTuple):
    """What came of reading a log: which, as it was when; its trials, and what is wrong with it; and when that was."""

    of: tuple[Path, tuple[int, int, int]]
    answer: tuple[tuple[Trial, ...], str]
    at_s: float


_last_read: list[_LastRead] = []
"""The one that was read last."""


def _counting(db: sqlite3.Connection, path: Path) -> dict[int, Trial]:
    """The trials that count: as their last entry says, without those struck out."""
    with plain_errors(LOG, path):
        found = {number: _trial(path, number, values) for number, *values in db.execute(_SELECT)}
        last = {number: (struck, values) for number, _, struck, *values in db.execute(_SELECT_LATER)}
    for number, (struck, values) in last.items():
        if struck:
            found.pop(number, None)
        else:
            found[number] = _trial(path, number, values)
    return found


def _history(db: sqlite3.Connection, path: Path) -> dict[int, tuple[LogEntry, ...]]:
    """Everything that was noted, by number."""
    with plain_errors(LOG, path):
        found = {number: [LogEntry(_trial(path, number, values))] for number, *values in db.execute(_SELECT)}
        for number, at, struck, *values in db.execute(_SELECT_LATER):
            found.setdefault(number, []).append(LogEntry(_trial(path, number, values), bool(struck), at))
    return {number: tuple(entries) for number, entries in found.items()}


def _trial(path: Path, number: int, values: Sequence[Any]) -> Trial:
    try:
        return Trial(*values)
    except BadRequest as error:  # somebody else wrote into the file
        where = f"{path}, trial {number}, {error.where}"
        raise UnreadableFile(error.what, where=where, found=error.found, remedy=error.remedy) from error
    except (TypeError, ValueError) as error:  # ... and with values of another kind
        raise DamagedDatabase("the trial log is damaged", where=f"{path}, trial {number}", found=str(error)) from error
