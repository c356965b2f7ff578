"""Beside the sheet: the verdict in words, the big numbers, the hull, and what was found."""

from __future__ import annotations

from folder.window import theme
from folder.window.editor import Editor
from folder.window.fold.finding_cards import findings
from folder.window.fold.hull_view import hull_view
from folder.window.theme import Size
from folder.window.verdict import Number, headline_numbers, place, real_build, verdict
from folder.window.widgets import Pane, Ui, notice, scroll

SIZES: tuple[Size, ...] = ("number", "title", "big", "body")
"""A big number is as big as it fits."""
TIGHT = 440.0
"""Less height than this, logical px, and the numbers are smaller."""


def right_half(ui: Ui, pane: Pane, editor: Editor) -> None:
    """Verdict, numbers, hull, findings."""
    _hull_page(ui, _in_sight(ui, pane, editor, pane.h < TIGHT), editor)


def _in_sight(ui: Ui, pane: Pane, editor: Editor, tight: bool) -> Pane:
    """Verdict and numbers; what room is left under them."""
    text, level = verdict(editor.result)
    used = notice(ui, pane, text, level)
    ui.place("verdict", Pane(pane.x, pane.y, pane.w, used), "text", text=text, value=level, stops=False, pointed=False)
    # Room for two lines where one may not do, so that the numbers do not jump while the hand drags.
    lines = 2 if pane.w < 400 else 1
    _, rest = pane.cut_top(max(used, lines * theme.SIZES["body"] * theme.LEADING + 2 * theme.GAP), 6)
    row, rest = rest.cut_top(48 if tight else 62, 6)
    for cell, number in zip(row.columns([1, 1, 1.1], 6), headline_numbers(editor.result), strict=True):
        _number(ui, cell, number)
    for name, text in (("real", real_build(editor.fresh)), ("level", place(editor.fresh))):
        if text or name == "real":
            line, rest = rest.cut_top(max(ui.display_list.text_h(text, rest.w, "small"), theme.SIZES["small"] * theme.LEADING), 4)
            ui.place(name, line, "text", text=text, stops=False, pointed=False)
            ui.display_list.text(text, line, "small", wrap=True)
    return rest


def _hull_page(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The hull, and below it what was found, which rolls."""
    hull, rest = pane.cut_top(max(min(pane.h * 0.56, pane.w * 0.85), 116.0), 8)
    hull_view(ui, hull, editor)
    with scroll(ui, "findings", rest) as inside:
        findings(ui, inside, editor)


def _number(ui: Ui, pane: Pane, number: Number) -> None:
    record = ui.place(
        number.name, pane, "number", text=f"{number.digits} {number.unit}", value=number.digits, stops=False, tip=number.tip
    )
    if not ui.drawing:
        return
    ui.display_list.plate(record.pane, theme.PAPER, theme.HAIR)
    top, below = pane.inset(6, 2).cut_top(20)
    ui.display_list.text(number.words, top, "small", colour=theme.SOFT_INK)
    unit_w = ui.display_list.text_w(number.unit, "small") + 4
    size = next((s for s in SIZES if _fits(ui, number, s, below, unit_w)), SIZES[-1])
    w = ui.display_list.text_w(number.digits, size, True) + 2
    digits, unit = below.cut_left(w, 4)
    known = number.digits != "–"
    ui.display_list.text(number.digits, digits, size, bold=known, colour=theme.INK if known else theme.SOFT_INK)
    drop = {"number": 8, "title": 4}.get(size, 2)
    ui.display_list.text(number.unit, unit.moved(0, drop).cut_top(unit.h - drop)[0], "small", colour=theme.SOFT_INK)


def _fits(ui: Ui, number: Number, size: Size, room: Pane, unit_w: float) -> bool:
    return ui.display_list.text_w(number.digits, size, True) + unit_w + 4 <= room.w and theme.SIZES[size] <= room.h
