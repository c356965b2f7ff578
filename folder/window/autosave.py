"""Kept work: a copy of unsaved work every few seconds, so that a crash costs seconds; and what the window remembers.

kept copy   a pattern file in the user's own directory, one for each window; gone once the work is saved or given up
memory      what the window remembers from one day to the next
"""

from __future__ import annotations

import os
from pathlib import Path

import msgspec

from folder.errors import FolderError
from folder.pattern.file import pattern_bytes, read_pattern
from folder.pattern.pattern import Pattern
from folder.places import drop_half_written, user_data, write_whole
from folder.window.document import Document
from folder.window.objects.state import FIRST_ITEM, ObjectChoice

EVERY_S = 3.0
MOST_RECENT = 6
OWN_DIRECTORIES = ("work", "loadings", "shelf")
"""Directories among the user's data in which the window writes."""


class Autosave:
    """Keeps a copy of one window's work."""

    def __init__(self, directory: Path | None = None) -> None:
        self.directory = directory or user_data() / "work"
        self.file = self.directory / f"kept-{os.urandom(4).hex()}.json"
        self._kept: Pattern | None = None
        self._since_s = 0.0

    def tick(self, document: Document, dt_s: float) -> str:
        """Time passes; a sentence when a copy was wanted and could not be written."""
        self._since_s += dt_s
        if document.pattern is self._kept or self._since_s < EVERY_S:
            return ""
        return self.keep(document)

    def keep(self, document: Document) -> str:
        """Keep a copy now, or drop it when all is saved. A sentence when it could not be written."""
        self._since_s, self._kept = 0.0, document.pattern
        if document.is_saved:
            self.drop()
            return ""
        try:
            self.directory.mkdir(parents=True, exist_ok=True)
            write_whole(self.file, pattern_bytes(document.pattern))
        except (OSError, FolderError):
            return "No safety copy can be written. Save your work somewhere else soon."
        return ""

    def drop(self) -> None:
        """The copy is not wanted any more."""
        drop_copy(self.file)

    def left_behind(self) -> list[Path]:
        """Copies that other windows left behind when they ended without being closed, the newest first; half-written ones go."""
        drop_half_written(self.directory)
        try:
            found = [(p.stat().st_mtime, p) for p in self.directory.glob("kept-*.json") if p != self.file]
        except OSError:
            return []
        return [path for _, path in sorted(found, reverse=True)]


def drop_copy(path: Path) -> None:
    """Take a kept copy away; one that is gone is no harm, nor one that cannot go."""
    try:
        path.unlink(missing_ok=True)
    except OSError:
        return


class Memory(msgspec.Struct):
    """What the window remembers."""

    recent: list[str] = []
    scale: float = 1.0
    event: str = ""
    """The file of the event that is open."""
    station: str = ""
    """What the tub beside this computer is called."""
    item: str = FIRST_ITEM
    """The object last in use."""
    weighed_g: dict[str, float] = {}
    """What the user's own weigh, by the object's name."""

    def opened(self, path: Path) -> None:
        """Remember a file as the newest one."""
        name = str(path.resolve())
        self.recent = [name, *(r for r in self.recent if r != name)][:MOST_RECENT]

    @property
    def choice(self) -> ObjectChoice:
        """The object last in use, with the user's own mass."""
        return ObjectChoice(self.item, self.weighed_g.get(self.item))

    @property
    def last(self) -> Path | None:
        """The newest file that is still there and is a pattern."""
        for name in self.recent:
            path = Path(name)
            try:
                if path.is_file():
                    read_pattern(path)
                    return path
            except (OSError, FolderError):
                continue
        return None


def remembered(path: Path | None = None) -> Memory:
    """What was remembered; a new start when there is nothing or it cannot be read."""
    try:
        memory = msgspec.json.decode((path or user_data() / "window.json").read_bytes(), type=Memory)
    except (OSError, msgspec.DecodeError, UnicodeDecodeError):
        return Memory()
    memory.scale = min(max(memory.scale, 1.0), 2.0)
    return memory


def remember(memory: Memory, path: Path | None = None) -> None:
    """Remember for the next time; where that cannot be, the next time starts afresh."""
    path = path or user_data() / "window.json"
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(path, msgspec.json.encode(memory))
    except (OSError, FolderError):
        return


def sweep(memory: Memory) -> None:
    """Take away what a program that was killed while it wrote has left: among the user's data and where the user works."""
    own = user_data()
    at_work = [Path(name).parent for name in (*memory.recent, *([memory.event] if memory.event else []))]
    for directory in dict.fromkeys((own, *(own / name for name in OWN_DIRECTORIES), *at_work)):
        drop_half_written(directory)
