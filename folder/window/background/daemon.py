"""A thread for jobs that nobody waits for when the window closes. No pygame.

The library's own executor joins its threads when the interpreter ends: a study that does not end would keep a closed
window's process alive for ever.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from concurrent.futures import Executor, Future
from queue import Empty, SimpleQueue
from typing import Any, ParamSpec, TypeVar

from folder.window.background.heap import given_back

P = ParamSpec("P")
T = TypeVar("T")
DaemonJob = tuple[Future[Any], Callable[[], Any]]


class Daemon(Executor):
    """One thread, begun with the first job, that does jobs in the order they come and does not outlive the process."""

    def __init__(self, name: str) -> None:
        self._name = name
        self._jobs: SimpleQueue[DaemonJob | None] = SimpleQueue()
        self._thread: threading.Thread | None = None
        self._at_work = False

    def submit(self, fn: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> Future[T]:
        """Have a job done."""
        future: Future[T] = Future()
        self._jobs.put((future, lambda: fn(*args, **kwargs)))
        if self._thread is None:
            self._thread = threading.Thread(target=self._work, name=self._name, daemon=True)
            self._thread.start()
        return future

    @property
    def busy(self) -> bool:
        """Whether a job is being done."""
        return self._at_work

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """Take no more jobs; `wait` for the one that is being done."""
        while cancel_futures:
            try:
                job = self._jobs.get_nowait()
            except Empty:
                break
            if job is not None:
                job[0].cancel()
        self._jobs.put(None)
        if wait:
            self.join(None)

    def join(self, most_s: float | None) -> None:
        """Wait for the thread to end, so many seconds at most."""
        if self._thread is not None:
            self._thread.join(most_s)

    def _work(self) -> None:
        while (job := self._jobs.get()) is not None:
            with given_back():
                self._do(*job)
            del job  # while it waits, nothing of the last one is held here

    def _do(self, future: Future[Any], do: Callable[[], Any]) -> None:
        if not future.set_running_or_notify_cancel():
            return
        self._at_work = True
        try:
            result = do()
        except BaseException as error:  # noqa: BLE001 (the future carries it to whoever asked)
            self._at_work = False
            future.set_exception(error)
        else:
            self._at_work = False
            future.set_result(result)
