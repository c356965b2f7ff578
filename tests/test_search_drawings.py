"""Drawings made better step by step: against the best tray by calculus, every step a hull, what is alike stays alike."""

from __future__ import annotations

import json
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest

from folder.errors import BadRequest
from folder.pattern.file import read_pattern, write_pattern
from folder.pattern.walls.reading import read_plan
from folder.search.drawings import improve_drawing
from folder.search.families import Stopped
from folder.search.mend import remedies
from folder.search.objective import Limits, Objective
from folder.studies import study
from folder.verdict import verdict_of
from tests.drawings import crossing_creases, tray


def test_a_drawn_tray_becomes_the_best_leaning_tray_in_steps_that_each_win_and_keep_all_walls_alike() -> None:
    """a = 15 cm: s 3.486 cm gives 291.67 cm3 at turn 57.91 deg by the frustum formula; 0.9982067 g/cm3, less 0.972 g of foil."""
    found = improve_drawing(tray(20.0))
    assert 291.67 * 0.9982067 - 0.972 == pytest.approx(found.best.score, abs=0.05)
    assert all(a.score < b.score for a, b in pairwise(found.steps))
    for step in found.steps:
        plan = read_plan(step.pattern)
        assert "hull" == verdict_of(study(step.pattern)).code
        assert plan is not None
        assert 1 == len({(round(plan.plan.width_mm(k), 6), round(w.turn_rad, 9)) for k, w in enumerate(plan.plan.walls)})


def test_no_step_passes_a_limit_and_a_search_that_is_stopped_keeps_the_best_so_far() -> None:
    low = improve_drawing(tray(20.0), Objective(limits=Limits(wall_most_mm=20.0)))
    assert all(study(step.pattern).measures.wall_height_most_mm <= 20.0 + 1e-6 for step in low.steps)

    def enough(tried: int, _: float) -> None:
        if tried > 12:
            raise Stopped

    stopped = improve_drawing(tray(20.0), progress=enough)
    assert 13 >= stopped.tried
    assert stopped.best.score > stopped.start.score


def test_what_is_no_hull_begins_as_its_first_remedy_and_what_passes_a_limit_is_refused() -> None:
    found = improve_drawing(crossing_creases(), Objective("likely", limits=Limits(whole_mm=True)))
    first = next(r for r in remedies(study(crossing_creases())) if r.good)
    assert (0.0, first.text) == (found.start.score, found.steps[1].text)
    assert first.likely_g == pytest.approx(found.steps[1].score)
    assert found.best.score >= found.steps[1].score
    with pytest.raises(BadRequest, match="Mend it first"):
        improve_drawing(tray(20.0), Objective(limits=Limits(wall_most_mm=15.0)))


def test_a_drawing_is_improved_on_the_command_line(told: Callable[..., tuple[int, str, str]], tmp_path: Path) -> None:
    write_pattern(tray(33.0, 60.0), tmp_path / "tray.json")
    code, out, _ = told("improve", str(tmp_path / "tray.json"), "--to", str(tmp_path / "better.json"), "--json")
    got = json.loads(out)
    assert (0, "As it is drawn.") == (code, got["steps"][0]["text"])
    assert got["best"]["brim_g"] > got["before"]["brim_g"]
    assert got["best"]["brim_g"] == pytest.approx(study(read_pattern(tmp_path / "better.json")).load.brim_g)
