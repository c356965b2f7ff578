"""What is worked out is kept, and what is not wanted any more is not begun."""

from __future__ import annotations

import threading

from folder.window.background.worker import Worker
from folder.window.compare.counts import MOST_STUDIES, Counts
from tests.at_once import AtOnce


def test_an_answer_is_worked_out_once() -> None:
    counts, worker, made = Counts(), Worker(AtOnce()), []
    for _ in range(3):
        counts.begin()
        assert 1 == counts.ask(worker, "one", lambda: made.append(0) or len(made)).result()


def test_of_studies_those_asked_for_last_are_kept() -> None:
    counts, worker, made = Counts(), Worker(AtOnce()), []
    for k in (*range(MOST_STUDIES), 0, MOST_STUDIES, 0, 1):
        counts.begin()
        counts.ask(worker, k, lambda k=k: made.append(k), heavy=True)
    assert [*range(MOST_STUDIES), MOST_STUDIES, 1] == made


def test_what_is_not_asked_for_any_more_is_not_begun() -> None:
    counts, worker, made, go = Counts(), Worker(), [], threading.Event()
    counts.begin()
    running = counts.ask(worker, "running", go.wait)
    counts.ask(worker, "old", lambda: made.append("old"))
    for key in ("new", "new"):
        counts.begin()
        last = counts.ask(worker, key, lambda: made.append("new"))
    go.set()
    last.result(5.0)
    worker.stop()
    assert (["new"], True) == (made, running.done())
