"""Hulls on the shelf of the start page: the picture and the load of each, worked out once and kept on disk. No pygame.

counts   how many objects of one kind usual hands get in, low, likely and high: the first count of the page Compare, for a
         hull with a small floor has no room for all that it could carry

The key of what is kept is the pattern's own content, the trials that its load rests on, and this program's files: another
drawing, another trial or another version of the program has another key, and what is old is never shown.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

import msgspec

import folder
from folder.cargo.item import Item
from folder.errors import BadRequest, FolderError
from folder.pattern.file import pattern_bytes
from folder.pattern.pattern import Pattern
from folder.places import user_data, write_whole
from folder.practice.log import trials_now_or_fault
from folder.studies import study
from folder.window.background.result import USUAL, with_load, with_study
from folder.window.background.snapshot import Snapshot, hull_snapshot

MOST_KEPT = 400
"""Files; the oldest go."""

Counts = tuple[int, int, int] | None
Made = TypeVar("Made")


class ShelvedHull(msgspec.Struct, frozen=True, eq=False):
    """What is shown of a hull beside its lines."""

    snapshot: Snapshot | None
    low_likely_high_g: tuple[float, float, float] | None
    verdict: str
    """In two or three words."""


def shelved(pattern: Pattern) -> ShelvedHull:
    """What there is to show of a hull: from disk where it has been worked out before."""
    return _kept(_key(pattern), ShelvedHull, lambda: _made(pattern))


def counted(pattern: Pattern, item: Item) -> Counts:
    """How many objects a hull takes: from disk where they have been counted before; None where they cannot be."""
    return _kept(_key(pattern, item), Counts, lambda: _counts(pattern, item))


def short_note(note: str) -> str:
    """What a hull is good for, in a few words: the first part of its note that says something."""
    ends = (match.start() for match in re.finditer(r"[.,:;!]", note))
    return note[: next((at for at in ends if at >= 12), len(note))].strip()


def _made(pattern: Pattern) -> ShelvedHull:
    from folder.verdict import verdict_of

    result = with_load(with_study(pattern))
    load, study = result.load, result.study
    loads = None
    if load is not None and load.low_g is not None and load.likely_g is not None and load.high_g is not None:
        loads = load.low_g, load.likely_g, load.high_g
    seen = result.snapshot or (None if study is None else hull_snapshot(study, USUAL))
    return ShelvedHull(seen, loads, "" if study is None else verdict_of(study).short)


def _counts(pattern: Pattern, item: Item) -> Counts:
    from folder.search.ranking import contender  # loaded with the first count, not with the window

    try:
        made = contender(study(pattern, trials=trials_now_or_fault()[0]), item, first=True)
    except BadRequest:
        return None
    if made.low is None or made.likely is None or made.high is None:
        return None
    return int(made.low), int(made.likely), int(made.high)


def _key(pattern: Pattern, item: Item | None = None) -> str:
    trials, _ = trials_now_or_fault()
    whole = hashlib.sha256(pattern_bytes(pattern))
    whole.update(repr((trials, _program(), item)).encode())
    return whole.hexdigest()[:32]


@cache
def _program() -> tuple[str, int]:
    """The version of this program, and when its newest file was written."""
    root = Path(folder.__file__).parent
    return folder.__version__, max((p.stat().st_mtime_ns for p in root.rglob("*.py")), default=0)


def _kept(key: str, kind: Any, make: Callable[[], Made]) -> Made:
    """What is kept under a key, of a kind; made and kept where it is not there yet, or cannot be read."""
    file = user_data() / "shelf" / f"{key}.json"
    try:
        found: Made = msgspec.json.decode(file.read_bytes(), type=kind)
    except (OSError, msgspec.MsgspecError):
        found = make()
        _keep(file, found)
    return found


def _keep(file: Path, made: object) -> None:
    """Keep it for the next time; where that cannot be, it is worked out again then."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        write_whole(file, msgspec.json.encode(made))
        old = sorted(file.parent.glob("*.json"), key=lambda p: p.stat().st_mtime)
        for gone in old[:-MOST_KEPT]:
            gone.unlink(missing_ok=True)
    except (OSError, FolderError):
        return
