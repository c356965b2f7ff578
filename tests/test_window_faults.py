"""Faults of the program in the window: the drawing is kept, the last good state stays, and closing waits for nobody."""

import random
import subprocess
import sys
import threading
import time
from pathlib import Path

import pygame
import pytest

from folder.fold.sequence.steps import FoldSequence
from folder.pattern.families.catalogue import make
from folder.pattern.file import find_pattern, read_pattern, write_pattern
from folder.places import user_data
from folder.practice import log as log_module
from folder.practice.log import TrialLog, read_trials
from folder.practice.trial import Trial
from folder.studies import study
from folder.window import app
from folder.window.app import Window
from folder.window.autosave import Autosave, Memory
from folder.window.background import worker as module
from folder.window.background.daemon import Daemon
from folder.window.background.worker import Worker
from folder.window.commands.files import save_file
from folder.window.trials import commands
from folder.window.verdict import verdict
from tests import user_input
from tests.editor_stage import EditorStage, compare_in_grams
from tests.test_cli_faults import STRIKE, held
from tests.test_window_background_worker import finished

ROOT = Path(__file__).parents[1]
SMALL, LARGE = make("square-tray", {"wall": 25}), make("square-tray", {"wall": 30})


@pytest.fixture
def stage(tmp_path, home):  # noqa: ARG001 (the home must be there first)
    stage = EditorStage(tmp_path)
    stage.draw((0, 25), (150, 25))
    return stage


def faults():
    return sorted((user_data() / "faults").glob("*.txt"))


def broken(*_):
    raise ZeroDivisionError("a fault")


# The trial log


def test_a_damaged_trial_log_is_said_under_the_numbers_and_the_hull_is_told_without_trials(tmp_path, home):  # noqa: ARG001
    user_data().mkdir(parents=True, exist_ok=True)
    (user_data() / "trials.sqlite").write_text("no database")
    stage = EditorStage(tmp_path)
    stage.open("plain-tray")
    assert "Your trial log cannot be read: this is without trials." in stage.ui.find("advice").text
    assert "about 66 cents, 51 to 82" == stage.ui.find("likely").text


def frames_until(window: Window, done) -> float:
    """The most work of a frame, s, until something is so."""
    end, most = time.monotonic() + 20.0, 0.0
    while not done():
        assert time.monotonic() < end
        began = time.monotonic()
        window.ui.redraw()  # as the thread wakes the real loop
        window.frame([], 0.02)
        most = max(most, time.monotonic() - began)
        time.sleep(0.005)
    return most


def test_a_trial_noted_while_another_program_holds_the_log_stops_no_frame_and_is_not_lost(tmp_path, home, monkeypatch):  # noqa: ARG001
    """It is said in a line, what was filled in stays, and once the log is free one more press notes it."""
    pygame.font.init()
    with TrialLog() as log:
        log.add(Trial("2025-03-14", "Plain tray", "us-cent", 2.5, 50))
    monkeypatch.setattr(log_module, "WAIT_S", 1.0)
    compare_in_grams(monkeypatch)
    window = Window(pygame.Surface((1280, 800)), memory=Memory(), autosave=Autosave(tmp_path / "work"))
    editor, ui = window.editor, window.ui
    editor.begin(read_pattern(find_pattern("plain-tray")))
    window.frame(user_input.key("3"), 0.02)
    with held(log_module.default_path(), STRIKE):
        for events in (user_input.key("t"), user_input.typed("40"), user_input.key("enter")):
            window.frame(events, 0.02)
        assert "trial/held" in ui.last
        most = frames_until(window, lambda: editor.state.trials.waiting is None)
        assert most < 1.0  # a frame does not wait for the log
        assert "locked" in editor.state.trials.problem
        assert "Close other programs" in editor.state.trials.problem
        assert 40 == editor.state.trials.form.held
    window.frame(user_input.press(ui, "trial/note"), 0.02)
    frames_until(window, lambda: editor.state.dialog == "")
    window.editor.worker.stop()
    assert [50, 40] == [trial.count for trial in read_trials()]


def test_a_log_that_could_not_be_read_is_read_once_it_is_free(stage, monkeypatch):
    with TrialLog() as log:
        log.add(Trial("2025-03-14", "Plain tray", "us-cent", 2.5, 50))
    monkeypatch.setattr(commands, "AGAIN_S", 0.01)
    monkeypatch.setattr(log_module, "AGAIN_S", 0.0)
    monkeypatch.setattr(log_module, "LOOK_S", 0.01)
    with held(log_module.default_path(), STRIKE):
        compare_in_grams(monkeypatch)
        stage.keys("3", "shift+t")
        stage.settle()
        assert stage.ui.shows("locked")
        assert () == log_module.trials_now()
    time.sleep(0.02)
    stage.wait(3.0)
    stage.settle()
    assert not stage.ui.shows("locked")
    assert [50] == [trial.count for trial in log_module.trials_now()]


# Files under the open window


def test_where_nothing_of_the_users_can_be_kept_all_goes_on_and_is_said(tmp_path, home, monkeypatch):  # noqa: ARG001
    (tmp_path / "file").write_text("no directory")
    monkeypatch.setenv("FOLDER_DATA", str(tmp_path / "file" / "data"))
    stage = EditorStage(tmp_path / "file")
    stage.open("plain-tray")
    stage.keys("alt+up", "w")
    stage.draw((75, 1), (75, 30))
    stage.wait(4.0)
    assert any("No safety copy can be written." in message.text for message in stage.ui.messages)
    compare_in_grams(monkeypatch)
    stage.keys("3", "t")
    stage.type("40")
    stage.keys("enter")
    stage.settle()
    assert "There is no place for trials" in stage.editor.state.trials.problem
    assert 40 == stage.editor.state.trials.form.held
    assert not stage.window.close()
    assert [] == faults()


def test_a_file_that_goes_or_changes_under_the_window_is_written_anew_or_asked_about(stage, tmp_path):
    directory = tmp_path / "mine"
    directory.mkdir()
    path, other = directory / "hull.json", directory / "other.json"

    def saved(pattern) -> str:
        stage.editor.edit(lambda _: pattern)
        stage.ui.messages = []
        stage.keys("ctrl+s")
        stage.wait(0.0)
        return " ".join(message.text for message in stage.ui.messages)

    assert "" == save_file(stage.editor, path)
    path.unlink()
    assert "Saved as hull.json." == saved(SMALL)
    path.rename(other)
    assert "Saved as hull.json." == saved(LARGE)
    assert (SMALL, LARGE) == (read_pattern(other), read_pattern(path))
    write_pattern(SMALL, path)  # another program
    third = make("square-tray", {"wall": 20})
    assert "changed by another program" in saved(third)
    assert "save" == stage.editor.state.dialog
    assert SMALL == read_pattern(path)
    stage.keys("escape")
    path.unlink()
    other.unlink()
    directory.rmdir()
    assert "cannot be written" in saved(LARGE)
    stage.quit()
    assert "leave" == stage.editor.state.dialog  # the file it was saved in has gone
    assert LARGE == stage.pattern


# Closing


ENDLESS = """
import sys, threading, time
from folder.window.background import worker

def endless(*_):
    while True:
        {body}

worker.with_study = endless

def close():
    import pygame
    while True:
        time.sleep(0.2)
        if pygame.display.get_init():
            pygame.event.post(pygame.event.Event(pygame.QUIT))

threading.Thread(target=close, daemon=True).start()
from folder.cli import main
print("said before")
sys.exit(main(["draw", "plain-tray"]))
"""


@pytest.mark.parametrize("body", ["pass", "time.sleep(3600)"])
def test_a_window_with_a_study_that_never_ends_is_closed_at_once(body):
    began = time.monotonic()
    code = ENDLESS.format(body=body)
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, check=False, timeout=30)
    assert (0, b"said before", b"") == (done.returncode, done.stdout.strip(), done.stderr)
    assert 15 > time.monotonic() - began


def test_stopping_waits_for_no_study_and_says_that_one_is_at_work(monkeypatch):
    go_on = threading.Event()
    monkeypatch.setattr(module, "with_study", lambda *_: go_on.wait(20))
    worker = Worker()
    worker.ask(SMALL)
    while not worker._thread("study").busy:
        time.sleep(0.001)
    began = time.monotonic()
    assert worker.stop()
    assert 0.5 > time.monotonic() - began
    go_on.set()


def test_pages_that_are_being_written_are_written_to_the_end(tmp_path):
    worker = Worker()

    def write():
        time.sleep(0.1)
        (tmp_path / "page").write_text("whole")

    worker.errand(write, "write")
    assert not worker.stop()
    assert "whole" == (tmp_path / "page").read_text()


def test_jobs_are_done_in_their_order_and_a_fault_is_handed_to_whoever_asked():
    thread, done = Daemon("test"), []
    for k in range(5):
        thread.submit(done.append, k)
    bad = thread.submit(broken)
    last = thread.submit(lambda: 7)
    assert isinstance(bad.exception(5), ZeroDivisionError)
    assert 7 == last.result(5)
    assert [0, 1, 2, 3, 4] == done
    gate = threading.Event()
    thread.submit(gate.wait, 10)
    waiting = thread.submit(done.append, 9)
    thread.shutdown(wait=False, cancel_futures=True)
    gate.set()
    thread.join(5)
    assert waiting.cancelled()
    assert not thread.busy


# A frame that breaks off


def test_a_frame_that_breaks_off_is_said_and_the_drawing_is_kept(stage, monkeypatch):
    before = stage.pattern
    with monkeypatch.context() as patch:
        patch.setattr(app, "page", broken)
        stage.ui.redraw()
        assert not stage.window.careful_frame([], 0.1)
    [details] = faults()
    assert "in broken" in details.read_text()
    stage.window.careful_frame([], 0.1)
    stage.window.careful_frame([], 0.1)
    assert stage.pattern is before
    assert any("Your drawing is kept" in message.text for message in stage.ui.messages)
    assert stage.ui.find("sheet").visible.w > 300


def test_a_drawing_that_breaks_every_frame_goes_back_to_the_last_good_one_and_can_be_redone(stage, monkeypatch):
    stage.window.careful_frame([], 0.1)
    good, page = stage.pattern, app.page

    def picky(ui, editor):
        if len(editor.document.pattern.creases) > len(good.creases):
            broken()
        page(ui, editor)

    monkeypatch.setattr(app, "page", picky)
    stage.editor.edit(lambda _: LARGE)
    stage.ui.redraw()
    for _ in range(3):
        stage.window.careful_frame([], 0.1)
    assert stage.pattern is good
    assert LARGE == stage.editor.document.redone().pattern
    assert LARGE == read_pattern(stage.editor.autosave.file)
    assert 2 == len(faults())
    assert "closed" not in stage.ui.find("verdict").text
    assert stage.ui.find("sheet").visible.w > 300


def test_a_window_that_breaks_whatever_it_does_ends_with_the_drawing_on_disk(stage, monkeypatch):
    drawing = stage.pattern
    monkeypatch.setattr(app, "page", broken)
    for _ in range(app.MOST_FAULTS):
        stage.ui.redraw()
        assert not stage.window.careful_frame([], 0.1)
    stage.ui.redraw()
    with pytest.raises(ZeroDivisionError):
        stage.window.careful_frame([], 0.1)
    stage.window.close()
    assert drawing == read_pattern(stage.editor.autosave.file)


def test_a_frame_that_goes_well_forgives_the_ones_before(stage, monkeypatch):
    page = app.page
    for _ in range(app.MOST_FAULTS + 3):
        monkeypatch.setattr(app, "page", broken)
        stage.ui.redraw()
        assert not stage.window.careful_frame([], 0.1)
        monkeypatch.setattr(app, "page", page)
        stage.window.careful_frame([], 0.1)


@pytest.mark.parametrize("button", ["delete", "alike"])
def test_the_buttons_on_one_picked_line_change_what_is_picked_and_the_frame_stands(stage, button):
    stage.keys("escape", "escape", "p")
    stage.click((75, 25))
    assert 1 == len(stage.editor.document.picked)
    before = len(stage.pattern.creases)
    stage.press(button)
    assert (before - 1 if button == "delete" else before) == len(stage.pattern.creases)
    assert [] == faults()


# A study that breaks off


def test_the_last_good_state_stays_where_a_study_breaks_off(monkeypatch):
    worker = Worker()
    worker.ask(SMALL)
    good = finished(worker, SMALL)
    with monkeypatch.context() as patch:
        patch.setattr(module, "with_study", broken)
        worker.ask(LARGE)
        while worker.result.failed is None:
            worker.poll()
    assert isinstance(worker.result.failed, ZeroDivisionError)
    assert good.study is worker.result.study
    assert "too much for the program" in verdict(worker.result)[0]
    assert not worker.busy
    assert 1 == len(faults())
    worker.ask(SMALL)
    assert worker.result.failed is None
    assert study(SMALL).load == study(SMALL).load
    worker.ask(LARGE)
    assert worker.result.failed is not None
    worker.stop()


@pytest.mark.parametrize("job", ["with_order", "filmed", "with_load"])
def test_what_follows_the_study_may_break_off_once_and_the_verdict_stands(job, monkeypatch):
    asked = []

    def count(known):
        asked.append(known)
        broken()

    monkeypatch.setattr(module, job, count)
    worker = Worker()
    worker.want_film()
    worker.ask(SMALL)
    end = time.monotonic() + 20
    while time.monotonic() < end and not asked:
        worker.poll()
        time.sleep(0.002)
    for _ in range(50):
        worker.poll()
        time.sleep(0.002)
    assert 1 == len(asked)
    assert worker.result.failed is None
    assert ("Folds from one sheet, no cut, no tape.", "good") == verdict(worker.result)
    assert isinstance(worker.result.order, FoldSequence)
    assert (job != "with_order") == worker.result.order.found
    assert 1 == len(faults())
    worker.stop()


def test_a_question_that_breaks_off_leaves_its_details(monkeypatch):  # noqa: ARG001
    worker = Worker()
    job = worker.ask_job("odd", "key", broken)
    end = time.monotonic() + 10
    while job.busy and time.monotonic() < end:
        worker.poll()
    assert isinstance(job.answer_to("key").failed, ZeroDivisionError)
    assert 1 == len(faults())
    worker.stop()


# Whatever a hand does

KEYS = "1 2 3 4 5 ctrl+1 p l a delete ctrl+z ctrl+y escape enter tab up down left right + - 0 f6 home end ctrl+a ctrl+c ctrl+v backspace"


def some_press(stage, draw):
    """Something a hand may do: press what is in sight, draw, click on the sheet, a key, nonsense typed."""
    within = stage.ui.page
    seen = [
        name for name, record in stage.ui.last.items()
        if record.visible.w > 1 and record.visible.h > 1 and within.h > record.visible.middle[1]
        and "save" not in name and "leave" not in name
    ]  # fmt: skip
    kind = draw.random() if "sheet" in seen and not stage.editor.state.dialog else 0.0
    if kind < 0.5 and seen:
        stage.press(draw.choice(seen))
    elif kind < 0.65:
        stage.draw((draw.uniform(-5, 155), draw.uniform(-5, 155)), (draw.uniform(-5, 155), draw.uniform(-5, 155)))
    elif kind < 0.8:
        stage.click((draw.uniform(0, 150), draw.uniform(0, 150)))
    elif kind < 0.95:
        stage.keys(draw.choice(KEYS.split()))
    else:
        stage.type(draw.choice(["nan", "12", "-5", "x", "1e9"]))


@pytest.mark.parametrize("name", ["plain-tray", "pinched-barge", ""])
def test_no_frame_breaks_off_whatever_a_hand_does(tmp_path, home, name, many):  # noqa: ARG001
    """Seeded; 15 presses in the suite, a thousand on request."""
    for seed in range(many(1, 40)):
        stage, draw = EditorStage(tmp_path), random.Random(f"{name}{seed}")
        if name:
            stage.open(name)
        for _ in range(many(15, 25)):
            some_press(stage, draw)
