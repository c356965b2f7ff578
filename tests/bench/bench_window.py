"""The window's speed, against bare pygame in the same run: dragging, from an edit to fresh numbers, starting, idling.

Aims: a frame of a drag at most 3 times the bare lines and under 8 ms (median); numbers within 50 ms of an edit (median);
the first frame at most 3 times a bare window's; less than 5 % of a core while nothing happens.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
import pygame

from folder.pattern import edit
from folder.pattern.construct import mirrored
from folder.pattern.file import find_pattern, read_pattern
from folder.pattern.pattern import Crease, Pattern
from folder.window.app import Window
from folder.window.autosave import Autosave, Memory
from folder.window.commands.look import viewport_of
from folder.window.objects.commands import choose_object
from tests import user_input
from tests.bench.conftest import Report

FRAME_S = 1.0 / 60.0
SIZE = (1280, 800)


def sixty() -> Pattern:
    """A pattern of 60 creases: a tray, and 44 guides across its floor."""
    tray = edit.lay(Pattern(), mirrored(Pattern().sheet, Crease((0, 25), (150, 25)), "four"))
    for corner in tray.sheet.corners:
        tray = edit.fold_corner(tray, corner)
    rest = [Crease((40 + 1.5 * k, 26), (40 + 1.5 * k, 124), "guide", 0.0) for k in range(44)]
    return edit.lay(tray, rest)


def test_a_frame_of_a_drag(report: Report):
    pygame.display.init()
    pygame.font.init()
    surface = pygame.display.set_mode(SIZE)
    pattern = sixty()
    assert 60 == len(pattern.creases)
    with tempfile.TemporaryDirectory() as directory:
        window = Window(surface, memory=Memory(), autosave=Autosave(Path(directory)), wake=True)
        ui, editor = window.ui, window.editor
        editor.begin(pattern)
        _settle(window)
        pane = ui.find("sheet").pane

        def at(x: float, y: float) -> tuple[float, float]:
            px, py = viewport_of(editor, (pane.w, pane.h)).px((x, y))
            return pane.x + px, pane.y + py

        window.frame([user_input.move(ui, at(33, 25))], 0.01)
        window.frame([user_input.down(ui, at(33, 25)), user_input.up(ui, at(33, 25))], 0.01)
        _settle(window)
        window.frame([user_input.down(ui, at(33, 25))], 0.01)
        frames, spent, moved = [], [], []
        for k in range(240):
            live = editor.state.drag_pattern
            began, spent_before = time.perf_counter(), time.thread_time()
            event = user_input.move(ui, at(33, 26 + 8 * np.sin(k / 12) ** 2 + k % 2), 1)
            window.frame([event], 0.016)
            pygame.display.flip()
            frames.append(time.perf_counter() - began)
            spent.append(time.thread_time() - spent_before)
            if editor.state.drag_pattern is not live:
                moved.append(frames[-1])
            assert k < 3 or editor.state.drag_pattern is not None
            # Between frames the loop waits for the next event or for the worker, as the real one does.
            until = began + 1 / 60
            while time.perf_counter() < until and editor.worker.poll() is None:
                time.sleep(0.001)
            ui.redraw()
        editor.worker.stop()
    bare = _bare(surface, 60)
    work = statistics.median(spent)
    frame, line = statistics.median(frames), statistics.median(bare)
    worst = sorted(frames)[int(0.95 * len(frames))]
    text = (
        f"frame of a drag: {1e3 * frame:.2f} ms median, {1e3 * worst:.2f} ms at 95 %; "
        f"where the wall moves on by a step ({len(moved)} of 240) {1e3 * statistics.median(moved):.2f} ms median; "
        f"work of the drawing thread {1e3 * work:.2f} ms median; 60 bare aalines and a blit {1e3 * line:.2f} ms"
    )
    report(text, against="60 bare lines", ratio=work / line, aim=3.0)
    # The wall clock counts what other programs take of the processor; the work does not.
    assert work < 0.008


def test_the_page_float_is_there_at_once_and_moves_smoothly(report: Report, tmp_path):
    """With threads as in a real window: turned to in 150 ms, one object more in 100 ms, another object counted in 300 ms."""
    pygame.display.init()
    pygame.font.init()
    window = Window(pygame.display.set_mode(SIZE), memory=Memory(), autosave=Autosave(tmp_path / "work"), wake=True)
    ui = window.ui
    window.editor.begin(read_pattern(find_pattern("plain-tray")))
    _settle(window)
    turned = _until(window, user_input.key("2"), lambda: "float/tub" in ui.last)
    first = _until(window, [], lambda: "float/plan" in ui.last)
    _settle(window)
    more = [_until(window, user_input.key("n"), lambda k=k: k + 1 == ui.find("float/count").value) for k in range(12)]
    frames = []
    for _ in range(3):
        window.frame(user_input.key("n"), 0.0)
        frames += [_until(window, [], lambda: True, 0.025) for _ in range(40)]
    for _ in range(150):  # nobody takes another object before the boat is at rest and the last one is counted
        window.frame([], FRAME_S)
        time.sleep(FRAME_S)
    choose_object(window.editor, "washer-m8")
    ui.redraw()
    other = _until(window, [], lambda: "float/plan" in ui.last)
    window.editor.worker.stop()
    # The wall clock counts what other programs take of the processor; the work does not.
    slow = []
    for name, taken, limit_s in (
        ("page turned to", [turned], 0.15),
        ("its map after that", [first], 0.3),
        ("one object more", more, 0.1),
        ("frame while it moves", frames, 1 / 30),
        ("another object", [other], 0.3),
    ):
        wall, work = sorted(wall for wall, _ in taken), sorted(work for _, work in taken)
        middle, late = len(taken) // 2, int(0.95 * len(taken))
        text = (
            f"{name}: {1e3 * wall[middle]:.0f} ms median, {1e3 * wall[late]:.0f} ms at 95 %; "
            f"work {1e3 * work[middle]:.1f} and {1e3 * work[late]:.1f} ms (limit {1e3 * limit_s:.0f})"
        )
        report.limit(text, work[middle], limit_s)
        slow += [text] if work[middle] >= limit_s else []
    assert [] == slow


def _until(window, events, done, dt_s=0.001):
    """How long a window takes, from these events on, until something is so and drawn: by the clock, and in work of its thread."""
    began, spent = time.perf_counter(), time.thread_time()
    window.frame(events, dt_s)
    while not done():
        # As the real loop does: asleep until the next frame is due or the worker has something.
        due = time.perf_counter() + min(window.ui.wake_s() or FRAME_S, FRAME_S)
        while time.perf_counter() < due and window.editor.worker.poll() is None:
            time.sleep(0.001)
        if window.editor.worker.poll() is not None:
            window.ui.redraw()
        window.frame([], FRAME_S)
        assert time.perf_counter() - began < 20.0
    pygame.display.flip()
    return time.perf_counter() - began, time.thread_time() - spent


def test_from_an_edit_to_fresh_numbers(report: Report, tmp_path):
    pygame.display.init()
    pygame.font.init()
    window = Window(pygame.display.set_mode(SIZE), memory=Memory(), autosave=Autosave(tmp_path), wake=True)
    window.editor.begin(sixty())
    _settle(window)
    window.editor.pick(frozenset({3}))
    fresh = [_edit_to_numbers(window, 1 if k % 2 else -1) for k in range(40)]
    window.editor.worker.stop()
    number = statistics.median(fresh)
    report.limit(f"from an edit to fresh numbers: {1e3 * number:.1f} ms median of {len(fresh)} (aim 50)", number, 0.05)
    assert number < 1.0  # the wall clock counts what other programs take of the processor


def _edit_to_numbers(window: Window, step: int) -> float:
    """Seconds from pushing a wall by a key until its numbers are drawn."""
    editor = window.editor
    began = time.perf_counter()
    window.frame(user_input.key("alt+up" if step > 0 else "alt+down"), 0.0)
    while editor.fresh is None:
        pygame.event.wait(250)  # the worker wakes the loop, as it does the real one
        window.frame([], 0.0)
    took = time.perf_counter() - began
    _settle(window)
    return took


def _settle(window: Window) -> None:
    """Wait until everything is known, what a real build carries too."""
    for _ in range(2000):
        window.frame([], 0.01)
        time.sleep(0.003)
        if window.editor.fresh is not None and window.editor.fresh.load is not None:
            return


def _bare(surface: pygame.Surface, count: int) -> list[float]:
    """The same number of bare lines and one full blit."""
    ground = pygame.Surface(SIZE)
    ground.fill((220, 227, 233))
    ends = np.random.default_rng(1).uniform(100, 700, (count, 2, 2))
    times = []
    for _ in range(120):
        began = time.perf_counter()
        surface.blit(ground, (0, 0))
        for (ax, ay), (bx, by) in ends:
            pygame.draw.aaline(surface, (11, 110, 105), (ax, ay), (bx, by))
        pygame.display.flip()
        times.append(time.perf_counter() - began)
    return times


BARE = """
import pygame
pygame.display.init(); pygame.font.init()
s = pygame.display.set_mode((1280, 800), pygame.RESIZABLE)
s.fill((220, 227, 233)); pygame.display.flip()
"""
OURS = """
import os
from folder.window.opening import open_window
open_window()
os._exit(0)
"""
USABLE = """
import os
import pygame
from folder.window.opening import open_window
surface = open_window()
from folder.window.app import Window
Window(surface, wake=True).frame([], 0.0)
pygame.display.flip()
os._exit(0)
"""


def test_from_the_start_to_the_first_frame(report: Report, tmp_path):
    env = os.environ | {"SDL_VIDEODRIVER": "dummy", "FOLDER_DATA": str(tmp_path), "PYGAME_HIDE_SUPPORT_PROMPT": "1"}

    def best(code: str) -> float:
        times = []
        for _ in range(7):
            began = time.perf_counter()
            subprocess.run([sys.executable, "-c", code], env=env, check=True)
            times.append(time.perf_counter() - began)
        return statistics.median(times)

    bare, ours, usable = best(BARE), best(OURS), best(USABLE)
    text = f"start to first frame: {1e3 * ours:.0f} ms, bare window {1e3 * bare:.0f} ms"
    report(text, against="a bare window", ratio=ours / bare, aim=3.0)
    report(f"start to the page that can be used: {1e3 * usable:.0f} ms", against="a bare window", ratio=usable / bare)
    assert ours < 3.0 * bare


def test_idling(report: Report, tmp_path):
    code = """
import os, time, threading
from folder.window import app
def stop():
    time.sleep(6.0); a = os.times(); time.sleep(4.0); b = os.times()
    print((b.user + b.system - a.user - a.system) / 4.0, flush=True); os._exit(0)
threading.Thread(target=stop, daemon=True).start()
from folder.pattern.file import find_pattern, read_pattern
from folder.window.opening import open_window
app.run_window(open_window(), None, read_pattern(find_pattern("plain-tray")))
"""
    env = os.environ | {"SDL_VIDEODRIVER": "dummy", "FOLDER_DATA": str(tmp_path), "PYGAME_HIDE_SUPPORT_PROMPT": "1"}
    done = subprocess.run([sys.executable, "-c", code], env=env, check=True, capture_output=True, text=True)
    share = float(done.stdout.split()[-1])
    report(f"idle: {100 * share:.1f} % of a core (aim 5)", against="a core", ratio=share, aim=0.05)
    assert share < 0.05
