"""Beside the sheet: the verdict over the hull, what it will carry, what would win most, and what was found."""

from __future__ import annotations

from msgspec import Struct

from folder.cargo.item import Item
from folder.window import theme
from folder.window.commands.files import open_dialog
from folder.window.editor import Editor
from folder.window.fold.beside.counted import Counts
from folder.window.fold.beside.finding_cards import findings, findings_h
from folder.window.fold.better.view import WORDS, better_button, better_panel
from folder.window.fold.hull_view import hull_view
from folder.window.help.worded import worded
from folder.window.theme import Size
from folder.window.verdict import ExpectedLoad, Number, expected, known_load, log_fault, measures, place, verdict, worth_most
from folder.window.widgets import Pane, Ui, button_w, focus_ring, scroll

SIZES: tuple[Size, ...] = ("number", "title", "big", "body")
"""A big number is as big as it fits."""
LEAST_HULL_H, LEAST_FOUND_H = 120.0, 116.0
SCROLL_W = 28.0
"""What a roll takes of the width."""
BESIDE_W = 560.0
"""From this width on the measures stand beside the number; narrower, below it."""
WORDS_W = 440.0
"""From this width on there is room for a button with words beside a note."""
LOW = 440.0
"""In a lower column number and measures are two lines, to leave the hull its room."""


class _Layout(Struct):
    """What the column held when the hand last rested and all was known: it must not jump while the hand drags."""

    numbers: bool = False
    measured: bool = False
    found_h: float = 0.0
    lines_h: float = 0.0


def right_half(ui: Ui, pane: Pane, editor: Editor, counts: Counts | None = None) -> None:
    """The column beside the sheet, from top to bottom; with the objects counted one by one, where that is known.

    While a better hull is looked for or offered, that has the column.
    """
    if editor.state.better.of is not None:
        better_panel(ui, pane, editor)
        return
    layout = ui.memory("fold/column", _Layout)
    if editor.state.drag_pattern is None and editor.result is not None:
        study = editor.result.study
        layout.numbers = study is not None and study.brim is not None and study.measures.rim_height_mm > 0.0
        layout.measured = study is not None and study.folds and bool(study.measures.creases)
        layout.found_h = findings_h(ui, pane.w - SCROLL_W, editor) + 16.0 if editor.findings else 0.0
    item = editor.state.object_choice.item
    chip_h = max(_chip_h(ui, pane.w, verdict(editor.result)[0]), theme.PRESS_H)
    lines = [text for text in (worth_most(editor.fresh, item), place(editor.fresh), log_fault(editor.result)) if text]
    # "Make this better" stands beside what would win most, else below it, and where room is short beside the number.
    word_w = button_w(ui, WORDS, "better") + 8.0
    small = pane.h < LOW or (pane.w < WORDS_W and layout.found_h > 0.0)
    aside = layout.numbers and not small and pane.w >= WORDS_W
    lines_w = pane.w - (word_w if aside else 0.0)
    if editor.state.drag_pattern is None and (known_load(editor.fresh) is not None or not layout.numbers):
        layout.lines_h = sum(ui.display_list.text_h(text, lines_w - 24, "small") + 4 for text in lines) + 12 if lines else 0.0
    below = layout.numbers and not small and not aside
    lines_h = max(layout.lines_h, theme.PRESS_H) if aside else layout.lines_h
    button_h = theme.PRESS_H if below else 0.0
    numbers_h = 64.0 if pane.h < LOW else 76.0 if pane.w >= BESIDE_W else 98.0
    if not layout.numbers:
        numbers_h = 24.0 if layout.measured else 0.0
    room = (
        pane.h - chip_h - (numbers_h + 8 if numbers_h else 0) - (lines_h + 8 if lines_h else 0) - (button_h + 8 if below else 0)
    )
    found_h = min(layout.found_h, max(room - max(room * 0.58, LEAST_HULL_H), LEAST_FOUND_H), room)
    picture, rest = pane.cut_top(max(room - found_h, LEAST_HULL_H) + chip_h, 8)
    chip, hull = picture.cut_top(chip_h)
    hull_view(ui, hull, editor)
    _chip(ui, chip, editor)
    if numbers_h:
        row, rest = rest.cut_top(numbers_h, 8)
        aside_w = theme.PRESS_H + 8.0 if layout.numbers and small else 0.0
        if aside_w:
            better_button(ui, row.cut_right(theme.PRESS_H)[0].cut_top(theme.PRESS_H)[0], editor, small=True)
        numbers(ui, row, editor, item, counts, aside_w)
    if lines_h:
        note, rest = rest.cut_top(lines_h, 8)
        if aside:
            spot, note = note.cut_right(word_w - 8.0, 8)
            better_button(ui, spot.centred(spot.w, theme.PRESS_H), editor)
        if lines:
            _lines(ui, note, editor, lines)
    if below:
        spot, rest = rest.cut_top(button_h, 8)
        better_button(ui, spot, editor)
    if found_h:
        with scroll(ui, "findings", rest) as inside:
            findings(ui, inside, editor)


def _chip_h(ui: Ui, width: float, text: str) -> float:
    return ui.display_list.text_h(text, width - theme.ICON - 5 * theme.GAP, "body", True) + 16


def _chip(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The verdict, on a tint with the shape of its level, no wider than it needs."""
    text, level = verdict(editor.result)
    most = pane.w - theme.ICON - 5 * theme.GAP
    words = min(ui.display_list.text_w(text, "body", True) + 2, most)
    h = _chip_h(ui, pane.w, text)
    card = Pane(pane.x + 2, pane.y + 2, words + theme.ICON + 4 * theme.GAP, h - 4)
    ui.place("verdict", card, "text", text=text, value=level, stops=False, pointed=False)
    colour = theme.LEVEL_INK[level]
    ui.display_list.plate(card, theme.LEVEL_TINT[level], colour, radius=min(card.h / 2, 20))
    ui.display_list.icon(theme.LEVEL_ICON[level], (card.x + 1.5 * theme.GAP + theme.ICON / 2, card.middle[1]), colour)
    room = Pane(card.x + theme.ICON + 2.5 * theme.GAP, card.y, words, card.h)
    worded(ui, "verdict", room, text, editor, bold=True, colour=colour)


def numbers(
    ui: Ui, pane: Pane, editor: Editor, item: Item | None, counts: Counts | None = None, aside_w: float = 0.0
) -> None:  # fmt: skip
    """The honest number large, with so much room left beside it; floor, wall and what perfect hands could small."""
    known = expected(editor.fresh, item, counts)
    floor, wall, perfect = measures(editor.result)
    if pane.h < 40:  # nothing is carried yet, by perfect hands neither
        for number, cell in zip((floor, wall), pane.columns(2, 8), strict=True):
            _measure(ui, cell, number, f"{number.words} {number.digits} {number.unit}" if number.digits != "–" else "")
        return
    could = known.perfect if known is not None else f"{perfect.digits} {perfect.unit}"
    if pane.h < 70:
        small, large = pane.cut_bottom(22)
        _likely(ui, large.cut_left(large.w - aside_w)[0], editor, known, flat=True)
        texts = [f"{number.words} {number.digits} {number.unit}" for number in (floor, wall)]
        texts.append(f"most {could.partition(',')[0]}")
        widths = [ui.display_list.text_w(text, "small") + 2 for text in texts]
        while len(widths) > 1 and sum(widths) + 8 * (len(widths) - 1) > small.w:
            widths.pop()  # two that can be read say more than three that cannot
        for number, cell, text in zip((floor, wall, perfect), small.columns(widths, 8), texts, strict=False):
            _measure(ui, cell, number, text)
        return
    if pane.w >= BESIDE_W:
        small, large = pane.cut_right(min(pane.w * 0.46, 330.0), 10)
        left, right = small.columns([1, 1.18], 8)
        cells = [*left.rows(2), right]
    else:
        small, large = pane.cut_bottom(42, 0)
        upper, lower = small.rows(2)
        cells = [*upper.columns(2, 8), lower]
    _likely(ui, large.cut_left(large.w - aside_w)[0], editor, known)
    for number, cell in zip((floor, wall), cells, strict=False):
        _measure(ui, cell, number, f"{number.words} {number.digits} {number.unit}")
    _measure(ui, cells[2], perfect, could, perfect.words)


def _likely(ui: Ui, pane: Pane, editor: Editor, known: ExpectedLoad | None, *, flat: bool = False) -> None:
    """What usual hands will carry: "66 cents", and beside it from how many to how many; `flat`, all in one line.

    Pressed, it lets another object be chosen.
    """
    last: list[ExpectedLoad | None] = ui.memory("likely/last", lambda: [None])
    if known is not None:
        last[0] = known
    shown = known or (last[0] if editor.state.drag_pattern is not None else None)  # of before, until the hand lets go
    digits, unit, span = (shown.digits, shown.unit, shown.span) if shown is not None else ("…", "", "")
    word = "about" if shown is not None and shown.about else "likely"
    text = f"{word} {digits} {unit}, {span}" if known is not None else ""
    grams = "" if known is None or not known.grams else f": {known.grams}"
    tip = f"What usual hands will carry{grams}. Press to count in another object (O)"
    record = ui.place("likely", pane, "number", text=text, value=digits, tip=tip)
    if ui.fired(record):
        open_dialog(editor, "objects")
    if not ui.drawing:
        return
    if record.hovered:
        ui.display_list.plate(pane, theme.HOVER)
    focus_ring(ui, record)
    whole = f"{digits} {unit}".strip()
    span_w = ui.display_list.text_w(span, "big") + 14 if span else 0.0
    word_w, least = ui.display_list.text_w(word, "small") + 2, ui.display_list.text_w(whole, SIZES[-1], True) + 4
    if least + span_w + (word_w + 8 if flat else 0.0) > pane.w:  # the number itself is read before all
        span, span_w = "", 0.0
    if flat and least + word_w + 8 > pane.w:
        word, word_w = "", 0.0
    head, below = pane.cut_left(word_w, 8) if flat and word else (pane.cut_top(0) if flat else pane.cut_top(20))
    ui.display_list.text(word, head.moved(0, 5 if flat else 0), "small", colour=theme.SOFT_INK)
    size = next((s for s in SIZES if ui.display_list.text_w(whole, s, True) + span_w + 4 <= below.w), SIZES[-1])
    number, beside = below.cut_left(ui.display_list.text_w(whole, size, True) + 4, 12)
    colour = theme.INK if known is not None else theme.SOFT_INK
    ui.display_list.text(whole, number, size, bold=True, colour=colour)
    ui.display_list.text(span, beside.moved(0, 5), "big", colour=colour)


def _measure(ui: Ui, pane: Pane, number: Number, text: str, head: str = "") -> None:
    """A measure in small letters, under its head if it has one."""
    record = ui.place(
        number.name, pane, "number", text=f"{number.digits} {number.unit}", value=number.digits, stops=False, tip=number.tip
    )
    if not ui.drawing:
        return
    words = record.pane
    if head and words.h >= 40:
        upper, words = words.rows(2)
        ui.display_list.text(head, upper, "small", colour=theme.SOFT_INK)
    elif head:
        text = f"{head} {text}"
    ui.display_list.text(text, words, "small", colour=theme.SOFT_INK if head else theme.INK)


def _lines(ui: Ui, pane: Pane, editor: Editor, lines: list[str]) -> None:
    """What would win most, where the load must stand, and that the log cannot be read."""
    ui.place("advice", pane, "text", text=" ".join(lines), stops=False, pointed=False)
    ui.display_list.plate(pane, theme.LEVEL_TINT["note"])
    y = pane.y + 6
    for k, text in enumerate(lines):
        h = ui.display_list.text_h(text, pane.w - 24, "small")
        worded(ui, f"advice/{k}", Pane(pane.x + 12, y, pane.w - 24, h), text, editor, "small", top=True)
        y += h + 4
