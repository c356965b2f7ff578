"""The page Fold: the tools, the sheet, the hull it makes with what is known of it, the order of the folds below."""

from __future__ import annotations

from folder.window.background.identity import IdentityKey
from folder.window.editor import Editor
from folder.window.fold.at_hand.note import HAND_NOTE
from folder.window.fold.beside.counted import full_counts
from folder.window.fold.beside.panels import right_half
from folder.window.fold.better.actions import follow_search
from folder.window.fold.film.strip_view import run_player, strip_view
from folder.window.fold.hint import hint_row, row_h
from folder.window.fold.hull_seen import HULL_PICTURE
from folder.window.fold.palette import palette, palette_w
from folder.window.fold.sheet_view import sheet_view
from folder.window.verdict import known_load
from folder.window.widgets import Pane, Ui, memo

STRIP_H, LOW_STRIP_H = 112.0, 92.0
LOW = 560.0
"""Height of the page, logical px, below which the strip is lower."""
BESIDE_SHEET_W = 46.0
"""What the sheet's pane is wider than it is high: room for the buttons that zoom."""
SHEET_SHARE, MORE_SHARE = 0.56, 0.66
"""Of what the tools leave, at most so much of the width is the sheet's: the hull is as important; more while "More" is open."""


def fold_page(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The page."""
    run_player(ui, editor)
    next_s = follow_search(editor, ui.now_s)
    if next_s is not None:
        ui.redraw_in(max(next_s, 0.0))
    below, pane = pane.cut_bottom(STRIP_H if pane.h > LOW else LOW_STRIP_H, 8)
    tools, pane = pane.cut_left(palette_w(editor), 10)
    sheet_w = min(pane.w * (MORE_SHARE if editor.state.more else SHEET_SHARE), pane.h + BESIDE_SHEET_W)
    left, right = pane.cut_left(sheet_w, 12)
    row, sheet = left.cut_bottom(row_h(left.w), 6)
    # The order of the calls is the way of the Tab key: the sheet first, then what is beside it.
    sheet_view(ui, sheet, editor)
    hint_row(ui, row, editor)
    # While the hand drags on the sheet, most of what is beside it stays as it is.
    drag_pattern, document, state = editor.state.drag_pattern is not None, IdentityKey(editor.document), editor.state
    lines = editor.picked_creases if drag_pattern else ()
    known = (IdentityKey(editor.result), editor.fresh is None, drag_pattern, state.player, bool(editor.pattern.creases))
    memo(ui, "palette", (tools, document, lines, state.tool.name, state.setting, state.more), lambda: palette(ui, tools, editor))
    load = IdentityKey(known_load(editor.fresh))
    picture = IdentityKey(editor.worker.last_answer(HULL_PICTURE))
    # A wall is leaned in the picture of the hull: there stands the note at the hand.
    note = IdentityKey(editor.worker.last_answer(HAND_NOTE) if drag_pattern and state.pointer is None else None)
    counts, chosen = full_counts(ui, editor), state.object_choice
    shown = (
        right,
        *known,
        load,
        counts,
        state.camera,
        state.finding,
        chosen,
        IdentityKey(editor.offers),
        picture,
        note,
        IdentityKey(state.better),
    )
    memo(ui, "right", shown, lambda: right_half(ui, right, editor, counts))
    memo(ui, "strip", (below, *(known if not drag_pattern else known[2:])), lambda: strip_view(ui, below, editor))
