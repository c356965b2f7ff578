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
    spot, editing, settled = _edit(ui, name, pane, value, longest, enabled, tip)
    if settled is not None:
        editing.problem = wrong(settled) if wrong else ""
        if not editing.problem:
            value = settled
            editing.start(value)
    _finish(ui, spot, editing, value, hint, "")
    return value


def number_field(
    ui: Ui, name: str, pane: Pane, value: float | None, *, unit: str = "", low: float = -math.inf,
    high: float = math.inf, step: float = 1.0, digits: int = 1, empty: str = "", enabled: bool = True, tip: str = "",
) -> float | None:  # fmt: skip
    """A number: the value it has now, rounded to `digits`. Arrow up and down change it by `step`, with shift by ten.

    With `empty`, a word shown for no number, an empty field is no number (None); without it, never.
    """
    spot, editing, settled = _edit(ui, name, pane, number_text(value, digits), 24, enabled, tip)
    if settled is not None:
        read, editing.problem = read_number(settled, unit, low, high, bool(empty))
        if not editing.problem:
            value = None if read is None else round(read, digits) + 0.0
            editing.start(number_text(value, digits))
    up = {pygame.K_UP: 1, pygame.K_DOWN: -1}.get(ui.key(spot), 0)
    if up and ui.event is not None and ui.take():
        read, problem = read_number(editing.draft.text, unit, -math.inf, math.inf, True)
        start = value if problem else read
        times = 10 if ui.event.mod & pygame.KMOD_SHIFT else 1
        value = min(max(round((start or 0.0) + up * times * step, digits), low), high) + 0.0
        editing.start(number_text(value, digits))
        editing.draft = editing.draft.all()
    _finish(ui, spot, editing, value, empty, unit)
    return value


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
    spot = ui.place(name, pane, "field", text=shown, enabled=enabled, types=True, tip=tip)
    if editing.base != shown and not (spot.focused and editing.pending):
        editing.start(shown)
    if ui.settling == name:
        return spot, editing, editing.draft.text
    if spot.focused:
        _point(ui, spot, editing)
        if ui.event is not None and not ui.used:
            if ui.event.type == pygame.TEXTINPUT:
                editing.change(editing.draft.typed(ui.event.text, longest), "type")
                ui.take()
            elif ui.event.type == pygame.KEYDOWN:
                _key(ui, editing, longest)
    elif editing.lit:
        editing.lit = False
        editing.draft, editing.shift_px = editing.draft.to(len(editing.draft.text)), 0.0
        if editing.problem:  # the sentence under the field goes with the focus: say it once more where it stays
            ui.say(editing.problem, "stop")
    if editing.pending or editing.problem:
        ui.hold(name)
    return spot, editing, None


def _point(ui: Ui, spot: WidgetRecord, editing: Editing) -> None:
    """The pointer sets the caret and selects; the press or Tab that brings the focus selects all."""
    if not editing.lit:
        editing.lit = editing.whole = True
        editing.draft = editing.draft.all()
        return
    if not spot.held or ui.event is None:
        return
    x_px = (ui.pointer.at[0] - spot.pane.x - theme.GAP) * ui.scale + editing.shift_px
    letters, px = ui.pen.brush.letters.face(ui.pen.text_px("body"), False), editing.draft.text
    place = min(range(len(px) + 1), key=lambda k: abs(letters.size(px[:k])[0] - x_px))
    if ui.went_down(spot):
        editing.whole = ui.pointer.clicks > 1
        if ui.pointer.clicks == 1:
            editing.change(editing.draft.to(place), "caret")
        else:
            editing.draft = editing.draft.word(place) if ui.pointer.clicks == 2 else editing.draft.all()
    elif ui.event.type == pygame.MOUSEMOTION and not editing.whole:
        editing.change(editing.draft.to(place, keep_anchor=True), "caret")


def _key(ui: Ui, editing: Editing, longest: int) -> None:
    """What a key does to the draft."""
    event, draft = ui.event, editing.draft
    assert event is not None
    by_word, keep = bool(event.mod & COMMAND), bool(event.mod & pygame.KMOD_SHIFT)
    if event.key in (pygame.K_LEFT, pygame.K_RIGHT):
        step = -1 if event.key == pygame.K_LEFT else 1
        start, end = draft.span
        place = draft.beside(step) if by_word else draft.caret + step
        if start != end and not keep and not by_word:
            place = start if step < 0 else end
        editing.change(draft.to(place, keep), "caret")
    elif event.key in (pygame.K_HOME, pygame.K_END):
        editing.change(draft.to(0 if event.key == pygame.K_HOME else len(draft.text), keep), "caret")
    elif event.key in (pygame.K_BACKSPACE, pygame.K_DELETE):
        editing.change(draft.without(-1 if event.key == pygame.K_BACKSPACE else 1, by_word), "delete")
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
    draft = editing.draft
    if key == pygame.K_a:
        editing.draft = draft.all()
    elif key in (pygame.K_c, pygame.K_x):
        if draft.selected:
            ui.clipboard.put(draft.selected)
            if key == pygame.K_x:
                editing.change(draft.without(-1), "delete")
    elif key == pygame.K_v:
        editing.change(draft.typed(ui.clipboard.get(), longest), "paste")
    elif key == pygame.K_z and not shift:
        editing.undo()
    elif key in (pygame.K_z, pygame.K_y):
        editing.redo()
    else:
        return False
    return True


def _finish(ui: Ui, spot: WidgetRecord, editing: Editing, value: object, hint: str, unit: str) -> None:
    """Note the state, draw."""
    ui.mark(spot, value, editing.problem)
    if not ui.drawing:
        return
    wrong, bold = bool(editing.problem), 2 if editing.problem or spot.focused else 1
    edge = theme.STOP if wrong else theme.INK if spot.focused else theme.EDGE
    fill = theme.LEVEL_TINT["stop"] if wrong else theme.PAPER if spot.focused else spot.ground
    ui.pen.plate(spot.pane, fill, edge if spot.enabled else None, width=bold)
    soft = theme.SOFT_INK if spot.enabled else theme.FADED_INK
    room = spot.pane.inset(theme.GAP, 3)
    if wrong:
        mark, room = room.cut_right(theme.ICON, 4)
        ui.pen.icon("stop", mark.middle, theme.STOP, 22)
        if spot.focused:
            ui.over.append(lambda: bubble(ui, spot.seen, editing.problem, wrong=True))
    if unit:
        after, room = room.cut_right(ui.pen.text_w(unit), 4)
        ui.pen.text(unit, after, colour=soft)
    draft = editing.draft
    if not draft.text and hint and not (spot.focused and editing.pending):
        ui.pen.text(hint, room, colour=soft)
    if spot.focused:
        _draw_caret(ui, room, editing)
        ui.pen.strip(draft.text, room, editing.shift_px)
    else:
        ui.pen.text(draft.text, room, colour=spot.ink)
    focus_ring(ui, spot)


def _draw_caret(ui: Ui, room: Pane, editing: Editing) -> None:
    """The caret and what is selected, with the text scrolled so that the caret is seen."""
    letters, px, draft = ui.pen.brush.letters, ui.pen.text_px("body"), editing.draft
    caret, anchor = (letters.width(draft.text[:place], px) for place in (draft.caret, draft.anchor))
    width, whole = room.w * ui.scale, letters.width(draft.text, px)
    shift = min(editing.shift_px, max(whole + 2 * ui.scale - width, 0.0))
    editing.shift_px = shift = min(max(shift, caret + 2 * ui.scale - width), float(caret))
    with ui.pen.clip(room):
        x, y, h = room.x - shift / ui.scale, room.middle[1] - 12, 24
        if caret != anchor:
            start, end = min(caret, anchor) / ui.scale, max(caret, anchor) / ui.scale
            ui.pen.fill(Pane(x + start, y, end - start, h), theme.SELECTED)
        ui.pen.fill(Pane(x + caret / ui.scale, y, 2, h), theme.INK)
