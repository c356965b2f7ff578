"""Walls as a plan: read from a drawing, changed, drawn again; against the families, which make such hulls from their parameters."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from folder.errors import BadRequest
from folder.pattern.families.catalogue import make
from folder.pattern.file import find_pattern, read_pattern
from folder.pattern.pattern import Crease, Pattern, Sheet
from folder.pattern.walls import change
from folder.pattern.walls.reading import read_plan, wall_crease
from folder.studies import study
from folder.verdict import verdict_of
from tests.drawings import crossing_creases, line, tray, with_more


def creases_of(pattern):
    """Every crease, whichever way it runs, rounded."""
    ends = ((tuple(sorted(((round(x, 6), round(y, 6)) for x, y in (c.start, c.end)))), c) for c in pattern.creases)
    return {(place, c.sense, round(c.turn_rad, 9), c.step) for place, c in ends}


def walled_sheet(width, sheet=None, hem=0.0, lean_deg=0.0):
    """An empty sheet with a wall of one width raised on every side, one after the other."""
    pattern = Pattern(sheet=sheet or Sheet(), floor_at=(75, 75) if sheet is None else (sheet.width_mm / 2, sheet.height_mm / 2))
    for side in range(4):
        reading = read_plan(pattern)
        pattern = reading.redrawn(change.with_wall(reading.plan, *change.edge_line(reading.plan, side, width)))
    reading = read_plan(pattern)
    plan = change.with_hem(reading.plan, hem)
    for k in range(4):
        plan = change.with_turn(plan, k, math.pi / 2 - math.radians(lean_deg))
    return reading.redrawn(plan)


@given(st.integers(8, 60))
def test_four_walls_raised_one_by_one_are_the_family_s_tray(width):
    assert creases_of(make("square-tray", {"wall": width})) == creases_of(walled_sheet(width))


@settings(max_examples=30)
@given(st.integers(12, 40), st.integers(2, 6))
def test_a_hem_moves_the_walls_in_and_gives_the_family_s_hemmed_tray(width, hem):
    """The family counts the hem into the wall it is asked for; here the wall keeps its width."""
    assert creases_of(make("hemmed-tray", {"wall": width + hem, "hem": hem})) == creases_of(walled_sheet(width, hem=hem))


@given(st.integers(10, 40), st.integers(1, 55))
def test_leaning_walls_are_the_family_s_leaning_tray(width, lean):
    assert creases_of(make("leaning-tray", {"wall": width, "turn": 90 - lean})) == creases_of(walled_sheet(width, lean_deg=lean))


@settings(max_examples=25)
@given(st.integers(14, 36), st.integers(2, 7), st.integers(0, 40), st.permutations(["hem", "lean", "narrow"]))
def test_the_order_of_the_changes_does_not_matter(width, hem, lean, order):
    """Each change is read anew from the drawing before it."""
    pattern = walled_sheet(width)
    for what in order:
        reading = read_plan(pattern)
        assert reading.known
        plan = reading.plan
        if what == "hem":
            plan = change.with_hem(plan, hem)
        for k in range(len(plan.walls)):
            if what == "lean":
                plan = change.with_turn(plan, k, math.pi / 2 - math.radians(lean))
            elif what == "narrow":
                plan = change.with_width(plan, k, width - 2)
        pattern = reading.redrawn(plan)
    assert creases_of(walled_sheet(width - 2, hem=hem, lean_deg=lean)) == creases_of(pattern)


@pytest.mark.parametrize(
    "name", ["plain-tray", "shallow-tray", "tall-small-tray", "leaning-tray", "hemmed-tray", "leaning-hemmed-tray", "long-barge"]
)
def test_a_ready_hull_is_read_and_given_back_as_it_was(name):
    ready = read_pattern(find_pattern(name))
    reading = read_plan(ready)
    assert reading.known
    assert len(ready.creases) == len(reading.own)
    again = reading.redrawn(reading.plan)
    assert [c.step for c in ready.creases] == [c.step for c in again.creases]
    for before, after in zip(ready.creases, again.creases, strict=True):
        assert (before.sense, before.turn_rad) == (after.sense, pytest.approx(after.turn_rad))
        ways = [(after.start, after.end), (after.end, after.start)]
        assert 0 == pytest.approx(min(math.dist(before.start, p) + math.dist(before.end, q) for p, q in ways), abs=1e-6)


@pytest.mark.parametrize("name", ["six-sided-bowl", "two-bend-tray", "screw-box", "keel-tray", "pinched-barge"])
def test_what_is_no_floor_with_one_ring_of_walls_is_not_read_as_one(name):
    assert read_plan(read_pattern(find_pattern(name))) is None


def test_a_cut_or_a_line_that_folds_elsewhere_is_not_read_with_corners_unfolded():
    assert read_plan(with_more(tray(), line((25, 25), (0, 25), "cut"))) is None
    assert read_plan(with_more(crossing_creases(), line((50, 60), (90, 100)))) is None


def test_what_else_is_drawn_stays():
    """A guide, and a fold on a wall, are kept when a wall is moved."""
    drawn = with_more(tray(), line((40, 80), (60, 80), "guide"))
    reading = read_plan(drawn)
    moved = reading.redrawn(change.with_width(reading.plan, 0, 30))
    assert drawn.creases[-1] in moved.creases
    assert len(drawn.creases) == len(moved.creases)


def test_lines_that_cross_are_walls_whose_corners_are_folded_when_drawn():
    reading = read_plan(crossing_creases())
    assert not reading.known
    folded = reading.redrawn(reading.plan)
    assert 16 == len(folded.creases)
    assert "hull" == verdict_of(study(folded)).code


def test_a_bow_of_two_slanting_walls_folds_to_a_hull():
    pattern = Pattern()
    for start, end in (
        ((25, 0), (25, 150)),
        ((125, 0), (125, 150)),
        ((0, 25), (150, 25)),
        ((25, 100), (75, 140)),
        ((75, 140), (125, 100)),
    ):
        reading = read_plan(pattern)
        pattern = reading.redrawn(change.with_wall(reading.plan, start, end))
    assert 5 == len(read_plan(pattern).plan.walls)
    assert "hull" == verdict_of(study(pattern)).code


def test_one_wall_may_lean_alone():
    reading = read_plan(tray())
    leaned = reading.redrawn(change.with_turn(reading.plan, 1, math.radians(60)))
    assert () == study(leaned).report.having("will-not-close")
    assert [90, 60, 90, 90] == [round(math.degrees(w.turn_rad)) for w in read_plan(leaned).plan.walls]


def test_a_flap_can_be_laid_on_the_other_wall():
    reading = read_plan(tray())
    on = {reading.plan.floor[1][0], reading.plan.floor[1][-1]}
    for wall in on:
        laid = reading.redrawn(change.with_flap(reading.plan, (25, 25), wall))
        mountain = next(c for c in laid.creases if c.sense == "mountain" and (25, 25) in (c.start, c.end))
        # The mountain is the side line of the wall that the flap lies on: it runs on from the other wall's line.
        assert abs(reading.plan.walls[wall].outward[0]) == pytest.approx(abs(mountain.end[0] - mountain.start[0]) / 25)


def test_walls_that_leave_no_floor_and_hems_too_deep_are_refused_with_a_way_out():
    reading = read_plan(tray())
    with pytest.raises(BadRequest, match="no floor"):
        reading.redrawn(change.with_width(reading.plan, 0, 124))
    with pytest.raises(BadRequest, match="hem is deeper"):
        reading.redrawn(change.with_hem(reading.plan, 30))
    with pytest.raises(BadRequest, match="0 to 60"):
        change.with_turn(reading.plan, 0, math.radians(20))


def test_another_sheet_keeps_the_walls_and_changes_the_floor():
    reading = read_plan(tray(25))
    larger = reading.redrawn(change.with_sheet(reading.plan, Sheet(200, 180, 24)))
    measured = study(larger).measures
    assert 150 * 130 == pytest.approx(measured.floor_area_mm2)
    assert 25 == pytest.approx(measured.wall_height_mm)


def test_the_line_of_a_wall_is_found_in_the_drawing():
    drawn = tray()
    plan = read_plan(drawn).plan
    assert {0, 1, 2, 3} == {wall_crease(drawn, wall) for wall in plan.walls}
    assert wall_crease(Pattern(creases=(Crease((0, 40), (150, 40)),)), plan.walls[0]) is None
