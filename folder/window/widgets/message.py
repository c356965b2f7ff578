"""Text that answers nothing: labels, messages at the foot of the window, tips."""

from __future__ import annotations

from folder.window import theme
from folder.window.theme import MessageLevel, Rgb, Size
from folder.window.widgets.pane import Pane
from folder.window.widgets.renderer import Align
from folder.window.widgets.ui import Ui


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
    """The messages, the newest lowest, in the middle of the foot of the window."""
    bottom, beside = ui.page.bottom - 2 * theme.GAP, theme.ICON + 4 * theme.GAP
    for message in reversed(ui.messages):
        colour, w = theme.LEVEL_INK[message.level], min(ui.page.w - 4 * theme.GAP, 640) - beside
        w = min(ui.display_list.text_w(message.text), w)
        h = ui.display_list.text_h(message.text, w) + 2 * theme.GAP
        card = Pane((ui.page.w - w - beside) / 2, bottom - h, w + beside, h)
        ui.display_list.plate(card, theme.LEVEL_TINT[message.level], colour, width=2)
        ui.display_list.icon(theme.LEVEL_ICON[message.level], (card.x + 1.5 * theme.GAP + theme.ICON / 2, card.middle[1]), colour)
        words = Pane(card.x + theme.ICON + 2.5 * theme.GAP, card.y, w, h)
        ui.display_list.text(message.text, words, colour=colour, wrap=True)
        bottom = card.y - theme.GAP


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
    x = max(min(by.x, ui.page.w - w - left - 3 * theme.GAP), theme.GAP)
    y = by.bottom + 8 if by.bottom + 8 + h <= ui.page.bottom else max(by.y - 8 - h, 0)
    card = Pane(x, y, w + left + 2 * theme.GAP, h)
    ink = theme.STOP if wrong else theme.PAPER
    ui.display_list.plate(card, theme.LEVEL_TINT["stop"] if wrong else theme.INK, ink if wrong else theme.INK)
    if wrong:
        ui.display_list.icon("stop", (card.x + theme.GAP + theme.ICON / 2, card.middle[1]), ink)
    ui.display_list.text(text, Pane(card.x + theme.GAP + left, card.y, w, h), "small", colour=ink, wrap=True)
