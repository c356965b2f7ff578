"""The window: an editor with a surface, its frame, its loop.

`page.page` is what one pass shows; `Window.frame` is a function of the events, the seconds and the editor.
"""

from __future__ import annotations

import math
import sys
import time
from collections.abc import Sequence
from concurrent.futures import Executor
from functools import partial
from pathlib import Path

import pygame
from msgspec.structs import replace
from pygame.event import Event

from folder.fault import report_fault
from folder.pattern.pattern import Pattern
from folder.window.autosave import EVERY_S, Autosave, Memory, remember, remembered, sweep
from folder.window.background.worker import Worker
from folder.window.commands.files import open_dropped, quit_window, unless_unsaved
from folder.window.editor import Editor
from folder.window.event.writing import take_dropped
from folder.window.fold.film.player import Player
from folder.window.page import page
from folder.window.tools.tool import Tool
from folder.window.widgets import SystemClipboard, Ui, frame

LEAST_PAGE = (840.0, 520.0)
"""Below this, logical px, the page has no room: letters are not made so large that it would be."""
SWITCH_INTERVAL_S = 0.0005
"""How long the interpreter lets one thread run while the other waits: the drawing must not wait long for the study."""
WAIT_MS = 250
MOST_FAULTS = 4
"""Frames in a row that may break off before the window gives up."""
WORK_DONE = pygame.event.custom_type()


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
            message = editor.autosave.tick(editor.document, dt_s) if editor.state.page != "start" else ""
            editor.say(message, "warn")
            for event in events:
                if event.type == pygame.QUIT:
                    unless_unsaved(editor, quit_window)
                    ui.redraw()
                elif event.type == pygame.DROPFILE:
                    path = Path(event.file)
                    if not take_dropped(editor, path):
                        open_dropped(editor, path)
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
        report = report_fault(error, "a frame of the window")
        if self._faults == 1:  # later ones are back at an older drawing
            editor.autosave.keep(editor.document)
        self.ui = Ui(editor.memory.scale, self.ui.clipboard)  # the old one broke off half way
        editor.take_messages()
        state = replace(editor.state, tool=Tool(), drag_pattern=None, pointer=None, dialog="", after_dialog=None)
        if self._faults > 1:
            state = replace(state, page="fold", printing=state.printing.opened(), player=Player(), finding=None)
        editor.show(state)
        if self._faults > 1:
            pattern = editor.document.pattern
            editor.put(editor.document if pattern is self._good.pattern else replace(self._good, future=(pattern,)))
        editor.say(f"Something went wrong. Your drawing is kept. {report[0].upper()}{report[1:]}.", "stop")

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
    window.editor.worker.errand(partial(sweep, window.editor.memory), "sweep")
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
