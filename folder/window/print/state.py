"""What the page Print is about: which pages are to be written, where, and what came of it. No pygame."""

from __future__ import annotations

from concurrent.futures import Future
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from folder.paper.kinds import USUAL


class PrintState(Struct, frozen=True):
    """Which pages are to be written, and where."""

    kinds: tuple[str, ...] = USUAL
    shown: str = USUAL[0]
    """The kind whose first page is shown."""
    paper: str = "a4"
    directory: Path | None = None
    """None: beside the work."""
    anyway: bool = False
    """Also where something stops the pattern."""
    written: tuple[object, Future[list[Path]]] | None = None
    """The study whose pages were last written, and what came of it."""

    def opened(self) -> PrintState:
        """As it is when another document has been opened: nothing is said any more of the one before."""
        return replace(self, written=None, anyway=False)
