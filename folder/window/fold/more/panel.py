"""What stands under "More": lines from lines, how new or picked lines are to fold, mirrors, the grid, the foil."""

from __future__ import annotations

import math
from functools import partial

from msgspec.structs import replace

from folder.pattern import edit
from folder.pattern.pattern import SENSES, Crease
from folder.units import DEG_PER_RAD, RAD_PER_DEG
from folder.window import theme
from folder.window.commands import change
from folder.window.editor import Editor
from folder.window.fold.commands import TOOL_KEYS
from folder.window.fold.more.foils import FOILS, open_event_sheet, sheet_sizes, size_key
from folder.window.tools.mirror import MIRRORS, WORDS
from folder.window.tools.tool import MORE_TOOLS
from folder.window.tools.words import GRIDS, MIRROR_ICONS, SENSE_WORDS, TOOL_WORDS
from folder.window.widgets import Pane, Ui, button, drop_down, focus_ring, label, number_field, scroll, toggle

MORE_W = 238.0
TILE_H = 36.0
HALF_TURN = math.pi


def more_panel(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The panel; it rolls where there is no room."""
    with scroll(ui, "more-panel", pane) as inside:
        y = _constructions(ui, inside, editor)
        y = _folds(ui, Pane(inside.x, y + 4, inside.w, 1e6), editor)
        y = _mirror(ui, Pane(inside.x, y + 8, inside.w, 1e6), editor)
        row = Pane(inside.x, y + 8, inside.w, theme.PRESS_H)
        grid = drop_down(ui, "grid", row, GRIDS, f"{editor.state.setting.grid_mm:g}", tip="What lines come to rest on")
        change.set_grid(editor, float(grid))
        _foil(ui, Pane(inside.x, row.bottom + 8, inside.w, 1e6), editor)


def _constructions(ui: Ui, pane: Pane, editor: Editor) -> float:
    """The tools that find a line from other lines, one below the other, each with its key."""
    y = pane.y + _heading(ui, pane, "More tools")
    for name in MORE_TOOLS:
        word, icon, tip = TOOL_WORDS[name]
        cell = Pane(pane.x, y, pane.w, TILE_H)
        key = TOOL_KEYS[name].upper()
        if tile(ui, f"tool/{name}", cell, word, icon, editor.state.tool.name == name, f"{tip} ({key})", beside=True):
            editor.take_up(name)
        y += TILE_H + 3
    return y


def _foil(ui: Ui, pane: Pane, editor: Editor) -> float:
    """The sheet: its size, and how thick the foil is."""
    y = pane.y + _heading(ui, pane, "Foil")
    sheet = editor.document.pattern.sheet
    row = Pane(pane.x, y, pane.w, theme.PRESS_H)
    sizes = sheet_sizes(sheet, open_event_sheet(editor.memory))
    now = size_key(sheet)
    size = drop_down(ui, "sheet-size", row, sizes, now, tip="How large the sheet is")
    if size != now:
        width, height = (float(v) for v in size.split("x"))
        change.set_sheet(editor, replace(sheet, width_mm=width, height_mm=height))
    row = row.moved(0, theme.PRESS_H + 6)
    thick = {f"{um:g}": words for um, words in FOILS.items()}
    thick.setdefault(f"{sheet.thickness_um:g}", f"{sheet.thickness_um:g} µm")
    chosen = drop_down(ui, "foil", row, thick, f"{sheet.thickness_um:g}", tip="How thick the foil is")
    if chosen != f"{sheet.thickness_um:g}":
        change.set_sheet(editor, replace(sheet, thickness_um=float(chosen)))
    return row.bottom


def _folds(ui: Ui, pane: Pane, editor: Editor) -> float:
    """Sense and turn, of new lines or of what is picked."""
    picked = list(editor.picked_creases)
    many = len(picked)
    heading = "New lines" if not many else "1 line picked" if many == 1 else f"{many} lines picked"
    y = pane.y + _heading(ui, pane, heading)
    senses = {c.sense for c in picked} or {editor.state.setting.sense}
    for k, sense in enumerate(SENSE_WORDS):
        cell = Pane(pane.x, y, pane.w, 38).columns(2, 6)[k % 2]
        word, tip = SENSE_WORDS[sense]
        if tile(ui, f"sense/{sense}", cell, word, sense, senses == {sense}, tip, beside=True):
            change.set_sense(editor, sense)
        y += 42 * (k % 2)
    assert set(SENSE_WORDS) == set(SENSES)
    if senses <= {"valley", "mountain"}:
        y = _turn(ui, Pane(pane.x, y + 2, pane.w, 1e6), editor, picked)
    if picked:
        y = _picked(ui, Pane(pane.x, y + 4, pane.w, 1e6), editor, picked)
    return y


def _turn(ui: Ui, pane: Pane, editor: Editor, picked: list[Crease]) -> float:
    """How far it folds: 90, 180, or any."""
    turns = {c.turn_rad for c in picked} or {editor.state.setting.turn_rad}
    one = turns.pop() if len(turns) == 1 else None
    mixed = bool(turns)
    row = Pane(pane.x, pane.y, pane.w, 38)
    quarter, half, rest = row.columns([1.25, 1.35, 1.4], 5)
    for cell, rad, word, tip in (
        (quarter, math.pi / 2, "90°", "A wall that stands straight up"), (half, HALF_TURN, "180°", "Folded flat"),
    ):  # fmt: skip
        on = not mixed and one is not None and abs(one - rad) < 1e-9
        if toggle(ui, f"turn/{word.removesuffix('°')}", cell, word, on, tip=tip) and not on:
            change.set_turn(editor, rad)
    shown = None if one is None or mixed else one * DEG_PER_RAD
    value = number_field(
        ui, "turn", rest, shown, unit="°", low=0, high=180, step=5, digits=2, empty="–" if mixed else "free",
        tip="How far this folds. Empty: the program works it out",
    )  # fmt: skip
    if value != shown and not (value is not None and shown is not None and abs(value - shown) < 0.006):
        change.set_turn(editor, None if value is None else value * RAD_PER_DEG)
    return row.bottom


def _picked(ui: Ui, pane: Pane, editor: Editor, picked: list[Crease]) -> float:
    """What may be done to what is picked."""
    alike, gone = Pane(pane.x, pane.y, pane.w, 40).columns(2, 6)
    if button(ui, "alike", alike, "All alike", tip="Pick every line like this one"):
        change.pick_alike(editor)
    if button(ui, "delete", gone, "Delete", tip="Take what is picked away"):
        change.delete(editor)
    y = pane.y + 44
    steps = {c.step for c in picked}
    row = Pane(pane.x, y, pane.w, 38)
    word, room = row.cut_left(62, 6)
    ui.display_list.text("Step", word)
    step = steps.pop() if len(steps) == 1 else None
    value = number_field(ui, "step", room, step, low=0, high=10_000, digits=0, empty="no number", tip="When this is folded")
    if value is not None and value != step:
        editor.edit(lambda p: edit.change(p, editor.document.picked, step=int(value)))
    y = row.bottom + 4
    if len(picked) == len(editor.document.picked) == 1:  # one of the buttons above may just have changed what is picked
        y = _ends(ui, Pane(pane.x, y, pane.w, 1e6), editor, picked[0])
    return y


def _ends(ui: Ui, pane: Pane, editor: Editor, crease: Crease) -> float:
    """The ends of one line, to be read and typed."""
    index = min(editor.document.picked)
    y = pane.y
    for word, at_start, place in (("From", True, crease.start), ("To", False, crease.end)):
        row = Pane(pane.x, y, pane.w, 38)
        head, room = row.cut_left(46, 4)
        ui.display_list.text(word, head)
        typed = []
        for axis, cell in zip((0, 1), room.columns(2, 4), strict=True):
            name = f"{word.lower()}/{'xy'[axis]}"
            tip = "mm from the left" if axis == 0 else "mm from below"
            value = number_field(ui, name, cell, place[axis], low=-100, high=1100, digits=2, tip=tip)
            typed.append(place[axis] if value is None or abs(value - place[axis]) < 0.006 else value)
        if tuple(typed) != place:
            editor.edit(partial(edit.stretch_crease, ends=[(index, at_start)], to=(typed[0], typed[1])))
        y += 42
    turn = math.atan2(crease.end[1] - crease.start[1], crease.end[0] - crease.start[0]) % math.pi * DEG_PER_RAD
    y += label(ui, Pane(pane.x, y, pane.w, 24), f"{crease.length_mm:.1f} mm long, at {turn:.1f}°", "small", colour=theme.SOFT_INK)
    return y


def _mirror(ui: Ui, pane: Pane, editor: Editor) -> float:
    y = pane.y + _heading(ui, pane, f"Mirror: {WORDS[editor.state.setting.mirrors]}")
    row = Pane(pane.x, y, pane.w, 40)
    for cell, mirrors in zip(row.columns(len(MIRRORS), 6), MIRRORS, strict=True):
        on = editor.state.setting.mirrors == mirrors
        tip = f"Mirror: {WORDS[mirrors]}"
        if toggle(ui, f"mirror/{mirrors}", cell, "", on, icon=MIRROR_ICONS[mirrors], tip=tip) and not on:
            change.set_mirrors(editor, mirrors)
    return row.bottom


def _heading(ui: Ui, pane: Pane, text: str) -> float:
    return label(ui, Pane(pane.x, pane.y, pane.w, 24), text, "small", bold=True, colour=theme.SOFT_INK) + 2


def tile(ui: Ui, name: str, pane: Pane, word: str, icon: str, on: bool, tip: str, *, beside: bool = False) -> bool:
    """A small card with a picture and a word, that is on or off: whether it is pressed."""
    record = ui.place(name, pane, "toggle", text=word, value=on, tip=tip)
    if ui.drawing:
        if on:
            ui.display_list.plate(pane, theme.PICKED if not record.hovered else record.ground, record.ink, width=2, ear=True)
        else:
            ui.display_list.plate(pane, record.ground, theme.INK if record.hovered else theme.EDGE)
        if beside:
            mark, words = pane.inset(4, 0).cut_left(20, 4)
            ui.display_list.icon(icon, mark.middle, record.ink, 20)
            ui.display_list.text(word, words, "small", bold=on, colour=record.ink)
        else:
            words, mark = pane.inset(2, 3).cut_bottom(theme.SIZES["small"] * theme.LEADING)
            ui.display_list.icon(icon, mark.middle, record.ink, min(32.0, max(mark.h - 4.0, 20.0)))
            ui.display_list.text(word, words, "small", bold=on, colour=record.ink, align="middle")
        focus_ring(ui, record)
    return ui.fired(record)
