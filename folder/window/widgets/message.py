"""Text that answers nothing: labels, messages, tips."""

from __future__ import annotations

from folder.window import theme
from folder.window.theme import MessageLevel, Rgb, Size
from folder.window.widgets.pane import Pane
from folder.window.widgets.renderer import Align
from folder.window.widgets.ui import Ui

READ = ("text", "number", "finding", "field")
"""Kinds of widget that a message does not lie on while it can lie elsewhere."""
PRESSED = ("button", "check", "toggle", "option", "box")
"""Kinds that it keeps off too, where there is room beside what is to be read."""
READ_WEIGHT = 4.0


def label(
    ui: Ui, pane: Pane, text: str, size: Size = "body", *, bold: bool = False, colour: Rgb = theme.INK,
    align: Align = "left", wrap: bool = True,
) -> float:  # fmt: skip
    """Text at the top of a pane, wrapped; the height it wants, so that what comes next can go below."""
    wanted = ui.display_list.text_h(text, pane.w, size, bold) if wrap else theme.SIZES[size] * theme.LEADING
    taken = Pane(pane.x, pane.y, pane.w, min(wanted, pane.h))
    ui.spread(taken)
    ui.display_list.text(text, taken, size, bold=bold, colour=colour, align=align, wrap=wrap, top=True)
    return wanted


def notice(ui: Ui, pane: Pane, text: str, level: MessageLevel, detail: str = "") -> float:
    """A sentence on a tint with the shape of its level; the height it wants."""
    room = pane.w - theme.ICON - 3 * theme.GAP
    head = ui.display_list.text_h(text, room, "body", bold=True)
    wanted = head + (ui.display_list.text_h(detail, room, "small") if detail else 0) + 2 * theme.GAP
    card = Pane(pane.x, pane.y, pane.w, min(wanted, pane.h))
    ui.spread(card)
    colour = theme.LEVEL_INK[level]
    ui.display_list.plate(card, theme.LEVEL_TINT[level], colour, width=1)
    beside = card.y + theme.GAP + theme.SIZES["body"] * theme.LEADING / 2
    ui.display_list.icon(theme.LEVEL_ICON[level], (card.x + theme.GAP + theme.ICON / 2, beside), colour)
    words = Pane(card.x + theme.ICON + 2 * theme.GAP, card.y + theme.GAP, room, card.h - 2 * theme.GAP)
    top, rest = words.cut_top(head)
    ui.display_list.text(text, top, bold=True, colour=colour, wrap=True, top=True)
    if detail:
        ui.display_list.text(detail, rest, "small", wrap=True, top=True)
    return wanted


def draw_messages(ui: Ui) -> None:
    """The message, as low as may be without lying on what is to be read, in the middle of the window where there is room."""
    if not ui.messages:
        return
    message = ui.messages[0]
    colour, beside = theme.LEVEL_INK[message.level], theme.ICON + 4 * theme.GAP
    w = min(ui.display_list.text_w(message.text), min(ui.page.w - 4 * theme.GAP, 640) - beside)
    h = ui.display_list.text_h(message.text, w) + 2 * theme.GAP
    card = _free_place(ui, w + beside, h)
    ui.place("message", card, "message", text=message.text, value=message.level, stops=False, pointed=False)
    ui.display_list.plate(card, theme.LEVEL_TINT[message.level], colour, width=2)
    ui.display_list.icon(theme.LEVEL_ICON[message.level], (card.x + 1.5 * theme.GAP + theme.ICON / 2, card.middle[1]), colour)
    words = Pane(card.x + theme.ICON + 2.5 * theme.GAP, card.y, w, h)
    ui.display_list.text(message.text, words, colour=colour, wrap=True)


def _free_place(ui: Ui, w: float, h: float) -> Pane:
    """Where a card of a size covers least of what is read on the page, and then of what is pressed there."""
    margin = 2 * theme.GAP
    stands = [r for r in ui.records.values() if r.kind in READ + PRESSED and r.visible.w > 0 and r.visible.h > 0]
    free_w, free_h = max(ui.page.w - w - 2 * margin, 0.0), max(ui.page.h - h - 2 * margin, 0.0)
    best, least = Pane(margin + free_w / 2, margin + free_h, w, h), float("inf")
    for k in range(int(free_h / theme.GAP) + 1):
        for share in (0.5, 0.2, 0.8):
            place = Pane(margin + share * free_w, margin + free_h - k * theme.GAP, w, h)
            covered = sum(_overlap(place, r.visible) * (READ_WEIGHT if r.kind in READ else 1.0) for r in stands)
            if covered == 0.0:
                return place
            if covered < least:
                best, least = place, covered
    return best


def _overlap(one: Pane, other: Pane) -> float:
    both = one.meet(other)
    return both.w * both.h


def draw_tip(ui: Ui) -> None:
    """The tip that is due, beside its widget."""
    record = ui.records.get(ui.tip())
    if record is not None and record.visible.w and record.visible.h:
        bubble(ui, record.visible, record.tip)


def bubble(ui: Ui, by: Pane, text: str, *, wrong: bool = False) -> None:
    """A small card of text that hangs below a pane, or above it where the window ends; or says what is wrong there."""
    left = theme.ICON + theme.GAP if wrong else 0
    w = min(ui.display_list.text_w(text, "small"), 320, ui.page.w - 4 * theme.GAP - left)
    h = ui.display_list.text_h(text, w, "small") + theme.GAP
    wide = w + left + 2 * theme.GAP
    x = max(min(by.x, ui.page.w - wide - theme.GAP), theme.GAP)
    y = by.bottom + 8 if by.bottom + 8 + h <= ui.page.bottom else max(by.y - 8 - h, 0)
    card = Pane(x, y, wide, h)
    if wrong and by.right + 8 + wide <= ui.page.right:  # it stays as long as the field is wrong: beside it rather than on a text
        aside = Pane(by.right + 8, min(by.y, ui.page.bottom - h), wide, h)
        stands = [r.visible for r in ui.records.values() if r.kind in READ and r.visible != by]
        card = min((card, aside), key=lambda place: sum(_overlap(place, pane) for pane in stands))
    ink = theme.STOP if wrong else theme.PAPER
    ui.display_list.plate(card, theme.LEVEL_TINT["stop"] if wrong else theme.INK, ink if wrong else theme.INK)
    if wrong:
        ui.display_list.icon("stop", (card.x + theme.GAP + theme.ICON / 2, card.middle[1]), ink)
    ui.display_list.text(text, Pane(card.x + theme.GAP + left, card.y, w, h), "small", colour=ink, wrap=True)
