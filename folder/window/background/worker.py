"""The worker: studies the newest pattern away from the drawing thread. No pygame.

result   what is known of one pattern; where the study of a newer one breaks off, the last good state stays
asked    the pattern whose study is wanted next; an older one that is still waiting is dropped
lane     a question of another kind, with a thread of its own, begun when it is first asked
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future
from contextlib import contextmanager
from functools import partial
from typing import ParamSpec, TypeVar

from msgspec.structs import replace

from folder.draw.hull.solid import View
from folder.errors import FolderError
from folder.fault import report_fault
from folder.fold.sequence.steps import FoldSequence
from folder.pattern.pattern import Pattern
from folder.window.background.daemon import Daemon
from folder.window.background.latest import LatestOnly
from folder.window.background.result import USUAL, Result, led, loaded, ordered, studied

TURN_S = 0.0005
"""How long the interpreter lets one thread run while the other waits: the drawing must not wait long for the study."""
WRITING_S = 5.0
"""How long a closing window waits for pages that are being written: they take about a second."""
P = ParamSpec("P")
T = TypeVar("T")


def note_fault(error: BaseException, doing: str) -> None:
    """Keep the details of what broke off, unless it was said to the user in plain words."""
    if not isinstance(error, FolderError):
        report_fault(error, doing)


class AtOnce(Executor):
    """An executor that does the job before it returns: for tests and pictures."""

    def submit(self, fn: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> Future[T]:
        """Do the job."""
        future: Future[T] = Future()
        try:
            future.set_result(fn(*args, **kwargs))
        except FolderError as error:  # said to the user; a fault of the program ends a test
            future.set_exception(error)
        return future


class Worker:
    """Studies what is asked for, the newest alone. `wake` is called, from another thread, when something is ready."""

    def __init__(self, executor: Executor | None = None, wake: Callable[[], None] = lambda: None) -> None:
        self.wants_path = False
        """The way from flat to hull is wanted too."""
        self.result: Result | None = None
        if executor is None:
            sys.setswitchinterval(TURN_S)
        self._given = executor
        self._threads: dict[str, Executor] = {}
        self._lanes: dict[str, LatestOnly] = {}
        self._executor = self._thread("study")
        self._wake = wake
        self._asked: Pattern | None = None
        self._view = USUAL
        self._running: Future[Result] | None = None
        # What takes long has a thread of its own, so that the next study need not wait for it.
        self._slow_executor = self._thread("load")
        self._slow: Future[Result] | None = None
        self._slow_for: Pattern | None = None
        self.resting = True
        """The hand rests: there is time for the order of folds, and for what takes long."""
        self._running_for: Pattern | None = None
        self._broken: tuple[Pattern, BaseException] | None = None
        """The last drawing whose study broke off: it is not tried again."""
        self._unled: Pattern | None = None
        self._unloaded: Pattern | None = None
        self._held = False

    def ask(self, pattern: Pattern, view: View = USUAL) -> None:
        """Want the study of a pattern, and its hull seen from a side."""
        self._view = view
        self._asked = pattern
        known = self.result
        if known is not None and known.study is not None:
            failed = self._broken[1] if self._broken is not None and self._broken[0] is pattern else None
            if known.failed is not failed:
                self.result = replace(known, failed=failed)
        self._go_on()

    @contextmanager
    def held(self) -> Iterator[None]:
        """Begin nothing in here: a job begun while a frame is drawn would slow both down, for one interpreter runs both."""
        self._held = True
        try:
            yield
        finally:
            self._held = False
            self._go_on()

    @property
    def busy(self) -> bool:
        """Whether the newest pattern is still being studied."""
        if self._asked is None or self._is_broken(self._asked):
            return False
        return self.result is None or self.result.pattern is not self._asked

    def _is_broken(self, pattern: Pattern) -> bool:
        return self._broken is not None and self._broken[0] is pattern

    def poll(self) -> Result | None:
        """A result that has come in since the last time; the one there is when a lane has an answer."""
        news = None
        while any(job is not None and job.done() for job in (self._running, self._slow)):
            news = self._taken() or news
        if sum(lane.poll() for lane in self._lanes.values()):  # a sum, not any: each must take what it has
            self._go_on()
            news = self.result
        return news

    def _taken(self) -> Result | None:
        """Take what is done, and go on."""
        news = None
        if self._running is not None and self._running.done():
            done, self._running = self._running, None
            failed = done.exception()
            if failed is not None:
                news = self._broke_off(self._running_for or Pattern(), failed)
            else:
                news = done.result()
                if self.result is not None and self.result.pattern is news.pattern:
                    news = replace(news, load=self.result.load)
            self.result = news
            self._go_on()
        if self._slow is not None and self._slow.done():
            done, self._slow = self._slow, None
            known, failed = self.result, done.exception()
            if failed is not None:
                note_fault(failed, "a real build's load, in the window")
                self._unloaded = self._slow_for
            elif known is not None and known.pattern is done.result().pattern:
                self.result = news = replace(known, load=done.result().load)
            self._go_on()
        return news

    def _broke_off(self, pattern: Pattern, failed: BaseException) -> Result:
        """What is known when a job has broken off: the last good state, and what is missing is not asked for again."""
        known = self.result
        note_fault(failed, "a study in the window")
        if known is not None and known.study is not None and known.pattern is pattern:
            if known.order is None:
                return replace(known, order=FoldSequence(known.study.faces, (), "The order of folds is too much for the program."))
            self._unled = pattern
            return known
        self._broken = pattern, failed
        if self._asked is not pattern:  # the hand has gone on: the next study will tell
            return known or Result(pattern, failed=failed)
        return replace(known if known is not None and known.study is not None else Result(pattern), failed=failed)

    def ask_lane(self, name: str, key: object, job: Callable[[], object]) -> LatestOnly:
        """Ask a question of another kind: `job` answers it in a thread of the kind's own. The lane it is asked in."""
        if name not in self._lanes:
            self._lanes[name] = LatestOnly(self._thread(name), self._wake)
        lane = self._lanes[name]
        if lane.ask(key, job):
            self._go_on()
        return lane

    def last_answer(self, name: str) -> object:
        """What last came of a lane, of whichever question; None where there is nothing."""
        lane = self._lanes.get(name)
        return None if lane is None or lane.answer is None else lane.answer.value

    def errand(self, job: Callable[[], T], thread: str = "study") -> Future[T]:
        """Do something else in the thread of the studies, or in another, when it has the time."""
        future = self._thread(thread).submit(job)
        future.add_done_callback(lambda _: self._wake())
        return future

    def stop(self) -> bool:
        """Let the threads end; only pages that are being written are waited for, a while. Whether one is still at work."""
        for executor in self._threads.values():
            executor.shutdown(wait=False, cancel_futures=True)
        writing = self._threads.get("write")
        if isinstance(writing, Daemon):
            writing.join(WRITING_S)
        return any(isinstance(thread, Daemon) and thread.busy for thread in self._threads.values())

    def _thread(self, name: str) -> Executor:
        """The thread of this name, begun when it is first wanted."""
        if name not in self._threads:
            self._threads[name] = self._given or Daemon(name)
        return self._threads[name]

    def _go_on(self) -> None:
        """Start the next jobs, if there are any and none is running."""
        if self._held:
            return
        for lane in self._lanes.values():
            lane.go_on()
        known = self.result
        if (
            self.resting and self._slow is None and known is not None and known.pattern is self._asked
            and known.study is not None and known.order is not None and known.load is None
            and known.pattern is not self._unloaded
        ):  # fmt: skip
            self._slow_for = known.pattern
            self._slow = self._slow_executor.submit(partial(loaded, known))
            self._slow.add_done_callback(lambda _: self._wake())
        if self._running is not None or self._asked is None:
            return
        job = self._next_job()
        if job is not None:
            self._running_for = self._asked
            self._running = self._executor.submit(job)
            self._running.add_done_callback(lambda _: self._wake())

    def _next_job(self) -> Callable[[], Result] | None:
        known = self.result
        if self._asked is None or self._is_broken(self._asked):
            return None
        if known is None or known.pattern is not self._asked:
            return partial(studied, self._asked, self._view)
        if known.failed is not None or known.study is None:
            return None
        if known.order is None and self.resting:
            return partial(ordered, known)
        if self.wants_path and known.path is None and known.pattern is not self._unled:
            return partial(led, known)
        return None

    def want_path(self) -> None:
        """Ask for the way from flat to hull as well."""
        self.wants_path = True
        self._go_on()
