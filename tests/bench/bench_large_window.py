"""A drawing of 5,000 creases in the window, against one of 100: what presses and frames take, and how much memory.

The way of one who opens a drawing, draws and drags a line, turns to Float and back, and saves, with real threads. The time is work of
the drawing thread; each of the two drawings has a process of its own, for its memory is the most it ever held.
"""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from tests.bench.clock import growth
from tests.bench.conftest import Report

SIZES = (100, 5000)
MOST_MB = 500.0
MOST_PRESS_MS = 100.0

WAY = """
import json, os, sys, time
from pathlib import Path

import pygame
from msgspec.structs import replace

from folder.pattern.file import write_pattern
from folder.window.app import SWITCH_INTERVAL_S, Window
from folder.window.autosave import Autosave, Memory
from folder.window.commands.files import open_file
from folder.window.commands.look import viewport_of
from tests import user_input
from tests.bench.memory import most_memory_mb
from tests.bench.bench_large import pleated

count, directory = int(sys.argv[1]), Path(sys.argv[2])
drawn = pleated(count)
write_pattern(replace(drawn, creases=drawn.creases[:count]), directory / "large.json")
pygame.display.init(); pygame.font.init(); sys.setswitchinterval(SWITCH_INTERVAL_S)
window = Window(pygame.display.set_mode((1280, 800)), memory=Memory(), autosave=Autosave(directory / "work"), wake=True)
ui, editor, work = window.ui, window.editor, {"press": 0.0, "frame": 0.0}

def frame(kind, *events):
    began = time.thread_time()
    window.frame(list(events), 0.02)
    pygame.display.flip()
    work[kind] = max(work[kind], time.thread_time() - began)

def settle(done=lambda: True, most_s=60.0):
    end, quiet = time.monotonic() + most_s, 0
    while quiet < 4 and time.monotonic() < end:
        frame("frame")
        time.sleep(0.003)
        quiet = quiet + 1 if editor.fresh is not None and done() and not ui.changed else 0

def press(*events):
    ui.redraw()
    frame("press", *events)
    frame("press")

def at(place):
    pane = ui.find("sheet").pane
    x, y = viewport_of(editor, (pane.w, pane.h)).px(place)
    return pane.x + x, pane.y + y

def gesture(key, start, end):
    press(*user_input.key(key))
    settle()
    for event in user_input.drag(ui, at(start), at(end)):
        frame("press", event)
        frame("frame")
    settle()

window.frame([], 0.02)
began = time.thread_time()
assert not open_file(editor, directory / "large.json")
opened = time.thread_time() - began
settle(lambda: editor.fresh.order is not None)
for page in ("float", "compare", "print", "event", "fold"):  # what a page needs is loaded when it is first turned to
    __import__(f"folder.window.{page}.view")
gesture("l", (60.3, 61.7), (95.2, 88.1))
press(*user_input.key("ctrl+z"))
gesture("p", (75.0, 25.0), (75.0, 29.0))
press(*user_input.key("ctrl+z"))
press(*user_input.press(ui, "page/float"))
settle(lambda: "float/tub" in ui.last)
press(*user_input.press(ui, "page/fold"))
settle()
press(*user_input.key("ctrl+s"))
most = most_memory_mb()
print(json.dumps({"open": 1e3 * opened, **{kind: 1e3 * s for kind, s in work.items()}, "MB": most}), flush=True)
os._exit(0)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="the most memory of a process is asked of Unix")
def test_a_drawing_of_five_thousand_creases_in_the_window(report: Report, tmp_path) -> None:
    found: dict[int, dict[str, float]] = {}
    for count in SIZES:
        (directory := tmp_path / f"{count}").mkdir()
        done = subprocess.run(
            [sys.executable, "-c", WAY, str(count), str(directory)], capture_output=True, text=True, timeout=200, check=True
        )
        found[count] = json.loads(done.stdout.splitlines()[-1])
    few, many = (found[count] for count in SIZES)
    for kind, limit in (("open", None), ("press", MOST_PRESS_MS), ("frame", None), ("MB", MOST_MB)):
        unit = "MB" if kind == "MB" else "ms of work"
        word = {"MB": "the most memory", "open": "opening the file"}.get(kind, f"the longest {kind}")
        told = f"{word}: {many[kind]:.0f} {unit} with 5,000 creases, {few[kind]:.0f} with 100"
        power = growth({count: max(found[count][kind], 0.1) for count in SIZES})
        if limit is None:
            report(told, against="100 creases", growth=power)
        else:
            report(f"{told} (aim {limit:.0f})", against="its limit", ratio=many[kind] / limit, aim=1.0, growth=power)
    assert many["MB"] < MOST_MB
