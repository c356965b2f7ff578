"""Dialogs: a card over the page that has the pointer and the keys until it is answered."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import pygame
from msgspec import Struct

from folder.window import theme
from folder.window.theme import MessageLevel
from folder.window.widgets.focus import Open
from folder.window.widgets.keys import matches
from folder.window.widgets.pane import Pane
from folder.window.widgets.ui import Ui

PAD = 24


class Card(Struct, frozen=True):
    """The room inside a dialog, and whether Escape closes it in this pass."""

    inside: Pane
    closed: bool


@contextmanager
def dialog(
    ui: Ui, name: str, title: str, w: float, h: float, *, default: str = "", first: str = "", level: MessageLevel | None = None
) -> Iterator[Card]:
    """`with dialog(...) as card:` lay out in `card.inside`. Called after the page it lies on.

    Enter in a field presses the button `default`; the widget `first`, else the first stop, gets the focus. The dialog
    shows as long as it is called: the page stops calling it when a button in it, or `card.closed`, says so.
    """
    ui.dialogs.append(Open(name, default, first))
    below, ui.layer = ui.layer, 2 * len(ui.dialogs)
    bounds, ui.bounds, reach, ui.reach = ui.bounds, [], ui.reach, []
    pane = ui.page.inset(theme.GAP, theme.GAP).centred(w, h)
    ui.place(name, pane, "dialog", text=title, stops=False, pointed=False)
    event = ui.event
    closed = (
        event is not None and event.type == pygame.KEYDOWN and not ui.used and matches(event, "escape")
        and ui.focus.layer == ui.layer and ui.focus.name not in ui.last_holders and ui.take()
    )  # fmt: skip
    head, rest = pane.inset(PAD, PAD * 0.75).cut_top(theme.SIZES["title"] * theme.LEADING, theme.GAP)
    if ui.drawing:
        ui.display_list.veil(ui.page)
        ui.display_list.plate(pane, theme.PAPER, theme.INK, width=2, radius=12, ear=True)
        words = head.cut_right(PAD)[1]
        if level is not None:
            mark, words = words.cut_left(theme.ICON + 4, theme.GAP)
            ui.display_list.icon(theme.LEVEL_ICON[level], mark.middle, theme.LEVEL_INK[level], theme.ICON + 4)
        ui.display_list.text(title, words, "title", bold=True)
        ui.display_list.line((head.x, head.bottom + 3), (head.right, head.bottom + 3), theme.HAIR)
    yield Card(Pane(rest.x, rest.y + 4, rest.w, rest.h - 4), closed)
    ui.bounds, ui.reach, ui.layer = bounds, reach, below
