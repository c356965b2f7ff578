"""A hull made better in the window: each step seen, stopped at any, taken with one change; no process is left behind."""

from __future__ import annotations

import math
import os
import signal
import subprocess
import sys
import time
from itertools import islice
from multiprocessing import active_children

import pygame
import pytest
from msgspec.structs import replace

from folder.draw.hull.view import View
from folder.event.file import EventFile
from folder.event.rules import Rules
from folder.pattern.file import find_pattern, read_pattern
from folder.pattern.walls.reading import read_plan
from folder.search.symmetry import symmetries
from folder.studies import study
from folder.verdict import verdict_of
from folder.window.app import Window
from folder.window.autosave import Autosave, Memory
from folder.window.background.search import ProcessSearch
from folder.window.fold.better import finding
from folder.window.fold.better.actions import SHOWN_S, make_better
from folder.window.fold.better.state import BetterStep, TriedCount
from tests.drawings import crossing_creases, tray
from tests.editor_stage import EditorStage

SEARCH = finding.better_hulls
_found: dict[object, list[object]] = {}


def found_once(pattern, rules, trials, view):
    """The search itself; of the same drawing it is made once."""
    key = (pattern.creases, rules)
    if key not in _found:
        _found[key] = list(SEARCH(pattern, rules, trials, view))
    yield from _found[key]


@pytest.fixture
def stage(tmp_path, home, monkeypatch):  # noqa: ARG001 (the home must be there first)
    monkeypatch.setattr(finding, "better_hulls", found_once)
    return opened(EditorStage(tmp_path, tool="wall"), tray(20.0))


def first_steps(count):
    """The search, ended after so many hulls of the way."""

    def found(pattern, rules, trials, view):
        steps = (message for message in SEARCH(pattern, rules, trials, view) if isinstance(message, BetterStep))
        yield from islice(steps, count)
        yield TriedCount(33)

    return found


def opened(stage: EditorStage, pattern) -> EditorStage:
    stage.editor.begin(pattern)
    stage.editor.take_up("wall")
    stage.ui.redraw()
    stage.settle()
    return stage


def run(stage: EditorStage) -> list[int]:
    """Until nothing more comes: which hulls of the way were shown."""
    shown = [stage.editor.state.better.shown]
    for _ in range(200):
        if not stage.editor.state.better.is_on_the_way:
            break
        stage.wait(SHOWN_S / 2)
        shown.append(stage.editor.state.better.shown)
    stage.wait(0)
    return sorted(set(shown))


def better(stage: EditorStage):
    return stage.editor.state.better


def test_each_better_hull_is_shown_and_the_best_is_taken_with_one_change_and_taken_back_with_one(stage):
    before = stage.pattern
    stage.press("better")
    assert "Looking for better hulls" in stage.ui.find("better/title").text
    shown = run(stage)
    way = better(stage).way
    assert list(range(len(way))) == shown
    assert sorted(step.likely_g for step in way) == [step.likely_g for step in way]
    assert "This one is better" == stage.ui.find("better/title").text
    assert "Walls lean out" in stage.ui.find("better/why").text
    was, now = (math.floor(step.likely_g / 2.5) for step in (way[0], way[-1]))  # US cents of 2.5 g
    assert f"about {now} cents, {now - was} cents more" == stage.ui.find("better/found").text
    assert stage.ui.find("better/why").text.endswith(f": it carries {now - was} cents more.")
    assert " g " not in stage.ui.find("better/step").text
    assert "The blue lines are those of the better hull." in stage.ui.find("hint").text
    assert before is stage.pattern
    stage.press("better/take")
    stage.settle()
    assert way[-1].pattern == stage.pattern
    assert way[-1].likely_g == pytest.approx(stage.editor.fresh.load.likely_g)
    assert "better/title" not in stage.ui.last
    stage.press("undo")
    assert before == stage.pattern
    stage.press("redo")
    assert way[-1].pattern == stage.pattern


def test_the_way_is_walked_back_and_on_and_any_hull_of_it_can_be_taken(stage):
    stage.press("better")
    run(stage)
    last = len(better(stage).way) - 1
    stage.press("better/back")
    assert last - 1 == stage.ui.find("better/step").value
    stage.keys("pageup")
    assert last - 2 == stage.ui.find("better/step").value
    stage.keys("pagedown")
    assert last - 1 == better(stage).shown
    chosen = better(stage).way[last - 1]
    stage.press("better/take")
    assert chosen.pattern == stage.pattern


def test_stopped_the_best_so_far_is_the_offer_and_ones_own_can_be_kept(stage):
    before = stage.pattern
    stage.press("better")
    stage.wait(0.01)
    stage.press("better/stop")
    stopped = better(stage)
    assert len(stopped.way) - 1 == stopped.shown
    assert stopped.tried < list(found_once(before, None, (), View()))[-1].count
    assert "better/take" in stage.ui.last
    stage.settle()
    assert stopped == better(stage)
    stage.press("better/keep")
    assert before is stage.pattern
    assert "hull" in stage.ui.last
    stage.keys("j")
    assert "better/stop" in stage.ui.last
    stage.keys("j")
    assert not better(stage).is_on_the_way
    stage.keys("escape")
    assert better(stage).of is None


def test_it_waits_while_the_page_is_turned_and_leaves_as_soon_as_the_hand_draws_on(stage):
    stage.press("better")
    while len(better(stage).way) < 2:
        stage.wait(0.01)
    stage.turn_to("float")
    stage.turn_to("fold")
    assert "better/title" in stage.ui.last
    run(stage)
    assert "better/take" in stage.ui.last
    stage.press("better/keep")
    stage.press("better")
    stage.hold((0, 75), (33, 75))
    stage.wait(0)
    assert better(stage).of is None
    assert "better/title" not in stage.ui.last
    assert ([], False) == stage.editor.worker.search_messages("better")
    stage.settle()
    assert better(stage).of is None


def test_where_nothing_better_is_found_that_is_said(stage, monkeypatch):
    monkeypatch.setattr(finding, "better_hulls", first_steps(1))
    stage.press("better")
    run(stage)
    assert "Nothing better was found" == stage.ui.find("better/title").text
    assert "33 hulls like yours were tried" in stage.ui.find("better/why").text
    assert "better/take" not in stage.ui.last
    stage.press("better/keep")
    assert better(stage).of is None


def test_a_drawing_that_is_no_hull_begins_with_what_mends_it_and_one_too_large_is_refused(stage, monkeypatch):
    monkeypatch.setattr(finding, "better_hulls", first_steps(3))
    opened(stage, crossing_creases())
    stage.keys("j")
    run(stage)
    way = better(stage).way
    assert 0.0 == way[0].likely_g
    assert "no hull yet" == stage.ui.find("better/mine").text
    assert stage.ui.find("better/why").text.startswith("Now it is a hull")
    assert ["hull"] * (len(way) - 1) == [verdict_of(study(step.pattern)).code for step in way[1:]]
    line = tray(20.0).creases[0]
    opened(stage, replace(tray(20.0), creases=(line,) * 500))
    stage.keys("j")
    run(stage)
    assert "too long" in stage.ui.find("better/why").text
    assert "better/take" not in stage.ui.last


def test_another_rule_ends_the_search_and_a_hull_that_breaks_it_is_called_so_and_no_unfinished_one(stage, monkeypatch, tmp_path):
    monkeypatch.setattr(finding, "better_hulls", first_steps(2))
    stage.press("better")
    run(stage)
    assert "better/take" in stage.ui.last
    EventFile.new(tmp_path / "day.sqlite", Rules(wall_most_mm=15.0)).close()
    stage.editor.memory.event = str(tmp_path / "day.sqlite")
    stage.editor.changed()
    assert better(stage).of is None
    stage.settle()
    stage.press("better")
    run(stage)
    assert "breaks a rule" == stage.ui.find("better/mine").text
    assert stage.ui.find("better/why").text.startswith("Now it keeps your event's rules: it carries")


def test_nothing_but_whole_millimetres_and_degrees_within_an_events_rules_and_the_symmetry_of_the_walls():
    rules = Rules(wall_most_mm=22.0)
    way = [step for step in SEARCH(tray(20.0, 23.5), rules, (), View()) if isinstance(step, BetterStep)]
    first, best = way[0].pattern, way[-1].pattern
    plan = read_plan(best)
    assert plan is not None
    assert [] == [f.code for f in study(best, rules=rules).report.stops]
    for k, wall in enumerate(plan.plan.walls):
        for value in (plan.plan.width_mm(k), math.degrees(wall.turn_rad)):
            assert round(value) == pytest.approx(value, abs=1e-6) or 23.5 == pytest.approx(value)
    assert {"left and right", "up and down"} <= symmetries(first) <= symmetries(best)
    assert way[-1].likely_g > way[0].likely_g


SIZES = [((1024, 700), 1.5), ((1920, 1080), 2.0), ((1024, 700), 1.0), ((1280, 800), 1.0), ((1280, 800), 1.5), ((1920, 1080), 1.0)]


@pytest.mark.parametrize("case", [*SIZES[:2], *(pytest.param(case, marks=pytest.mark.whole) for case in SIZES[2:])])
def test_it_fits_at_every_size(tmp_path, home, monkeypatch, case):  # noqa: ARG001
    monkeypatch.setattr(finding, "better_hulls", found_once)
    stage = opened(EditorStage(tmp_path, *case, tool="wall"), tray(20.0))
    assert [] == [said.text for said in stage.ui.display_list.texts if said.cut]
    stage.press("better")
    for _ in range(3):
        stage.wait(SHOWN_S)
        assert [] == [said.text for said in stage.ui.display_list.texts if said.cut]
    run(stage)
    for name in ("take", "keep", "back", "on", "why", "step", "mine", "found"):
        record = stage.ui.find(f"better/{name}")
        assert record.visible.covers(record.pane), name
    assert [] == [said.text for said in stage.ui.display_list.texts if said.cut]


def test_a_window_that_is_closed_while_it_looks_leaves_no_process(tmp_path, home):  # noqa: ARG001
    pygame.font.init()
    window = Window(pygame.Surface((1280, 800)), memory=Memory([], 1.0), autosave=Autosave(tmp_path / "work"))
    window.editor.begin(read_pattern(find_pattern("fan-bowl")))
    make_better(window.editor)
    end = time.monotonic() + 60.0
    while not window.editor.state.better.way and time.monotonic() < end:
        window.frame([], 0.05)
        time.sleep(0.05)
    assert window.editor.state.better.way
    assert ["search"] == [p.name for p in active_children()]
    window.close()
    assert [] == active_children()


class _OfAnotherVersion:
    """What this program cannot read: sent by one whose files were renewed under the open window."""

    def __reduce__(self):
        return int, ("no number",)


def sends_what_cannot_be_read():
    yield _OfAnotherVersion()


@pytest.mark.whole
def test_a_program_renewed_under_its_open_window_is_said_and_not_that_nothing_was_found(home):  # noqa: ARG001
    search = ProcessSearch(lambda: None, "better", sends_what_cannot_be_read)
    end = time.monotonic() + 60.0
    while not (found := search.poll()) and time.monotonic() < end:
        time.sleep(0.05)
    search.join()
    assert ["The program has changed under its open window. Save, close it and open it again."] == [
        message.text for message in found
    ]
    assert not search.busy


ALONE = """
import sys, time
from folder.window.background.worker import Worker
from folder.window.fold.better.finding import better_hulls
from folder.pattern.file import find_pattern, read_pattern
from folder.draw.hull.view import View
if __name__ == "__main__":
    worker = Worker()
    worker.start_search("better", better_hulls, read_pattern(find_pattern("screw-box")), None, (), View())
    while not worker._searches["better"].pid:
        time.sleep(0.05)
    print(worker._searches["better"].pid, flush=True)
    time.sleep(60)
"""


@pytest.mark.whole
@pytest.mark.skipif(os.name == "nt", reason="signals of POSIX")
def test_a_window_that_is_killed_takes_the_search_with_it(tmp_path):
    script = tmp_path / "alone.py"
    script.write_text(ALONE)
    alone = subprocess.Popen([sys.executable, str(script)], stdout=subprocess.PIPE, text=True)
    assert alone.stdout is not None
    pid = int(alone.stdout.readline())
    time.sleep(2.0)
    os.kill(pid, 0)
    alone.send_signal(signal.SIGKILL)
    alone.wait()
    alone.stdout.close()
    end = time.monotonic() + 10.0
    while time.monotonic() < end:
        try:
            os.kill(pid, 0)
        except ProcessLookupError:
            return
        time.sleep(0.1)
    pytest.fail("the search goes on")
