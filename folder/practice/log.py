"""The trial log: trials on disk, in one SQLite file that a coach can copy.

Why a rollback journal and not SQLite's write-ahead log: the latter keeps the newest trials in a second file beside the
first, and a coach who copies the one file would leave them behind. With `synchronous = EXTRA` every trial is on the
disk before it is confirmed, so a killed process or a power cut costs at most the one being written.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import datetime
from operator import attrgetter
from pathlib import Path
from types import TracebackType
from typing import Any, Literal

from folder import places
from folder.errors import BadRequest, FolderError, UnreadableFile, UnwritableFile
from folder.practice.trial import COLUMNS, Trial

SCHEMA = 1
"""`user_version` of the file. A newer one is left alone; an older one would be brought up to date in `_settle`."""

APPLICATION_ID = 0x464F494C
"""Marks the file as a trial log ("FOIL" in ASCII), so that another program's database is never taken for one."""

HEAD = b"SQLite format 3\x00"
"""How every SQLite file begins (sqlite.org, Database File Format, 1.3)."""

WAIT_S = 30.0
"""How long a writer waits for its turn. A trial takes about a millisecond."""

LOOK_S = 0.5
"""How long someone who only looks waits: a check must not stand still because another program holds the log."""

SUFFIXES = (".sqlite", ".sqlite3", ".db")
"""Only a file so named is taken for a damaged log and set aside; anything else was named by mistake and stays."""

_CREATE = """
CREATE TABLE trial (
    number INTEGER PRIMARY KEY AUTOINCREMENT,
    date TEXT NOT NULL, pattern TEXT NOT NULL, item TEXT NOT NULL,
    mass_each_g REAL NOT NULL, count INTEGER NOT NULL, guess INTEGER,
    sheet_width_mm REAL NOT NULL, sheet_height_mm REAL NOT NULL, thickness_um REAL NOT NULL,
    sheets_used INTEGER NOT NULL, hand TEXT NOT NULL, brim_g REAL, note TEXT NOT NULL
) STRICT
"""
_INSERT = f"INSERT INTO trial ({', '.join(COLUMNS)}) VALUES ({', '.join('?' * len(COLUMNS))})"
_values = attrgetter(*COLUMNS)
_SELECT = f"SELECT number, {', '.join(COLUMNS)} FROM trial ORDER BY number"


class DamagedLog(UnreadableFile):
    """The file is no sound database (any more)."""


class TrialLog:
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
            raise UnwritableFile(
                "cannot make the directory", where=str(self.path.parent), found=error.strerror or ""
            ) from error
        before = _identity(self.path)
        try:
            self._db = _open(self.path, "rwc")
        except DamagedLog as damage:
            if self.path.suffix not in SUFFIXES:
                raise
            if _identity(self.path) == before:  # else another program saw it too, and was quicker
                self.notice = _keep_aside(self.path, damage.found)
            self._db = _open(self.path, "rwc")

    def __enter__(self) -> TrialLog:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file."""
        self._db.close()

    def add(self, trial: Trial) -> int:
        """Note a trial. When this returns its number, the trial is on the disk."""
        return self.add_all((trial,))

    def add_all(self, trials: Iterable[Trial]) -> int:
        """Note many trials, all or none of them. Returns the number of the last, 0 if there were none."""
        last = 0
        with _transaction(self._db, self.path):
            for trial in trials:
                last = self._db.execute(_INSERT, _values(trial)).lastrowid or 0
        return last

    def remove(self, number: int) -> None:
        """Strike out one trial, such as a mistyped one."""
        with _transaction(self._db, self.path):
            struck = self._db.execute("DELETE FROM trial WHERE number = ?", (number,)).rowcount
        if not struck:
            raise BadRequest("there is no trial of that number", where=str(self.path), found=str(number))

    def numbered(self) -> dict[int, Trial]:
        """All trials by their number, in the order they were noted."""
        return _select(self._db, self.path)

    def trials(self) -> tuple[Trial, ...]:
        """All trials in the order they were noted."""
        return tuple(self.numbered().values())


def default_path() -> Path:
    """Where the log is kept when no path is given."""
    return places.user_data() / "trials.sqlite"


def read_trials(path: Path | None = None, wait_s: float = WAIT_S) -> tuple[Trial, ...]:
    """The trials of a log, for those who only look. `wait_s` is how long to wait for another program to let go of it.

    None where there is no log. A damaged log raises DamagedLog and stays where it is.
    """
    path = default_path() if path is None else path
    if not os.path.exists(path):  # not Path.exists: it raises where the directory may not be looked into
        return ()
    if not path.is_file():
        raise UnreadableFile("the trial log is no file", where=str(path), found="a directory" if path.is_dir() else "")
    db = _open(path, "rw", wait_s)  # not "ro": what a killed writer left half done must be rolled back first
    try:
        return tuple(_select(db, path).values())
    finally:
        db.close()


def trials_at_hand(path: Path | None = None) -> tuple[tuple[Trial, ...], str]:
    """The trials of a log for those who can go on without, and what is wrong with the log in a line; "" when nothing is."""
    try:
        return read_trials(path, LOOK_S), ""
    except FolderError as error:
        return (), f"{error}. Going on without trials."


def _open(path: Path, mode: Literal["rwc", "rw"], wait_s: float = WAIT_S) -> sqlite3.Connection:
    """A checked connection. Raises DamagedLog, or UnreadableFile for a sound file that is not ours."""
    _check_head(path)
    with _plain_errors(path):
        db = sqlite3.connect(f"{path.absolute().as_uri()}?mode={mode}", uri=True, timeout=wait_s, isolation_level=None)
    try:
        with _plain_errors(path):
            db.execute("PRAGMA journal_mode = DELETE")
            db.execute("PRAGMA synchronous = EXTRA")
            _settle(db, path)
            verdict = _one(db, "PRAGMA quick_check(1)")
        if verdict != "ok":
            raise DamagedLog("the trial log is damaged", where=str(path), found=str(verdict))
    except BaseException:
        db.close()
        raise
    return db


def _check_head(path: Path) -> None:
    """Refuse what is no database before SQLite sees it: it would take a file of one byte for an empty one."""
    try:
        with path.open("rb") as file:
            head = file.read(len(HEAD))
    except OSError:
        return  # not there yet, or SQLite will say what is wrong with it
    if head and head != HEAD:
        raise DamagedLog("the trial log is damaged", where=str(path), found="it does not begin like a log")


def _settle(db: sqlite3.Connection, path: Path) -> None:
    """See that the table is there and is ours."""
    if not _one(db, "PRAGMA application_id"):
        with _transaction(db, path):
            # Another program may have been quicker; what it made is seen now that it is our turn.
            if not _one(db, "SELECT count(*) FROM sqlite_schema"):
                db.execute(_CREATE)
                db.execute(f"PRAGMA application_id = {APPLICATION_ID}")
                db.execute(f"PRAGMA user_version = {SCHEMA}")
    if _one(db, "PRAGMA application_id") != APPLICATION_ID:
        raise UnreadableFile("this is another program's database", where=str(path), remedy="Give the trial log")
    version = _one(db, "PRAGMA user_version")
    if version > SCHEMA:
        found = f"version {version}"
        raise UnreadableFile("this log needs a newer program", where=str(path), found=found, remedy="Update this one")


def _one(db: sqlite3.Connection, query: str) -> Any:
    """The single value of a query."""
    return db.execute(query).fetchone()[0]


def _select(db: sqlite3.Connection, path: Path) -> dict[int, Trial]:
    trials = {}
    with _plain_errors(path):
        for number, *values in db.execute(_SELECT):
            try:
                trials[number] = Trial(*values)
            except BadRequest as error:  # somebody else wrote into the file
                where = f"{path}, trial {number}, {error.where}"
                raise UnreadableFile(error.what, where=where, found=error.found, remedy=error.remedy) from error
            except (TypeError, ValueError) as error:  # ... and with values of another kind
                raise DamagedLog("the trial log is damaged", where=f"{path}, trial {number}", found=str(error)) from error
    return trials


@contextmanager
def _transaction(db: sqlite3.Connection, path: Path) -> Iterator[None]:
    """All or nothing. IMMEDIATE takes its turn at the start, so that two writers never block each other half way."""
    with _plain_errors(path):
        db.execute("BEGIN IMMEDIATE")
        try:
            yield
            db.execute("COMMIT")
        except BaseException:
            if db.in_transaction:  # SQLite itself rolls back when the disk is full
                db.execute("ROLLBACK")
            raise


@contextmanager
def _plain_errors(path: Path) -> Iterator[None]:
    """SQLite's errors as ours: damage apart from a file that is busy, or not ours to write."""
    try:
        yield
    except UnicodeDecodeError as error:  # SQLite hands the bytes of a damaged schema on as text
        raise DamagedLog("the trial log is damaged", where=str(path), found="bytes that are not text") from error
    except sqlite3.Error as error:
        code = getattr(error, "sqlite_errorcode", 0) & 0xFF  # the low byte is the kind of error
        if code in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB):
            raise DamagedLog("the trial log is damaged", where=str(path), found=str(error)) from error
        remedy = "Close other programs that use it and try again" if code == sqlite3.SQLITE_BUSY else ""
        raise UnwritableFile("cannot use the trial log", where=str(path), found=str(error), remedy=remedy) from error


def _identity(path: Path) -> tuple[int, int]:
    """Which file stands there, whatever its name: (device, inode); zeros for none."""
    try:
        found = path.stat()
    except OSError:
        return 0, 0
    return found.st_dev, found.st_ino


def _keep_aside(path: Path, damage: str) -> str:
    """Rename a damaged log, never over another file. Returns what to tell."""
    stamp = datetime.now().strftime("%Y%m%d-%H%M%S-%f")
    aside = path.with_name(f"{path.name}.damaged-{stamp}")
    try:
        os.rename(path, aside)
        journal = path.with_name(f"{path.name}-journal")
        if journal.exists():  # it belongs to the damaged file; left here it would be played into the new one
            os.rename(journal, aside.with_name(f"{aside.name}-journal"))
    except OSError as error:
        raise UnwritableFile("cannot set the damaged log aside", where=str(path), found=error.strerror or "") from error
    return f"The trial log {path} was damaged ({damage}). It is kept as {aside.name}, and a new log is begun."
