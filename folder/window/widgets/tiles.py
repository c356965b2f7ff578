"""Tiles: small pictures with a caption, in a grid that rolls down or a strip that rolls along."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import pygame
from msgspec import Struct

from folder.window import theme
from folder.window.widgets.display_list import DisplayList
from folder.window.widgets.keys import ENTER
from folder.window.widgets.pane import Pane
from folder.window.widgets.record import WidgetRecord
from folder.window.widgets.scroll import MARGIN, scroll
from folder.window.widgets.table import Selection
from folder.window.widgets.ui import Ui


class Tile(Struct, frozen=True):
    """A picture, drawn by a function into a pane, with a caption; a second line in smaller text if there is one."""

    text: str
    draw: Callable[[DisplayList, Pane], None]
    note: str = ""
    enabled: bool = True


def tiles(
    ui: Ui, name: str, pane: Pane, items: Sequence[Tile], picked: int | None, *, w: float = 190, h: float = 210
) -> Selection:
    """A grid of tiles about this large. What is picked; `opened` when a tile is pressed, or Enter or Space on it.

    The tiles are the widgets `name/0`, `name/1`, ...; one stop for Tab, the arrow keys go from tile to tile.
    """
    record = ui.place(name, pane, "tiles", value=picked, stops=bool(items))
    with scroll(ui, f"{name}/roll", pane) as inside:
        across = max(int((inside.w + theme.GAP) / (w + theme.GAP)), 1)
        picked, opened = _by_key(ui, record, picked, len(items), across)
        cells = Pane(inside.x, inside.y, inside.w, h).columns(across, theme.GAP)
        for i, item in enumerate(items):
            place = cells[i % across].moved(0, (i // across) * (h + theme.GAP))
            if _tile(ui, f"{name}/{i}", place, item, i == picked, record):
                picked, opened = i, True
    if picked != record.value:
        ui.mark(record, picked)
    return Selection(picked, opened)


class _Along(Struct):
    left: float = 0.0


def strip(ui: Ui, name: str, pane: Pane, items: Sequence[Tile], picked: int | None, *, w: float = 120) -> Selection:
    """Tiles in one row that rolls along with the wheel, the bar or the keys; otherwise as `tiles`."""
    record = ui.place(name, pane, "strip", value=picked, stops=bool(items), wheel=True)
    along = ui.memory(name, _Along)
    whole = len(items) * (w + theme.GAP) - theme.GAP + 2 * MARGIN
    most = max(whole - pane.w, 0.0)
    before = picked
    picked, opened = _by_key(ui, record, picked, len(items), 1)
    along.left -= ui.wheel(name) * w
    inside = pane.inset(MARGIN, MARGIN)
    if picked is not None and picked != before:
        ahead = picked * (w + theme.GAP)
        along.left = min(max(along.left, ahead + w - inside.w), ahead)
    along.left = min(max(along.left, 0.0), most)
    ui.bounds.append(pane)
    with ui.display_list.clip(pane):
        for i, item in enumerate(items):
            place = Pane(inside.x + i * (w + theme.GAP) - along.left, inside.y, w, inside.h - (8 if most else 0))
            if _tile(ui, f"{name}/{i}", place, item, i == picked, record):
                picked, opened = i, True
        if most and ui.drawing:
            track = Pane(inside.x, pane.bottom - 8, inside.w, 6)
            part = track.w * pane.w / whole
            ui.display_list.plate(Pane(track.x + (track.w - part) * along.left / most, track.y, part, 6), theme.EDGE, radius=3)
    ui.bounds.pop()
    if picked != record.value:
        ui.mark(record, picked)
    return Selection(picked, opened)


def _by_key(ui: Ui, record: WidgetRecord, picked: int | None, count: int, across: int) -> tuple[int | None, bool]:
    """The tile the keys go to, and whether one is wanted."""
    if not count:
        return picked, False
    key = ui.key(record)
    if key in (*ENTER, pygame.K_SPACE) and not ui.keys.repeat:
        return (picked if picked is not None else 0), ui.take()
    if key in (pygame.K_HOME, pygame.K_END):
        ui.take()
        to = 0 if key == pygame.K_HOME else count - 1
    else:
        right, down = ui.arrow(record)
        if not right and not down:
            return picked, False
        to = 0 if picked is None else picked + right + down * across
        if not 0 <= to < count:
            return picked, False
    ui.focus.reveal = f"{record.name}/{to}"
    return to, False


def _tile(ui: Ui, name: str, pane: Pane, item: Tile, on: bool, group: WidgetRecord) -> bool:
    """One tile: whether it is pressed."""
    record = ui.place(name, pane, "tile", text=item.text, value=on, enabled=item.enabled, stops=False, owner=group.name)
    if ui.drawing and record.visible.w and record.visible.h:
        edge = theme.INK if on or record.hovered else theme.EDGE
        ui.display_list.plate(pane, theme.PICKED if on else record.ground, edge, width=2 if on else 1, ear=on)
        inner = pane.inset(8, 6)
        if item.note:
            note, inner = inner.cut_bottom(theme.SIZES["small"] * theme.LEADING)
            ui.display_list.text(item.note, note, "small", colour=record.ink, align="middle")
        words, picture = inner.cut_bottom(theme.SIZES["body"] * theme.LEADING, 4)
        ui.display_list.text(item.text, words, bold=on, colour=record.ink, align="middle")
        with ui.display_list.clip(picture):
            item.draw(ui.display_list, picture)
        if on and ui.shows_focus(group):
            ui.display_list.ring(pane.inset(1, 1))
    return ui.fired(record)
