"""A drop-down: one of many from a list that hangs over the page."""

from __future__ import annotations

from collections.abc import Mapping

import pygame
from msgspec import Struct

from folder.window import theme
from folder.window.widgets.buttons import focus_ring
from folder.window.widgets.keys import ENTER
from folder.window.widgets.pane import Pane
from folder.window.widgets.record import WidgetRecord
from folder.window.widgets.ui import Ui

ROWS = 8
"""At most this many rows are seen at once; the wheel and the keys bring the others."""


class _List(Struct):
    """The hanging list: the row the keys stand on, and the first row seen."""

    is_open: bool = False
    row: int = 0
    first: int = 0

    def to(self, row: int, count: int, rows: int) -> None:
        self.row = min(max(row, 0), count - 1)
        self.first = min(max(self.first, self.row - rows + 1), self.row)


def drop_down(
    ui: Ui, name: str, pane: Pane, options: Mapping[str, str], picked: str, *, hint: str = "", enabled: bool = True,
    tip: str = "",
) -> str:  # fmt: skip
    """The key of what is picked now. The rows of the open list are the widgets `name/key`."""
    keys, listed = list(options), ui.memory(name, _List)
    record = ui.place(
        name, pane, "drop-down", text=options.get(picked, hint), value=picked, enabled=enabled, tip=tip,
        types=listed.is_open,  # letters go to the rows and are no commands
    )  # fmt: skip
    rows = min(ROWS, len(keys), max(int((ui.page.h - 2 * theme.GAP) / theme.ROW_H), 1))
    listed.is_open = listed.is_open and record.focused and bool(keys)
    if not listed.is_open:
        opens = ui.fired(record) or (ui.key(record) == pygame.K_DOWN and ui.take())
        if opens and keys:
            listed.is_open = True
            listed.to(keys.index(picked) if picked in keys else 0, len(keys), rows)
    else:
        listed.row, listed.first = min(listed.row, len(keys) - 1), min(listed.first, len(keys) - rows)
        picked = _work(ui, record, listed, options, picked, rows)
    if listed.is_open:
        ui.hold(name)
        _hang(ui, record, listed, options, picked, rows)
    ui.mark(record, picked)
    if ui.drawing:
        edge = theme.INK if record.hovered or listed.is_open else theme.EDGE
        ui.display_list.plate(pane, record.ground, edge if enabled else None)
        mark, words = pane.inset(theme.GAP, 0).cut_right(theme.ICON, 4)
        ui.display_list.text(options.get(picked, hint), words, colour=record.ink)
        ui.display_list.icon("up" if listed.is_open else "down", mark.middle, record.ink, 20)
        focus_ring(ui, record)
    return picked


def _rows(ui: Ui, record: WidgetRecord, count: int, rows: int) -> list[Pane]:
    """Where the rows hang: below the box, above it if there is more room, always in the window."""
    h = rows * theme.ROW_H + 8
    y = record.pane.bottom + 4 if record.pane.bottom + 4 + h <= ui.page.bottom else record.pane.y - 4 - h
    y = min(max(y, theme.GAP), max(ui.page.bottom - h - theme.GAP, 0))
    hung = Pane(record.pane.x, y, record.pane.w, h).inset(4, 4)
    return [Pane(hung.x, hung.y + i * theme.ROW_H, hung.w - (8 if count > rows else 0), theme.ROW_H) for i in range(rows)]


def _work(ui: Ui, record: WidgetRecord, listed: _List, options: Mapping[str, str], picked: str, rows: int) -> str:
    """The events of an open list."""
    keys, key = list(options), ui.key(record)
    moves = {pygame.K_UP: -1, pygame.K_DOWN: 1, pygame.K_PAGEUP: -rows, pygame.K_PAGEDOWN: rows,
             pygame.K_HOME: -len(keys), pygame.K_END: len(keys)}  # fmt: skip
    event = ui.event
    if key in moves:
        listed.to(listed.row + moves[key], len(keys), rows)
        ui.take()
    elif key in (*ENTER, pygame.K_SPACE) and not ui.keys.repeat:
        picked, listed.is_open = keys[listed.row], False
        ui.take()
    elif key == pygame.K_ESCAPE:
        listed.is_open = False
        ui.take()
    elif event is not None and event.type == pygame.TEXTINPUT and record.focused and not ui.used:
        starts = [i for i, k in enumerate(keys) if options[k].lower().startswith(event.text.lower())]
        after = [i for i in starts if i > listed.row]
        listed.to((after or starts or [listed.row])[0], len(keys), rows)
        ui.take()
    elif turned := ui.wheel(f"{record.name}/"):
        listed.first = min(max(listed.first - round(turned), 0), len(keys) - rows)
    return picked if not listed.is_open else _pointed(ui, record, listed, keys, picked, rows)


def _pointed(ui: Ui, record: WidgetRecord, listed: _List, keys: list[str], picked: str, rows: int) -> str:
    """The row the pointer presses."""
    event = ui.event
    if event is None or event.type != pygame.MOUSEBUTTONUP or ui.pointer.active != ui.pointer.hot:
        return picked
    for key in keys[listed.first : listed.first + rows]:
        if ui.pointer.active == f"{record.name}/{key}":
            listed.is_open = False
            return key
    return picked


def _hang(ui: Ui, record: WidgetRecord, listed: _List, options: Mapping[str, str], picked: str, rows: int) -> None:
    """Place the rows one layer up and draw them over everything."""
    keys = list(options)
    panes = _rows(ui, record, len(keys), rows)
    whole = Pane(record.pane.x, panes[0].y - 4, record.pane.w, rows * theme.ROW_H + 8)
    reach, ui.reach = ui.reach, []
    ui.layer += 1
    ui.place(f"{record.name}/", whole, "list", stops=False, wheel=True, inside=ui.page)
    shown = [
        (key, ui.place(f"{record.name}/{key}", pane, "row", text=options[key], value=key == picked, stops=False,
                       inside=ui.page))
        for key, pane in zip(keys[listed.first :], panes, strict=False)
    ]  # fmt: skip
    ui.layer -= 1
    ui.reach = reach
    ui.overlays.append(lambda: _draw_list(ui, whole, listed, options, picked, shown))


def _draw_list(
    ui: Ui, whole: Pane, listed: _List, options: Mapping[str, str], picked: str, shown: list[tuple[str, WidgetRecord]]
) -> None:
    keys = list(options)
    ui.display_list.plate(whole, theme.PAPER, theme.INK)
    for key, row in shown:
        if row.hovered or key == keys[listed.row]:
            ui.display_list.plate(row.pane, theme.PICKED if key == keys[listed.row] else theme.HOVER, radius=5)
        tick, words = row.pane.inset(6, 0).cut_left(20, 6)
        if key == picked:
            ui.display_list.icon("tick", tick.middle, theme.INK, 18)
        ui.display_list.text(options[key], words, bold=key == picked)
    if len(shown) < len(keys):
        bar = Pane(whole.right - 9, whole.y + 6, 5, whole.h - 12)
        part = Pane(bar.x, bar.y + bar.h * listed.first / len(keys), bar.w, bar.h * len(shown) / len(keys))
        ui.display_list.plate(part, theme.EDGE, radius=2)
