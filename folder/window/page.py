"""What one pass shows: the start page or the sheet with all that stands round it, the dialog on it, and every key."""

from __future__ import annotations

import pygame

from folder.window import theme
from folder.window.background.identity import IdentityKey
from folder.window.commands.table import COMMANDS
from folder.window.dialogs import files
from folder.window.dialogs.keys import keys_page
from folder.window.dialogs.start import welcome
from folder.window.editor import Editor
from folder.window.fold.hint import hint_row, row_h
from folder.window.fold.palette import palette
from folder.window.fold.panels import right_half
from folder.window.fold.sheet_view import sheet_view
from folder.window.fold.strip_view import strip_view
from folder.window.top_bar import top_bar
from folder.window.widgets import Pane, Ui, label, memo

LOW = 450.0
"""Height of the middle of the page, logical px, below which it is laid out for a low window."""
HIGH = 800.0
"""Height of the page under its bar, logical px, from which on there is room for the strip beside water and paper too."""
SMALLEST_PAGE = (640.0, 420.0)


def page(ui: Ui, editor: Editor) -> None:
    """What one pass shows."""
    if ui.page.w < SMALLEST_PAGE[0] or ui.page.h < SMALLEST_PAGE[1]:
        label(ui, ui.page.inset(12), "This window is too small to work in. Make it larger; your work is still here.")
        return
    if _only_the_sheet(ui):
        sheet_view(ui, ui.last["sheet"].pane, editor)
        ui.records = {**ui.last, **ui.records}
        ui.memory_used |= ui.memory_store.keys()
        ui.holders |= ui.last_holders
        return
    if ui.event is not None or ui.settling:  # it may change what any widget remembers
        ui.memos.clear()
    whole = ui.page.inset(12, 10)
    if editor.state.page == "start":
        welcome(ui, whole, editor)
    else:
        _sheet_page(ui, whole, editor)
    match editor.state.dialog:
        case "open":
            files.open_page(ui, editor)
        case "save":
            files.save_page(ui, editor)
        case "leave":
            files.leave_page(ui, editor)
        case "where":
            files.where_page(ui, editor)
        case "keys":
            keys_page(ui, editor)
    _keys(ui, editor)


def _only_the_sheet(ui: Ui) -> bool:
    """Whether the event is a drag on the sheet: it concerns nothing else, and a drag must be quick."""
    return ui.event is not None and ui.event.type == pygame.MOUSEMOTION and ui.pointer.active == "sheet" and "sheet" in ui.last


def _sheet_page(ui: Ui, pane: Pane, editor: Editor) -> None:
    bar, pane = pane.cut_top(theme.PRESS_H, 8)
    if editor.state.side_panel.mode != "hull":
        _beside(ui, bar, pane, editor)
        return
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
    memo(ui, "bar", (bar, document, editor.memory.scale), lambda: top_bar(ui, bar, editor))


def _beside(ui: Ui, bar: Pane, pane: Pane, editor: Editor) -> None:
    """The sheet without its tools, so that the right half has more room for water, other hulls or pages."""
    if pane.h > HIGH:
        below, pane = pane.cut_bottom(112, 8)
    else:
        below = None
    right, sheet = pane.cut_right(min(max(pane.w * 0.5, 420.0), 760.0), 10)
    row, sheet = sheet.cut_bottom(theme.PRESS_H, 6)
    sheet_view(ui, sheet, editor)
    hint_row(ui, row, editor)
    right_half(ui, right, editor)
    if below is not None:
        strip_view(ui, below, editor)
    top_bar(ui, bar, editor)


def _keys(ui: Ui, editor: Editor) -> None:
    """Every command by its keys."""
    if ui.event is None or ui.event.type != pygame.KEYDOWN or editor.state.dialog:
        return
    for command in COMMANDS.values():
        if editor.state.page == "sheet" or command.everywhere:
            for keys in command.keys:
                if ui.shortcut(keys):
                    command.do(editor)
                    if editor.focus_request:
                        ui.focus_on(editor.focus_request)
                        editor.focus_request = ""
                    return
