"""The line under the sheet: the next useful thing to do, or, while a line is laid, its measures to be read and typed."""

from __future__ import annotations

import math

from msgspec.structs import replace

from folder.search.mend.edits import ALL_CORNERS
from folder.units import DEG_PER_RAD, RAD_PER_DEG
from folder.verdict import verdict_of
from folder.window import theme
from folder.window.commands import change
from folder.window.editor import Editor
from folder.window.fold.beside.remedy_cards import remedy_load
from folder.window.help.worded import worded
from folder.window.theme import Size
from folder.window.tools.tool import TypedLine
from folder.window.tools.walls.measures import picked_walls
from folder.window.widgets import Pane, Ui, button, button_w, number_field

NARROW = 590.0
"""Narrower than this, the measures stand in two rows."""
BETTER = "The blue lines are those of the better hull. It waits at the right; draw on and it goes away."
CORNERS = "Now the corners: take “Corner” (key C) and press where two walls meet."
Cell = tuple[str, str, float | None, float | None, str]
"""A field: its name, its word, what is seen, what was typed, its unit."""


def row_h(width: float) -> float:
    """How high the row must be at a width."""
    return theme.PRESS_H if width >= NARROW else 2 * theme.PRESS_H + 4


def hint_row(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The hint, or the measures."""
    if editor.state.tool.name != "pick" and (editor.state.tool.points or editor.state.tool.lines):
        _measures(ui, pane, editor)
        return
    ui.display_list.icon("note", (pane.x + 14, pane.middle[1]), theme.SOFT_INK, 20)
    room = pane.cut_left(32)[1]
    text = hint(editor)
    record = ui.place("hint", room, "text", text=text, stops=False, pointed=False)
    size: Size = "body" if ui.display_list.text_h(text, room.w) <= room.h else "small"
    worded(ui, "hint", record.pane, text, editor, size)


def hint(editor: Editor) -> str:
    """The next useful thing."""
    if editor.state.better.of is not None:
        return BETTER if editor.state.better.shown else "Draw on whenever you like: then the search ends."
    pattern, tool = editor.document.pattern, editor.state.tool.name
    walls = sum(c.sense == "valley" for c in pattern.creases)
    match tool:
        case "line" | "long" if walls >= 2 and _wants_corners(editor):
            return CORNERS
        case "line" | "long":
            if not walls and editor.state.setting.mirrors == "four":
                return "Press near one side of the sheet and draw along it: the mirror makes all four walls."
            return "Press where the line begins, and let go where it ends. Escape puts the tool down."
        case "square":
            return "Press a line, then the point where the new one goes through."
        case "angle":
            return "Press one line, then the other: the new line halves the corner between them."
        case "halve":
            return "Press one point, then the other: the new line runs half way between them."
        case "beside":
            return "Press a line, then move away from it and press again."
        case "wall":
            return _hint_to_wall(editor, walls)
        case "hem":
            return "Press an edge: it is folded over, and the walls below move in. Press a hem to take it away."
        case "corner":
            return "Press a corner where two walls meet. The flap lies on the wall you are nearer to."
        case "pinch":
            return "Press where the layers are to be pinched together; press a pinch to take it away."
        case "floor":
            return "Press the part of the sheet that is to be the floor."
        case _:
            return _hint_to_pick(editor, walls)


def _hint_to_pick(editor: Editor, walls: int) -> str:
    if editor.document.picked:
        if len(editor.document.picked) > 1:
            return "Drag to push them, or choose at the left how they fold. The Delete key takes them away."
        if picked_walls(editor.document.pattern, editor.document.picked):
            return "Drag the wall, or type at the left how high it stands and how it leans. Delete takes it away."
        return "Drag to push it. How it folds is chosen beside it, or under “More”. Delete takes it away."
    if not editor.document.pattern.creases:
        return "Start with a wall: take “Wall” at the left (key W) and drag in from an edge of the sheet."
    result = editor.fresh
    if result is not None and result.study is not None:
        if walls >= 2 and _wants_corners(editor):
            return CORNERS
        known = verdict_of(result.study)
        if known.level != "good" and editor.offers:
            best = editor.offers[0].remedy
            outcome = f" Then: {remedy_load(editor.offers[0], editor.state.object_choice.item)}." if best.good else ""
            return f"Next: {best.text[0].lower()}{best.text[1:]} Press F3 and it is done.{outcome}"
        if known.level == "stop":
            return "Look at the right: each thing found there says what would mend it."
        if known.code == "open":
            return "Go on round the floor: every side of it wants a wall."
        if known.level == "good":
            return "It holds water! Press a wall and drag it: watch floor, wall and load change."
    return "Press a line to pick it, or take a tool at the left."


def _hint_to_wall(editor: Editor, walls: int) -> str:
    if not walls:
        sides = "all round" if editor.state.setting.mirrors != "none" else "on that side"
        return f"Drag in from an edge of the sheet: a wall comes up {sides}. Or type how high, and Enter."
    if editor.state.setting.mirrors != "none":
        return "Drag a wall line: the walls on all sides follow. Press “all round” to move one alone. Shift: exactly."
    return "Drag a wall line to move it, or drag in from an edge for a wall more. Off the edge it goes away."


def _wants_corners(editor: Editor) -> bool:
    """Walls meet, and the corner between them does not close yet."""
    best = editor.offers[0].remedy if editor.offers else None
    return best is not None and best.good and best.text == ALL_CORNERS


def _measures(ui: Ui, pane: Pane, editor: Editor) -> None:
    preview, typed = editor.preview, editor.state.tool.typed
    turns = editor.state.tool.name in ("line", "long", "halve")
    cells: list[Cell] = []
    if turns or editor.state.tool.name == "beside":
        word = "Length" if turns else "Away"
        cells.append(("length", word, preview.length_mm, typed.length_mm, "long" if turns else "away"))
    if turns:
        angle = None if preview.angle_rad is None else preview.angle_rad * DEG_PER_RAD
        cells.append(("angle", "Angle", angle, None if typed.angle_rad is None else typed.angle_rad * DEG_PER_RAD, "°"))
    if editor.state.tool.name != "angle":
        cells.append(("x", "Right", preview.at[0], typed.x_mm, "right"))
        cells.append(("y", "Up", preview.at[1], typed.y_mm, "up"))
    if pane.w >= NARROW:
        row, right = pane.cut_right(button_w(ui, "Lay it", bold=True) + 48, 6)[::-1]
        lay, stop = right.cut_right(42, 6)[::-1]
        rows, words = [(row, cells)], "Lay it"
    else:
        both, right = pane.cut_right(46, 6)[::-1]
        lay, stop = right.rows(2, 4)
        upper, lower = both.rows(2, 4)
        half = (len(cells) + 1) // 2
        rows, words = [(upper, cells[:half]), (lower, cells[half:])], ""
    for row, some in rows:
        _fields(ui, row, editor, some)
    if button(ui, "lay", lay, words, icon="" if words else "tick", rank="main", tip="Lay the line as it is shown"):
        editor.lay_typed()
    if button(ui, "stop", stop, icon="cross", tip="Put down what was begun (Escape)"):
        editor.home()


def _fields(ui: Ui, row: Pane, editor: Editor, cells: list[Cell]) -> None:
    for pane, (name, word, seen, set_to, unit) in zip(row.columns(max(len(cells), 1), 4), cells, strict=False):
        now = round(set_to, 2) if set_to is not None else None if seen is None else round(seen, 1)
        value = number_field(
            ui, f"lay/{name}", pane, now, unit=f"mm {unit}" if unit != "°" and pane.w > 160 else unit, low=-1000, high=1000,
            digits=2, empty="–", tip=f"{word}: type it to fix it, empty it to leave it to the hand",
        )  # fmt: skip
        if value != now:
            change.set_typed(editor, _typed(editor, name, value))


def _typed(editor: Editor, name: str, value: float | None) -> TypedLine:
    typed = editor.state.tool.typed
    match name:
        case "length":
            return replace(typed, length_mm=value)
        case "angle":
            return replace(typed, angle_rad=None if value is None else math.fmod(value, 360.0) * RAD_PER_DEG)
        case "x":
            return replace(typed, x_mm=value)
        case _:
            return replace(typed, y_mm=value)
