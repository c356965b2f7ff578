"""The right half: the verdict in words, the three big numbers, what was found and how to mend it."""

from __future__ import annotations

from folder.findings import Finding
from folder.window import look
from folder.window.desk import Desk
from folder.window.hull_view import hull_view
from folder.window.look import Size
from folder.window.verdict import Number, numbers, real_build, verdict
from folder.window.widgets import Pane, Ui, button, label, notice, scroll

MOST_LISTED = 20
SIZES: tuple[Size, ...] = ("number", "title", "big", "body")
"""A big number is as big as it fits."""


def right_half(ui: Ui, pane: Pane, desk: Desk) -> None:
    """Hull, verdict and numbers always in sight; the findings roll below."""
    hull_h = max(min(pane.h * 0.4, pane.w * 0.85), 116.0)
    hull, rest = pane.cut_top(hull_h, 8)
    hull_view(ui, hull, desk)
    text, level = verdict(desk.result)
    used = notice(ui, rest, text, level)
    ui.place("verdict", Pane(rest.x, rest.y, rest.w, used), "text", text=text, value=level, stops=False, pointed=False)
    # Room for two lines always, so that the numbers do not jump while the hand drags.
    _, rest = rest.cut_top(max(used, 2 * look.SIZES["body"] * look.LEADING + 2 * look.GAP), 8)
    row, rest = rest.cut_top(64, 6)
    for cell, number in zip(row.columns([1, 1, 1.1], 6), numbers(desk.result), strict=True):
        _number(ui, cell, number)
    told = real_build(desk.fresh)
    line, rest = rest.cut_top(look.SIZES["small"] * look.LEADING, 2)
    ui.place("real", line, "text", text=told, stops=False, pointed=False)
    ui.pen.text(told, line, "small")
    _findings(ui, rest, desk)


def _number(ui: Ui, pane: Pane, number: Number) -> None:
    spot = ui.place(
        number.name, pane, "number", text=f"{number.digits} {number.unit}", value=number.digits, stops=False, tip=number.tip
    )
    if not ui.drawing:
        return
    ui.pen.plate(spot.pane, look.PAPER, look.HAIR)
    top, below = pane.inset(6, 4).cut_top(20)
    ui.pen.text(number.words, top, "small", colour=look.SOFT_INK)
    unit_w = ui.pen.text_w(number.unit, "small") + 4
    size = next((s for s in SIZES if ui.pen.text_w(number.digits, s, True) + unit_w + 4 <= below.w), SIZES[-1])
    w = ui.pen.text_w(number.digits, size, True) + 2
    digits, unit = below.cut_left(w, 4)
    known = number.digits != "–"
    ui.pen.text(number.digits, digits, size, bold=known, colour=look.INK if known else look.SOFT_INK)
    drop = {"number": 8, "title": 4}.get(size, 2)
    ui.pen.text(number.unit, unit.moved(0, drop), "small", colour=look.SOFT_INK)


def _findings(ui: Ui, pane: Pane, desk: Desk) -> None:
    if pane.h < 24:
        return
    with scroll(ui, "findings", pane) as inside:
        y = inside.y
        found = desk.findings
        for i, finding in enumerate(found[:MOST_LISTED]):
            room = Pane(inside.x, y, inside.w, 1e6)
            y += _finding(ui, room, desk, i, finding) + 8
        if len(found) > MOST_LISTED:
            y += label(ui, Pane(inside.x, y, inside.w, 1e6), f"… and {len(found) - MOST_LISTED} more.", colour=look.SOFT_INK)
        if not found and desk.fresh is not None and desk.pattern.creases:
            label(ui, Pane(inside.x, y, inside.w, 1e6), "Nothing else to say: all is well.", "small", colour=look.SOFT_INK)


def _finding(ui: Ui, pane: Pane, desk: Desk, index: int, finding: Finding) -> float:
    """One finding and its remedy; the height it takes."""
    # The numbers are for the coach: they show for the finding that is pressed.
    used = notice(ui, pane, f"{index + 1}  {finding.text}", finding.level, finding.detail if desk.finding == index else "")
    name = f"finding/{index}"
    spot = ui.place(
        name, Pane(pane.x, pane.y, pane.w, used), "finding", text=finding.text, value=finding.code, stops=False,
        tip="" if desk.finding == index else "Press to see it in numbers",
    )  # fmt: skip
    if ui.fired(spot):
        desk.finding = None if desk.finding == index else index
    if finding.remedy is not None:
        text = finding.remedy.text.rstrip(".")
        line = Pane(pane.x, pane.y + used + 4, pane.w, look.PRESS_H)
        if ui.pen.text_w(text) > line.w - look.ICON - 4 * look.GAP:
            used += label(ui, Pane(pane.x + 6, pane.y + used + 4, pane.w - 12, 1e6), text, "small") + 2
            line, text = Pane(pane.x, pane.y + used + 4, pane.w, look.PRESS_H), "Do this"
        fits = desk.fresh is not None and desk.live is None
        if button(ui, f"{name}/mend", line, text, icon="tick", enabled=fits, align="left"):
            desk.mend(finding.remedy)
        used += 4 + look.PRESS_H
    return used
