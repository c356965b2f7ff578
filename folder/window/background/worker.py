"""The worker: finds out about the newest pattern, and answers other questions, away from the drawing thread. No pygame.

search   a long search in a process of its own, of each kind one, which sends how far it has come
job      a question answered in a thread of its own kind, the newest alone (`latest`); begun when nothing is being drawn
stages   study, order of folds, their film: one job after another in one thread; the load of a real build,
         which takes long, has a thread of its own, so that the next study need not wait for it
errand   something that must be done whatever is asked later, such as writing pages
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future
from contextlib import contextmanager
from functools import partial
from typing import TypeVar

from msgspec.structs import replace

from folder.draw.hull.view import View
from folder.event.rules import Rules
from folder.fold.sequence.steps import FoldSequence
from folder.pattern.pattern import Pattern
from folder.window.background.daemon import Daemon
from folder.window.background.identity import IdentityKey
from folder.window.background.latest import JobAnswer, LatestOnly
from folder.window.background.result import USUAL, Progress, filmed, with_load, with_order, with_study
from folder.window.background.search import InlineSearch, Job, ProcessSearch, SearchRun

WRITING_S = 5.0
"""How long a closing window waits for pages that are being written: they take about a second."""
LOG_THREAD = "log"
"""The thread in which the trial log is written; a closing window waits for it too."""
NO_ORDER = "The order of folds is too much for the program."
T = TypeVar("T")
JobKey = tuple[str, IdentityKey, *tuple[IdentityKey, ...]]
"""The stage, and the pattern or the study it works on."""


class Worker:
    """Studies what is asked for, the newest alone. `wake` is called, from another thread, when something is ready."""

    def __init__(self, executor: Executor | None = None, wake: Callable[[], None] = lambda: None) -> None:
        self.result: Progress | None = None
        """What is known of one pattern; where the study of a newer one breaks off, the last good state stays."""
        self.wants_film = False
        """The film of the folding is wanted too."""
        self.resting = True
        """The hand rests: there is time for the order of folds, and for what takes long."""
        self.rules: Rules | None = None
        """The rules of the event that is open: a study of before they were set is made again."""
        self._given, self._wake, self._held = executor, wake, False
        self._threads: dict[str, Executor] = {}
        self._jobs: dict[str, LatestOnly] = {}
        self._searches: dict[str, SearchRun] = {}
        self._messages: dict[str, list[object]] = {}
        """By kind, the messages of a search that nobody has taken yet."""
        self._at_work: set[str] = set()
        """Searches whose end nobody has seen yet."""
        self._stages = self._new_job("study", "a study in the window")
        self._load = self._new_job("load", "a real build's load, in the window")
        self._wanted: Pattern | None = None
        """The pattern whose study was asked for last."""
        self._view = USUAL
        self._broken: dict[str, tuple[IdentityKey, BaseException]] = {}
        """By stage, what it last broke off at: that is not tried again."""

    # the newest pattern

    def ask(self, pattern: Pattern, view: View = USUAL) -> None:
        """Want the study of a pattern, and its hull seen from a side."""
        self._view, self._wanted = view, pattern
        known, failed = self.result, self._failure("study", pattern)
        if known is not None and known.study is not None and known.failed is not failed:
            self.result = replace(known, failed=failed)
        self._go_on()

    def want_film(self) -> None:
        """Ask for the film of the folding as well."""
        self.wants_film = True
        self._go_on()

    @property
    def busy(self) -> bool:
        """Whether the newest pattern is still being studied."""
        if self._wanted is None or self._failure("study", self._wanted) is not None:
            return False
        return self.result is None or self.result.pattern is not self._wanted

    def poll(self) -> Progress | None:
        """A result that has come in since the last time; the one there is when another job has an answer."""
        news = None
        while True:
            stage, load = self._stages.poll(), self._load.poll()
            if stage and self._stages.answer is not None:
                self.result = news = self._after_stage(self._stages.answer)
            if load and self._load.answer is not None:
                news = self._after_load(self._load.answer) or news
            if not stage and not load:
                break
            self._go_on()
        others = [job for job in self._jobs.values() if job not in (self._stages, self._load)]
        if sum(job.poll() for job in others):  # a sum, not any: each must take what it has
            self._go_on()
            news = self.result
        for name, search in self._searches.items():
            messages = search.poll()
            self._messages.setdefault(name, []).extend(messages)
            if messages or (name in self._at_work and not search.busy):
                news = self.result
            if not search.busy:
                self._at_work.discard(name)
        return news

    def _after_stage(self, answer: JobAnswer) -> Progress:
        """What is known after a stage. Where it broke off: the last good state, and that stage is not tried again."""
        known = self.result
        if answer.failed is None:
            found: Progress = answer.value
            same = known is not None and known.pattern is found.pattern
            return replace(found, load=known.load) if known is not None and same else found
        stage, of = _stage_of(answer.key)
        self._broken[stage] = of, answer.failed
        if stage != "study" and known is not None and known.study is not None:
            return replace(known, order=FoldSequence(known.study.faces, (), NO_ORDER)) if stage == "order" else known
        pattern = of.thing if isinstance(of.thing, Pattern) else Pattern()
        if self._wanted is not pattern:  # the hand has gone on: the next study will tell
            return known or Progress(pattern, failed=answer.failed)
        return replace(known if known is not None and known.study is not None else Progress(pattern), failed=answer.failed)

    def _after_load(self, answer: JobAnswer) -> Progress | None:
        """What is known once a real build's load is; None where that is of another pattern, or broke off."""
        known = self.result
        if answer.failed is not None:
            stage, of = _stage_of(answer.key)
            self._broken[stage] = of, answer.failed
        elif known is not None and known.pattern is answer.value.pattern:
            self.result = replace(known, load=answer.value.load)
            return self.result
        return None

    def _next_stage(self) -> tuple[JobKey, Callable[[], Progress]] | None:
        known, wanted = self.result, self._wanted
        if wanted is None or self._failure("study", wanted) is not None:
            return None
        outdated = known is not None and known.study is not None and known.study.rules != self.rules
        if known is None or known.pattern is not wanted or outdated:
            return ("study", IdentityKey(wanted), IdentityKey(self.rules)), partial(with_study, wanted, self._view, self.rules)
        if known.failed is not None or known.study is None:
            return None
        if known.order is None and self.resting:
            return ("order", IdentityKey(known.study)), partial(with_order, known)
        if self.wants_film and known.order is not None and known.film is None and self._failure("film", known.study) is None:
            return ("film", IdentityKey(known.study)), partial(filmed, known)
        return None

    def _next_load(self) -> tuple[JobKey, Callable[[], Progress]] | None:
        known = self.result
        if known is None or known.study is None or known.order is None or known.load is not None:
            return None
        if not self.resting or known.pattern is not self._wanted or self._failure("load", known.study) is not None:
            return None
        return ("load", IdentityKey(known.study)), partial(with_load, known)

    def _failure(self, stage: str, thing: object) -> BaseException | None:
        of, error = self._broken.get(stage, (None, None))
        return error if of is not None and of.thing is thing else None

    # other questions and errands

    def ask_job(self, name: str, key: object, job: Callable[[], object]) -> LatestOnly:
        """Ask a question of another kind: `job` answers it in a thread of the kind's own. The job it is asked of."""
        asked = self._jobs.get(name) or self._new_job(name, "a question in the window")
        if asked.ask(key, job):
            self._go_on()
        return asked

    def last_answer(self, name: str) -> object:
        """What last came of a job, of whichever question; None where there is nothing."""
        job = self._jobs.get(name)
        return None if job is None or job.answer is None else job.answer.value

    def answer_to(self, name: str, key: object) -> object:
        """What came of this very question to a job; None while there is nothing."""
        job = self._jobs.get(name)
        answer = None if job is None else job.answer_to(key)
        return None if answer is None else answer.value

    def start_search(self, name: str, job: Job, *arguments: object) -> None:
        """Begin a search of a kind, in place of the one before."""
        self.stop_search(name)
        given = self._given is not None
        self._at_work.add(name)
        self._searches[name] = InlineSearch(job, *arguments) if given else ProcessSearch(self._wake, name, job, *arguments)

    def search_messages(self, name: str) -> tuple[list[object], bool]:
        """The messages of a search since the last call, and whether it is still at work."""
        search = self._searches.get(name)
        busy = search is not None and search.busy
        return self._messages.pop(name, []), busy

    def stop_search(self, name: str) -> None:
        """End a search at once; messages that nobody has taken are forgotten."""
        search = self._searches.pop(name, None)
        if search is not None:
            search.stop()
        self._messages.pop(name, None)
        self._at_work.discard(name)

    def errand(self, job: Callable[[], T], thread: str = "study") -> Future[T]:
        """Do something else in the thread of the studies, or in another, when it has the time."""
        future = self._thread(thread).submit(job)
        future.add_done_callback(lambda _: self._wake())
        return future

    @contextmanager
    def held(self) -> Iterator[None]:
        """Begin nothing in here: a job begun while a frame is drawn would slow both down, for one interpreter runs both."""
        self._held = True
        try:
            yield
        finally:
            self._held = False
            self._go_on()

    def stop(self) -> bool:
        """Let the threads end; only pages that are being written are waited for, a while. Whether one is still at work."""
        searches = list(self._searches.values())
        for name in list(self._searches):
            self.stop_search(name)
        for search in searches:
            search.join()
        for name, executor in self._threads.items():
            executor.shutdown(wait=False, cancel_futures=name != LOG_THREAD)
        for name in ("write", LOG_THREAD):
            writing = self._threads.get(name)
            if isinstance(writing, Daemon):
                writing.join(WRITING_S)
        return any(isinstance(thread, Daemon) and thread.busy for thread in self._threads.values())

    def _new_job(self, name: str, doing: str) -> LatestOnly:
        self._jobs[name] = LatestOnly(self._thread(name), self._wake, doing)
        return self._jobs[name]

    def _thread(self, name: str) -> Executor:
        """The thread of this name, begun when it is first wanted."""
        if name not in self._threads:
            self._threads[name] = self._given or Daemon(name)
        return self._threads[name]

    def _go_on(self) -> None:
        """Begin what waits, where nothing of its kind is at work."""
        if self._held:
            return
        # What comes next is decided when the one before is done: by then the hand may have gone on.
        for job, following in ((self._load, self._next_load), (self._stages, self._next_stage)):
            if not job.busy and (wanted := following()) is not None:
                job.ask(*wanted)
        for job in self._jobs.values():
            job.go_on()


def _stage_of(key: object) -> tuple[str, IdentityKey]:
    match key:
        case (str(stage), IdentityKey() as of, *_):
            return stage, of
    raise TypeError(key)
