"""What a row of an event's file must be: damage, another station's file or another program can leave anything in one."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from typing import Any

from folder.errors import FolderError
from folder.event.entry import MOST, Entry, plain_name
from folder.event.rules import parse_rules

LATEST = datetime(9000, 1, 1, tzinfo=UTC)
"""No clock is set wrong as far as this, and times after it have an end."""


def is_sound(table: str, row: Sequence[Any]) -> bool:
    """Whether a row that was read of a table can be counted."""
    try:
        if table == "rules":
            parse_rules(str(row[2]).encode(), "")
        elif table == "entry":
            Entry(*row)
        else:
            plain_name(str(row[3]))
            if not (isinstance(row[2], int) and 1 <= row[2] <= MOST):
                return False
    except (FolderError, UnicodeEncodeError):
        return False
    return all(isinstance(cell, str) and cell for cell in row[:2]) and is_time(row[1])


def is_time(at: str) -> bool:
    """Whether a time is written as all are here: then the order of the texts is the order of the times."""
    try:
        time = datetime.fromisoformat(at)
    except ValueError:
        return False
    return time.utcoffset() == timedelta(0) and time < LATEST and at == time.isoformat(timespec="microseconds")
