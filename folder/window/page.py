"""What one pass shows: the bar and the page that is turned to, the dialog on it, and every key."""

from __future__ import annotations

from functools import partial

import pygame

from folder.window import theme
from folder.window.background.identity import IdentityKey
from folder.window.commands.table import COMMANDS, hears
from folder.window.editor import Editor
from folder.window.fold.sheet_view import sheet_view
from folder.window.print.commands import take_names
from folder.window.top_bar import top_bar
from folder.window.widgets import Pane, Ui, label, memo

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
    if editor.state.page == "event" and editor.state.eventing.is_announced:
        from folder.window.event.parts.room import announcement

        announcement(ui, ui.page, editor)
        _keys(ui, editor)
        return
    if editor.state.page != "start":
        bar, whole = whole.cut_top(theme.PRESS_H, 8)
        _page(ui, whole, editor)  # first, so that it is first on the way of the Tab key
        known = (bar, IdentityKey(editor.document), editor.state.page)
        memo(ui, "bar", known, lambda: top_bar(ui, bar, editor))
    else:
        _page(ui, whole, editor)
    _dialog(ui, editor)
    _keys(ui, editor)


def _only_the_sheet(ui: Ui) -> bool:
    """Whether the event is a drag on the sheet: it concerns nothing else, and a drag must be quick."""
    return ui.event is not None and ui.event.type == pygame.MOUSEMOTION and ui.pointer.active == "sheet" and "sheet" in ui.last


def _page(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The page that is turned to. What a page needs is loaded when it is first turned to."""
    match editor.state.page:
        case "start":
            from folder.window.start.view import start_page

            start_page(ui, pane, editor)
        case "fold":
            from folder.window.fold.view import fold_page

            fold_page(ui, pane, editor)
        case "float":
            from folder.window.float.view import float_page

            float_page(ui, pane, editor)
        case "compare":
            from folder.window.compare.view import compare_page

            compare_page(ui, pane, editor)
        case "print":
            from folder.window.print.view import print_page

            print_page(ui, pane, editor)
        case "event":
            from folder.window.event.view import event_page

            event_page(ui, pane, editor)


def _dialog(ui: Ui, editor: Editor) -> None:
    """The dialog over the page, if any."""
    from folder.window.dialogs import files
    from folder.window.fold.at_hand.menu_view import sheet_menu

    if editor.state.menu is not None:
        sheet_menu(ui, editor)
    match editor.state.dialog:
        case "open":
            files.open_page(ui, editor)
        case "save":
            files.save_page(ui, editor)
        case "leave":
            files.leave_page(ui, editor)
        case "where":
            files.where_page(ui, editor)
        case "names":
            files.any_file_page(
                ui, editor, "The names of the class", "table", (".csv", ".txt", ".tsv"), None, partial(take_names, editor)
            )
        case "help":
            from folder.window.help.view import help_page

            help_page(ui, editor)
        case "event-file":
            from folder.window.event.choose import choose_page

            choose_page(ui, editor)
        case "objects":
            from folder.window.objects.finder import objects_page

            objects_page(ui, editor)
        case "work-out":
            from folder.window.count.view import work_out_page

            work_out_page(ui, editor)
        case "note-trial":
            from folder.window.trials.note import note_page

            note_page(ui, editor)
        case "trials":
            from folder.window.trials.view import trials_page

            trials_page(ui, editor)


def _keys(ui: Ui, editor: Editor) -> None:
    """Every command by its keys."""
    if ui.event is None or ui.event.type != pygame.KEYDOWN or editor.state.dialog:
        return
    for command in COMMANDS.values():
        for keys in command.keys:
            if hears(editor.state.page, command, keys) and ui.shortcut(keys):
                command.do(editor)
                if editor.focus_request:
                    ui.focus_on(editor.focus_request)
                    editor.focus_request = ""
                return
