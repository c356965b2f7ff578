"""Beside the sheet: five tools in words, one below the other; "More"; all round or not; how high and how leaning the walls are."""

from __future__ import annotations

from folder.units import DEG_PER_RAD, RAD_PER_DEG
from folder.window import theme
from folder.window.commands import change
from folder.window.editor import Editor
from folder.window.fold.commands import TOOL_KEYS
from folder.window.fold.more.panel import MORE_W, more_panel, tile
from folder.window.tools.tool import FIRST_TOOLS, MORE_TOOLS
from folder.window.tools.walls.measures import measures_of_walls, picked_walls
from folder.window.tools.words import TOOL_WORDS
from folder.window.widgets import Pane, Ui, label, number_field

COLUMN_W = 110.0
TALLEST, LOWEST = 76.0, 32.0
"""Heights of a tile, logical px: as high as there is room."""
LOW = 480.0
"""In a column lower than this the words stand beside the icons."""
FIELD_H = 34.0
LABEL_H = 22.0
GAP = 6.0


def palette_w(editor: Editor) -> float:
    """How wide the tools are: with what stands under "More", if that is shown."""
    return COLUMN_W + (MORE_W + 8.0 if editor.state.more else 0.0)


def palette(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The tools, and beside them what stands under "More"."""
    column, rest = pane.cut_left(COLUMN_W, 8.0)
    low = column.h < LOW
    label_h, gap = 0.0 if low else LABEL_H, 4.0 if low else GAP
    fields = 2.0 * (label_h + FIELD_H + gap)
    tile_h = min(max((column.h - fields) / (len(FIRST_TOOLS) + 2) - gap, LOWEST), TALLEST)
    rows = iter([Pane(column.x, column.y + k * (tile_h + gap), column.w, tile_h) for k in range(len(FIRST_TOOLS) + 3)])
    for name in FIRST_TOOLS:
        word, icon, tip = TOOL_WORDS[name]
        on = editor.state.tool.name == name
        if tile(ui, f"tool/{name}", next(rows), word, icon, on, f"{tip} ({TOOL_KEYS[name].upper()})", beside=low):
            editor.take_up(name)
    more = editor.state.more or editor.state.tool.name in MORE_TOOLS
    if tile(ui, "more", next(rows), "More", "more", more, "More tools, folds, grid and foil (Z)", beside=low):
        change.toggle_more(editor)
    all_round = editor.state.setting.mirrors != "none"
    word, icon = ("all round", "mirror_all") if all_round else ("this side", "one_side")
    tip = "On: what you do is done on all sides alike. Off: on this side alone (Y)"
    if tile(ui, "all-round", next(rows), word, icon, all_round, tip, beside=low):
        change.toggle_all_round(editor)
    _walls(ui, next(rows), editor, label_h, gap)
    if editor.state.more:
        more_panel(ui, rest, editor)


def _walls(ui: Ui, pane: Pane, editor: Editor, label_h: float, gap: float) -> None:
    """Fields for height and lean: of the picked wall, else of all."""
    pattern, picked = editor.document.pattern, editor.document.picked
    known = measures_of_walls(pattern, picked)
    if known is None and editor.state.tool.name != "wall":
        return
    height = None if known is None else known.height_mm
    words = "this wall" if picked_walls(pattern, picked) else "walls"
    if label_h:
        label(ui, Pane(pane.x, pane.y, pane.w, label_h), words, "small", colour=theme.SOFT_INK)
    high = number_field(
        ui, "wall/high", Pane(pane.x, pane.y + label_h, pane.w, FIELD_H), height, unit="mm", low=1, high=500, step=1, digits=1,
        empty="high", tip="How high the wall stands. Type it and press Enter: on an empty sheet walls come up all round",
    )  # fmt: skip
    if high is not None and (height is None or abs(high - height) > 0.05):
        change.raise_to(editor, high)
    if known is None:
        return
    lean = None if known.lean_rad is None else known.lean_rad * DEG_PER_RAD
    y = pane.y + label_h + FIELD_H + gap
    if label_h:
        label(ui, Pane(pane.x, y, pane.w, label_h), "leaning out", "small", colour=theme.SOFT_INK)
    leaned = number_field(
        ui, "wall/lean", Pane(pane.x, y + label_h, pane.w, FIELD_H), lean, unit="°", low=0, high=60, step=5, digits=1,
        empty="–", tip="How far the wall leans out from upright, 0 to 60 degrees",
    )  # fmt: skip
    if leaned is not None and (lean is None or abs(leaned - lean) > 0.05):
        change.lean_to(editor, leaned * RAD_PER_DEG)
