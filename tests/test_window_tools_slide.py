"""A wall pushed sideways takes its neighbours along."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from folder.pattern.families.catalogue import make
from folder.pattern.pattern import Crease, Pattern
from folder.studies import study
from folder.window.tools.slide import hangs_together, slide


def wall_below(pattern):
    """The floor crease nearest to the lower edge."""
    level = [
        i for i, c in enumerate(pattern.creases) if abs(c.start[1] - c.end[1]) < 1e-6 and c.length_mm > 60 and c.start[1] < 75
    ]
    assert 1 == len(level)
    return level[0]


@given(st.integers(-15, 20))  # higher, the flaps of two corners would meet on one wall
def test_a_tray_stays_a_tray_when_all_its_walls_are_pushed(by):
    """Against the family that makes the tray from its wall height directly."""
    tray = make("square-tray", {"wall": 25})
    pushed = study(slide(tray, wall_below(tray), (3.0, float(by)), "four"))
    made = study(make("square-tray", {"wall": 25 + by}))
    assert () == pushed.report.stops
    assert made.measures.floor_area_mm2 == pytest.approx(pushed.measures.floor_area_mm2)
    assert made.load.brim_g == pytest.approx(pushed.load.brim_g)


def test_one_wall_alone_can_be_pushed():
    tray = make("square-tray", {"wall": 25})
    pushed = study(slide(tray, wall_below(tray), (0.0, 10.0)))
    assert pushed.folds
    assert 90 * 100 == pytest.approx(pushed.measures.floor_area_mm2)


@given(st.integers(-8, 8))
def test_leaning_walls_stay_closed(by):
    tray = make("leaning-tray")
    assert () == study(slide(tray, wall_below(tray), (0.0, float(by)), "four")).report.having("will-not-close")


def test_pushing_there_and_back_changes_nothing():
    tray = make("square-tray", {"wall": 25})
    index = wall_below(tray)
    back = slide(slide(tray, index, (0.0, 7.0), "four"), index, (0.0, -7.0), "four")
    for before, after in zip(tray.creases, back.creases, strict=True):
        assert before.start == pytest.approx(after.start)
        assert before.end == pytest.approx(after.end)


def test_only_what_lies_across_the_line_counts():
    pattern = Pattern(creases=(Crease((0, 40), (150, 40)),))
    assert ((0, 46), (150, 46)) == (slide(pattern, 0, (9, 6)).creases[0].start, slide(pattern, 0, (9, 6)).creases[0].end)


def test_a_slanting_line_goes_on_to_the_edges():
    pattern = Pattern(creases=(Crease((0, 0), (150, 150)),))
    moved = slide(pattern, 0, (0, 20 * math.sqrt(2) / math.sqrt(2))).creases[0]
    assert {(0.0, 20.0), (130.0, 150.0)} == {tuple(round(v, 6) for v in p) for p in (moved.start, moved.end)}


def test_a_loose_line_hangs_on_nothing():
    pattern = Pattern(creases=(Crease((20, 20), (60, 20)), Crease((60, 20), (60, 90)), Crease((100, 10), (110, 30))))
    assert hangs_together(pattern, 0)
    assert not hangs_together(pattern, 2)


@pytest.mark.parametrize("family", ["square-tray", "leaning-tray"])
@pytest.mark.parametrize("by", [-12.0, 4.0, 15.0])
def test_the_pinches_of_a_pushed_wall_go_on_holding_its_flaps(family, by):
    pushed = slide(make(family), 0, (0.0, by), "four")
    assert 4 == len(pushed.crimps)
    assert () == study(pushed).report.having("loose-flap")
