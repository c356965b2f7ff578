"""What the page Print is about: which pages of which hulls for whom, where, and what came of it. No pygame."""

from __future__ import annotations

from concurrent.futures import Future
from pathlib import Path
from threading import Event

from msgspec import Struct
from msgspec.structs import replace

from folder.errors import FolderError
from folder.paper.kinds import USUAL
from folder.pattern.pattern import Pattern

STOPPED = "Stopped: nothing was written."


class Writing:
    """Pages that are being written: how far that is, and the way to stop it. Shared with the thread that writes."""

    def __init__(self) -> None:
        self.done, self.of = 0, 0
        self._stop = Event()

    def tell(self, done: int, of: int) -> None:
        """Note how far it is; FolderError once it is to stop."""
        self.done, self.of = done, of
        if self._stop.is_set():
            raise FolderError(STOPPED)

    def stop(self) -> None:
        """Have it stopped at the next page."""
        self._stop.set()


class WrittenPages(Struct, frozen=True, eq=False):
    """What was asked to be written, of which hull on the table, and what came of it."""

    of: object
    future: Future[list[Path]]
    writing: Writing


class PrintState(Struct, frozen=True):
    """Which pages are to be written, and where."""

    kinds: tuple[str, ...] = USUAL
    others: tuple[Pattern, ...] = ()
    """Hulls that are printed with the one on the table."""
    for_class: bool = False
    """A set for each pupil, in one PDF."""
    pupils: int = 28
    names: tuple[str, ...] = ()
    """The names of the class; without any, `pupils` nameless sets."""
    large: int | None = None
    """The page that is looked at large."""
    paper: str = "a4"
    directory: Path | None = None
    """None: beside the work."""
    anyway: bool = False
    """Also where something stops a pattern."""
    written: WrittenPages | None = None

    def opened(self) -> PrintState:
        """As it is when another document has been opened: nothing is said any more of the one before."""
        return replace(self, written=None, anyway=False, large=None)

    @property
    def class_names(self) -> tuple[str, ...]:
        """Whose sets there are to be, "" for a nameless one."""
        return self.names or ("",) * self.pupils
