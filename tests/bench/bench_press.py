"""From a press to its effect on the screen, with real threads: every button of Fold in reach, the five pages, the doors of Start.

Aim: under 100 ms at 95 %. Where other programs take the processor the wall clock counts them too: the work is told beside it.
"""

from __future__ import annotations

import time

import pygame

from folder.pattern.file import find_pattern, read_pattern
from folder.pattern.pattern import Crease, Pattern
from folder.window.app import Window
from folder.window.autosave import Autosave, Memory
from folder.window.view_state import PAGES
from tests import user_input
from tests.bench.conftest import Report

SIZE = (1280, 800)
LEFT_ALONE = ("open", "save", "start", "sheet", "findings", "strip", "palette", "page", "name")
"""What leads elsewhere, or is an area and no button."""


def settled(window: Window) -> None:
    for _ in range(3000):
        window.frame([], 0.01)
        time.sleep(0.003)
        result = window.editor.fresh
        if result is not None and result.load is not None and result.order is not None and not window.ui.changed:
            return


def pressed(window: Window, name: str, before: list[float], work: list[float]) -> None:
    ui = window.ui
    at = user_input.middle(ui, name)
    window.frame([user_input.move(ui, at)], 0.01)
    began, spent = time.perf_counter(), time.thread_time()
    window.frame([user_input.down(ui, at), user_input.up(ui, at)], 0.01)
    pygame.display.flip()
    before.append(time.perf_counter() - began)
    work.append(time.thread_time() - spent)


def report_at_95(report: Report, what: str, taken: list[float], work: list[float]) -> float:
    """At 95 %: the wall clock and the work are reported; the work, s, is returned."""
    at_95 = [sorted(times)[int(0.95 * (len(times) - 1))] for times in (taken, work)]
    text = f"{what}: {1e3 * at_95[0]:.0f} ms at 95 % of {len(taken)}, work {1e3 * at_95[1]:.0f} ms (aim 100)"
    report.limit(text, at_95[1], 0.1)
    return at_95[1]


def test_from_a_press_to_its_effect(report: Report, tmp_path):
    pygame.display.init()
    pygame.font.init()
    window = Window(pygame.display.set_mode(SIZE), memory=Memory(), autosave=Autosave(tmp_path), wake=True)
    window.editor.begin(read_pattern(find_pattern("plain-tray")))
    settled(window)
    for page in (*PAGES, "fold"):  # what a page needs is loaded when it is first turned to
        window.frame(user_input.press(window.ui, f"page/{page}"), 0.01)
        settled(window)
    taken: list[float] = []
    work: list[float] = []
    for name in list(window.ui.last):
        record = window.ui.last.get(name)
        if record is None or not record.stops or not record.enabled or name.startswith(LEFT_ALONE):
            continue
        pressed(window, name, taken, work)
        window.frame(user_input.key("escape"), 0.01)
        window.frame(user_input.key("escape"), 0.01)
        settled(window)
    assert len(taken) > 15
    fold = report_at_95(report, "a press on Fold", taken, work)
    taken, work = [], []
    for page in (*PAGES, *PAGES, "fold"):
        pressed(window, f"page/{page}", taken, work)
        settled(window)
    turned = report_at_95(report, "a page turned to", taken, work)
    window.editor.worker.stop()
    assert fold < 0.1
    assert turned < 0.1


def test_from_an_unfinished_drawing_to_its_first_remedy(report: Report, tmp_path):
    """Aim: under 300 ms from the drawing to the card with the hull that comes of it."""
    pygame.display.init()
    pygame.font.init()
    window = Window(pygame.display.set_mode(SIZE), memory=Memory(), autosave=Autosave(tmp_path), wake=True)
    lines = ((0, 25, 150, 25), (0, 125, 150, 125), (25, 0, 25, 150), (125, 0, 125, 150))
    taken, work = [], []
    for count in (1, 2, 3, 4, 1, 2, 3, 4):
        creases = tuple(Crease((x0, y0 + 0.1 * len(taken)), (x1, y1 + 0.1 * len(taken))) for x0, y0, x1, y1 in lines[:count])
        window.editor.begin(Pattern(creases=creases))
        began, spent = time.perf_counter(), time.process_time()
        window.ui.redraw()
        window.frame([], 0.01)
        while "remedy/0" not in window.ui.last:
            assert time.perf_counter() - began < 30.0
            pygame.event.wait(50)
            window.frame([], 0.01)
        pygame.display.flip()
        taken.append(time.perf_counter() - began)
        work.append(time.process_time() - spent)
        window.editor.begin(Pattern())
        window.frame([], 0.01)
    window.editor.worker.stop()
    # The first loads what remedies need.
    median, most, mine = (1e3 * sorted(times[1:])[k] for times, k in ((taken, len(taken) // 2 - 1), (taken, -1), (work, -1)))
    text = f"first remedy shown: {median:.0f} ms median, {most:.0f} at most, work of all threads {mine:.0f} (aim 300)"
    report.limit(text, mine, 300.0)
