"""Fields: a line of text or a number that is typed.

What is typed is a draft until Enter, or until the focus leaves; then it becomes the value, once. Escape puts the value
back. Nonsense stays as it was typed, with a sentence under the field, and the value stays what it was.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable

import pygame

from folder.window import theme
from folder.window.widgets.buttons import focus_ring
from folder.window.widgets.keys import COMMAND
from folder.window.widgets.message import bubble
from folder.window.widgets.pane import Pane
from folder.window.widgets.record import WidgetRecord
from folder.window.widgets.text_edit import Editing, TextEdit
from folder.window.widgets.ui import Ui

NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)")


def text_field(
    ui: Ui, name: str, pane: Pane, value: str, *, hint: str = "", longest: int = 120,
    wrong: Callable[[str], str] | None = None, enabled: bool = True, tip: str = "",
) -> str:  # fmt: skip
    """A line of text: the value it has now. `wrong` says in a sentence what is wrong with a text, or nothing."""
    record, editing, settled = _edit(ui, name, pane, value, longest, enabled, tip)
    if settled is not None:
        editing.problem = wrong(settled) if wrong else ""
        if not editing.problem:
            value = settled
            editing.start(value)
    _finish(ui, record, editing, value, hint, "")
    return value


def number_field(
    ui: Ui, name: str, pane: Pane, value: float | None, *, unit: str = "", low: float = -math.inf,
    high: float = math.inf, step: float = 1.0, digits: int = 1, empty: str = "", enabled: bool = True, tip: str = "",
) -> float | None:  # fmt: skip
    """A number: the value it has now, rounded to `digits`. Arrow up and down change it by `step`, with shift by ten.

    With `empty`, a word shown for no number, an empty field is no number (None); without it, never.
    """
    record, editing, settled = _edit(ui, name, pane, number_text(value, digits), 24, enabled, tip)
    if settled is not None:
        read, editing.problem = read_number(settled, unit, low, high, bool(empty))
        if not editing.problem:
            value = None if read is None else round(read, digits) + 0.0
            editing.start(number_text(value, digits))
    up = {pygame.K_UP: 1, pygame.K_DOWN: -1}.get(ui.key(record), 0)
    if up and ui.event is not None and ui.take():
        read, problem = read_number(editing.text_edit.text, unit, -math.inf, math.inf, True)
        start = value if problem else read
        times = 10 if ui.event.mod & pygame.KMOD_SHIFT else 1
        value = min(max(round((start or 0.0) + up * times * step, digits), low), high) + 0.0
        editing.start(number_text(value, digits))
        editing.text_edit = editing.text_edit.all()
    _finish(ui, record, editing, value, empty, unit)
    return value


def draft(ui: Ui, name: str, value: str) -> str:
    """What stands in a text field at this moment, settled or not; asked after the field."""
    editing = ui.memory_store.get(name)
    return editing.text_edit.text if isinstance(editing, Editing) else value


def number_text(value: float | None, digits: int) -> str:
    """A number as people write it: no idle zeros."""
    if value is None:
        return ""
    text = f"{value:.{digits}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def read_number(text: str, unit: str, low: float, high: float, may_be_empty: bool) -> tuple[float | None, str]:
    """The number in a text, with comma or point, with or without its unit; or a sentence on what is wrong."""
    bare = text.strip().lower().removesuffix(unit.lower()).strip().replace(",", ".").replace("−", "-")
    if not bare and may_be_empty:
        return None, ""
    after = f" {unit}" if unit else ""
    span = f" from {number_text(low, 2)} to {number_text(high, 2)}{after}" if math.isfinite(low + high) else ""
    if not NUMBER.fullmatch(bare):
        return None, f"“{text.strip()}” is not a number. Type one{span}." if bare else f"Type a number{span}."
    number = float(bare)
    if low <= number <= high:
        return number, ""
    if span:
        return None, f"That is too {'small' if number < low else 'large'}. Type a number{span}."
    return None, f"Type {number_text(low, 2)} or more." if number < low else f"Type {number_text(high, 2)} or less."


def _edit(
    ui: Ui, name: str, pane: Pane, shown: str, longest: int, enabled: bool, tip: str
) -> tuple[WidgetRecord, Editing, str | None]:
    """Work the event into the draft. The text that is to become a value now, if it is."""
    editing = ui.memory(name, lambda: Editing(shown, TextEdit(shown, len(shown), len(shown))))
    record = ui.place(name, pane, "field", text=shown, enabled=enabled, types=True, tip=tip)
    if editing.base != shown and not (record.focused and editing.pending):
        editing.start(shown)
    if ui.settling == name:
        return record, editing, editing.text_edit.text
    if record.focused:
        _point(ui, record, editing)
        if ui.event is not None and not ui.used:
            if ui.event.type == pygame.TEXTINPUT:
                editing.change(editing.text_edit.typed(ui.event.text, longest), "type")
                ui.take()
            elif ui.event.type == pygame.KEYDOWN:
                _key(ui, editing, longest)
    elif editing.lit:
        editing.lit = False
        editing.text_edit, editing.shift_px = editing.text_edit.to(len(editing.text_edit.text)), 0.0
        if editing.problem:  # the sentence under the field goes with the focus: say it once more where it stays
            ui.say(editing.problem, "stop")
    if editing.pending or editing.problem:
        ui.hold(name)
    return record, editing, None


def _point(ui: Ui, record: WidgetRecord, editing: Editing) -> None:
    """The pointer sets the caret and selects; the press or Tab that brings the focus selects all."""
    if not editing.lit:
        editing.lit = editing.whole = True
        editing.text_edit = editing.text_edit.all()
        return
    if not record.held or ui.event is None:
        return
    x_px = (ui.pointer.at[0] - record.pane.x - theme.GAP) * ui.scale + editing.shift_px
    glyph_cache, px = ui.display_list.renderer.glyph_cache.face(ui.display_list.text_px("body"), False), editing.text_edit.text
    place = min(range(len(px) + 1), key=lambda k: abs(glyph_cache.size(px[:k])[0] - x_px))
    if ui.went_down(record):
        editing.whole = ui.pointer.clicks > 1
        if ui.pointer.clicks == 1:
            editing.change(editing.text_edit.to(place), "caret")
        else:
            editing.text_edit = editing.text_edit.word(place) if ui.pointer.clicks == 2 else editing.text_edit.all()
    elif ui.event.type == pygame.MOUSEMOTION and not editing.whole:
        editing.change(editing.text_edit.to(place, keep_anchor=True), "caret")


def _key(ui: Ui, editing: Editing, longest: int) -> None:
    """What a key does to the draft."""
    event, text_edit = ui.event, editing.text_edit
    assert event is not None
    by_word, keep = bool(event.mod & COMMAND), bool(event.mod & pygame.KMOD_SHIFT)
    if event.key in (pygame.K_LEFT, pygame.K_RIGHT):
        step = -1 if event.key == pygame.K_LEFT else 1
        start, end = text_edit.span
        place = text_edit.beside(step) if by_word else text_edit.caret + step
        if start != end and not keep and not by_word:
            place = start if step < 0 else end
        editing.change(text_edit.to(place, keep), "caret")
    elif event.key in (pygame.K_HOME, pygame.K_END):
        editing.change(text_edit.to(0 if event.key == pygame.K_HOME else len(text_edit.text), keep), "caret")
    elif event.key in (pygame.K_BACKSPACE, pygame.K_DELETE):
        editing.change(text_edit.without(-1 if event.key == pygame.K_BACKSPACE else 1, by_word), "delete")
    elif event.key == pygame.K_ESCAPE:
        if not editing.pending and not editing.problem:
            return
        editing.start(editing.base)
    elif event.mod & COMMAND and not event.mod & (pygame.KMOD_ALT | pygame.KMOD_MODE):
        if not _command(ui, event.key, keep, editing, longest):
            return
    else:
        return
    ui.take()


def _command(ui: Ui, key: int, shift: bool, editing: Editing, longest: int) -> bool:
    """All, copy, cut, paste, undo, redo. Whether it was one of them."""
    text_edit = editing.text_edit
    if key == pygame.K_a:
        editing.text_edit = text_edit.all()
    elif key in (pygame.K_c, pygame.K_x):
        if text_edit.selected:
            ui.clipboard.put(text_edit.selected)
            if key == pygame.K_x:
                editing.change(text_edit.without(-1), "delete")
    elif key == pygame.K_v:
        editing.change(text_edit.typed(ui.clipboard.get(), longest), "paste")
    elif key == pygame.K_z and not shift:
        editing.undo()
    elif key in (pygame.K_z, pygame.K_y):
        editing.redo()
    else:
        return False
    return True


def _finish(ui: Ui, record: WidgetRecord, editing: Editing, value: object, hint: str, unit: str) -> None:
    """Note the state, draw."""
    ui.mark(record, value, editing.problem)
    if not ui.drawing:
        return
    wrong, bold = bool(editing.problem), 2 if editing.problem or record.focused else 1
    edge = theme.STOP if wrong else theme.INK if record.focused else theme.EDGE
    fill = theme.LEVEL_TINT["stop"] if wrong else theme.PAPER if record.focused else record.ground
    ui.display_list.plate(record.pane, fill, edge if record.enabled else None, width=bold)
    soft = theme.SOFT_INK if record.enabled else theme.FADED_INK
    room = record.pane.inset(theme.GAP, 3)
    if wrong:
        mark, room = room.cut_right(theme.ICON, 4)
        ui.display_list.icon("stop", mark.middle, theme.STOP, 22)
        if record.focused:
            ui.overlays.append(lambda: bubble(ui, record.visible, editing.problem, wrong=True))
    if unit:
        after, room = room.cut_right(ui.display_list.text_w(unit), 4)
        ui.display_list.text(unit, after, colour=soft)
    text_edit = editing.text_edit
    if not text_edit.text and hint and not (record.focused and editing.pending):
        ui.display_list.text(hint, room, colour=soft)
    if record.focused:
        _draw_caret(ui, room, editing)
        ui.display_list.strip(text_edit.text, room, editing.shift_px)
    else:
        ui.display_list.text(text_edit.text, room, colour=record.ink)
    focus_ring(ui, record)


def _draw_caret(ui: Ui, room: Pane, editing: Editing) -> None:
    """The caret and what is selected, with the text scrolled so that the caret is seen."""
    glyph_cache, px, text_edit = ui.display_list.renderer.glyph_cache, ui.display_list.text_px("body"), editing.text_edit
    caret, anchor = (glyph_cache.width(text_edit.text[:place], px) for place in (text_edit.caret, text_edit.anchor))
    width, whole = room.w * ui.scale, glyph_cache.width(text_edit.text, px)
    shift = min(editing.shift_px, max(whole + 2 * ui.scale - width, 0.0))
    editing.shift_px = shift = min(max(shift, caret + 2 * ui.scale - width), float(caret))
    with ui.display_list.clip(room):
        x, y, h = room.x - shift / ui.scale, room.middle[1] - 12, 24
        if caret != anchor:
            start, end = min(caret, anchor) / ui.scale, max(caret, anchor) / ui.scale
            ui.display_list.fill(Pane(x + start, y, end - start, h), theme.SELECTED)
        ui.display_list.fill(Pane(x + caret / ui.scale, y, 2, h), theme.INK)
