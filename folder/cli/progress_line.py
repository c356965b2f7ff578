"""A line on the terminal while work goes on for longer than two seconds; gone before anything else is printed."""

from __future__ import annotations

import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stdout
from typing import Any, TextIO, cast

AFTER_S = 2.0
EVERY_S = 1.0

_done = [0, 0]
"""How much of the work is done, of how much; 0 of 0 while nothing is known."""


def tell(done: int, of: int) -> None:
    """Say how far the work is; it is shown where it takes long."""
    _done[:] = done, of


class _Line:
    """The line: how long the work has gone on, second by second, and how far it is."""

    def __init__(self, terminal: TextIO) -> None:
        self._terminal, self._over, self._lock = terminal, threading.Event(), threading.Lock()
        self._shown = ""
        threading.Thread(target=self._count_up, name="waiting", daemon=True).start()

    def _count_up(self) -> None:
        began = time.monotonic()
        wait_s = AFTER_S
        while not self._over.wait(wait_s):
            with self._lock:
                if not self._over.is_set():
                    share = f", {_done[0]} of {_done[1]} done" if _done[1] > 1 else ""
                    self._show(f"folder: working, {time.monotonic() - began:.0f} s{share} ... (Ctrl+C stops it)")
            wait_s = EVERY_S

    def _show(self, text: str) -> None:
        self._terminal.write(f"\r{text:<{len(self._shown)}}")
        self._terminal.flush()
        self._shown = text

    def end(self) -> None:
        """Take the line away for good."""
        with self._lock:
            self._over.set()
            if self._shown:
                self._show("")
                self._terminal.write("\r")
                self._terminal.flush()


class _Output:
    """The real output, but for the line that is taken away before the first word."""

    def __init__(self, output: TextIO, line: _Line) -> None:
        self._output, self._line = output, line

    def write(self, text: str) -> int:
        """Write, once the line has gone."""
        self._line.end()
        return self._output.write(text)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._output, name)


@contextmanager
def progress() -> Iterator[None]:
    """Whatever is done in here may take long: on a terminal it is said how long it has taken."""
    if sys.stderr is None or sys.stdout is None or not sys.stderr.isatty():
        yield
        return
    line = _Line(sys.stderr)
    try:
        with redirect_stdout(cast("TextIO", _Output(sys.stdout, line))):
            yield
    finally:
        line.end()
