"""Whatever hands do for ten minutes: no frame breaks off, undoing all gives the first sheet back, memory stays flat."""

import gc
import os
import random
from pathlib import Path

import pygame
import pytest
from msgspec.structs import replace
from pygame.event import Event

from folder.pattern.file import find_pattern, read_pattern, write_pattern
from folder.window.view_state import PAGES
from tests import user_input
from tests.editor_stage import EditorStage, forget_shared

LEFT_ALONE = ("write", "print", "page/print", "quit", "where", "start")
"""Parts of names that are not pressed: pages on disk take long and prove nothing here; Start begins another drawing."""
KEYS = [
    *"plihcashbnfvmgx890rdkequ", "escape", "enter", "space", "tab", "shift+tab", "delete", "backspace", "up", "down", "left", "right",
    "shift+right", "alt+left", "alt+up", "ctrl+left", "ctrl+z", "ctrl+y", "ctrl+a", "ctrl+c", "ctrl+v", "+", "-", "f1", "f2", "f3", "f6",
    "pageup", "pagedown", "home", "end", "comma", "period",
]  # fmt: skip
SIZES = ((1024, 700), (1280, 800), (700, 520), (1920, 1080), (500, 300))
MOST_GROWTH_MB = 12.0
"""A thousand events, once the caches are full: a large drawing on the table at the end counts too, some 25 MB."""
NONSENSE = ("nan", "12", "-5", "1e9", "x", "25", "ø", "")


class Hand:
    """One who presses, drags, types and turns pages without a plan."""

    def __init__(self, stage, seed, file):
        self.stage, self.draw, self.file = stage, random.Random(seed), file
        self.first = stage.pattern
        begin = stage.editor.begin

        def began(pattern, *args, **kwargs):
            begin(pattern, *args, **kwargs)
            self.first = pattern

        stage.editor.begin = began

    def act(self):
        kind, draw, stage = self.draw.random(), self.draw, self.stage
        on_sheet = "sheet" in stage.ui.last and not stage.editor.state.dialog
        if kind < 0.30:
            self.press_something()
        elif kind < 0.52 and on_sheet:
            stage.draw(self.place(), self.place())
        elif kind < 0.64 and on_sheet:
            at = stage.at(self.place())
            button = draw.choice((1, 1, 1, 2, 3))
            stage.play(user_input.move(stage.ui, at), user_input.down(stage.ui, at, button), user_input.up(stage.ui, at, button))
        elif kind < 0.86:
            stage.keys(draw.choice(KEYS))
        elif kind < 0.90:
            stage.type(draw.choice(NONSENSE))
        elif kind < 0.94:
            stage.play(Event(pygame.MOUSEWHEEL, x=0, y=1, precise_x=0.0, precise_y=draw.uniform(-3, 3), flipped=False))
        elif kind < 0.96:
            stage.wait(draw.choice((0.0, 0.05, 0.7, 6.0)))
        elif kind < 0.98:
            self.turn_page()
        elif kind < 0.99:
            stage.window.surface = pygame.Surface(draw.choice(SIZES))
        else:
            stage.play(Event(pygame.DROPFILE, file=str(self.file)))

    def place(self):
        return self.draw.uniform(-5, 155), self.draw.uniform(-5, 155)

    def press_something(self):
        ui = self.stage.ui
        seen = [
            name for name, record in ui.last.items()
            if record.visible.w > 1 and record.visible.h > 1 and not any(part in name for part in LEFT_ALONE)
        ]  # fmt: skip
        if seen:
            name, button = self.draw.choice(seen), self.draw.choice((1, 1, 1, 1, 3))
            self.stage.play(*user_input.press(ui, name, 1, button))

    def turn_page(self):
        page = f"page/{self.draw.choice([page for page in PAGES if page != 'print'])}"
        if page in self.stage.ui.last:
            self.stage.press(page)


def in_use_mb() -> float:
    """What this process holds now, not the most it ever held; 0 where the system has no such file."""
    statm = Path("/proc/self/statm")
    return int(statm.read_text().split()[1]) * os.sysconf("SC_PAGE_SIZE") / 2**20 if statm.exists() else 0.0


@pytest.mark.parametrize("seed", [1, 2])
def test_no_frame_breaks_off_and_undoing_all_gives_the_first_sheet_back(tmp_path, home, many, seed):
    """40 events each in the suite, 10,000 each on request. What grows with texts, sizes and drawings is bounded: `test_house`."""
    other = home / "other.json"
    write_pattern(replace(read_pattern(find_pattern("leaning-tray")), name="Other"), other)
    stage = EditorStage(tmp_path)
    stage.editor.begin(read_pattern(find_pattern("plain-tray")))
    stage.settle()
    hand, used = Hand(stage, seed, other), []
    count = many(40, 10_000)
    for k in range(count):
        hand.act()
        if k % 500 == 499:
            forget_shared()
            gc.collect()
            used.append(in_use_mb())
    stage.window.surface = pygame.Surface((1280, 800))
    stage.keys("escape", "escape", "escape", "escape")
    stage.editor.show(replace(stage.editor.state, page="fold", dialog="", after_dialog=None))  # at an event nothing is undone
    stage.ui.focus_on("")
    stage.wait(0)
    for _ in range(len(stage.editor.document.past)):
        stage.press("undo")
    assert not stage.editor.document.past
    assert hand.first == stage.pattern
    if len(used) > 8 and used[0]:  # the first half loads the pages and fills the caches
        half = len(used) // 2
        before, after = sum(used[half - 2 : half]) / 2, sum(used[-2:]) / 2
        assert (after - before) / ((len(used) - half) / 2) < MOST_GROWTH_MB, used
