"""A table: rows of text under a heading, one of them picked; the basis of lists of files."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import pygame

from folder.window import theme
from folder.window.widgets.keys import ENTER
from folder.window.widgets.pane import Pane
from folder.window.widgets.record import WidgetRecord
from folder.window.widgets.renderer import Align
from folder.window.widgets.scroll import BAR, MARGIN, scroll
from folder.window.widgets.ui import Ui


class Column(NamedTuple):
    """A column: its heading, its share of the width, where its text stands."""

    title: str
    share: float = 1.0
    align: Align = "left"


class Selection(NamedTuple):
    """The row or tile that is picked (None for none), and whether it is wanted: pressed twice, or Enter."""

    at: int | None
    opened: bool = False


def table(
    ui: Ui, name: str, pane: Pane, columns: Sequence[Column], rows: Sequence[Sequence[str]], picked: int | None, *,
    icons: Sequence[str] = (), empty: str = "",
) -> Selection:  # fmt: skip
    """What is picked now. The rows are the widgets `name/0`, `name/1`, ...; the arrow keys go from row to row.

    `icons` names one for each row, before its first text. `empty` is said where there are no rows.
    """
    record = ui.place(name, pane, "table", value=picked)
    head, body = pane.cut_top(theme.ROW_H if any(c.title for c in columns) else 0)
    if ui.drawing:
        ui.display_list.plate(pane, theme.PAPER, theme.EDGE)
        shares = [c.share for c in columns]
        titles = head.cut_right(BAR)[1].inset(MARGIN + theme.GAP, 0).columns(shares, theme.GAP)
        for column, cell in zip(columns, titles, strict=True):
            ui.display_list.text(column.title, cell, "small", bold=True, colour=theme.SOFT_INK, align=column.align)
        if head.h:
            ui.display_list.line((pane.x + 1, head.bottom), (pane.right - 1, head.bottom), theme.EDGE)
        if not rows and empty:
            ui.display_list.text(empty, body.inset(2 * theme.GAP), colour=theme.SOFT_INK, align="middle", wrap=True)
    picked, opened = _by_key(ui, record, picked, len(rows), max(int(body.h / theme.ROW_H) - 1, 1))
    with scroll(ui, f"{name}/rows", body.inset(1, 1)) as inside:
        ui.spread(Pane(inside.x, inside.y, inside.w, theme.ROW_H * len(rows)))
        first, last = (int((y - inside.y) / theme.ROW_H) for y in (body.y, body.bottom))
        shown = set(range(max(first, 0), min(last + 1, len(rows))))
        if picked is not None and ui.focus.reveal == f"{name}/{picked}":
            shown.add(picked)
        for i in sorted(shown):
            place, texts = Pane(inside.x, inside.y + i * theme.ROW_H, inside.w, theme.ROW_H), rows[i]
            row = ui.place(f"{name}/{i}", place, "row", text=" ".join(texts), value=i == picked, stops=False, owner=name)
            if ui.fired(row):
                picked, opened = i, ui.pointer.clicks > 1
            _draw_row(ui, row, columns, texts, i == picked, icons[i] if icons else "")
    if ui.shows_focus(record):
        ui.display_list.ring(pane)
    if picked != record.value:
        ui.mark(record, picked)
    return Selection(picked, opened)


def _by_key(ui: Ui, record: WidgetRecord, picked: int | None, count: int, page: int) -> tuple[int | None, bool]:
    """The row the keys go to, and whether Enter opens it."""
    key = ui.key(record)
    steps = {pygame.K_UP: -1, pygame.K_DOWN: 1, pygame.K_PAGEUP: -page, pygame.K_PAGEDOWN: page,
             pygame.K_HOME: -count, pygame.K_END: count}  # fmt: skip
    if not count:
        return picked, False
    if key in steps:
        ui.take()
        start = picked if picked is not None else -1 if steps[key] > 0 else 0
        to = min(max(start + steps[key], 0), count - 1)
        ui.focus.reveal = f"{record.name}/{to}"
        return to, False
    if key in ENTER and picked is not None and not ui.keys.repeat:
        return picked, ui.take()
    return picked, False


def _draw_row(ui: Ui, row: WidgetRecord, columns: Sequence[Column], texts: Sequence[str], on: bool, icon: str) -> None:
    if not ui.drawing:
        return
    pane = row.pane
    if on or row.hovered:
        ui.display_list.plate(pane, theme.PICKED if on else theme.HOVER, radius=5)
    if on:
        ui.display_list.plate(Pane(pane.x, pane.y + 4, 5, pane.h - 8), theme.INK, radius=2)
    else:
        ui.display_list.line((pane.x, pane.bottom), (pane.right, pane.bottom), theme.HAIR)
    cells = pane.inset(theme.GAP, 0).columns([c.share for c in columns], theme.GAP)
    for k, (column, cell, text) in enumerate(zip(columns, cells, texts, strict=True)):
        if icon and k == 0:
            mark, cell = cell.cut_left(22, 8)
            ui.display_list.icon(icon, mark.middle, theme.INK, 20)
        ui.display_list.text(text, cell, bold=on, align=column.align)
