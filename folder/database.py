"""One SQLite file that a person can copy: checked when it is opened, brought up to date, and never written half.

Errors of SQLite come out as ours: damage apart from a file that is busy, or not ours to write.

Why a rollback journal and not SQLite's write-ahead log: the latter keeps the newest entries in a second file beside the
first, and whoever copies the one file would leave them behind. With `synchronous = EXTRA` every entry is on the disk before
it is confirmed, so a killed process or a power cut costs at most the one being written.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import Any, Literal, NamedTuple, Self

from folder.errors import FolderError, UnreadableFile, UnwritableFile

HEAD = b"SQLite format 3\x00"
"""How every SQLite file begins (sqlite.org, Database File Format, 1.3)."""


class FileKind(NamedTuple):
    """A kind of database: what people call it, the mark that tells it from other programs', and its tables."""

    name: str
    application_id: int
    create: tuple[str, ...]
    """Commands that make the tables of the newest version."""
    upgrades: tuple[tuple[str, ...], ...] = ()
    """Commands that bring version 1 to 2, 2 to 3 and so on."""

    @property
    def version(self) -> int:
        """`user_version` of the file. A newer one is left alone; an older one is brought up to date."""
        return len(self.upgrades) + 1


class DamagedDatabase(UnreadableFile):
    """The file is no sound database (any more)."""


class BusyDatabase(UnwritableFile):
    """Another program holds the file, and did not let go of it in time."""


class OpenDatabase:
    """What holds a connection, to be used in a `with`."""

    _db: sqlite3.Connection

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file."""
        self._db.close()


def opened(kind: FileKind, path: Path, mode: Literal["rwc", "rw"], wait_s: float) -> sqlite3.Connection:
    """A checked connection. Raises DamagedDatabase, or UnreadableFile for a sound file of another kind.

    Where a new file cannot be filled, as on a full disk, none is left.
    """
    _check_head(kind, path)
    is_new = mode == "rwc" and not os.path.exists(path)
    with plain_errors(kind, path):
        db = sqlite3.connect(f"{path.absolute().as_uri()}?mode={mode}", uri=True, timeout=wait_s, isolation_level=None)
    try:
        with plain_errors(kind, path):
            db.execute("PRAGMA journal_mode = DELETE")
            db.execute("PRAGMA synchronous = EXTRA")
            _settle(kind, db, path)
            verdict = _one(db, "PRAGMA quick_check(1)")
        if verdict != "ok":
            raise DamagedDatabase(f"the {kind.name} is damaged", where=str(path), found=str(verdict))
    except BaseException as error:
        db.close()
        if is_new and not isinstance(error, BusyDatabase):  # else another program is about to fill it
            _drop_empty(path)
        raise
    return db


def _drop_empty(path: Path) -> None:
    """Take away the empty file that a database begins as."""
    with suppress(OSError):
        if not path.stat().st_size and _as_it_is(path) is not None:
            path.unlink()


@contextmanager
def opened_beside(kind: FileKind, path: Path) -> Iterator[sqlite3.Connection]:
    """A connection for reading that asks nobody for a turn, where another program holds the file and is not writing.

    A program that writes puts a second file beside the first before it changes anything, and takes it away when it is done: where
    that stands there, or the file was changed meanwhile, BusyDatabase is raised and what was read does not count.
    """
    before = _as_it_is(path)
    if before is None:
        raise _busy(kind, path)
    try:
        _check_head(kind, path)
        with plain_errors(kind, path):
            db = sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro&immutable=1", uri=True, isolation_level=None)
        try:
            with plain_errors(kind, path):
                known = _one(db, "PRAGMA application_id"), _one(db, "PRAGMA user_version"), _one(db, "PRAGMA quick_check(1)")
            if known != (kind.application_id, kind.version, "ok"):
                raise _busy(kind, path)
            yield db
        finally:
            db.close()
    except FolderError as error:
        if _as_it_is(path) != before:
            raise _busy(kind, path) from error
        raise
    if _as_it_is(path) != before:
        raise _busy(kind, path)


def _as_it_is(path: Path) -> tuple[int, ...] | None:
    """What changes when a file is written; None while a program is at it."""
    if any(os.path.exists(f"{path}{suffix}") for suffix in ("-journal", "-wal")):
        return None
    found = os.stat(path)
    return found.st_mtime_ns, found.st_size, found.st_ino


def _busy(kind: FileKind, path: Path) -> BusyDatabase:
    remedy = _REMEDIES[sqlite3.SQLITE_BUSY]
    return BusyDatabase(f"cannot use the {kind.name}", where=str(path), found="database is locked", remedy=remedy)


def _check_head(kind: FileKind, path: Path) -> None:
    """Refuse what is no database before SQLite sees it: it would take a file of one byte for an empty one."""
    try:
        with path.open("rb") as file:
            head = file.read(len(HEAD))
    except OSError:
        return  # not there yet, or SQLite will say what is wrong with it
    if head and head != HEAD:
        raise DamagedDatabase(f"the {kind.name} is damaged", where=str(path), found="it does not begin like a database")


def _settle(kind: FileKind, db: sqlite3.Connection, path: Path) -> None:
    """See that the tables are there and are ours, and bring those of an older program up to date."""
    if not _one(db, "PRAGMA application_id"):
        with transaction(kind, db, path):
            # Another program may have been quicker; what it made is seen now that it is our turn.
            if not _one(db, "SELECT count(*) FROM sqlite_schema"):
                _do(db, *kind.create, f"PRAGMA application_id = {kind.application_id}", f"PRAGMA user_version = {kind.version}")
    if _one(db, "PRAGMA application_id") != kind.application_id:
        raise UnreadableFile("this is another program's database", where=str(path), remedy=f"Give the {kind.name}")
    version = _one(db, "PRAGMA user_version")
    if version > kind.version:
        found = f"version {version}"
        raise UnreadableFile(f"this {kind.name} needs a newer program", where=str(path), found=found, remedy="Update this one")
    if version < kind.version:
        with transaction(kind, db, path):
            version = _one(db, "PRAGMA user_version")
            for commands in kind.upgrades[version - 1 :]:
                _do(db, *commands)
            _do(db, f"PRAGMA user_version = {kind.version}")


def _do(db: sqlite3.Connection, *commands: str) -> None:
    for command in commands:
        db.execute(command)


def _one(db: sqlite3.Connection, query: str) -> Any:
    """The single value of a query."""
    return db.execute(query).fetchone()[0]


@contextmanager
def transaction(kind: FileKind, db: sqlite3.Connection, path: Path) -> Iterator[None]:
    """All or nothing. IMMEDIATE takes its turn at the start, so that two writers never block each other half way."""
    with plain_errors(kind, path):
        db.execute("BEGIN IMMEDIATE")
        try:
            yield
            db.execute("COMMIT")
        except BaseException:
            if db.in_transaction:  # SQLite itself rolls back when the disk is full
                db.execute("ROLLBACK")
            raise


@contextmanager
def plain_errors(kind: FileKind, path: Path) -> Iterator[None]:
    """SQLite's errors as ours: damage apart from a file that is busy, or not ours to write."""
    try:
        yield
    except UnicodeDecodeError as error:  # SQLite hands the bytes of a damaged schema on as text
        raise DamagedDatabase(f"the {kind.name} is damaged", where=str(path), found="bytes that are not text") from error
    except sqlite3.Error as error:
        code = getattr(error, "sqlite_errorcode", 0) & 0xFF  # the low byte is the kind of error
        if code in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB):
            raise DamagedDatabase(f"the {kind.name} is damaged", where=str(path), found=str(error)) from error
        if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
            raise _busy(kind, path) from error
        remedy = _REMEDIES.get(code, "")
        raise UnwritableFile(f"cannot use the {kind.name}", where=str(path), found=str(error), remedy=remedy) from error


_REMEDIES = {
    sqlite3.SQLITE_BUSY: "Close other programs that use it and try again",
    sqlite3.SQLITE_FULL: "Make room on that disk and try again; what stood there before is unharmed",
    sqlite3.SQLITE_IOERR: "Look whether the disk is full or gone, and try again; what stood there before is unharmed",
    sqlite3.SQLITE_READONLY: "It may only be read here: copy it to a place that is yours",
}
"""What helps against the kinds of errors that a person can do something about."""


def file_identity(path: Path) -> tuple[int, int]:
    """Which file stands there, whatever its name: (device, inode); zeros for none."""
    try:
        found = path.stat()
    except OSError:
        return 0, 0
    return found.st_dev, found.st_ino


def keep_aside(kind: FileKind, path: Path, damage: str) -> str:
    """Rename a damaged file, never over another file. Returns what to tell."""
    stamp = datetime.now().strftime("%Y%m%d-%H%M%S-%f")
    aside = path.with_name(f"{path.name}.damaged-{stamp}")
    try:
        os.rename(path, aside)
        journal = path.with_name(f"{path.name}-journal")
        if journal.exists():  # it belongs to the damaged file; left here it would be played into the new one
            os.rename(journal, aside.with_name(f"{aside.name}-journal"))
    except OSError as error:
        raise UnwritableFile(f"cannot set the damaged {kind.name} aside", where=str(path), found=error.strerror or "") from error
    return f"The {kind.name} {path} was damaged ({damage}). It is kept as {aside.name}, and a new one is begun."
