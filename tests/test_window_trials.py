"""Trials in the window: noted in few keys, asked about, corrected, taken back, carried to and from a table; and never lost."""

from __future__ import annotations

import datetime
import math
from concurrent.futures import Future

import pytest
from msgspec.structs import replace

from folder.practice.exchange import export_csv, read_csv
from folder.practice.identity import design_key
from folder.practice.log import TrialLog, read_history, read_trials
from folder.practice.trial import Trial
from folder.window.background.worker import LOG_THREAD, Worker
from tests.editor_stage import EditorStage, compare_in_grams


@pytest.fixture(autouse=True)
def in_grams(monkeypatch):
    """The page under the dialogs compares in grams: what objects would make of it is of no matter here, and takes long."""
    compare_in_grams(monkeypatch)


@pytest.fixture
def stage(tmp_path, home):  # noqa: ARG001 (the home must be there first)
    stage = EditorStage(tmp_path)
    stage.open("plain-tray")
    stage.keys("3")
    stage.settle()
    return stage


def noted(stage, held, guess=None):
    stage.keys("t")
    stage.settle()
    if guess is not None:
        stage.field("trial/guess", f"{guess}")
        stage.press("trial/held")
    stage.type(f"{held}")
    stage.keys("enter")
    stage.settle()


def test_a_test_is_noted_with_one_number_and_enter(stage) -> None:
    """Key T, the count, Enter: the rest is filled in."""
    noted(stage, 60)
    (trial,) = read_trials()
    assert ("Plain tray", "us-cent", 2.5, 60, "usual", 1) == (
        trial.pattern, trial.item, trial.mass_each_g, trial.count, trial.hand, trial.sheets_used,
    )  # fmt: skip
    assert (design_key(stage.pattern), datetime.date.today().isoformat()) == (trial.design, trial.date)
    assert pytest.approx(248.6, abs=0.1) == trial.brim_g
    assert "" == stage.editor.state.dialog


def test_everything_that_can_be_said_is_noted(stage) -> None:
    stage.keys("t")
    stage.settle()
    stage.field("trial/guess", "66")
    stage.field("trial/each", "2,61")
    stage.field("trial/sheets", "2")
    stage.choose("trial/happened", "a corner leaked")
    stage.field("trial/pupil", "Ole")
    stage.press("trial/hand/hurried")
    stage.field("trial/remark", "wet table")
    stage.field("trial/date", "2026-05-04")
    stage.field("trial/held", "55")
    (trial,) = read_trials()
    assert (66, 2.61, 2, "a corner leaked", "Ole", "hurried", "wet table", "2026-05-04", 55) == (
        trial.guess, trial.mass_each_g, trial.sheets_used, trial.happened, trial.pupil, trial.hand, trial.note, trial.date, trial.count,
    )  # fmt: skip


def test_what_is_impossible_is_asked_about_and_noted_only_when_it_is_said_again(stage) -> None:
    """500 cents of 2.5 g are 1250 g; perfect hands would hold 248.6 g."""
    noted(stage, 500)
    assert ((), "note-trial") == (read_trials(), stage.editor.state.dialog)
    assert stage.ui.shows("Can this be?")
    stage.field("trial/held", "50")
    assert [50] == [trial.count for trial in read_trials()]
    noted(stage, 500)
    stage.press("trial/note")
    stage.settle()
    assert [50, 500] == [trial.count for trial in read_trials()]


def test_without_a_count_or_a_mass_nothing_is_noted(stage) -> None:
    stage.keys("t")
    stage.settle()
    stage.press("trial/note")
    assert stage.ui.shows("How many did it hold?")
    stage.press("trial/each")
    stage.keys("ctrl+a", "delete", "enter")
    stage.field("trial/held", "5")
    assert stage.ui.shows("Weigh yours")
    assert () == read_trials()


def test_an_empty_sheet_has_nothing_to_note(tmp_path) -> None:
    stage = EditorStage(tmp_path)
    stage.keys("3", "t")
    assert "" == stage.editor.state.dialog
    assert any("Fold a hull first" in message.text for message in stage.ui.messages)


def test_what_was_noted_is_counted_in_at_once(stage) -> None:
    before = stage.editor.fresh.load
    for held in (40, 42, 41):
        noted(stage, held)
    after = stage.editor.fresh.load
    assert (0, 3) == (before.trials_own, after.trials_own)
    assert after.likely_g < before.likely_g
    stage.keys("shift+t")
    stage.settle()
    low, likely, high = (math.floor(load / 2.5) for load in (after.low_g, after.likely_g, after.high_g))  # cents of 2.5 g
    assert stage.ui.shows(f"About {likely} cents, {low} to {high}. Count on ")
    assert stage.ui.shows("US cent")  # by its name for people, not by its name in the list
    assert [100.0, 105.0, 102.5] == [point.held_g for point in read_trials()]


def test_a_trial_is_corrected_taken_back_and_brought_back(stage) -> None:
    noted(stage, 60)
    noted(stage, 61)
    stage.keys("shift+t")
    stage.settle()
    stage.press("trials/list/1")
    stage.press("trials/edit")
    stage.field("trial/held", "50")
    assert "trials" == stage.editor.state.dialog
    assert [50, 61] == [trial.count for trial in read_trials()]
    stage.press("trials/list/0")
    stage.press("trials/back")
    stage.settle()
    assert [50] == [trial.count for trial in read_trials()]
    assert 2 == len(read_history()[2])
    stage.press("trials/back")
    stage.settle()
    assert [50, 61] == [trial.count for trial in read_trials()]


def test_a_correction_that_is_impossible_is_asked_about_too(stage) -> None:
    noted(stage, 60)
    stage.keys("shift+t")
    stage.settle()
    stage.press("trials/list/0")
    stage.press("trials/edit")
    stage.field("trial/held", "600")
    assert stage.ui.shows("Can this be?")
    assert [60] == [trial.count for trial in read_trials()]


def test_a_table_is_read_and_the_same_table_again_brings_nothing(stage, home) -> None:
    table = home / "trials.csv"
    tests = [Trial("2026-05-04", "Plain tray", "us-cent", 2.5, held) for held in (50, 52, 400)]
    export_csv(tests, table)
    for fresh in ("3 new trials", "0 new trials"):
        stage.keys("shift+t")
        stage.settle()
        stage.press("trials/import")
        stage.field("carry/path", f"{table}")
        stage.press("carry/go")
        stage.settle()
        assert stage.ui.shows(fresh)
        if fresh[0] == "3":
            assert stage.ui.shows("Can this be?")
            stage.press("carry/take")
        else:
            assert stage.ui.shows("3 are in the log already")
            assert not stage.ui.find("carry/take").enabled
            stage.press("carry/leave")
        stage.settle()
        stage.keys("escape")
    assert [50, 52, 400] == [trial.count for trial in read_trials()]
    assert {design_key(stage.pattern)} == {trial.design for trial in read_trials()}


def test_columns_that_say_nothing_of_a_trial_are_told(stage, home) -> None:
    (home / "more.csv").write_text("date,pattern,item,mass_each_g,count,weather\n2026-05-04,Plain tray,us-cent,2.5,50,rain\n")
    stage.keys("shift+t")
    stage.settle()
    stage.press("trials/import")
    stage.field("carry/path", f"{home / 'more.csv'}")
    stage.press("carry/go")
    stage.settle()
    assert stage.ui.shows("Columns passed over: weather")


def test_a_table_that_is_none_is_said_and_nothing_is_taken(stage, home) -> None:
    (home / "wrong.csv").write_text("a,b\n1,2\n")
    stage.keys("shift+t")
    stage.settle()
    stage.press("trials/import")
    stage.field("carry/path", f"{home / 'wrong.csv'}")
    stage.press("carry/go")
    stage.settle()
    assert stage.editor.state.trials.problem
    assert () == read_trials()


def test_the_log_is_written_as_a_table_that_reads_back_and_nothing_is_written_over_unasked(stage, home) -> None:
    noted(stage, 60)
    table = home / "out.csv"
    table.write_text("mine")
    stage.keys("shift+t")
    stage.settle()
    stage.press("trials/export")
    stage.field("carry/path", f"{table}")
    stage.press("carry/go")
    assert "mine" == table.read_text()
    stage.press("carry/go")
    assert read_trials() == read_csv(table).trials


def test_a_log_that_cannot_be_read_is_said(stage) -> None:
    with TrialLog() as log:
        path = log.path
    path.write_bytes(b"nothing of the kind" * 100)
    stage.keys("shift+t")
    stage.settle()
    assert stage.ui.shows("log") or stage.ui.shows("trial")
    assert any("damaged" in text.text or "cannot" in text.text for text in stage.ui.display_list.texts)


def test_a_closing_window_waits_until_what_is_being_noted_stands_in_the_log() -> None:
    worker, done = Worker(), []

    def job() -> None:
        import time

        time.sleep(0.05)
        done.append(1)

    first: Future[None] = worker.errand(job, LOG_THREAD)
    worker.errand(job, LOG_THREAD)
    worker.stop()
    assert ([1, 1], True) == (done, first.done())


def test_a_form_keeps_what_was_filled_in_when_the_log_is_locked_and_says_so(stage, monkeypatch) -> None:
    from folder.errors import UnwritableFile
    from folder.window.trials import commands

    class Locked:
        def __init__(self) -> None:
            raise UnwritableFile("another program holds the trial log", where="trials.sqlite")

    monkeypatch.setattr(commands, "TrialLog", Locked)
    noted(stage, 60)
    assert "note-trial" == stage.editor.state.dialog
    assert stage.ui.shows("nother program holds the trial log")
    assert 60 == stage.editor.state.trials.form.held
    monkeypatch.undo()


def test_another_programs_trials_are_seen_when_the_list_is_opened(stage) -> None:
    with TrialLog() as log:
        log.add(Trial("2026-05-04", "Plain tray", "us-cent", 2.5, 44, design=design_key(stage.pattern), brim_g=248.0))
    stage.keys("shift+t")
    stage.settle()
    stage.settle()
    assert 1 == stage.editor.fresh.load.trials_own
    assert replace(stage.editor.state.trials, picked=None).waiting is None
