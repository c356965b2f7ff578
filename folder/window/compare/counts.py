"""Counts that were worked out, and are: kept by all that they depend on, so that another object and back costs nothing. No pygame."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from concurrent.futures import Future
from typing import Any

from folder.window.background.worker import Worker

THREAD = "compare"
MOST_KEPT = 400


class Counts:
    """Every count that was worked out, and those that are being worked out, the oldest forgotten first."""

    def __init__(self) -> None:
        self._kept: dict[Hashable, Future[Any]] = {}
        self._wanted: set[Hashable] = set()

    def begin(self) -> None:
        """A pass begins: what is not asked for in it and not begun yet is not wanted any more."""
        for key in [k for k, future in self._kept.items() if not future.done() and k not in self._wanted]:
            if self._kept[key].cancel():
                del self._kept[key]
        self._wanted = set()

    def ask(self, worker: Worker, key: Hashable, job: Callable[[], Any], thread: str = THREAD) -> Future[Any]:
        """What comes of a job, worked out once."""
        self._wanted.add(key)
        if key not in self._kept:
            while len(self._kept) >= MOST_KEPT:
                self._kept.pop(next(iter(self._kept)))
            self._kept[key] = worker.errand(job, thread)
        return self._kept[key]
