"""The dialog in which a test of a real build is noted: all that is known is filled in, so that it takes ten seconds."""

from __future__ import annotations

from typing import Any

from msgspec.structs import replace

from folder.practice.trial import HAND_NAMES, HAPPENED, LARGEST_NUMBER, LONGEST_NAME, grams
from folder.window import theme
from folder.window.commands.files import close_dialog, open_dialog
from folder.window.editor import Editor
from folder.window.objects.state import HEAVIEST_G
from folder.window.trials.commands import note, set_trials, take_answer
from folder.window.trials.state import TrialForm, TrialsState
from folder.window.widgets import Pane, Ui, button, choice, dialog, drop_down, label, notice, number_field, scroll, text_field

NOT_COUNTED = "Count what it held: the one that let the water in does not count."
NOTHING = "not said"
WIDE = 640.0
WORDS_W = 116.0


def note_page(ui: Ui, editor: Editor) -> None:
    """The dialog."""
    take_answer(editor)
    trials = editor.state.trials
    if editor.state.dialog != "note-trial":
        return
    form = trials.form
    title = "Note a trial" if form.number is None else f"Correct trial {form.number}"
    with dialog(
        ui, "note-page", title, min(ui.page.w - 20, 820), min(ui.page.h - 20, 640), first="trial/held", default="trial/note"
    ) as card:  # fmt: skip
        foot, pane = card.inside.cut_bottom(theme.PRESS_H, 10)
        with scroll(ui, "trial/roll", pane) as inside:
            y = inside.y
            y += _notice(ui, Pane(inside.x, y, inside.w, 1e6), trials)
            y += _what(ui, Pane(inside.x, y, inside.w, 1e6), form)
            form = _fields(ui, Pane(inside.x, y, inside.w, 1e6), form)
        set_trials(editor, trials.with_form(form))
        _foot(ui, foot, editor)
        if card.closed:
            _leave(editor)


def _notice(ui: Ui, pane: Pane, trials: TrialsState) -> float:
    """What is wrong, or can hardly be."""
    if trials.problem:
        return notice(ui, pane, trials.problem, "stop") + 8
    if trials.doubts:
        return notice(ui, pane, "Can this be?", "warn", " ".join(f"{one[0].upper()}{one[1:]}." for one in trials.doubts)) + 8
    return 0.0


def _what(ui: Ui, pane: Pane, form: TrialForm) -> float:
    """What was tested, with what."""
    mass = "" if form.each_g is None or form.held is None else f", {grams(form.held * form.each_g)} g in all"
    text = f"{form.design.get('pattern', '')} with {form.item_label}{mass}"
    ui.place("trial/what", Pane(pane.x, pane.y, pane.w, 1), "text", text=text, stops=False, pointed=False)
    used = label(ui, pane, text, "body", bold=True)
    return used + label(ui, pane.moved(0, used), NOT_COUNTED, "small", colour=theme.SOFT_INK) + 10


def _fields(ui: Ui, pane: Pane, form: TrialForm) -> TrialForm:
    y = pane.y
    columns = 2 if pane.w >= WIDE else 1
    cells: list[Pane] = []

    def cell(words: str) -> Pane:
        nonlocal y
        if not cells:
            row = Pane(pane.x, y, pane.w, theme.PRESS_H)
            ui.spread(row)
            cells.extend(row.columns(columns, 22))
            y += theme.PRESS_H + 8
        word, field = cells.pop(0).cut_left(min(WORDS_W, pane.w * 0.4), 8)
        ui.display_list.text(words, word)
        return field

    most = LARGEST_NUMBER
    held = number_field(ui, "trial/held", cell("It held"), _float(form.held), low=0, high=most, digits=0, empty="how many?")
    guess = number_field(ui, "trial/guess", cell("Guess"), _float(form.guess), low=0, high=most, digits=0, empty="none")
    each = number_field(
        ui, "trial/each", cell("One weighs"), form.each_g, unit="g", low=0.001, high=HEAVIEST_G, step=0.1, digits=3,
        empty="weigh it",
    )  # fmt: skip
    sheets = number_field(ui, "trial/sheets", cell("Sheets used"), float(form.sheets), low=1, high=99, digits=0)
    options = {"-": NOTHING} | {what: what for what in HAPPENED}
    happened = drop_down(ui, "trial/happened", cell("What first?"), options, form.happened or "-", tip="What happened first?")
    happened = happened.removeprefix("-")
    pupil = text_field(ui, "trial/pupil", cell("Name"), form.pupil, hint="if wanted", longest=LONGEST_NAME)
    cells.clear()
    wide, columns = columns, 1
    hands = choice(
        ui, "trial/hand", cell("Hands"), {name: name for name in HAND_NAMES}, form.hand, tip="How carefully it was folded"
    )
    cells.clear()
    columns = wide
    date = text_field(ui, "trial/date", cell("Day"), form.date, longest=10, tip="Such as 2025-03-14")
    remark = text_field(ui, "trial/remark", cell("Note"), form.note, hint="if wanted", longest=200)
    hand: Any = hands
    return replace(
        form, held=_whole(held), guess=_whole(guess), each_g=each, sheets=int(sheets or 1), happened=happened, pupil=pupil.strip(),
        hand=hand, date=date.strip(), note=remark,
    )  # fmt: skip


def _foot(ui: Ui, pane: Pane, editor: Editor) -> None:
    trials = editor.state.trials
    waiting = trials.waiting is not None
    listed, rest = pane.cut_left(140, 10)
    if button(ui, "trial/list", listed, "All trials", icon="grid"):
        open_dialog(editor, "trials")
    keep, rest = rest.cut_right(190, 10)
    back = rest.cut_right(110)[0]
    text = "One moment …" if waiting else "Note it anyway" if trials.doubts else "Note it"
    if button(ui, "trial/note", keep, text, icon="tick", rank="danger" if trials.doubts else "main", enabled=not waiting):
        note(editor, anyway=bool(trials.doubts))
        take_answer(editor)
        ui.redraw()
    if button(ui, "trial/back", back, "Cancel"):
        _leave(editor)


def _leave(editor: Editor) -> None:
    """Without noting: what is corrected leads back to the list."""
    if editor.state.trials.form.number is None:
        close_dialog(editor)
    else:
        open_dialog(editor, "trials")


def _float(number: int | None) -> float | None:
    return None if number is None else float(number)


def _whole(number: float | None) -> int | None:
    return None if number is None else int(number)
