"""Trials noted, corrected, taken back, carried to and from a spreadsheet. No pygame.

The log is written in a thread of its own, so that a log that another program holds does not stop the window; what is said to be
noted is on the disk.
"""

from __future__ import annotations

import datetime
import os
import time
from collections.abc import Callable
from concurrent.futures import Future
from functools import partial
from pathlib import Path
from typing import Any

from msgspec.structs import replace

from folder.cargo.item_list import items
from folder.errors import FolderError
from folder.pattern.pattern import Pattern
from folder.practice.doubts import doubts, noted_before
from folder.practice.exchange import export_csv, read_csv
from folder.practice.log import AGAIN_S, TrialLog, default_path, read_history, read_trials
from folder.practice.trial import HAND_NAMES, Trial
from folder.trial_designs import design_fields, with_designs
from folder.verdict import is_empty
from folder.window.background.worker import LOG_THREAD
from folder.window.commands.command import Command
from folder.window.commands.files import close_dialog, open_dialog
from folder.window.editor import Editor
from folder.window.tools.tool import sentence
from folder.window.trials.state import ImportPlan, LogChange, LogSnapshot, TrialDoubts, TrialForm, TrialsState, form_of

NO_HULL = "Fold a hull first: a trial is of a hull."
BUSY = "The log is busy."
HELD, WEIGH = "How many did it hold?", "What does one weigh? Weigh yours."


def set_trials(editor: Editor, trials: TrialsState) -> None:
    """The trials as they are looked at now."""
    editor.show(replace(editor.state, trials=trials))


def open_note(editor: Editor) -> None:
    """Note a test of the hull on the table: what is known of it already is filled in."""
    if is_empty(editor.document.pattern):
        editor.say(NO_HULL, "warn")
        return
    set_trials(editor, replace(editor.state.trials, form=new_form(editor), doubts=(), problem=""))
    open_dialog(editor, "note-trial")


def new_form(editor: Editor) -> TrialForm:
    """A form with hull, object, mass, hand, guess and day filled in."""
    choice = editor.state.object_choice
    item = choice.item
    hand = editor.state.floating.hand
    return TrialForm(
        {"pattern": editor.document.pattern.name},
        choice.name,
        item.label if item is not None else choice.name,
        None if item is None else item.mass_g,
        guess=editor.state.floating.loading.guess,
        hand=hand if hand in HAND_NAMES else "usual",
        date=datetime.date.today().isoformat(),
    )


def note(editor: Editor, *, anyway: bool = False) -> None:
    """Note the trial that is filled in, or correct the one it was. What can hardly be true is asked about first."""
    trials = editor.state.trials
    form = trials.form
    if not form.is_complete:
        set_trials(editor, replace(trials, problem=HELD if form.each_g is not None else WEIGH))
        return
    _ask(editor, partial(_noted, form, editor.document.pattern if form.number is None else None, anyway))


def _noted(form: TrialForm, pattern: Pattern | None, anyway: bool) -> LogChange | TrialDoubts:
    fields = form.design if pattern is None else design_fields(pattern)
    trial = replace(form, design=fields).trial()
    found = () if anyway else doubts(trial, datetime.date.today().isoformat())
    if found:
        return TrialDoubts(found)
    with TrialLog() as log:
        if form.number is None:
            number = log.add(trial)
            return LogChange(f"Trial {number} is noted. It is on the disk.", number)
        log.edit(form.number, **{name: getattr(trial, name) for name in trial.__struct_fields__})
        return LogChange(f"Trial {form.number} is corrected.", form.number)


def take_answer(editor: Editor) -> None:
    """What came of the log's thread, once it is there: said, shown, or asked about."""
    trials = editor.state.trials
    waiting = trials.waiting
    if waiting is None or not waiting.done():
        return
    trials = replace(trials, waiting=None)
    answer = _answer(waiting)
    match answer:
        case LogChange(text, number):
            set_trials(editor, replace(trials, doubts=(), problem="", taking=None, picked=number or trials.picked))
            editor.say(text, "good")
            if editor.state.dialog == "note-trial":
                _close_form(editor)
            editor.study_again()
        case TrialDoubts(found):
            set_trials(editor, replace(trials, doubts=found))
        case ImportPlan():
            set_trials(editor, replace(trials, taking=answer))
        case _:
            set_trials(editor, replace(trials, problem=str(answer)))


def _answer(waiting: Future[Any]) -> object:
    error = waiting.exception()
    if error is None:
        return waiting.result()
    return sentence(error) if isinstance(error, FolderError) else "This is too much for the program."


def _close_form(editor: Editor) -> None:
    """A new trial leads back to the page, a corrected one to the list."""
    if editor.state.trials.form.number is None:
        close_dialog(editor)
    else:
        open_dialog(editor, "trials")


def log_snapshot(editor: Editor) -> LogSnapshot | None:
    """The log as it is, read anew when its file has changed, or when it could not be read; None until it has been."""
    path = default_path()
    try:
        found = os.stat(path)
    except OSError:
        return LogSnapshot()
    last = editor.worker.last_answer("log")
    again = int(time.monotonic() / AGAIN_S) if isinstance(last, LogSnapshot) and last.fault else 0
    key = (path, found.st_mtime_ns, found.st_size, found.st_ino, again)
    answer = editor.worker.ask_job("log", key, _read_log).answer
    if answer is None:
        return last if isinstance(last, LogSnapshot) else None
    return answer.value if isinstance(answer.value, LogSnapshot) else LogSnapshot(fault="The log cannot be read.")


def _read_log() -> LogSnapshot:
    try:
        return LogSnapshot(read_history())
    except FolderError as error:
        return LogSnapshot(fault=sentence(error))


def edit_trial(editor: Editor, number: int, trial: Trial) -> None:
    """Correct a trial: the form with what was noted."""
    labels = {item.name: item.label for item in items()}
    form = form_of(number, trial, labels.get(trial.item, trial.item))
    set_trials(editor, replace(editor.state.trials, form=form, doubts=(), problem=""))
    open_dialog(editor, "note-trial")


def take_back(editor: Editor, number: int) -> None:
    """Strike a trial out; it can be brought back."""
    _at_log(editor, lambda log: log.remove(number), f"Trial {number} does not count any more.", number)


def bring_back(editor: Editor, number: int) -> None:
    """Let a trial that was taken back count again."""
    _at_log(editor, lambda log: log.edit(number), f"Trial {number} counts again.", number)


def _at_log(editor: Editor, do: Callable[[TrialLog], object], done: str, number: int | None = None) -> None:
    """Do something with the log in its thread; `done` is said once it stands there."""

    def job() -> LogChange:
        with TrialLog() as log:
            do(log)
        return LogChange(done, number)

    _ask(editor, job)


def _ask(editor: Editor, job: Callable[[], object]) -> None:
    """Have something done in the log's thread, one thing at a time."""
    trials = editor.state.trials
    if trials.waiting is not None:
        editor.say(BUSY, "warn")
        return
    set_trials(editor, replace(trials, waiting=editor.worker.errand(job, LOG_THREAD), problem=""))


def read_table(editor: Editor, path: Path) -> None:
    """Read trials of a CSV file and hold them against the log; nothing is taken in yet."""
    set_trials(editor, replace(editor.state.trials, taking=None))
    _ask(editor, partial(_read, path, editor.document.pattern))


def _read(path: Path, pattern: Pattern) -> ImportPlan:
    table = read_csv(path)
    found = with_designs(table.trials, () if is_empty(pattern) else (pattern,))
    log = {number: [entry.trial for entry in entries] for number, entries in read_history().items()}
    before = noted_before(found, log)
    fresh, left = [], list(before)
    for trial in found:
        if trial in left:
            left.remove(trial)
        else:
            fresh.append(trial)
    today = datetime.date.today().isoformat()
    doubted = tuple("; ".join(said) for t in fresh if (said := doubts(t, today)))
    return ImportPlan(path, tuple(fresh), len(before), doubted, tuple(table.passed_over))


def take_in(editor: Editor) -> None:
    """Take the trials that were read into the log, all or none."""
    taking = editor.state.trials.taking
    if taking is None:
        return
    count = len(taking.fresh)
    _at_log(editor, lambda log: log.add_all(taking.fresh), f"{count} {'trial' if count == 1 else 'trials'} taken in.")


def leave_out(editor: Editor) -> None:
    """Take nothing in."""
    set_trials(editor, replace(editor.state.trials, taking=None))


def write_table(editor: Editor, path: Path) -> str:
    """Write the log as a CSV file, in one step. A sentence when it cannot be."""
    try:
        found = read_trials()
        export_csv(found, path)
    except FolderError as error:
        return sentence(error)
    editor.say(f"{len(found)} trials written to {path}.", "good")
    return ""


TRIAL_COMMANDS = (
    Command("trials/note", "Note a trial", ("t",), "Trials", open_note, ("float", "compare")),
    Command("trials/list", "All trials", ("shift+t",), "Trials", lambda e: open_dialog(e, "trials"), ("float", "compare")),
)
"""The rows of trials."""
