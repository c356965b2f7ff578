"""How long pages and solid pictures take, against their limits: all pages of a pattern 1 s, hidden lines of 300 faces 200 ms.

Run `python -m pytest tests/bench/bench_paper.py --benchmark-enable`; it prints the times as shares of their limits.
"""

from __future__ import annotations

import math
import statistics
import time
from collections.abc import Callable

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from folder.draw.hull.lift import layer_lifts
from folder.draw.hull.solid import View, good_view, solid
from folder.fold.place import Folded, folded
from folder.fold.sequence.partway import partway
from folder.paper.pages import Page
from folder.paper.pdf import pdf_bytes
from folder.paper.sheets.steps import steps_pages
from folder.paper.sheets.template import template
from folder.paper.svg import page_svg
from folder.pattern.faces.faces import faces_of
from folder.pattern.families.catalogue import make
from folder.pattern.pattern import Crease, Pattern
from tests.test_fold_sequence_steps import READY, ready

PAGES_S, HIDDEN_S, TRAY_S = 1.0, 0.2, 0.005


def median_s(job: Callable[[], object], rounds: int) -> float:
    """The middle of some timings, the first run left out."""
    job()
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        job()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def written(pattern: Pattern) -> tuple[list[str], bytes]:
    """Template and step sheet, as SVG and as PDF."""
    shape = folded(faces_of(pattern))
    floor = np.arange(shape.faces.count) == shape.faces.root
    pages: list[Page] = [*template(pattern), *steps_pages(pattern, shape, floor=floor)]
    return [page_svg(page) for page in pages], pdf_bytes(pages)


def accordion(strips: int) -> Folded:
    """A floor with a zigzag wall of many narrow strips on each side: nearly every strip hides part of another."""
    step = 150.0 / strips
    creases = [
        Crease((k * step, 0.0), (k * step, 150.0), "valley" if k % 2 else "mountain", math.radians(75.0))
        for k in range(1, strips)
    ]
    return folded(faces_of(Pattern(creases=tuple(creases))))


@pytest.mark.parametrize("name", READY)
def test_all_pages_of_a_pattern(benchmark: BenchmarkFixture, report: Callable[[str], None], name: str) -> None:
    pattern = ready(name)
    svgs, pdf = benchmark.pedantic(written, args=(pattern,), rounds=3, warmup_rounds=1)
    assert svgs
    assert pdf
    if benchmark.stats:  # None while benchmarks are switched off
        report(f"{name}: {benchmark.stats.stats.median / PAGES_S:.2f} of the limit")
        assert benchmark.stats.stats.median < PAGES_S


@pytest.mark.parametrize("kind", ["accordion", "box"])
def test_hidden_lines_of_a_large_hull(benchmark: BenchmarkFixture, report: Callable[[str], None], kind: str) -> None:
    shape = accordion(300) if kind == "accordion" else folded(faces_of(make("tall-box", {"across": 4, "along": 4, "wall": 10})))
    lifts = layer_lifts(shape)
    picture = benchmark(solid, shape, View(0.4, 0.5), lifts=lifts)
    assert picture.marks
    if benchmark.stats:
        report(f"{kind}, {shape.faces.count} faces: {benchmark.stats.stats.median / HIDDEN_S:.2f} of the limit")
        assert benchmark.stats.stats.median < HIDDEN_S


@pytest.mark.parametrize("share", [0.5, 1.0])
def test_a_tray_in_the_window(benchmark: BenchmarkFixture, report: Callable[[str], None], share: float) -> None:
    """While a hand turns or folds it: the order of layers is worked out anew for each state, and kept while it is turned."""
    faces = faces_of(make("square-tray"))
    turn = partway(faces, folded(faces).turn, share).turn

    def drawn() -> object:
        return solid(folded(faces, turn.copy()), View())

    assert benchmark(drawn)
    if benchmark.stats:
        report(f"share {share}: {benchmark.stats.stats.median / TRAY_S:.2f} of the limit")


def test_turning_a_hull_costs_less_than_folding_it(benchmark: BenchmarkFixture, report: Callable[[str], None]) -> None:
    shape = folded(faces_of(make("hemmed-tray")))
    layer_lifts(shape)
    assert benchmark(solid, shape, good_view(shape))
    if benchmark.stats:
        anew = median_s(lambda: solid(folded(shape.faces, shape.turn.copy()), good_view(shape)), 5)
        report(f"turned: {benchmark.stats.stats.median / anew:.2f} of folded anew")
