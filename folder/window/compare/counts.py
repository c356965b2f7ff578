"""Counts that were worked out, and are: kept by all that they depend on, so that another object and back costs nothing. No pygame."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable
from concurrent.futures import Future
from typing import Any

from folder.window.background.worker import Worker

THREAD = "compare"
MOST_KEPT = 400
MOST_STUDIES = 20
"""So many studies are kept: each holds some megabytes, what is counted of it a few kilobytes. Twice what one page shows."""


class Counts:
    """Every count that was worked out, and those that are being worked out, the oldest forgotten first."""

    def __init__(self) -> None:
        self._kept: dict[Hashable, Future[Any]] = {}
        self._wanted: set[Hashable] = set()
        self._heavy: set[Hashable] = set()

    def begin(self) -> None:
        """A pass begins: what is not asked for in it and not begun yet is not wanted any more."""
        for key in [k for k, future in self._kept.items() if not future.done() and k not in self._wanted]:
            if self._kept[key].cancel():
                del self._kept[key]
                self._heavy.discard(key)
        self._wanted = set()

    def ask(
        self, worker: Worker, key: Hashable, job: Callable[[], Any], thread: str = THREAD, *, heavy: bool = False
    ) -> Future[Any]:
        """What comes of a job, worked out once. A `heavy` answer is a study: fewer of them are kept."""
        self._wanted.add(key)
        future = self._kept.pop(key, None)
        if future is None:
            future = worker.errand(job, thread)
            self._heavy |= {key} if heavy else set()
        self._kept[key] = future  # at the end: asked for last
        self._forget(self._kept, MOST_KEPT)
        if heavy:
            self._forget([k for k in self._kept if k in self._heavy], MOST_STUDIES)
        return future

    def _forget(self, keys: Iterable[Hashable], most: int) -> None:
        """Forget those that have not been asked for longest, down to so many."""
        keys = list(keys)
        for key in keys[: max(len(keys) - most, 0)]:
            self._kept.pop(key, None)
            self._heavy.discard(key)
