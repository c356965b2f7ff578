"""A latest-only job: one kind of question, answered away from the drawing thread, the newest alone. No pygame.

key      names all that the answer depends on; a question with the key of the one before is the same question
waiting  the newest question; one that is asked while another is worked on takes the place of any that waits
"""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Executor, Future
from functools import partial
from typing import Any

from msgspec import Struct

from folder.errors import FolderError
from folder.fault import report_fault


class JobAnswer(Struct, frozen=True, eq=False):
    """What came of a question."""

    key: object
    value: Any = None
    failed: BaseException | None = None


class LatestOnly:
    """Answers the newest question. Whoever owns it calls `go_on` and `poll`."""

    def __init__(self, executor: Executor, wake: Callable[[], None], doing: str = "a question in the window") -> None:
        self.answer: JobAnswer | None = None
        """The newest there is; it may be of an older question."""
        self._executor, self._wake, self._doing = executor, wake, doing
        self._key: object = None
        self._waiting: Callable[[], Any] | None = None
        self._running: tuple[object, Future[Any]] | None = None

    def ask(self, key: object, job: Callable[[], Any]) -> bool:
        """Want an answer. Whether this is another question than the one before."""
        if key == self._key:
            return False
        self._key, self._waiting = key, job
        return True

    def answer_to(self, key: object) -> JobAnswer | None:
        """The answer to this very question, once it is there."""
        return self.answer if self.answer is not None and self.answer.key == key else None

    @property
    def busy(self) -> bool:
        """Whether a question is still open."""
        return self._waiting is not None or self._running is not None

    def poll(self) -> bool:
        """Take an answer that has come in; whether there was one."""
        if self._running is None or not self._running[1].done():
            return False
        (key, done), self._running = self._running, None
        failed = done.exception()
        if failed is not None and not isinstance(failed, FolderError):
            report_fault(failed, self._doing)
        self.answer = JobAnswer(key, None if failed is not None else done.result(), failed)
        return True

    def go_on(self) -> None:
        """Begin on the newest question, if one waits and none is worked on."""
        if self._running is None and self._waiting is not None:
            job, self._waiting = self._waiting, None
            future = self._executor.submit(partial(job))
            self._running = (self._key, future)
            future.add_done_callback(lambda _: self._wake())
