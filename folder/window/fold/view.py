"""The page Fold: the tools, the sheet, the hull it makes with what is known of it, the order of the folds below."""

from __future__ import annotations

from folder.window.background.identity import IdentityKey
from folder.window.editor import Editor
from folder.window.fold.hint import hint_row, row_h
from folder.window.fold.palette import palette
from folder.window.fold.panels import right_half
from folder.window.fold.sheet_view import sheet_view
from folder.window.fold.strip_view import strip_view
from folder.window.widgets import Pane, Ui, memo

LOW = 450.0
"""Height of the middle of the page, logical px, below which it is laid out for a low window."""


def fold_page(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The page."""
    strip_h, tools_w = 112 if pane.h > 560 else 96, 250 if pane.w > 1100 else 238
    right_w = min(max((pane.w - tools_w - 8) * 0.36, 300.0), 520.0)
    if pane.h - strip_h - 8 < LOW:  # the right half needs all the height
        right, pane = pane.cut_right(right_w, 10)
        below, pane = pane.cut_bottom(strip_h, 8)
        row, pane = pane.cut_bottom(row_h(pane.w), 6)
        tools, sheet = pane.cut_left(tools_w, 8)
    else:
        below, pane = pane.cut_bottom(strip_h, 8)
        tools, pane = pane.cut_left(tools_w, 8)
        right, sheet = pane.cut_right(right_w, 10)
        row, sheet = sheet.cut_bottom(row_h(sheet.w), 6)
    # The order of the calls is the way of the Tab key: the sheet first, then what is beside it.
    sheet_view(ui, sheet, editor)
    hint_row(ui, row, editor)
    # While the hand drags on the sheet, most of what is beside it stays as it is.
    drag_pattern, document = editor.state.drag_pattern is not None, IdentityKey(editor.document)
    lines = editor.picked_creases if drag_pattern else ()
    known = (
        IdentityKey(editor.result),
        editor.fresh is None,
        drag_pattern,
        editor.state.step_index,
        bool(editor.pattern.creases),
    )
    memo(
        ui, "palette", (tools, document, lines, editor.state.tool.name, editor.state.setting), lambda: palette(ui, tools, editor)
    )
    memo(
        ui,
        "right",
        (right, *known, editor.state.camera, editor.state.share, editor.state.finding),
        lambda: right_half(ui, right, editor),
    )
    memo(ui, "strip", (below, *(known if not drag_pattern else known[2:])), lambda: strip_view(ui, below, editor))
