"""Whatever is drawn there is a report: patterns with one line changed, and lines at random. The sample here; all with --whole."""

from __future__ import annotations

import math
import time
from collections.abc import Callable

import numpy as np
import pytest
from msgspec.structs import replace

from folder.draw.hull.solid import solid
from folder.fold.sequence.film import film_of, keeps_lengths
from folder.fold.sequence.steps import fold_sequence
from folder.pattern.file import read_pattern, ready_patterns
from folder.pattern.pattern import Crease, Pattern
from folder.studies import study
from tests.scribbles import scribble, whole_lines

READY = {name: read_pattern(path) for name, path in ready_patterns().items()}

CHANGES: dict[str, Callable[[Crease], Crease]] = {
    "cut": lambda c: replace(c, sense="cut", turn_rad=None),
    "guide": lambda c: replace(c, sense="guide", turn_rad=None),
    "free": lambda c: replace(c, turn_rad=None),
    "other sense": lambda c: replace(c, sense="mountain" if c.sense == "valley" else "valley"),
}


def with_changed(pattern: Pattern, index: int, change: Callable[[Crease], Crease]) -> Pattern:
    """The pattern with one crease changed."""
    creases = list(pattern.creases)
    creases[index] = change(creases[index])
    return replace(pattern, creases=tuple(creases))


@pytest.mark.parametrize("change", CHANGES)
def test_with_any_line_changed_there_are_a_report_and_steps_or_a_reason(change: str, many: Callable[[int, int], int]) -> None:
    places = [(name, k) for name, pattern in READY.items() for k in range(len(pattern.creases))]
    for name, k in places[:: len(places) // many(16, len(places))]:
        pattern = with_changed(READY[name], k, CHANGES[change])
        s = study(pattern)
        order = fold_sequence(pattern, s.folded)
        assert order.found != bool(order.note), f"{name}, line {k} {change}"
        # Where the picture is what the steps lead to, it shows the sheet; where nothing folds, the sheet all the same.
        assert solid(s.folded).marks
        if not s.folds:
            assert s.report.stops
        film = film_of(order)
        for n in range(len(order.steps)):
            state = film.at(n, 0.4)
            assert state.other is not None or keeps_lengths(state.shape, film.off_mm)


@pytest.mark.parametrize("name", READY)
def test_with_a_fold_cut_open_there_are_still_steps_or_a_reason(name: str, many: Callable[[int, int], int]) -> None:
    """Round the end of a cut a fold may move nothing, or tear the sheet: it is then no step."""
    creases = [k for k, c in enumerate(READY[name].creases) if c.sense in ("valley", "mountain")]
    for k in creases[:: -(-len(creases) // many(4, len(creases)))]:
        pattern = with_changed(READY[name], k, CHANGES["cut"])
        order = fold_sequence(pattern, study(pattern).folded)
        assert order.found != bool(order.note)


NEEDLE = 891
"""A drawing with a face of 2e-12 mm2, whose corners lie on one line to the last digit."""


def test_lines_at_random_get_a_report_and_faces_that_cover_the_sheet_once(many: Callable[[int, int], int]) -> None:
    """10 to 300 lines, near doubles of 0.01 to 0.1 mm among them; a report takes 5 s at most. Every triangle turns one way."""
    for seed in (NEEDLE, *range(many(14, 2000))):
        began = time.process_time()
        made = study(scribble(seed))
        assert made.report.findings
        assert made.measures.faces == made.faces.count
        assert time.process_time() - began < 5.0, f"drawing {seed}"
        assert 150.0**2 == pytest.approx(made.faces.areas.sum(), rel=1e-9), f"drawing {seed}"
        (x0, y0), (x1, y1), (x2, y2) = made.faces.vertices[made.faces.triangles].transpose(1, 2, 0)
        doubled = (x1 - x0) * (y2 - y0) - (x2 - x0) * (y1 - y0)
        assert doubled.min() > -1e-6
        covered = np.bincount(made.faces.triangle_face, doubled / 2.0, made.faces.count)
        assert np.abs(covered - made.faces.areas).max() < 1e-6, f"drawing {seed}"


@pytest.mark.parametrize("kind", ["at random", "grid"])
def test_many_whole_lines_that_do_not_fold_are_told_without_walls_rim_or_load(kind: str) -> None:
    made = study(whole_lines(120, kind))
    assert not made.folds
    assert (0.0, 0.0, 0.0, None) == (
        made.measures.wall_height_mm,
        made.measures.rim_height_mm,
        made.measures.volume_mm3,
        made.load.brim_g,
    )


@pytest.mark.parametrize("kind", ["at random", "grid"])
def test_many_whole_lines_folded_flat_are_told_in_time_too(kind: str, many: Callable[[int, int], int]) -> None:
    """All faces then lie in the floor's plane, one on the other; what thousands of them cover together is not asked."""
    count = many(100, 200)
    drawn = whole_lines(count, kind)
    flat = replace(drawn, creases=tuple(replace(c, turn_rad=math.pi) for c in drawn.creases))
    began = time.process_time()
    made = study(flat)
    assert made.report.stops
    assert (False, 1) == (made.folds, made.measures.floor_layers_most)
    assert time.process_time() - began < many(1, 2)


def test_more_open_folds_than_can_be_solved_are_told_as_not_found_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("folder.fold.closing.solve._GIVEN_UP_EFFORT", 1e5)
    drawn = whole_lines(30, "grid")
    made = study(replace(drawn, creases=tuple(replace(c, turn_rad=None) for c in drawn.creases)))
    (finding,) = made.report.having("will-not-close")
    assert ("stop", "the search was left early") == (finding.level, finding.detail.split("; ")[1].rstrip("."))
