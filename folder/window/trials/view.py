"""The dialog with all trials: a chart beside what was forecast, a list to correct, and the way to and from a spreadsheet."""

from __future__ import annotations

from typing import Any

from msgspec.structs import replace

from folder.cargo.item_list import find_item
from folder.cargo.words import count_words, counts_by_mass, number_of
from folder.draw.picture import Box
from folder.draw.trial_chart import Forecast, TrialRow, trial_chart, trial_key
from folder.errors import FolderError
from folder.practice.identity import design_key
from folder.practice.log import AGAIN_S
from folder.practice.trial import Trial, grams
from folder.units import rounded_down
from folder.window import theme
from folder.window.background.identity import IdentityKey
from folder.window.commands.files import close_dialog
from folder.window.editor import Editor
from folder.window.paint.shown import PX_PER_MM, show_picture
from folder.window.trials.carry import carry_page
from folder.window.trials.commands import bring_back, edit_trial, log_snapshot, open_note, set_trials, take_answer, take_back
from folder.window.trials.state import LogSnapshot, TrialsState
from folder.window.widgets import Column, Pane, Ui, button, choice, dialog, label, notice, table

WHICH = {"one": "This hull", "all": "All hulls"}
COLUMNS = (
    Column("No.", 0.6, "right"), Column("Day", 2.0), Column("Hull", 1.6), Column("Object", 1.5), Column("Held", 0.85, "right"),
    Column("Guess", 1.0, "right"), Column("Name", 1.0),
)  # fmt: skip
MOST_DRAWN = 60
"""So many trials are drawn, the newest."""


def trials_page(ui: Ui, editor: Editor) -> None:
    """The dialog."""
    take_answer(editor)
    log = log_snapshot(editor)
    carrying: list[str] = ui.memory("trials/carrying", lambda: [""])
    with dialog(ui, "trials-page", "Trials", min(ui.page.w - 20, 1240), min(ui.page.h - 20, 860), first="trials/list") as card:
        foot, pane = card.inside.cut_bottom(theme.PRESS_H, 8)
        trials = editor.state.trials
        if trials.problem or (log is not None and log.fault):
            fault = trials.problem or (log.fault if log is not None else "")
            pane = pane.cut_top(notice(ui, pane, fault, "stop"), 8)[1]
            ui.redraw_in(AGAIN_S)  # then it is tried again
        if carrying[0]:
            if carry_page(ui, pane, foot, editor, carrying[0]) or card.closed:
                carrying[0] = ""
                set_trials(editor, replace(editor.state.trials, problem="", taking=None))
                ui.redraw()
            return
        row, pane = pane.cut_top(theme.PRESS_H, 8)
        trials = _head(ui, row, editor, trials, carrying)
        if log is not None:
            _up_to_date(ui, editor, log)
        if log is None:
            label(ui, pane, "Reading the log …", colour=theme.SOFT_INK)
        else:
            trials = _body(ui, pane, editor, trials, log)
        _foot(ui, foot, editor, trials, log or LogSnapshot())
        if card.closed:
            close_dialog(editor)


def _up_to_date(ui: Ui, editor: Editor, log: LogSnapshot) -> None:
    """Where another program noted something, what is forecast is worked out anew, once."""
    study = None if editor.fresh is None else editor.fresh.study
    asked: list[object] = ui.memory("trials/asked", lambda: [None])
    now = tuple(log.counting.values())
    if study is not None and not log.fault and study.trials != now and asked[0] != now:
        asked[0] = now
        editor.study_again()
        ui.redraw()


def _head(ui: Ui, row: Pane, editor: Editor, trials: TrialsState, carrying: list[str]) -> TrialsState:
    which, rest = row.cut_left(min(250.0, row.w * 0.3), 12)
    picked = choice(ui, "trials/which", which, WHICH, "all" if trials.all_hulls else "one")
    if (picked == "all") != trials.all_hulls:
        trials = replace(trials, all_hulls=picked == "all")
        set_trials(editor, trials)
        ui.redraw()
    note, take, give = rest.cut_right(min(rest.w, 570.0))[0].columns([1, 1.1, 1.1], 8)
    if button(ui, "trials/note", note, "Note a trial", icon="plus"):
        open_note(editor)
    if button(ui, "trials/import", take, "From a table …", icon="open", tip="Read trials from a CSV file"):
        carrying[0] = "import"
    if button(ui, "trials/export", give, "To a table …", icon="save", tip="Write the trials as a CSV file"):
        carrying[0] = "export"
    return trials


def _body(ui: Ui, pane: Pane, editor: Editor, trials: TrialsState, log: LogSnapshot) -> TrialsState:
    key = design_key(editor.document.pattern)
    name = editor.document.pattern.name
    counting = log.counting
    own = {number for number, trial in counting.items() if _is_own(trial, key, name)}
    said = _said(editor, len(own))
    used = label(ui, pane.cut_bottom(1e6)[0], said, "small") if said else 0.0
    pane = pane.cut_top(used, 6)[1]
    wide = pane.w >= 1000
    chart, listed = pane.columns([1, 1], 14) if wide else pane.rows([1, 1], 8)
    shown = counting if trials.all_hulls else {number: counting[number] for number in own}
    _chart(ui, chart, editor, trials, {number: shown[number] for number in sorted(shown)[-MOST_DRAWN:]}, own)
    entries = {
        number: every[-1].trial
        for number, every in log.entries.items()
        if trials.all_hulls or _is_own(every[-1].trial, key, name)
    }
    numbers = sorted(entries, reverse=True)
    rows = [_row(number, entries[number], number in log.struck) for number in numbers]
    columns: tuple[Column, ...] = COLUMNS
    if not trials.all_hulls:  # one hull: its name says nothing
        columns, rows = (*COLUMNS[:2], *COLUMNS[3:]), [[*row[:2], *row[3:]] for row in rows]
    at = numbers.index(trials.picked) if trials.picked in numbers else None
    pick = table(ui, "trials/list", listed, columns, rows, at, empty="No trials yet. Float one, and note what it held.")
    picked = numbers[pick.at] if pick.at is not None else None
    if picked != trials.picked:
        trials = replace(trials, picked=picked)
        set_trials(editor, trials)
    if pick.opened and picked is not None:
        edit_trial(editor, picked, entries[picked])
    return trials


def _is_own(trial: Trial, key: str, name: str) -> bool:
    return trial.design == key or (not trial.design and trial.pattern == name)


def _row(number: int, trial: Trial, struck: bool) -> list[str]:
    held = "back" if struck else f"{trial.count}"
    guess = "" if trial.guess is None else f"{trial.guess}"
    return [f"{number}", trial.date, trial.pattern, _label(trial.item), held, guess, trial.pupil]


def _said(editor: Editor, own: int) -> str:
    """What can be counted on, and what that rests on."""
    load, item = (None if editor.fresh is None else editor.fresh.load), editor.state.object_choice.item
    if load is None or load.likely_g is None:
        return ""
    if load.count_on_g is None:
        return f"{load.basis or ''} Note a trial, and this page tells what can be counted on."
    if not own and not load.trials_others:
        return ""
    low, likely, high = load.low_g or 0.0, load.likely_g, load.high_g or 0.0
    words = f"Likely {rounded_down(likely)} g, {rounded_down(low)} to {rounded_down(high)}. Count on {rounded_down(load.count_on_g)} g."
    if item is not None and item.mass_g is not None:
        span = count_words(item, low, likely, high)
        words = f"{span[0].upper()}{span[1:]}. Count on {number_of(item, counts_by_mass(item.mass_g, load.count_on_g)[0])}."
    return f"{words} {load.basis or ''}"


def _label(name: str) -> str:
    """What an object is called in the list, where it is still in it."""
    try:
        return find_item(name).label
    except FolderError:
        return name


def _chart(ui: Ui, pane: Pane, editor: Editor, trials: TrialsState, shown: dict[int, Trial], own: set[int]) -> None:
    """The trials on one axis: g of this hull, or the part of what each hull's perfect hands would hold."""
    load = None if editor.fresh is None else editor.fresh.load
    ui.display_list.plate(pane, theme.PAPER, theme.HAIR)
    inner = pane.inset(10, 6)
    words, inner = inner.cut_bottom(6.0 * PX_PER_MM, 4)
    key_mm = words.w / PX_PER_MM
    known = (trials.all_hulls, key_mm)
    show_picture(ui, "trials/key", words, trial_key(*known), key=known, zoom=PX_PER_MM, pen=1.0)
    brim = load.brim_g if load is not None and load.brim_g else None
    span = None if load is None or load.likely_g is None else (load.low_g or 0.0, load.likely_g, load.high_g or 0.0)
    sure = None if load is None else load.count_on_g
    rows = []
    for number, trial in shown.items():
        if trials.all_hulls and not trial.brim_g:
            continue
        times = 100.0 / (trial.brim_g or 100.0) if trials.all_hulls else 1.0
        guess = None if trial.guess is None else times * trial.guess * trial.mass_each_g
        name = trial.pupil or (trial.pattern if trials.all_hulls else trial.date)
        rows.append(TrialRow(name, times * trial.held_g, guess, number in own))
    times = 100.0 / brim if trials.all_hulls and brim else 1.0
    forecast = Forecast(
        None if span is None else (times * span[0], times * span[1], times * span[2]),
        None if sure is None else times * sure,
        None if brim is None else times * brim,
    )
    unit = "%" if trials.all_hulls else "g"
    box = Box(0.0, 0.0, inner.w / PX_PER_MM, inner.h / PX_PER_MM)
    kept: dict[str, Any] = ui.memory("trials/drawn", dict)
    key = (tuple(rows), forecast, box, unit)
    if kept.get("key") != key:
        kept.update(key=key, picture=trial_chart(rows, forecast, box, unit))
    said = "; ".join(f"{row.name} {grams(row.held)} {unit}" for row in rows[-6:])
    ui.place("trials/chart", inner, "chart", text=said, value=forecast, stops=False, pointed=False)
    show_picture(ui, "trials/picture", inner, kept["picture"], key=IdentityKey(kept["picture"]), zoom=PX_PER_MM, pen=1.0)


def _foot(ui: Ui, pane: Pane, editor: Editor, trials: TrialsState, log: LogSnapshot) -> None:
    close, rest = pane.cut_right(120, 10)
    edit, back = rest.cut_left(min(rest.w, 370.0))[0].columns([1, 1.15], 8)
    entries = log.entries.get(trials.picked or 0)
    ready = entries is not None and trials.waiting is None
    if button(ui, "trials/edit", edit, "Correct it", icon="line", enabled=ready) and entries is not None and trials.picked:
        edit_trial(editor, trials.picked, entries[-1].trial)
    struck = trials.picked in log.struck
    text, icon = ("Bring it back", "redo") if struck else ("Take it back", "undo")
    if button(ui, "trials/back", back, text, icon=icon, enabled=ready) and trials.picked:
        (bring_back if struck else take_back)(editor, trials.picked)
        ui.redraw()
    if button(ui, "trials/close", close, "Close"):
        close_dialog(editor)
