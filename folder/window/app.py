"""The window: its page, its loop.

`page` is what one pass shows; `Window.frame` is a function of the events, the seconds and the editor.
"""

from __future__ import annotations

import math
import sys
import time
from collections.abc import Sequence
from concurrent.futures import Executor
from pathlib import Path

import pygame
from msgspec.structs import replace
from pygame.event import Event

from folder.fault import report_fault
from folder.pattern.pattern import Pattern
from folder.window import theme
from folder.window.autosave import EVERY_S, Autosave, Memory, remember, remembered
from folder.window.background.identity import IdentityKey
from folder.window.background.worker import Worker
from folder.window.commands.files import quit_window, unless_unsaved
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
from folder.window.tools.tool import Tool
from folder.window.top_bar import top_bar
from folder.window.widgets import Pane, SystemClipboard, Ui, frame, label, memo

LEAST_PAGE = (840.0, 520.0)
"""Below this, logical px, the page has no room: letters are not made so large that it would be."""
LOW = 450.0
"""Height of the middle of the page, logical px, below which it is laid out for a low window."""
HIGH = 800.0
"""Height of the page under its bar, logical px, from which on there is room for the strip beside water and paper too."""
SMALLEST_PAGE = (640.0, 420.0)
SWITCH_INTERVAL_S = 0.0005
"""How long the interpreter lets one thread run while the other waits: the drawing must not wait long for the study."""
WAIT_MS = 250
MOST_FAULTS = 4
"""Frames in a row that may break off before the window gives up."""
WORK_DONE = pygame.event.custom_type()


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
    known = (IdentityKey(editor.result), editor.fresh is None, drag_pattern, editor.state.step_index, bool(editor.pattern.creases))
    memo(ui, "palette", (tools, document, lines, editor.state.tool.name, editor.state.setting), lambda: palette(ui, tools, editor))
    memo(ui, "right", (right, *known, editor.state.camera, editor.state.share, editor.state.finding), lambda: right_half(ui, right, editor))
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


class Window:
    """An editor with the surface it is shown on."""

    def __init__(
        self, surface: pygame.Surface, *, executor: Executor | None = None, memory: Memory | None = None,
        autosave: Autosave | None = None, wake: bool = False,
    ) -> None:  # fmt: skip
        self.surface = surface
        worker = Worker(executor, _wake) if wake else Worker(executor)
        self.editor = Editor(worker, autosave or Autosave(), memory if memory is not None else remembered())
        self.ui = Ui(self.editor.memory.scale, SystemClipboard() if wake else None)
        self._good = self.editor.document
        """The work as it was when a frame last went well."""
        self._faults = 0

    def frame(self, events: Sequence[Event], dt_s: float) -> bool:
        """One frame; whether anything was drawn."""
        ui, editor = self.ui, self.editor
        with editor.worker.held():
            if editor.worker.poll() is not None:
                ui.redraw()
            said = editor.autosave.tick(editor.document, dt_s) if editor.state.page == "sheet" else ""
            editor.say(said, "warn")
            for event in events:
                if event.type == pygame.QUIT:
                    unless_unsaved(editor, quit_window)
                    ui.redraw()
            ui.scale = fitting_scale(editor.memory.scale, self.surface.get_size())
            drawn = frame(ui, lambda u: page(u, editor), events, dt_s, self.surface)
        if editor.worker.poll() is not None:
            ui.redraw()
        for text, level in editor.take_messages():
            ui.say(text, level)
        # What came in meanwhile is drawn at once, but in a drag with the hand's next place: the loop does not wait for it.
        dragging = editor.state.drag_pattern is not None or bool(ui.pointer.active)
        if (ui.changed and not dragging) or ui.scale != fitting_scale(editor.memory.scale, self.surface.get_size()):
            ui.scale = fitting_scale(editor.memory.scale, self.surface.get_size())
            drawn |= frame(ui, lambda u: page(u, editor), [], 0.0, self.surface)
        if drawn and ui.now_s == 0.0:
            ui.redraw()  # what was not made for the first frame
        return drawn

    def careful_frame(self, events: Sequence[Event], dt_s: float) -> bool:
        """One frame that a fault of the program does not end: the drawing is kept, and the last good state stays.

        A fault that comes back at once takes more and more back; at last it is raised, with the drawing kept on disk.
        """
        try:
            drawn = self.frame(events, dt_s)
        except Exception as error:
            self._faults += 1
            if self._faults > MOST_FAULTS:
                raise
            self._recover(error)
            return False
        self._good, self._faults = self.editor.document, 0
        return drawn

    def _recover(self, error: Exception) -> None:
        """Out of the hand what it was at; from the second time on, the drawing as it was when all went well."""
        editor = self.editor
        told = report_fault(error, "a frame of the window")
        if self._faults == 1:  # later ones are back at an older drawing
            editor.autosave.keep(editor.document)
        self.ui = Ui(editor.memory.scale, self.ui.clipboard)  # the old one broke off half way
        editor.take_messages()
        state = replace(editor.state, tool=Tool(), drag_pattern=None, pointer=None, dialog="", after_dialog=None)
        if self._faults > 1:
            side_panel = state.side_panel.opened()
            state = replace(state, side_panel=side_panel, step_index=None, finding=None, share=1.0)
        editor.show(state)
        if self._faults > 1:
            pattern = editor.document.pattern
            editor.put(editor.document if pattern is self._good.pattern else replace(self._good, future=(pattern,)))
        editor.say(f"Something went wrong. Your drawing is kept. {told[0].upper()}{told[1:]}.", "stop")

    def close(self) -> bool:
        """Let go of everything: the copy of saved work, the threads, what is to be remembered. Whether a thread is still at work."""
        if self.editor.state.is_closing or (self.editor.document.is_saved and not self._faults):
            self.editor.autosave.drop()
        remember(self.editor.memory)
        return self.editor.worker.stop()


def fitting_scale(wanted: float, size_px: tuple[int, int]) -> float:
    """The size of letters that is wanted, or as large as leaves the page its room."""
    room = min(size_px[0] / LEAST_PAGE[0], size_px[1] / LEAST_PAGE[1])
    return min(wanted, max(math.floor(room * 20.0) / 20.0, 1.0))


def _wake() -> None:
    """Called by the worker's thread: wake the loop."""
    if pygame.display.get_init():
        pygame.event.post(Event(WORK_DONE))


def run_window(surface: pygame.Surface, file: Path | None = None, pattern: Pattern | None = None) -> bool:
    """Work in an open window until it is closed; with a pattern, begin on that, saved in a file if one is named.

    Whether a thread is still at work when the window has gone: nobody needs to wait for it.
    """
    pygame.key.set_repeat(350, 40)
    sys.setswitchinterval(SWITCH_INTERVAL_S)
    window = Window(surface, wake=True)
    if pattern is not None:
        window.editor.begin(pattern, file)
        if file is not None:
            window.editor.memory.opened(file)
    try:
        _loop(window)
    finally:
        busy = window.close()
        pygame.display.quit()
    return busy


def _loop(window: Window) -> None:
    last = time.monotonic()
    while not window.editor.state.is_closing:
        wake_s = window.ui.wake_s()
        wait_ms = WAIT_MS if wake_s is None else max(min(int(wake_s * 1000) + 1, WAIT_MS), 1)
        events = pygame.event.get() if window.ui.changed else [pygame.event.wait(wait_ms), *pygame.event.get()]
        if any(e.type == WORK_DONE for e in events):
            window.ui.redraw()
        events = [e for e in events if e.type not in (pygame.NOEVENT, WORK_DONE)]
        window.surface = pygame.display.get_surface() or window.surface
        now = time.monotonic()
        if window.careful_frame(events, min(now - last, EVERY_S)):
            pygame.display.flip()
        last = now
