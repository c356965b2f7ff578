"""The worker studies the newest pattern only, away from the drawing thread."""

import threading
import time

import pytest

from folder.pattern.families.catalogue import make
from folder.pattern.pattern import Pattern
from folder.studies import study
from folder.window.background import worker as module
from folder.window.background.result import Progress
from folder.window.background.worker import Worker
from tests.at_once import AtOnce


def finished(worker, pattern, seconds=20.0):
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        worker.poll()
        if worker.result is not None and worker.result.pattern is pattern and not worker.busy:
            return worker.result
        time.sleep(0.002)
    raise AssertionError("the study never came")


def test_a_result_belongs_to_the_pattern_it_was_asked_for_and_agrees_with_the_study():
    worker = Worker(AtOnce())
    tray = make("square-tray", {"wall": 30})
    worker.ask(tray)
    result = worker.poll()
    assert result is not None
    assert tray is result.pattern
    assert study(tray).load == result.load
    assert study(tray).report == result.study.report


def test_of_many_asked_for_while_one_is_studied_only_the_newest_is_studied_next(monkeypatch):
    seen, gate = [], threading.Event()

    def slow(pattern, *_):
        seen.append(pattern)
        gate.wait(10)
        return Progress(pattern, study(pattern))

    monkeypatch.setattr(module, "with_study", slow)
    worker = Worker()
    patterns = [Pattern(name=str(k)) for k in range(30)]
    for pattern in patterns:
        worker.ask(pattern)
    gate.set()
    assert finished(worker, patterns[-1]).pattern is patterns[-1]
    worker.stop()
    assert seen == [patterns[0], patterns[-1]]


def test_the_order_of_folds_follows_and_its_film_only_when_it_is_wanted():
    worker = Worker(AtOnce())
    worker.ask(make("square-tray", {"wall": 30}))
    result = worker.poll()
    assert result.order is not None
    assert result.order.found
    assert result.film is None
    worker.want_film()
    assert worker.poll().film is not None


def test_a_study_that_breaks_off_is_told_and_the_next_one_is_made(monkeypatch):
    def broken(pattern, *_):
        raise ZeroDivisionError(pattern.name)

    worker = Worker()
    with monkeypatch.context() as patch:
        patch.setattr(module, "with_study", broken)
        bad = Pattern(name="bad")
        worker.ask(bad)
        result = finished(worker, bad)
    assert isinstance(result.failed, ZeroDivisionError)
    good = Pattern(name="good")
    worker.ask(good)
    assert finished(worker, good).study is not None
    worker.stop()


def test_the_loop_is_woken_when_a_result_is_ready():
    woken = threading.Event()
    worker = Worker(wake=woken.set)
    worker.ask(Pattern())
    assert woken.wait(10)
    worker.stop()


def test_what_takes_long_waits_until_the_hand_rests():
    worker = Worker(AtOnce())
    worker.resting = False
    tray = make("square-tray", {"wall": 30})
    worker.ask(tray)
    assert worker.poll().load is None
    worker.resting = True
    worker.ask(make("square-tray", {"wall": 31}))
    assert worker.poll().load is not None


@pytest.mark.parametrize("count", [0, 1])
def test_asking_for_the_same_pattern_twice_is_asking_once(count):
    worker = Worker(AtOnce())
    pattern = Pattern()
    worker.ask(pattern)
    first = worker.poll()
    for _ in range(count):
        worker.ask(pattern)
    assert worker.poll() is None
    assert worker.result is first


def test_nothing_is_begun_while_a_frame_is_drawn():
    worker = Worker(AtOnce())
    with worker.held():
        worker.ask(Pattern())
        assert worker.poll() is None
    assert worker.poll() is not None


def test_the_order_of_folds_waits_until_the_hand_rests():
    worker = Worker(AtOnce())
    worker.resting = False
    tray = make("square-tray", {"wall": 30})
    worker.ask(tray)
    assert worker.poll().order is None
    worker.resting = True
    worker.ask(tray)
    assert worker.poll().order is not None
