"""Things that are pressed: buttons, toggles, check boxes, a row of choices, tabs."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from folder.window import theme
from folder.window.theme import Rgb
from folder.window.widgets.pane import Pane
from folder.window.widgets.record import WidgetRecord
from folder.window.widgets.renderer import Align
from folder.window.widgets.ui import Ui

Rank = Literal["plain", "main", "quiet", "danger"]


def button(
    ui: Ui, name: str, pane: Pane, text: str = "", *, icon: str = "", rank: Rank = "plain", enabled: bool = True,
    tip: str = "", align: Align = "middle",
) -> bool:  # fmt: skip
    """Whether it is pressed. `main` is the one thing to do next on a page, `quiet` has no card until it is wanted."""
    record = ui.place(name, pane, "button", text=text or tip, enabled=enabled, tip=tip)
    if ui.drawing:
        fill, edge, ink = _colours(record, rank)
        _card(ui, record, fill, edge)
        _face(ui, record, text, icon, ink, bold=rank == "main", align=align)
        focus_ring(ui, record)
    return ui.fired(record)


def toggle(ui: Ui, name: str, pane: Pane, text: str, on: bool, *, icon: str = "", enabled: bool = True, tip: str = "") -> bool:
    """A button that stays: whether it is on now. What is on has a turned-down corner, a tint and a heavy edge."""
    record = ui.place(name, pane, "toggle", text=text or tip, value=on, enabled=enabled, tip=tip)
    if ui.fired(record):
        on = not on
        ui.mark(record, on)
    if ui.drawing:
        if on:
            _picked_card(ui, record)
        else:
            fill, edge, _ = _colours(record, "plain")
            _card(ui, record, fill, edge)
        _face(ui, record, text, icon, record.ink, bold=on)
        focus_ring(ui, record)
    return on


def check(ui: Ui, name: str, pane: Pane, text: str, on: bool, *, enabled: bool = True, tip: str = "") -> bool:
    """A box to tick, with its text: whether it is ticked now."""
    record = ui.place(name, pane, "check", text=text, value=on, enabled=enabled, tip=tip)
    if ui.fired(record):
        on = not on
        ui.mark(record, on)
    if ui.drawing:
        mark = Pane(pane.x + 4, pane.middle[1] - 12, 24, 24)
        ui.display_list.plate(mark, record.ground, record.ink, width=2, radius=5)
        if on:
            ui.display_list.icon("tick", mark.middle, record.ink, 20)
        words = Pane(mark.right + theme.GAP, pane.y, pane.right - mark.right - theme.GAP, pane.h)
        ui.display_list.text(text, words, colour=record.ink, wrap=True)
        focus_ring(ui, record)
    return on


def choice(
    ui: Ui, name: str, pane: Pane, options: Mapping[str, str], picked: str, *, icons: Mapping[str, str] | None = None,
    enabled: bool = True, tip: str = "", upright: bool = False,
) -> str:  # fmt: skip
    """One of a few, side by side (or one below the other) in a tray: the key of what is picked now.

    One stop for Tab; the arrow keys go from one to the next. Each option is the widget `name/key`.
    """
    keys = list(options)
    picked, record, parts = _one_of(ui, name, pane, "choice", options, picked, enabled, tip, upright)
    if ui.drawing:
        ui.display_list.plate(pane, theme.TRAY if enabled else theme.FADED)
        for key, part in zip(keys, parts, strict=True):
            on = key == picked
            if on:
                _picked_card(ui, part)
            elif part.hovered:
                ui.display_list.plate(part.pane, part.ground, theme.EDGE)
            _face(ui, part, options[key], (icons or {}).get(key, ""), part.ink, bold=on)
        focus_ring(ui, record)
    return picked


def tabs(ui: Ui, name: str, pane: Pane, options: Mapping[str, str], picked: str, *, tips: Mapping[str, str] | None = None) -> str:
    """The pages of the window as words in a row: the key of the one that is turned to, which stands on ink."""
    keys = list(options)
    picked, record, parts = _one_of(ui, name, pane, "tabs", options, picked, True, "", False, tips)
    if ui.drawing:
        for key, part in zip(keys, parts, strict=True):
            on = key == picked
            fill = (theme.INK_HOVER if part.hovered else theme.INK) if on else theme.HOVER if part.hovered else None
            if fill is not None:
                ui.display_list.plate(part.pane, fill, theme.INK if on else theme.EDGE, radius=part.pane.h / 2)
            ui.display_list.text(options[key], part.pane, bold=on, align="middle", colour=theme.PAPER if on else theme.INK)
        if ui.shows_focus(record) and picked in options:
            ui.display_list.ring(parts[keys.index(picked)].pane, record.pane.h / 2)
    return picked


def button_w(ui: Ui, text: str, icon: str = "", bold: bool = False) -> float:
    """How wide a button is that shows its text whole."""
    words = ui.display_list.text_w(text, "body", bold) if text else 0
    return words + (theme.ICON if icon else 0) + (theme.GAP if icon and text else 0) + 2.6 * theme.GAP


def focus_ring(ui: Ui, record: WidgetRecord, radius: float = theme.RADIUS) -> None:
    """The ring, if the focus is on the widget and is to be seen."""
    if ui.shows_focus(record):
        ui.display_list.ring(record.pane, radius)


def _one_of(
    ui: Ui, name: str, pane: Pane, kind: str, options: Mapping[str, str], picked: str, enabled: bool, tip: str,
    upright: bool, tips: Mapping[str, str] | None = None,
) -> tuple[str, WidgetRecord, list[WidgetRecord]]:  # fmt: skip
    """The events of a row of choices: what is picked now, the widget of the row, the widgets of the options."""
    keys = list(options)
    record = ui.place(name, pane, kind, value=picked, enabled=enabled, tip=tip)
    inner = pane.inset(3, 3) if kind == "choice" else pane
    cells = inner.rows(len(keys), 3) if upright else inner.columns(len(keys), 3)
    parts = [
        ui.place(f"{name}/{key}", cell, "option", text=options[key], value=key == picked, enabled=enabled,
                 stops=False, owner=name, tip=(tips or {}).get(key, tip))
        for key, cell in zip(keys, cells, strict=True)
    ]  # fmt: skip
    pressed = next((key for key, part in zip(keys, parts, strict=True) if ui.fired(part)), picked)
    step = sum(ui.arrow(record))
    if step and keys:
        at = keys.index(picked) + step if picked in keys else 0
        pressed = keys[min(max(at, 0), len(keys) - 1)]
    if pressed != picked:
        ui.mark(record, pressed)
    return pressed, record, parts


def _colours(record: WidgetRecord, rank: Rank) -> tuple[Rgb | None, Rgb | None, Rgb]:
    """Fill, edge and ink of a button in its state."""
    if not record.enabled:
        return None if rank == "quiet" else theme.FADED, None, theme.FADED_INK
    if rank in ("main", "danger"):
        base, over = (theme.INK, theme.INK_HOVER) if rank == "main" else (theme.STOP, theme.STOP_HOVER)
        return (over if record.hovered else base), base, theme.PAPER
    edge = theme.INK if record.hovered else theme.EDGE
    if rank == "quiet" and not record.hovered:
        return None, None, theme.INK
    return record.ground, edge, theme.INK


def _card(ui: Ui, record: WidgetRecord, fill: Rgb | None, edge: Rgb | None) -> None:
    """The card of a button: a crease along its lower side stands it off the table; held down, it lies flat."""
    if fill is None:
        return
    if edge is not None and not record.held:
        ui.display_list.plate(record.pane, edge)
        ui.display_list.plate(Pane(record.pane.x, record.pane.y, record.pane.w, record.pane.h - 2), fill, edge)
    else:
        ui.display_list.plate(record.pane, fill, edge)


def _picked_card(ui: Ui, record: WidgetRecord) -> None:
    """The card of what is on: a tint, a heavy edge, a turned-down corner."""
    fill = theme.PICKED if record.enabled and not record.hovered else record.ground
    ui.display_list.plate(record.pane, fill, record.ink, width=2, ear=True)


def _face(ui: Ui, record: WidgetRecord, text: str, icon: str, ink: Rgb, *, bold: bool = False, align: Align = "middle") -> None:
    """Icon and text on a card, together in its middle; the text is shortened if it must be."""
    pane = record.pane.inset(min(theme.GAP, record.pane.w / 8), 0)
    if not record.held:
        pane = Pane(pane.x, pane.y, pane.w, pane.h - 2)
    if icon and not text:
        ui.display_list.icon(icon, pane.middle, ink, theme.ICON)
        return
    if icon:
        words = min(ui.display_list.text_w(text, "body", bold), pane.w - theme.ICON - theme.GAP)
        left = pane.x if align == "left" else pane.x + (pane.w - words - theme.ICON - theme.GAP) / 2
        ui.display_list.icon(icon, (left + theme.ICON / 2, pane.middle[1]), ink, theme.ICON)
        pane = Pane(left + theme.ICON + theme.GAP, pane.y, words, pane.h)
    ui.display_list.text(text, pane, bold=bold, colour=ink, align="left" if icon else align)
