"""A search on several cores: the same results, and no process left behind whatever ends it."""

import time

import numpy as np
import pytest
from msgspec import Struct

from folder.search.ascent.corrected import Sample
from folder.search.families import Stopped
from folder.search.family.designs import DesignPoint
from folder.search.family.workers import Workers


class Steps(Struct, frozen=True):
    """A part that looks at so many designs, each one better than the last, and then waits."""

    first: int
    count: int
    wait_s: float = 0.0

    def run(self, observe):
        for k in range(self.count):
            observe(DesignPoint({}, float(self.first + k)))
        time.sleep(self.wait_s)
        return (Sample(np.array([float(self.first)]), 1.0, float(self.first + self.count)),)


class Broken(Struct, frozen=True):
    """A part that cannot be done."""

    def run(self, observe):
        observe(None)
        raise ZeroDivisionError("nothing can be divided so")


def searched(parts, processes, tally=None):
    """What the parts found, how many designs were reported, the best one."""
    tried, best = 0, -1.0

    def count(more, point):
        nonlocal tried, best
        tried += more
        best = max(best, point.score) if point is not None else best

    with Workers(processes, tally or count) as workers:
        found = [workers.results(parts), workers.results(parts[:2])]
        others = [process for process, _ in workers._others]
    assert not any(process.is_alive() for process in others)
    return [[[(s.place.tolist(), s.fine) for s in part] for part in round_] for round_ in found], tried, best


def test_two_processes_find_and_report_what_one_does():
    parts = [Steps(0, 30), Steps(100, 50), Steps(40, 7)]
    alone, tried, best = searched(parts, 1)
    assert (30 + 50 + 7 + 30 + 50, 149.0) == (tried, best)
    assert (alone, tried, best) == searched(parts, 2)


def test_a_search_that_is_stopped_waits_for_nobody_and_counts_what_was_reported_by_then():
    seen = []

    def enough(_, point):
        seen.append(point and point.score)
        if 109.0 in seen:  # the other process has reported all it will, and sleeps
            raise Stopped

    began = time.perf_counter()
    with pytest.raises(Stopped):
        searched([Steps(0, 1), Steps(100, 10, wait_s=600.0)], 2, enough)
    assert 109.0 == max(seen)
    assert 60.0 > time.perf_counter() - began


def test_what_fails_in_another_process_fails_here():
    with pytest.raises(ZeroDivisionError, match="nothing can be divided"):
        searched([Steps(0, 1), Broken()], 2)
