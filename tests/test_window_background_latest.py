"""Lanes: questions answered beside the drawing thread, the newest alone."""

from concurrent.futures import Executor, Future

import pytest

from folder.errors import BadRequest
from folder.window.background.latest import LatestOnly
from folder.window.background.worker import Worker
from tests.at_once import AtOnce


class Slow(Executor):
    """Does nothing until it is told to."""

    def __init__(self):
        self.jobs = []

    def submit(self, fn, /, *args, **kwargs):
        future = Future()
        self.jobs.append((future, lambda: fn(*args, **kwargs)))
        return future

    def finish(self):
        future, job = self.jobs.pop(0)
        try:
            future.set_result(job())
        except Exception as error:  # noqa: BLE001 (as a thread does)
            future.set_exception(error)


def test_the_newest_question_is_answered_and_those_between_are_dropped():
    slow, woken, asked = Slow(), [], []
    job = LatestOnly(slow, lambda: woken.append(1))
    for k in range(5):
        assert job.ask(k, lambda k=k: asked.append(k) or k)
        job.go_on()
    while slow.jobs:
        slow.finish()
        assert job.poll()
        job.go_on()
    assert [0, 4] == asked
    assert (4, 4) == (job.answer.key, job.answer.value)
    assert 2 == len(woken)
    assert not job.busy


def test_the_same_question_is_asked_once():
    slow = Slow()
    job = LatestOnly(slow, lambda: None)
    assert job.ask("a", lambda: 1)
    job.go_on()
    assert not job.ask("a", lambda: 2)
    job.go_on()
    assert 1 == len(slow.jobs)


def test_an_answer_to_an_older_question_is_not_taken_for_one_to_the_newest():
    slow = Slow()
    job = LatestOnly(slow, lambda: None)
    job.ask("a", lambda: 1)
    job.go_on()
    job.ask("b", lambda: 2)
    slow.finish()
    job.poll()
    assert job.answer_to("b") is None
    assert 1 == job.answer_to("a").value
    assert job.busy


@pytest.mark.parametrize("error", [BadRequest("no"), ZeroDivisionError()])
def test_what_goes_wrong_is_an_answer_too(error):
    def fails():
        raise error

    slow = Slow()
    job = LatestOnly(slow, lambda: None)
    job.ask("a", fails)
    job.go_on()
    slow.finish()
    assert job.poll()
    assert error is job.answer.failed
    assert job.answer.value is None


def test_the_worker_begins_no_question_while_a_frame_is_drawn():
    worker = Worker(AtOnce())
    with worker.held():
        job = worker.ask_job("sum", 1, lambda: 2 + 2)
        assert job.busy
    worker.poll()
    assert 4 == worker.ask_job("sum", 1, lambda: 0).answer.value
    assert 4 == worker.last_answer("sum")
    assert worker.last_answer("nothing") is None


def test_questions_of_two_kinds_do_not_drop_each_other():
    worker = Worker(AtOnce())
    for name, value in (("one", 1), ("two", 2)):
        worker.ask_job(name, "key", lambda value=value: value)
    worker.poll()
    assert (1, 2) == (worker.last_answer("one"), worker.last_answer("two"))
