"""How long pages and solid pictures take, against their limits: all pages of a pattern 1 s, hidden lines of 300 faces 200 ms.

All pages of seventeen patterns in one command have 10 s on two cores: two processes make them.

Run `python -m pytest tests/bench/bench_paper.py`; it tells the times as shares of their limits.
"""

from __future__ import annotations

import math
import os
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest

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
from folder.second_process import cores
from tests.bench.clock import growth, seconds, timed
from tests.bench.conftest import Report
from tests.test_fold_sequence_steps import READY, ready

PAGES_S, HIDDEN_S, TRAY_S = 1.0, 0.2, 0.005
MANY, MANY_S = 17, 10.0
IMPORTS, PRINT = ["-c", "import numpy, shapely"], ["-m", "folder", "print"]


def written(pattern: Pattern) -> tuple[list[str], bytes]:
    """Template and step sheet, as SVG and as PDF."""
    shape = folded(faces_of(pattern))
    floor = np.arange(shape.faces.count) == shape.faces.root
    pages: list[Page] = [*template(pattern), *steps_pages(pattern, shape, floor=floor)]
    return [page_svg(page) for page in pages], pdf_bytes(pages)


def processor_s(argv: list[str]) -> float:
    """Seconds of all processors that a Python takes, with what it starts."""
    before = os.times()
    subprocess.run([sys.executable, *argv], check=True, capture_output=True)
    after = os.times()
    return after.children_user + after.children_system - before.children_user - before.children_system


def test_pages_of_one_and_of_seventeen_patterns_in_one_command(report: Report, tmp_path: Path) -> None:
    """Template, steps, card with its prediction, record: as `folder print` writes them, with the start of the program."""
    to = ["--to", str(tmp_path), "--replace"]
    importing, one_s = (min(processor_s(argv) for _ in range(3)) for argv in (IMPORTS, [*PRINT, "plain-tray", *to]))
    text = f"{one_s:.2f} s of the processor for plain-tray, {importing:.2f} s for the import"
    report(text, against="import of numpy and shapely", ratio=one_s / importing, aim=9.0)
    names = sorted(READY)[:MANY]
    assert MANY == len(names)
    began = time.perf_counter()
    many_s = processor_s([*PRINT, *names, *to])
    waited_s = time.perf_counter() - began
    text = f"{many_s:.1f} s of the processor for {MANY} patterns, in {waited_s:.1f} s"
    report(text, against=f"{MANY} times one", ratio=many_s / (MANY * one_s), aim=1.0)
    report.limit(f"{MANY} patterns on {cores()} cores: {waited_s:.1f} s (limit 10)", waited_s, MANY_S)
    assert many_s < 2.0 * MANY_S


def accordion(strips: int) -> Folded:
    """A floor with a zigzag wall of many narrow strips on each side: nearly every strip hides part of another."""
    step = 150.0 / strips
    creases = [
        Crease((k * step, 0.0), (k * step, 150.0), "valley" if k % 2 else "mountain", math.radians(75.0))
        for k in range(1, strips)
    ]
    return folded(faces_of(Pattern(creases=tuple(creases))))


@pytest.mark.parametrize("name", READY)
def test_all_pages_of_a_pattern(report: Report, name: str) -> None:
    pattern = ready(name)
    (svgs, pdf), taken = timed(lambda: written(pattern), 3)
    assert svgs
    assert pdf
    report.limit(f"{name}: {taken:.2f} s (limit 1)", taken, PAGES_S)
    assert taken < PAGES_S


def hidden_s(shape: Folded) -> float:
    lifts = layer_lifts(shape)
    assert solid(shape, View(0.4, 0.5), lifts=lifts).marks
    return seconds(lambda: solid(shape, View(0.4, 0.5), lifts=lifts), 5)


def test_hidden_lines_of_a_large_hull(report: Report) -> None:
    taken = {count: hidden_s(accordion(count)) for count in (75, 300)}
    text = f"accordion, 300 faces: {1e3 * taken[300]:.0f} ms (limit 200)"
    report(text, against="its limit", ratio=taken[300] / HIDDEN_S, aim=1.0, growth=growth(taken))
    shape = folded(faces_of(make("tall-box", {"across": 4, "along": 4, "wall": 10})))
    box_s = hidden_s(shape)
    report.limit(f"box, {shape.faces.count} faces: {1e3 * box_s:.0f} ms (limit 200)", box_s, HIDDEN_S)
    assert max(box_s, taken[300]) < HIDDEN_S


@pytest.mark.parametrize("share", [0.5, 1.0])
def test_a_tray_in_the_window(report: Report, share: float) -> None:
    """While a hand turns or folds it: the order of layers is worked out anew for each state, and kept while it is turned."""
    faces = faces_of(make("square-tray"))
    turn = partway(faces, folded(faces).turn, share).turn

    def drawn() -> object:
        return solid(folded(faces, turn.copy()), View())

    taken = seconds(drawn, 20)
    report.limit(f"folded by a share of {share}: {1e3 * taken:.1f} ms (aim 5)", taken, TRAY_S)
    assert taken < 2 * TRAY_S


def test_turning_a_hull_costs_less_than_folding_it(report: Report) -> None:
    shape = folded(faces_of(make("hemmed-tray")))
    layer_lifts(shape)
    turned = seconds(lambda: solid(shape, good_view(shape)), 10)
    anew = seconds(lambda: solid(folded(shape.faces, shape.turn.copy()), good_view(shape)), 5)
    report(f"turned {1e3 * turned:.1f} ms, folded anew {1e3 * anew:.1f} ms", against="folded anew", ratio=turned / anew, aim=1.0)
    assert turned < anew
