"""The file under the trial log: an SQLite database that is checked, brought up to date, and never written half.

Errors of SQLite come out as ours: damage apart from a file that is busy, or not ours to write.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import Any, Literal

from folder.errors import UnreadableFile, UnwritableFile

SCHEMA = 2
"""`user_version` of the file. A newer one is left alone; an older one is brought up to date in `_settle`."""

APPLICATION_ID = 0x464F494C
"""Marks the file as a trial log ("FOIL" in ASCII), so that another program's database is never taken for one."""

HEAD = b"SQLite format 3\x00"
"""How every SQLite file begins (sqlite.org, Database File Format, 1.3)."""

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


class DamagedLog(UnreadableFile):
    """The file is no sound database (any more)."""


def opened(path: Path, mode: Literal["rwc", "rw"], wait_s: float) -> sqlite3.Connection:
    """A checked connection. Raises DamagedLog, or UnreadableFile for a sound file that is not ours."""
    _check_head(path)
    with plain_errors(path):
        db = sqlite3.connect(f"{path.absolute().as_uri()}?mode={mode}", uri=True, timeout=wait_s, isolation_level=None)
    try:
        with plain_errors(path):
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
    """See that the tables are there and are ours, and bring those of an older program up to date."""
    if not _one(db, "PRAGMA application_id"):
        with transaction(db, path):
            # Another program may have been quicker; what it made is seen now that it is our turn.
            if not _one(db, "SELECT count(*) FROM sqlite_schema"):
                _do(db, _CREATE, _CREATE_LATER, f"PRAGMA application_id = {APPLICATION_ID}", f"PRAGMA user_version = {SCHEMA}")
    if _one(db, "PRAGMA application_id") != APPLICATION_ID:
        raise UnreadableFile("this is another program's database", where=str(path), remedy="Give the trial log")
    version = _one(db, "PRAGMA user_version")
    if version > SCHEMA:
        found = f"version {version}"
        raise UnreadableFile("this log needs a newer program", where=str(path), found=found, remedy="Update this one")
    if version < SCHEMA:
        with transaction(db, path):
            if _one(db, "PRAGMA user_version") < SCHEMA:
                _do(db, *_FROM_1, _CREATE_LATER, f"PRAGMA user_version = {SCHEMA}")


def _do(db: sqlite3.Connection, *commands: str) -> None:
    for command in commands:
        db.execute(command)


def _one(db: sqlite3.Connection, query: str) -> Any:
    """The single value of a query."""
    return db.execute(query).fetchone()[0]


@contextmanager
def transaction(db: sqlite3.Connection, path: Path) -> Iterator[None]:
    """All or nothing. IMMEDIATE takes its turn at the start, so that two writers never block each other half way."""
    with plain_errors(path):
        db.execute("BEGIN IMMEDIATE")
        try:
            yield
            db.execute("COMMIT")
        except BaseException:
            if db.in_transaction:  # SQLite itself rolls back when the disk is full
                db.execute("ROLLBACK")
            raise


@contextmanager
def plain_errors(path: Path) -> Iterator[None]:
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


def file_identity(path: Path) -> tuple[int, int]:
    """Which file stands there, whatever its name: (device, inode); zeros for none."""
    try:
        found = path.stat()
    except OSError:
        return 0, 0
    return found.st_dev, found.st_ino


def keep_aside(path: Path, damage: str) -> str:
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
