"""The worker: studies the newest pattern away from the drawing thread. No pygame.

result   what is known of one pattern: its study, then the order of folds, then the way from flat to hull
asked    the pattern whose study is wanted next; an older one that is still waiting is dropped
"""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from dataclasses import dataclass, replace
from functools import partial
from typing import ParamSpec, TypeVar

from folder.fold.partway import Path, path
from folder.fold.steps import Order, order_of
from folder.pattern.pattern import Pattern
from folder.study import Study, study

P = ParamSpec("P")
T = TypeVar("T")


@dataclass(frozen=True, eq=False)
class Result:
    """What is known of a pattern so far."""

    pattern: Pattern
    study: Study | None = None
    order: Order | None = None
    path: Path | None = None
    failed: BaseException | None = None
    """The study broke off: a fault of this program, not of the drawing."""


def studied(pattern: Pattern) -> Result:
    """The whole trip of a pattern, every number worked out."""
    made = study(pattern)
    # Worked out here, so that the drawing thread finds them ready.
    _ = made.report, made.measures, made.load, made.needs_tape, made.folded.normals, made.folded.corners
    return Result(pattern, made)


def ordered(result: Result) -> Result:
    """With the order of folds."""
    return result if result.study is None else replace(result, order=order_of(result.pattern, result.study.folded))


def led(result: Result) -> Result:
    """With the way from flat to hull."""
    if result.study is None:
        return result
    return replace(result, path=path(result.study.faces, result.study.folded.turn))


class AtOnce(Executor):
    """An executor that does the job before it returns: for tests and pictures."""

    def submit(self, fn: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> Future[T]:
        """Do the job."""
        future: Future[T] = Future()
        future.set_result(fn(*args, **kwargs))
        return future


class Worker:
    """Studies what is asked for, the newest alone. `wake` is called, from another thread, when something is ready."""

    def __init__(self, executor: Executor | None = None, wake: Callable[[], None] = lambda: None) -> None:
        self.wants_path = False
        """The way from flat to hull is wanted too."""
        self.result: Result | None = None
        self._executor = executor or ThreadPoolExecutor(1, "study")
        self._wake = wake
        self._asked: Pattern | None = None
        self._running: Future[Result] | None = None
        self._running_for: Pattern | None = None

    def ask(self, pattern: Pattern) -> None:
        """Want the study of a pattern."""
        if pattern is not self._asked:
            self._asked = pattern
            self._go_on()

    @property
    def busy(self) -> bool:
        """Whether the newest pattern is still being studied."""
        return self._asked is not None and (self.result is None or self.result.pattern is not self._asked)

    def poll(self) -> Result | None:
        """A result that has come in since the last time."""
        news = None
        while self._running is not None and self._running.done():
            done, self._running = self._running, None
            failed = done.exception()
            if failed is not None:
                pattern = self._running_for or Pattern()
                base = self.result if self.result is not None and self.result.pattern is pattern else Result(pattern)
                news = replace(base, failed=failed)
            else:
                news = done.result()
            self.result = news
            self._go_on()
        return news

    def stop(self) -> None:
        """Let the thread end."""
        self._executor.shutdown(wait=False, cancel_futures=True)

    def _go_on(self) -> None:
        """Start the next job, if there is one and none is running."""
        if self._running is not None or self._asked is None:
            return
        job = self._next_job()
        if job is not None:
            self._running_for = self._asked
            self._running = self._executor.submit(job)
            self._running.add_done_callback(lambda _: self._wake())

    def _next_job(self) -> Callable[[], Result] | None:
        known = self.result
        if known is None or known.pattern is not self._asked:
            assert self._asked is not None
            return partial(studied, self._asked)
        if known.failed is not None or known.study is None:
            return None
        if known.order is None:
            return partial(ordered, known)
        if self.wants_path and known.path is None:
            return partial(led, known)
        return None

    def want_path(self) -> None:
        """Ask for the way from flat to hull as well."""
        self.wants_path = True
        self._go_on()
