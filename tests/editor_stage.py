"""The window on a surface without a screen: everything a user does, by name and by place on the sheet."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import cache
from pathlib import Path

import pygame
import pytest
from msgspec.structs import replace
from pygame.event import Event

from folder.findings import Point
from folder.pattern.file import find_pattern, pattern_bytes, read_pattern
from folder.practice.log import trials_now_or_fault
from folder.search import ranking
from folder.search.ranking import Contender
from folder.window.app import Window
from folder.window.autosave import Autosave, Memory
from folder.window.commands.files import new_sheet
from folder.window.commands.look import viewport_of
from folder.window.compare import compared, curve, view
from folder.window.float import knowledge
from folder.window.float.floating import CountPrediction
from folder.window.print import printing
from folder.window.start import shelf
from folder.window.tools.tool import ToolName
from tests import user_input
from tests.at_once import AtOnce


class _Asked:
    """What is asked, which the key of the answer says already."""

    def __init__(self, *arguments) -> None:
        self.arguments = arguments

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Asked)

    def __hash__(self) -> int:
        return 0


_shared: list[Callable[[], None]] = []
"""What empties the answers that are shared by all stages of a run."""


def forget_shared() -> None:
    """Forget what no user's window has: the answers that are worked out once in a run."""
    for forget in (*_shared, _print_jobs.clear, _on_shelf.cache_clear, _contending.cache_clear):
        forget()


def _shared_count(count):
    """What a hand makes of a hull: of hulls that are alike it is worked out once in a run."""

    @cache
    def answer(key: tuple[object, ...], of: _Asked) -> CountPrediction | None:
        del key
        return count(*of.arguments)

    _shared.append(answer.cache_clear)

    def counted(study, hand, item, each_g) -> CountPrediction | None:
        key = (pattern_bytes(study.pattern), study.trials, study.rules, study.hand, study.water, hand, item, each_g)
        return answer(key, _Asked(study, hand, item, each_g))

    return counted


knowledge.predict_count, knowledge.first_count = _shared_count(knowledge.predict_count), _shared_count(knowledge.first_count)
_print_job = printing._job
_print_jobs: dict[object, object] = {}


def _shared_job(study, paper, item):
    """What is printed of a hull: of hulls that are alike it is worked out once in a run."""
    made = study.thing
    key = (pattern_bytes(made.pattern), made.trials, made.rules, made.hand, made.water, paper, item)
    if key not in _print_jobs:
        _print_jobs[key] = _print_job(study, paper, item)
    return _print_jobs[key]


printing._job = _shared_job
_make = shelf._made


@cache
def _on_shelf(content: bytes, trials: tuple[object, ...], of: _Asked) -> shelf.ShelvedHull:
    del content, trials
    return _make(*of.arguments)


def _shared_shelf(pattern) -> shelf.ShelvedHull:
    """What is shown of a hull on the start page: of hulls that are alike it is worked out once in a run."""
    return _on_shelf(pattern_bytes(pattern), trials_now_or_fault()[0], _Asked(pattern))


shelf._made = _shared_shelf
counts_on_shelf = shelf._counts
shelf._counts = lambda _pattern, _item: None
"""Objects are counted by mass alone on the start page, but for the test of it: a count of every hull takes seconds."""


_contender = ranking.contender


@cache
def _contending(key: tuple[object, ...], of: _Asked) -> Contender:
    del key
    study, item, first = of.arguments
    return _contender(study, item, first=first)


def _shared_contender(study, item=None, *, first=False) -> Contender:
    """What a hull takes when it is compared: of hulls that are alike it is worked out once in a run."""
    key = (pattern_bytes(study.pattern), study.trials, study.hand, item, first)
    return replace(_contending(key, _Asked(study, item, first)), name=study.pattern.name, pattern=study.pattern)


compared.contender = curve.contender = _shared_contender


def compare_in_grams(monkeypatch: pytest.MonkeyPatch) -> None:
    """The page Compare takes no object: laying objects out takes long, where a test is of something else.

    All its modules are there before one is changed: a module that came later would keep what is meant for one test.
    """
    for module in (compared, curve, view):
        monkeypatch.setattr(module, "weighed_item", lambda _: None)


class EditorStage:
    """A window whose work lies in a directory of its own. `play` makes a frame of each step."""

    def __init__(
        self,
        directory: Path,
        size: tuple[int, int] = (1280, 800),
        scale: float = 1.0,
        *,
        start: bool = False,
        recent: Sequence[str] = (),
        tool: ToolName = "long",
    ) -> None:
        """A window; on an empty sheet with a tool in hand (a user's has the wall tool), or on the start page."""
        pygame.font.init()
        self.directory = directory
        memory = Memory(list(recent), scale)
        self.window = Window(pygame.Surface(size), executor=AtOnce(), memory=memory, autosave=Autosave(directory / "work"))
        if not start:  # the start page folds every ready pattern for its picture
            new_sheet(self.editor)
            self.editor.take_up(tool)
        self.wait(0.0)
        self.wait(0.1)

    @property
    def ui(self):
        return self.window.ui

    @property
    def editor(self):
        return self.window.editor

    @property
    def pattern(self):
        return self.window.editor.document.pattern

    def wait(self, seconds: float) -> bool:
        return self.window.frame([], seconds)

    def play(self, *steps: Event | Iterable[Event]) -> None:
        for step in steps:
            self.window.frame([step] if isinstance(step, Event) else list(step), 0.05)

    def press(self, name: str, times: int = 1) -> None:
        """Press a widget; one that stands under "More" brings that to the front first."""
        if name not in self.ui.last and self.editor.state.page == "fold" and "more" in self.ui.last:
            self.play(*user_input.press(self.ui, "more"))
        record = self.ui.last.get(name)
        if record is not None and record.scrolls and record.visible.h < 1:
            self.play(*user_input.wheel(self.ui, "more-panel", -1000 if record.pane.y > self.ui.page.h / 2 else 1000))
        self.play(*user_input.press(self.ui, name, times))

    def turn_to(self, page: str) -> None:
        """Turn to a page of the window, and wait until it is there."""
        self.press(f"page/{page}")
        self.settle()

    def keys(self, *keys: str) -> None:
        self.play(*(user_input.key(key) for key in keys))

    def type(self, text: str) -> None:
        self.play(user_input.typed(text))

    def field(self, name: str, text: str) -> None:
        """Type into a field, and Enter."""
        self.press(name)
        self.keys("ctrl+a")
        self.type(text)
        self.keys("enter")

    def choose(self, name: str, key: str) -> None:
        """Open a drop-down, roll to a row, press it."""
        self.press(name)
        self.play(*user_input.wheel(self.ui, f"{name}/", 1000))
        for _ in range(200):
            if f"{name}/{key}" in self.ui.last:
                break
            self.play(*user_input.wheel(self.ui, f"{name}/", -3))
        self.press(f"{name}/{key}")

    def open(self, name: str) -> None:
        """Lay a ready pattern on the table, and wait until all is known of it."""
        self.editor.begin(read_pattern(find_pattern(name)))
        self.ui.redraw()
        self.settle()

    def settle(self) -> None:
        """Wait until everything that was asked has its answer and is drawn."""
        for _ in range(12):
            self.wait(0.0)

    def at(self, point: Point) -> tuple[float, float]:
        """Where a place on the sheet is seen, logical px."""
        pane = self.ui.find("sheet").pane
        x, y = viewport_of(self.editor, (pane.w, pane.h)).px(point)
        return pane.x + x, pane.y + y

    def move_to(self, point: Point) -> None:
        self.play(user_input.move(self.ui, self.at(point)))

    def click(self, point: Point) -> None:
        at = self.at(point)
        self.play(user_input.move(self.ui, at), user_input.down(self.ui, at), user_input.up(self.ui, at))

    def draw(self, start: Point, end: Point) -> None:
        """Press at a place, move to another, let go."""
        self.play(*user_input.drag(self.ui, self.at(start), self.at(end)))

    def hold(self, start: Point, end: Point) -> None:
        """As `draw`, without letting go."""
        self.play(*user_input.drag(self.ui, self.at(start), self.at(end))[:-1])

    def quit(self) -> None:
        """The cross of the window is pressed."""
        self.play(Event(pygame.QUIT))

    def pixels(self) -> bytes:
        return pygame.image.tobytes(self.window.surface, "RGB")

    def drawn_anew(self) -> bytes:
        """The picture when nothing of the one before is kept."""
        self.ui.display_list.forget()
        self.ui.redraw()
        self.wait(0)
        return self.pixels()

    def save_picture(self, path: Path) -> None:
        pygame.image.save(self.window.surface, path)
