"""How long a frame takes: `pytest tests/bench/bench_window.py -s`. Ratios are against bare pygame in the same run."""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from statistics import median

import pygame

from folder.draw.picture import Area, Line, Picture
from folder.draw.style import PAPER
from folder.window.lens import Lens
from folder.window.paint import Layer, paint
from folder.window.widgets import Pane, Ui, area, button, frame, hand, number_field, tabs

SIZE = (1280, 800)
SHEET = Pane(20, 80, 640, 640)
TIMES = 300


def creases(n: int) -> list[Line]:
    """Lines across the sheet at all angles, every other one a mountain."""
    found = []
    for k in range(n):
        c, s, off = math.cos(k * math.pi / n), math.sin(k * math.pi / n), 40 * math.sin(k)
        ends = tuple((75 + t * c - off * s, 75 + t * s + off * c) for t in (-55, 55))
        found.append(Line(ends, "mountain" if k % 2 else "valley"))
    return found


class Page:
    """A sheet with a crease that follows the pointer, beside a panel like the program's."""

    def __init__(self) -> None:
        sheet = Area((((0, 0), (150, 0), (150, 150), (0, 150)),), PAPER, "edge")
        self.still = Picture.of([sheet, *creases(59)])
        self.lens, self.layer, self.width, self.tab = Lens(4.0, (20.0, 620.0)), Layer(), 25.0, "fold"

    def __call__(self, ui: Ui) -> None:
        touch = area(ui, "sheet", SHEET)
        at = self.lens.mm((touch.at[0] - SHEET.x, touch.at[1] - SHEET.y))
        moving = Picture.of([Line(((0, 75), at), "valley")])

        def ground(fresh: pygame.Surface) -> None:
            fresh.fill((220, 227, 233))
            paint(fresh, self.still, self.lens, ui.pen.brush.letters)

        def draw(surface: pygame.Surface, rect: pygame.Rect) -> None:
            self.layer.show(surface, rect, "sheet", ground)
            inside = Lens(self.lens.px_per_mm, (self.lens.origin_px[0] + rect.x, self.lens.origin_px[1] + rect.y))
            paint(surface, moving, inside, ui.pen.brush.letters)

        ui.pen.custom(SHEET, moving, draw)
        for i, text in enumerate(("New", "Open", "Save", "Undo", "Redo", "Print")):
            button(ui, text, Pane(20 + 105 * i, 20, 95, 42), text, icon=text.lower())
        head, body = Pane(690, 20, 570, 700).cut_top(46)
        self.tab = tabs(ui, "tabs", head, {"fold": "Fold", "water": "On water", "paper": "Paper"}, self.tab)
        ui.pen.fill(body, (255, 255, 255))
        for i, cell in enumerate(body.inset(16, 14).cut_top(300)[0].rows(6, 10)):
            ui.pen.text("Floor, wall, load", cell.cut_left(250)[0])
            number_field(ui, f"field/{i}", cell.cut_left(260)[1].cut_top(42)[0], self.width, unit="mm")
        for i, cell in enumerate(body.inset(16, 14).cut_bottom(300)[0].rows(6, 10)):
            button(ui, f"remedy/{i}", cell.cut_top(42)[0], "Turn the diagonal to 45°", icon="tick", align="left")


def milliseconds(run: Callable[[int], object], times: int = TIMES) -> float:
    """The median of some runs, after a few to warm up."""
    taken = []
    for k in range(times + 20):
        start = time.perf_counter()
        run(k)
        taken.append(time.perf_counter() - start)
    return median(taken[20:]) * 1e3


def test_frame_while_dragging_a_crease_among_sixty() -> None:
    pygame.display.init()
    surface = pygame.display.set_mode(SIZE)
    ui, page = Ui(), Page()
    frame(ui, page, [], 0, surface)
    frame(ui, page, [hand.move(ui, (300, 300)), hand.down(ui, (300, 300))], 0.01, surface)

    def drag(k: int) -> None:
        assert frame(ui, page, [hand.move(ui, (300 + 90 * math.sin(k / 9), 300 + 80 * math.cos(k / 7)), 1)], 0.01, surface)
        pygame.display.flip()

    ours = milliseconds(drag)
    picture, ends = surface.copy(), [[page.lens.px(p) for p in line.points] for line in creases(60)]

    def bare(_: int) -> None:
        surface.blit(picture, (0, 0))
        for a, b in ends:
            pygame.draw.aaline(surface, (11, 110, 105), a, b, 2)
        pygame.display.flip()

    reference = milliseconds(bare)
    print(f"\ndrag frame {ours:.2f} ms, 60 bare lines and a blit {reference:.2f} ms, ratio {ours / reference:.2f}")  # noqa: T201


def test_frame_that_draws_everything_and_one_that_draws_nothing() -> None:
    pygame.display.init()
    surface = pygame.display.set_mode(SIZE)
    ui, page = Ui(), Page()
    frame(ui, page, [], 0, surface)

    def whole(_: int) -> None:
        ui.pen.forget()
        ui.redraw()
        frame(ui, page, [], 0.01, surface)

    def zoomed(_: int) -> None:
        page.layer = Layer()
        whole(0)

    print(f"\neverything {milliseconds(whole):.2f} ms, sheet painted anew {milliseconds(zoomed, 60):.2f} ms")  # noqa: T201
    idle = milliseconds(lambda _: frame(ui, page, [], 0.25, surface))
    print(f"nothing new {idle * 1e3:.1f} us: {idle / 250:.4%} of a core at four looks a second")  # noqa: T201


def test_start_to_first_frame_against_a_bare_window() -> None:
    import subprocess
    import sys

    bare = "import pygame; pygame.display.init(); s = pygame.display.set_mode((1280, 800)); pygame.display.flip()"
    ours = """
from folder.window.start import start_pygame
import pygame
from folder.window.widgets import Ui, frame, button, Pane
start_pygame()
s = pygame.display.set_mode((1280, 800))
frame(Ui(), lambda ui: button(ui, "go", Pane(10, 10, 100, 42), "Go"), [], 0, s)
pygame.display.flip()
"""

    def start(code: str) -> float:
        return milliseconds(lambda _: subprocess.run([sys.executable, "-c", code], check=True, capture_output=True), 7)

    one, other = start(ours), start(bare)
    print(f"\nwidgets up {one:.0f} ms, bare window {other:.0f} ms, ratio {one / other:.2f}")  # noqa: T201
