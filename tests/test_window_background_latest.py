"""Lanes: questions answered beside the drawing thread, the newest alone."""

from concurrent.futures import Executor, Future

import pytest

from folder.errors import BadRequest
from folder.window.background.latest import LatestOnly
from folder.window.background.worker import AtOnce, Worker


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
    lane = LatestOnly(slow, lambda: woken.append(1))
    for k in range(5):
        assert lane.ask(k, lambda k=k: asked.append(k) or k)
        lane.go_on()
    while slow.jobs:
        slow.finish()
        assert lane.poll()
        lane.go_on()
    assert [0, 4] == asked
    assert (4, 4) == (lane.answer.key, lane.answer.value)
    assert 2 == len(woken)
    assert not lane.busy


def test_the_same_question_is_asked_once():
    slow = Slow()
    lane = LatestOnly(slow, lambda: None)
    assert lane.ask("a", lambda: 1)
    lane.go_on()
    assert not lane.ask("a", lambda: 2)
    lane.go_on()
    assert 1 == len(slow.jobs)


def test_an_answer_to_an_older_question_is_not_taken_for_one_to_the_newest():
    slow = Slow()
    lane = LatestOnly(slow, lambda: None)
    lane.ask("a", lambda: 1)
    lane.go_on()
    lane.ask("b", lambda: 2)
    slow.finish()
    lane.poll()
    assert lane.answer_to("b") is None
    assert 1 == lane.answer_to("a").value
    assert lane.busy


@pytest.mark.parametrize("error", [BadRequest("no"), ZeroDivisionError()])
def test_what_goes_wrong_is_an_answer_too(error):
    def fails():
        raise error

    slow = Slow()
    lane = LatestOnly(slow, lambda: None)
    lane.ask("a", fails)
    lane.go_on()
    slow.finish()
    assert lane.poll()
    assert error is lane.answer.failed
    assert lane.answer.value is None


def test_the_worker_begins_no_question_while_a_frame_is_drawn():
    worker = Worker(AtOnce())
    with worker.held():
        lane = worker.ask_lane("sum", 1, lambda: 2 + 2)
        assert lane.busy
    worker.poll()
    assert 4 == worker.ask_lane("sum", 1, lambda: 0).answer.value
    assert 4 == worker.last_answer("sum")
    assert worker.last_answer("nothing") is None


def test_questions_of_two_kinds_do_not_drop_each_other():
    worker = Worker(AtOnce())
    for name, value in (("one", 1), ("two", 2)):
        worker.ask_lane(name, "key", lambda value=value: value)
    worker.poll()
    assert (1, 2) == (worker.last_answer("one"), worker.last_answer("two"))
