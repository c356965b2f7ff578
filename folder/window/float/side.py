"""Beside the tub, from top to bottom in the order of what a pupil does: object, guess, loading, map, trial."""

from __future__ import annotations

from folder.window import theme
from folder.window.commands.table import COMMANDS
from folder.window.editor import Editor
from folder.window.float.actions import add_at, again, all_at_once, enough, set_guess, take_one_back, turn_map
from folder.window.float.floor_map import small_map
from folder.window.float.knowledge import KnownHull
from folder.window.float.state import MOST_COUNT
from folder.window.float.words import answer_words, bare_answer
from folder.window.objects.field import object_field
from folder.window.widgets import Pane, Ui, button, button_w, label, number_field

CARD_GAP = 8.0
LEAST_MAP = 150.0


def side(ui: Ui, pane: Pane, editor: Editor, known: KnownHull) -> None:
    """The cards; the map takes what room is left."""
    card, pane = pane.cut_top(object_h(), CARD_GAP)
    object_field(ui, card, editor)
    card, pane = pane.cut_top(guess_h(editor, known), CARD_GAP)
    guess_card(ui, card, editor, known)
    card, pane = pane.cut_top(load_h(), CARD_GAP)
    load_card(ui, card, editor)
    note = COMMANDS.get("trials/note")
    if note is not None:
        card, pane = pane.cut_bottom(theme.PRESS_H, CARD_GAP)
        if button(ui, "float/note-trial", card, "Tested in real water? Note it", tip=note.tip):
            note.do(editor)
    if pane.h >= LEAST_MAP:
        map_card(ui, pane, editor, known)


def object_h() -> float:
    """How high the card of the object is."""
    return theme.PRESS_H


def guess_h(editor: Editor, known: KnownHull) -> float:
    """How high the card of the guess is: higher once the answer may be shown."""
    told = editor.state.floating.may_tell and known.prediction is not None and not known.wrong
    return 78.0 + (54.0 if told else 0.0)


def guess_card(ui: Ui, pane: Pane, editor: Editor, known: KnownHull) -> None:
    """How many will it take? With the division beside it; the answer only after a guess."""
    ui.display_list.plate(pane, theme.PAPER, theme.HAIR)
    inner = pane.inset(12, 8)
    head, inner = inner.cut_top(20, 2)
    loading = editor.state.floating.loading
    asked = "How many will it take?" if loading.guess is None else "my guess"
    ui.display_list.text(asked, head, "body" if loading.guess is None else "small", bold=loading.guess is None)
    row, rest = inner.cut_top(theme.PRESS_H, 4)
    field, beside = row.cut_left(96, 10)
    guess = number_field(
        ui, "float/guess", field, loading.guess, low=0, high=MOST_COUNT, digits=0, empty="?", enabled=not loading.spots,
        tip="Say it before the first one is aboard" if loading.guess is None else "",  # it would lie over the answer
    )  # fmt: skip
    whole = None if guess is None else int(guess)
    said: list[bool] = ui.memory("float/guess/said", list)
    if whole != loading.guess:
        set_guess(editor, whole)
        said.append(True)
    if ui.drawing and said:  # the next key loads, it is not typed; not sooner, or Enter would load one at once
        said.clear()
        ui.focus_on("float/next")
    work = COMMANDS.get("count/work-out")
    if work is not None and button(ui, "float/work-out", beside, "Work it out", tip=work.tip):
        work.do(editor)
    if editor.state.floating.may_tell and known.prediction is not None and known.item is not None and not known.wrong:
        about = not known.is_final
        large, small = answer_words(known.item, known.prediction, about=about)
        line, below = rest.cut_top(30)
        ui.place("float/answer", line, "text", text=large, stops=False, pointed=False)
        fits = ui.display_list.text_w(large, "big", True) <= line.w
        ui.display_list.text(large if fits else bare_answer(known.prediction, about=about), line, "big", bold=True)
        more = small if not about else f"{small} (still counting …)"
        ui.place("float/perfect", below, "text", text=more, stops=False, pointed=False)
        ui.display_list.text(more, below, "small", colour=theme.SOFT_INK)


ALL = "All at once"


def load_h() -> float:
    """How high the card of the loading is."""
    return 2 * theme.PRESS_H + 42.0


def load_card(ui: Ui, pane: Pane, editor: Editor) -> None:
    """How many are in the hull, and the next one."""
    ui.display_list.plate(pane, theme.PAPER, theme.HAIR)
    inner = pane.inset(12, 8)
    loading = editor.state.floating.loading
    top, below = inner.cut_top(theme.PRESS_H + 16, 6)
    number, press = top.cut_right(top.w * 0.58, 8)[::-1]
    head, digits = number.cut_top(18)
    ui.display_list.text("it held" if loading.ending else "in the hull", head, "small", colour=theme.SOFT_INK)
    count = loading.held if loading.ending else len(loading.spots)
    ui.place("float/count", digits, "number", text=str(count), value=count, stops=False, pointed=False)
    ui.display_list.text(str(count), digits, "number", bold=True)
    if loading.ending:
        if button(ui, "float/again", press, "Begin again", rank="main", tip=COMMANDS["float/again"].tip):
            again(editor)
    elif button(ui, "float/next", press, "Next object", rank="main", tip=COMMANDS["float/next"].tip):
        add_at(editor)
    row = below.cut_top(theme.PRESS_H)[0]
    words = "Take back" if button_w(ui, "Take back") <= row.columns([1.15, 1.3, 0.8], 6)[0].w else "Back"
    less, more, stop = row.columns([1.15, 1.3, 0.8] if words == "Take back" else [0.9, 1.5, 0.9], 6)
    some = bool(loading.spots)
    if button(ui, "float/back", less, words, enabled=some, tip=COMMANDS["float/back"].tip):
        take_one_back(editor)
    words = ALL if button_w(ui, ALL) <= more.w else "All"
    if button(ui, "float/all", more, words, enabled=not loading.ending, tip=COMMANDS["float/all"].tip):
        all_at_once(editor)
    stops = some and not loading.ending
    if button(ui, "float/enough", stop, "Stop", enabled=stops, tip=COMMANDS["float/enough"].tip):
        enough(editor)


def map_card(ui: Ui, pane: Pane, editor: Editor, known: KnownHull) -> None:
    """Where the next one goes; a press on the button shows all layers, as large as the boat."""
    ui.display_list.plate(pane, theme.PAPER, theme.HAIR)
    inner = pane.inset(10, 8)
    foot, inner = inner.cut_bottom(theme.PRESS_H - 6, 4)
    text = "Back to the boat" if editor.state.floating.large_map else "The whole map"
    if button(ui, "float/map", foot, text, tip=COMMANDS["float/map"].tip):
        turn_map(editor)
    if known.plan is None:
        label(ui, inner, known.wrong or "Working out where each one goes …", "small", colour=theme.SOFT_INK)
        return
    small_map(ui, inner, editor, known)
