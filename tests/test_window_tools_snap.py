"""Where the hand comes to rest, tried without a window."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from folder.pattern.pattern import Crease, Pattern
from folder.window.tools.snap import ANGLES_DEG, creases_near, meeting, snap_place

CROSS = Pattern(creases=(Crease((0, 40), (150, 40)), Crease((30, 0), (30, 150))))
places = st.tuples(st.floats(0, 150), st.floats(0, 150))


@pytest.mark.parametrize(
    ("at", "rest", "word"),
    [
        ((0.9, 1.1), (0, 0), "corner of the sheet"),
        ((1.0, 41.0), (0, 40), "end of a line"),
        ((31.0, 39.2), (30, 40), "crossing"),
        ((75.8, 40.9), (75, 40), "middle of a line"),
        ((52.2, 41.0), (50, 40), "on a line"),
        ((88.0, 1.0), (90, 0), "on the edge"),
        ((97.4, 61.0), (95, 60), "grid"),
    ],
)
def test_the_hand_rests_on_the_nearest_thing_and_says_what_it_is(at, rest, word):
    snap = snap_place(CROSS, at, 1.5, 5.0)
    assert rest == snap.at
    assert word == snap.word


@given(places)
def test_without_drawing_near_the_hand_rests_on_the_grid_within_half_a_pitch(at):
    x, y = snap_place(Pattern(), at, 0.0, 5.0).at
    assert 0 == pytest.approx(math.remainder(x, 5.0), abs=1e-9)
    assert 0 == pytest.approx(math.remainder(y, 5.0), abs=1e-9)
    assert abs(x - at[0]) <= 2.5
    assert abs(y - at[1]) <= 2.5


@given(places)
def test_the_resting_place_is_always_on_the_sheet(at):
    for pitch in (0.0, 2.0, 7.0):
        x, y = snap_place(CROSS, at, 2.0, pitch, start=(30, 40)).at
        assert -1e-9 <= x <= 150 + 1e-9
        assert -1e-9 <= y <= 150 + 1e-9


def test_the_steps_of_angle_are_those_of_the_paper_folders_22_5_and_30():
    assert set(ANGLES_DEG) == {22.5 * k for k in range(16)} | {30.0 * k for k in range(12)}


@given(st.sampled_from(ANGLES_DEG), st.floats(-1.2, 1.2))
def test_a_line_drawn_nearly_at_a_step_of_angle_comes_to_lie_at_it(step, off):
    start, far = (75.0, 75.0), 40.0
    turn = math.radians(step + off)
    at = (start[0] + far * math.cos(turn), start[1] + far * math.sin(turn))
    rest = snap_place(Pattern(), at, 2.0, 0.0, start=start).at
    found = math.degrees(math.atan2(rest[1] - start[1], rest[0] - start[0]))
    assert 0 == pytest.approx(math.remainder(found - step, 360.0), abs=1e-6)


def test_a_line_at_an_angle_ends_on_the_edge_it_comes_near():
    snap = snap_place(Pattern(), (149.0, 124.5), 2.0, 5.0, start=(75, 50))
    assert (150, 125) == pytest.approx(snap.at)
    assert "45°, on the edge" == snap.word


def test_two_lines_meet_where_a_hand_calculation_says():
    """x = 30 and y = x / 2 + 10 meet at (30, 25)."""
    assert (30, 25) == pytest.approx(meeting(((30, 0), (30, 150)), ((0, 10), (100, 60))))
    assert meeting(((0, 0), (10, 0)), ((0, 5), (10, 5))) is None
    assert meeting(((0, 0), (10, 0)), ((20, -5), (20, 5))) is None
    assert (20, 0) == meeting(((0, 0), (10, 0)), ((20, -5), (20, 5)), beyond=True)


def test_the_nearest_crease_comes_first():
    assert [1, 0] == creases_near(CROSS, (31, 42), 3.0)
    assert [0] == creases_near(CROSS, (31, 42), 3.0, without={1})
    assert [] == creases_near(Pattern(), (31, 42), 3.0)
