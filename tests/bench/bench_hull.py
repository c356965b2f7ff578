"""How long a frame takes while the hull is turned, while the folding is played, and a picture of the hull alone.

Aims, in work of the drawing thread: 20 ms for a frame of turning and of the film (50 frames a second), 10 ms for a picture.
Run `python -m pytest tests/bench/bench_hull.py -s`.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

import pygame
import pytest

from folder.draw.hull.foil import foil
from folder.draw.hull.view import View
from folder.pattern.file import find_pattern, read_pattern
from folder.window.app import Window
from folder.window.autosave import Autosave, Memory
from tests import user_input
from tests.bench.conftest import Report
from tests.studied import ready_study

SIZE = (1280, 800)
FRAME_S, PICTURE_S = 0.020, 0.010
HULLS = ("plain-tray", "hemmed-tray", "screw-box")
"""13, 41 and 52 faces."""


def _opened(name: str, directory) -> Window:
    pygame.display.init()
    pygame.font.init()
    window = Window(pygame.display.set_mode(SIZE), memory=Memory(), autosave=Autosave(directory), wake=True)
    window.editor.begin(read_pattern(find_pattern(name)))
    for _ in range(2000):
        window.frame([], 0.01)
        time.sleep(0.003)
        if window.editor.fresh is not None and window.editor.fresh.load is not None:
            break
    return window


def _frames(window: Window, count: int, events: Callable[[int], list]) -> list[float]:
    """The work of the drawing thread in each of some frames, s."""
    spent = []
    for k in range(count):
        began = time.thread_time()
        window.frame(events(k), 1 / 30)
        pygame.display.flip()
        spent.append(time.thread_time() - began)
    return spent


@pytest.mark.parametrize("name", HULLS)
def test_a_frame_of_turning_the_hull(name, report: Report, tmp_path):
    window = _opened(name, tmp_path)
    x, y = user_input.middle(window.ui, "hull")
    window.frame([user_input.move(window.ui, (x, y)), user_input.down(window.ui, (x, y))], 0.01)
    spent = _frames(window, 90, lambda k: [user_input.move(window.ui, (x + 2 * k, y + k % 7), 1)])
    window.editor.worker.stop()
    text = f"turning {name}: {1e3 * statistics.median(spent):.1f} ms median, {1e3 * sorted(spent)[85]:.1f} ms at 95 % (aim 20)"
    report.limit(text, statistics.median(spent), FRAME_S)
    assert statistics.median(spent) < FRAME_S


@pytest.mark.parametrize("name", HULLS)
def test_a_frame_of_the_film(name, report: Report, tmp_path):
    window = _opened(name, tmp_path)
    window.frame(user_input.press(window.ui, "film/play"), 0.01)
    for _ in range(200):
        window.frame([], 0.0)
        time.sleep(0.002)
        if window.editor.result.film is not None:
            break
    spent = _frames(window, 200, lambda _: [])
    assert window.editor.state.player.runs
    window.editor.worker.stop()
    text = f"film of {name}: {1e3 * statistics.median(spent):.1f} ms median, {1e3 * sorted(spent)[190]:.1f} ms at 95 % (aim 20)"
    report.limit(text, statistics.median(spent), FRAME_S)
    assert statistics.median(spent) < FRAME_S


@pytest.mark.parametrize("name", HULLS)
def test_a_picture_of_the_hull(name, report: Report):
    made = ready_study(name)
    foil(made.folded, View(), layering=made.layering)
    spent = []
    for k in range(40):
        began = time.thread_time()
        foil(made.folded, View(0.3 * k, 0.6), layering=made.layering)
        spent.append(time.thread_time() - began)
    report.limit(
        f"picture of {name}: {1e3 * statistics.median(spent):.1f} ms median (aim 10)", statistics.median(spent), PICTURE_S
    )
    assert statistics.median(spent) < PICTURE_S
