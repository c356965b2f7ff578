"""What can still be read of a damaged event, taken into a new file."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from folder.database import HEAD, DamagedDatabase, transaction
from folder.event.file import EVENT, TABLES, EventFile, MergeCount, undone
from folder.event.rules import Rules
from folder.event.soundness import is_sound
from folder.places import read_whole

MOST_BYTES = 64_000_000
"""Some fifty times a day of 500 teams and 5,000 entries."""
MOST_MISSES = 2000
"""So many rows that cannot be read are stepped over, one by one."""


def rescue(damaged: Path, path: Path) -> MergeCount:
    """Begin an event anew with all that can still be read of a damaged file; how much that was.

    It is the same event as before, so that files of its stations go on merging. UnreadableFile where not even which event it
    was can be read; then nothing is begun.
    """
    data = read_whole(damaged, MOST_BYTES, "the event")
    db = sqlite3.connect(":memory:", isolation_level=None)
    try:
        if data.startswith(HEAD):
            db.deserialize(_filled_up(data))
        known = [row for row in _readable(db, "event", ("id",)) if isinstance(row[0], str) and row[0]]
        if not known:
            raise DamagedDatabase("nothing of this event can be read", where=str(damaged))
        rows = {table: _readable(db, table, columns) for table, columns in TABLES.items()}
    finally:
        db.close()
    event = EventFile.new(path, Rules())
    with undone(path), event, transaction(EVENT, event._db, path):
        event._db.execute("UPDATE event SET id = ?", known[0])
        if rows["rules"]:
            event._db.execute("DELETE FROM rules")
        found = {table: event._add(table, (row for row in rows[table] if is_sound(table, row))) for table in rows}
    return MergeCount(found["team"], found["entry"], found["rules"])


def _filled_up(data: bytes) -> bytes:
    """A file that was cut short with empty pages after it, as many as its head counts: SQLite reads no shorter one."""
    size = int.from_bytes(data[16:18], "big")
    whole = min((65536 if size == 1 else size) * int.from_bytes(data[28:32], "big"), MOST_BYTES)
    return data.ljust(whole, b"\x00")


def _readable(db: sqlite3.Connection, table: str, columns: Sequence[str]) -> list[tuple[Any, ...]]:
    """The rows of a table; where a page of it cannot be read, those behind it are looked for one by one."""
    rows: list[tuple[Any, ...]] = []
    start = misses = 0
    while misses < MOST_MISSES:
        try:
            for number, *row in db.execute(
                f"SELECT rowid, {', '.join(columns)} FROM {table} WHERE rowid >= ? ORDER BY rowid", (start,)
            ):
                rows.append(tuple(row))
                start = number + 1
            break
        except (sqlite3.Error, UnicodeDecodeError):
            start, misses = start + 1, misses + 1
    return rows
