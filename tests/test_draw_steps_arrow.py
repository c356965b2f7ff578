"""Arrows start and end where they are told to."""

import itertools
import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from folder.draw.picture import Line
from folder.draw.steps.arrow import bowed, mountain_arrow, there_and_back, turn_over, valley_arrow

place = st.tuples(st.floats(-100, 100), st.floats(-100, 100))


@given(place, place, st.floats(-0.8, 0.8))
def test_a_bowed_line_rises_to_its_left_by_its_share_of_the_chord(start, end, bow):
    chord = math.dist(start, end)
    assume(chord > 1.0 and abs(bow) > 0.01)
    path = bowed(start, end, bow)
    left = (-(end[1] - start[1]) / chord, (end[0] - start[0]) / chord)
    rises = [(p[0] - start[0]) * left[0] + (p[1] - start[1]) * left[1] for p in path]
    assert (start, end) == (path[0], path[-1])
    assert pytest.approx(bow * chord, rel=0.01, abs=1e-9) == max(rises, key=abs)
    steps = [math.dist(a, b) for a, b in itertools.pairwise(path)]
    assert pytest.approx(steps, rel=1e-6) == [steps[0]] * len(steps)


@given(place, place, st.sampled_from([-0.3, 0.0, 0.3]))
def test_the_head_of_an_arrow_has_its_tip_at_the_end(start, end, bow):
    assume(math.dist(start, end) > 12.0)
    for arrow in (valley_arrow, mountain_arrow, there_and_back):
        items = arrow(start, end, bow)
        assert isinstance(items[0], Line)
        assert end == items[1].rings[0][0]
    assert start == there_and_back(start, end, bow)[2].rings[0][0]


def test_valley_and_mountain_arrows_differ_by_shape_alone():
    valley, mountain = (arrow((0, 0), (30, 0))[1] for arrow in (valley_arrow, mountain_arrow))
    assert (4, 3) == (len(valley.rings[0]), len(mountain.rings[0]))
    assert valley.edge is None
    assert "outline" == mountain.edge


def test_turning_over_runs_from_left_to_right_with_one_loop():
    line, _ = turn_over((0.0, 0.0), 18.0)
    turned = 0.0
    for a, b, c in zip(line.points, line.points[1:], line.points[2:], strict=False):
        turned += math.remainder(math.atan2(c[1] - b[1], c[0] - b[0]) - math.atan2(b[1] - a[1], b[0] - a[0]), 2 * math.pi)
    assert pytest.approx(2 * math.pi, abs=0.6) == turned
    assert line.points[0][0] < 0 < line.points[-1][0]
