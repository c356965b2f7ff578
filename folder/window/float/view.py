"""The page Float: one boat in one tub, large; beside it the order of what a pupil does."""

from __future__ import annotations

import math

from folder.errors import BadRequest
from folder.water.tub import Tub
from folder.window import theme
from folder.window.commands.table import COMMANDS
from folder.window.editor import Editor
from folder.window.float.actions import come_to, set_hand, set_tub, tell_answer, turn_coach
from folder.window.float.floor_map import large_map
from folder.window.float.knowledge import KnownHull, known_of
from folder.window.float.lying import TubPose
from folder.window.float.side import CARD_GAP, LEAST_MAP, guess_h, load_h, object_h, side
from folder.window.float.tries_view import tries_view
from folder.window.float.tub_view import RIGHT, tub_view
from folder.window.float.words import caution_words, coach_words, end_words, status_text
from folder.window.fold.beside.finding_cards import findings
from folder.window.tools.tool import sentence
from folder.window.widgets import Pane, Ui, button, button_w, choice, label, number_field, scroll

NO_HULL = "There is no hull to float yet: it must fold, with a floor and walls all round."
HAND_WORDS = {"careful": "careful", "usual": "usual", "hurried": "hurried"}
SIZE_WORDS = {"length": "long", "width": "wide", "wall": "high", "depth": "deep"}
"""A size of the tub, behind its number; how deep the water is."""
FIELD_W = 26.0
"""What the frame of a field takes of its width."""
WIDE = 760.0
"""From this width on the coach's settings have room in one row."""


def float_page(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The page."""
    known = known_of(editor)
    words = caution_words(None if known is None else known.item)
    foot, pane = pane.cut_bottom(ui.display_list.text_h(words, pane.w - 32, "small") + 2, 4)
    _caution(ui, foot, words)
    if known is None:
        made = editor.result is not None and editor.result.study is not None
        used = label(ui, pane.inset(4), NO_HULL if made else "…")
        with scroll(ui, "findings", pane.cut_top(used + 8)[1]) as inside:
            findings(ui, inside, editor)
        return
    come_to(editor, known)
    lying = known.lying(editor.state.floating)
    right, tub = pane.cut_right(min(max(pane.w * 0.29, 318.0), 440.0), 10)
    _tub(ui, tub, editor, known, lying)
    needs = object_h() + guess_h(editor, known) + load_h() + LEAST_MAP + theme.PRESS_H + 5 * CARD_GAP
    if right.h >= needs:
        side(ui, right, editor, known)
        return
    with scroll(ui, "float/side", right) as inside:
        whole = Pane(inside.x, inside.y, inside.w, needs + 60.0)
        ui.spread(whole)
        side(ui, whole, editor, known)


def _caution(ui: Ui, pane: Pane, text: str) -> None:
    ui.place("float/caution", pane, "text", text=text, stops=False, pointed=False)
    mark, words = pane.cut_left(24, 8)
    ui.display_list.icon("warn", (mark.middle[0], mark.y + 11), theme.WARN, 20)
    ui.display_list.text(text, words, "small", wrap=True, top=True)


def _tub(ui: Ui, pane: Pane, editor: Editor, known: KnownHull, lying: TubPose) -> None:
    """The tub or the large map, with the state over it and the coach's words under it."""
    state = editor.state.floating
    if state.coach:
        high = ui.display_list.text_h(coach_words(lying), pane.w - 20, "small") + 22
        below, pane = pane.cut_bottom(high + theme.PRESS_H + (0 if pane.w >= WIDE else theme.PRESS_H + 6), 8)
        _coach(ui, below, editor, lying)
    if state.large_map:
        ui.display_list.plate(pane, theme.PAPER, theme.HAIR)
        large_map(ui, pane.inset(12, 10), editor, known)
        return
    still = tub_view(ui, pane, editor, known, lying)
    _state(ui, pane, editor, known, lying, still)
    text = "For the coach"
    w = button_w(ui, text)
    place = Pane(pane.right - w - 12, pane.bottom - theme.PRESS_H - 10, w, theme.PRESS_H)
    if button(ui, "float/coach", place, text, tip=COMMANDS["float/coach"].tip):
        turn_coach(editor)
    tries_view(ui, Pane(pane.x + 14, place.y - 4, max(place.x - pane.x - 34, 0.0), theme.PRESS_H + 4), editor)


def _state(ui: Ui, pane: Pane, editor: Editor, known: KnownHull, lying: TubPose, still: bool) -> None:
    """One state in one sentence, and what to do next; at the end how it went."""
    loading = editor.state.floating.loading
    each = known.each_g or 1.0
    hold = math.ceil((known.study.stands_from_g or 0.0) / each - 1e-9)
    is_full = loading.ending == "enough" and known.plan is not None and len(loading.spots) >= len(known.plan.spots)
    spoken = status_text(loading, lying, hold, RIGHT, known.wrong, is_full=is_full)
    area = Pane(pane.x + 16, pane.y + 10, min(pane.w - 32, 620.0), 1e6)
    title_h = ui.display_list.text_h(spoken.title, area.w - 46, "title", True)
    colour = theme.LEVEL_INK[spoken.level]
    lines = [spoken.line] if spoken.line else []
    if loading.ending and still and known.item is not None:
        last = known.lying(editor.state.floating, loading.spots[: loading.held])
        lines += end_words(editor.state.floating, last, known.prediction, each)
    heights = [ui.display_list.text_h(line, area.w - 20, "body" if k < 2 else "small") for k, line in enumerate(lines)]
    card = Pane(area.x - 8, area.y - 4, area.w, title_h + sum(heights) + 12 + 3 * len(lines))
    ui.place("float/state", card, "text", text=spoken.title, value=spoken.level, stops=False, pointed=False)
    ui.place("float/line", card, "text", text=spoken.line, stops=False, pointed=False)
    if not ui.drawing:
        return
    if loading.ending or known.wrong:
        ui.display_list.plate(card, theme.LEVEL_TINT[spoken.level], colour)
    mark = Pane(area.x, area.y, 30, title_h)
    ui.display_list.icon(theme.LEVEL_ICON[spoken.level], mark.middle, colour, 28)
    words = Pane(area.x + 38, area.y, area.w - 46, title_h)
    ui.display_list.text(spoken.title, words, "title", bold=True, colour=colour, wrap=True, top=True)
    y = area.y + title_h + 2
    for k, (line, height) in enumerate(zip(lines, heights, strict=True)):
        ui.display_list.text(line, Pane(area.x, y, area.w - 20, height), "body" if k < 2 else "small", wrap=True, top=True)
        y += height + 3


def _coach(ui: Ui, pane: Pane, editor: Editor, lying: TubPose) -> None:
    """The coach's words; the hands, the tub, and the answer without a guess."""
    state = editor.state.floating
    ui.display_list.plate(pane, theme.PAPER, theme.HAIR)
    inner = pane.inset(10, 8)
    rows, wide = 1 if pane.w >= WIDE else 2, pane.w >= WIDE
    line, row = inner.cut_top(inner.h - rows * theme.PRESS_H - 6 * (rows - 1), 0)
    second = row
    if not wide:
        row, second = row.rows(2, 6)
    words = coach_words(lying)
    ui.place("float/coach-words", line, "text", text=words, stops=False, pointed=False)
    ui.display_list.text(words, line, "small", wrap=True)
    show, row = row.cut_left(button_w(ui, "Show the answer"), 8)
    if button(ui, "float/tell", show, "Show the answer", enabled=not state.may_tell, tip="Before there is a guess"):
        tell_answer(editor)
    hands, row = row.cut_left(262.0 if wide else row.w, 8)
    hand = choice(ui, "float/hand", hands, HAND_WORDS, state.hand, tip="How carefully it is folded and loaded")
    set_hand(editor, hand)
    _tub_sizes(ui, row if wide else second, editor, state.tub)


def _tub_sizes(ui: Ui, pane: Pane, editor: Editor, tub: Tub) -> None:
    """Length, width and wall of the tub, and how deep the water is, in cm."""
    sizes = {}
    names = (("length", tub.length_mm), ("width", tub.width_mm), ("wall", tub.wall_mm), ("depth", tub.depth_mm))
    for (name, now), cell in zip(names, pane.columns(4, 4), strict=True):
        tip = {"depth": "How deep the water is, cm", "wall": "How high the tub's walls are, cm"}.get(
            name, f"The tub's {name}, cm"
        )
        said = f"cm {SIZE_WORDS[name]}"
        unit = said if ui.display_list.text_w(f"00.0 {said}") + FIELD_W <= cell.w else "cm"
        value = number_field(ui, f"float/tub/{name}", cell, now / 10.0, unit=unit, low=0.1, high=500, step=1, digits=1, tip=tip)
        sizes[name] = 10.0 * (value or now / 10.0)
    if tuple(sizes.values()) != tuple(now for _, now in names):
        try:
            set_tub(editor, Tub(sizes["length"], sizes["width"], sizes["wall"], sizes["depth"]))
        except BadRequest as error:
            editor.say(sentence(error), "warn")
