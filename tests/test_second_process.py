"""Work done in two processes is what one would have done, whatever becomes of the second."""

import os
import subprocess
import sys
import time
from multiprocessing import active_children
from pathlib import Path

import pytest

from folder import second_process
from folder.second_process import parallel_map
from tests.errands import PATIENCE_S, doer, doer_that_dies, doer_that_fails, doer_that_fails_there

ROOT = Path(__file__).resolve().parent.parent


@pytest.fixture
def two_cores(monkeypatch):
    monkeypatch.setattr(second_process, "cores", lambda: 2)


def errands(directory, count=6):
    return [(number, os.getpid(), str(directory)) for number in range(count)]


@pytest.mark.parametrize("work", [doer, doer_that_fails_there, doer_that_dies])
@pytest.mark.usefixtures("two_cores")
def test_all_is_done_in_its_order_and_reported_and_no_process_stays(work, tmp_path):
    seen = []
    found = parallel_map(work, errands(tmp_path), lambda done, of: seen.append((done, of)), least_s=0.0)
    assert list(range(6)) == [number for number, _ in found]
    assert (work is doer) == any(there for _, there in found)
    assert not found[0][1]
    assert sorted(seen) == seen
    assert (0, 6) == seen[0]
    assert (tmp_path / "done-by-second").exists()
    assert [] == active_children()


@pytest.mark.usefixtures("two_cores")
def test_of_several_errors_the_first_is_raised_as_with_one_process(tmp_path):
    with pytest.raises(ValueError, match="errand 2"):
        parallel_map(doer_that_fails, errands(tmp_path), least_s=0.0)
    assert [] == active_children()


@pytest.mark.usefixtures("two_cores")
def test_what_is_stopped_leaves_no_process(tmp_path):
    def stop(done: int, _of: int) -> None:
        if done:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        parallel_map(doer, errands(tmp_path), stop, least_s=0.0)
    assert [] == active_children()


def no_process(*_args):
    raise OSError("no more processes")


@pytest.mark.usefixtures("two_cores")
def test_where_no_process_can_be_started_there_is_one(tmp_path, monkeypatch):
    (tmp_path / "done-by-second").touch()
    monkeypatch.setattr(second_process, "_Second", no_process)
    assert [(number, False) for number in range(6)] == parallel_map(doer, errands(tmp_path), least_s=0.0)


@pytest.mark.parametrize(("cores", "count", "least_s"), [(1, 6, 0.0), (2, 2, 0.0), (2, 6, 60.0)])
def test_one_core_two_tasks_or_little_work_need_no_second(cores, count, least_s, tmp_path, monkeypatch):
    (tmp_path / "done-by-second").touch()
    monkeypatch.setattr(second_process, "cores", lambda: cores)
    monkeypatch.setattr(second_process, "_Second", lambda *_: pytest.fail("a second process"))
    assert count == len(parallel_map(doer, errands(tmp_path, count), least_s=least_s))


KILLED = """
import os, sys
from folder import second_process
from tests.errands import sleeper
second_process.cores = lambda: 2
second_process.parallel_map(sleeper, [(k, os.getpid(), sys.argv[1]) for k in range(9)], least_s=0.0)
"""


@pytest.mark.whole
def test_the_second_ends_with_the_first_even_if_that_is_killed(tmp_path):
    """It has nobody to answer once its task is done, and no interpreter goes on in vain for longer."""
    first = subprocess.Popen([sys.executable, "-c", KILLED, str(tmp_path)], cwd=ROOT)
    end = time.monotonic() + PATIENCE_S
    while len(list(tmp_path.iterdir())) < 2 and time.monotonic() < end:
        time.sleep(0.05)
    (second,) = {int(path.name) for path in tmp_path.iterdir()} - {first.pid}
    first.kill()
    first.wait()
    end = time.monotonic() + 2.0 * PATIENCE_S
    while Path(f"/proc/{second}").exists() and time.monotonic() < end:
        time.sleep(0.5)
    assert not Path(f"/proc/{second}").exists()
