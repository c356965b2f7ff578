"""A menu at a place: a few things to do, over the page, gone with any press beside it."""

from __future__ import annotations

from collections.abc import Sequence

import pygame

from folder.window import theme
from folder.window.widgets.buttons import button
from folder.window.widgets.focus import Open
from folder.window.widgets.keys import matches
from folder.window.widgets.pane import Pane
from folder.window.widgets.ui import Ui

ROW_H = 40.0
PAD = 5.0


def menu(ui: Ui, name: str, at: tuple[float, float], rows: Sequence[tuple[str, str]]) -> str | None:
    """The key of the row that is pressed; "" when the menu is to close; None while it stays. Called after the page it lies on.

    Rows are (key, words); each is the widget `name/key`. The arrow keys go from one to the next.
    """
    ui.dialogs.append(Open(name, "", f"{name}/{rows[0][0]}"))
    below, ui.layer = ui.layer, 2 * len(ui.dialogs)
    bounds, ui.bounds, reach, ui.reach = ui.bounds, [], ui.reach, []
    ground = ui.place(name, ui.page, "menu", stops=False)
    w = max(ui.display_list.text_w(words) for _, words in rows) + 3.0 * theme.GAP
    h = len(rows) * ROW_H + 2.0 * PAD
    x = min(at[0], max(ui.page.w - w - 2.0 * PAD - theme.GAP, theme.GAP))
    y = at[1] if at[1] + h <= ui.page.h - theme.GAP else max(at[1] - h, theme.GAP)
    card = Pane(x, y, w + 2.0 * PAD, h)
    if ui.drawing:
        ui.display_list.plate(card, theme.PAPER, theme.INK, width=2)
    pressed: str | None = None
    for k, (key, words) in enumerate(rows):
        pane = Pane(card.x + PAD, card.y + PAD + k * ROW_H, w, ROW_H)
        if button(ui, f"{name}/{key}", pane, words, rank="quiet", align="left"):
            pressed = key
    event = ui.event
    if event is not None and pressed is None and not ui.used and ui.focus.layer == ui.layer:
        if event.type == pygame.KEYDOWN and event.key in (pygame.K_UP, pygame.K_DOWN):
            ui.focus.tab(1 if event.key == pygame.K_DOWN else -1, ui.records)
            ui.take()
        elif event.type == pygame.KEYDOWN and matches(event, "escape"):
            ui.take()
            pressed = ""
        elif event.type == pygame.MOUSEBUTTONDOWN and ground.hovered and not card.holds(*ui.pointer.at):
            pressed = ""
    ui.bounds, ui.reach, ui.layer = bounds, reach, below
    return pressed
