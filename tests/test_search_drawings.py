"""Drawings made better step by step: against the best tray by calculus, every step a hull, what is alike stays alike."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest
from msgspec.structs import replace

from folder.errors import BadRequest
from folder.pattern.families.catalogue import make
from folder.pattern.file import read_pattern, ready_patterns, write_pattern
from folder.pattern.pattern import Pattern
from folder.pattern.walls.reading import read_plan
from folder.search.drawings import improve_drawing
from folder.search.families import Stopped
from folder.search.mend import remedies
from folder.search.objective import Limits, Objective
from folder.search.symmetry import symmetries
from folder.studies import study
from folder.verdict import verdict_of
from tests.drawings import crossing_creases, tray
from tests.first_tries import first_tries, random_try


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


def test_what_is_no_hull_or_passes_a_limit_begins_as_its_first_remedy_that_is_one_within_it() -> None:
    found = improve_drawing(crossing_creases(), Objective("likely", limits=Limits(whole_mm=True)))
    first = next(r for r in remedies(study(crossing_creases())) if r.good)
    assert (0.0, first.text) == (found.start.score, found.steps[1].text)
    assert first.likely_g == pytest.approx(found.steps[1].score)
    assert found.best.score >= found.steps[1].score
    low = improve_drawing(tray(20.0), Objective(limits=Limits(wall_most_mm=15.0)))
    assert ["As it is drawn: outside the limits.", "Lower the walls to 15 mm."] == [step.text for step in low.steps[:2]]
    with pytest.raises(BadRequest, match="nothing brings this drawing within the limits"):
        improve_drawing(tray(20.0), Objective(limits=Limits(wall_most_mm=0.5)))
    with pytest.raises(BadRequest, match="Mend it first"):
        improve_drawing(Pattern(), Objective(limits=Limits(wall_most_mm=0.5)))


def test_a_drawing_is_improved_on_the_command_line(cli: Callable[..., tuple[int, str, str]], tmp_path: Path) -> None:
    write_pattern(tray(33.0, 60.0), tmp_path / "tray.json")
    code, out, _ = cli("improve", str(tmp_path / "tray.json"), "--to", str(tmp_path / "better.json"), "--json")
    got = json.loads(out)
    assert (0, "As it is drawn.") == (code, got["steps"][0]["text"])
    assert got["best"]["brim_g"] > got["before"]["brim_g"]
    assert got["best"]["brim_g"] == pytest.approx(study(read_pattern(tmp_path / "better.json")).load.brim_g)
    assert got["best"]["count"] is None
    bricks = "improve", str(tmp_path / "tray.json"), "--item", "wood-brick", "--each", "17.5"
    lines = cli(*bricks)[1].splitlines()
    before, best = (int(re.search(r"(\d+) x wooden brick", line)[1]) for line in (lines[1], lines[-2]))
    assert best >= before > 0


def test_a_hem_gets_narrower_where_that_carries_more_but_never_too_narrow_to_fold() -> None:
    limits = Limits(fold_least_mm=3.0, whole_mm=True, wall_most_mm=35.0)
    found = improve_drawing(
        replace(make("hemmed-tray", {"wall": 36.0, "hem": 4.0, "turn": 58.0}), family=None), Objective(limits=limits)
    )
    plan = read_plan(found.best.pattern)
    assert plan is not None
    assert 3.0 == plan.plan.hem_mm


def drawings() -> dict[str, Pattern]:
    """Ready patterns, children's first tries, and crooked drawings at random."""
    ready = {name: read_pattern(path) for name, path in ready_patterns().items()}
    tries = {t.name: t.pattern for t in (*first_tries(), *(random_try(seed) for seed in range(1000, 1020)))}
    return {**ready, **tries}


@pytest.mark.whole
@pytest.mark.parametrize("name", drawings())
def test_every_step_of_any_drawing_is_a_hull_that_carries_more_and_no_symmetry_is_given_up(name: str) -> None:
    """As the window has it looked for: for usual hands, in whole millimetres."""
    limits = Limits(floor_least_mm2=1500.0, fold_least_mm=3.0, whole_mm=True)
    found = improve_drawing(drawings()[name], Objective("likely", limits=limits))
    hulls = [step for step in found.steps if step.score > 0.0]
    assert len(hulls) >= len(found.steps) - 1
    assert all(a.score < b.score for a, b in pairwise(found.steps))
    for step in hulls:
        made = study(step.pattern)
        assert "hull" == verdict_of(made).code
        assert made.working is not None
        assert step.score == pytest.approx(made.working.likely_g)
    assert symmetries(hulls[0].pattern) <= symmetries(found.best.pattern)


def test_the_symmetries_of_the_walls_are_those_of_the_shape_they_make() -> None:
    """A square of walls has all seven, an oblong two mirrors and the half turn, a bow at one end one mirror; a wall turned less, fewer."""
    square = make("square-tray")
    assert 7 == len(symmetries(square))
    assert {"left and right", "up and down", "turned by 180"} == symmetries(make("long-barge", {"bow": 30.0, "stern": 30.0}))
    first, *others = square.creases
    assert first.turn_rad is not None
    leaning = replace(square, creases=(replace(first, turn_rad=first.turn_rad - 0.2), *others))
    assert 1 >= len(symmetries(leaning))
    assert frozenset() == symmetries(replace(square, creases=()))
