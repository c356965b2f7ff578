"""Panes and the cuts that lay a page out."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from folder.window.widgets import Pane

sizes = st.floats(0, 2000)
panes = st.builds(Pane, st.floats(-500, 500), st.floats(-500, 500), sizes, sizes)


@given(panes, sizes, st.floats(0, 50))
def test_a_cut_leaves_two_panes_that_fill_the_whole(pane, size, gap):
    for cut, whole, start, length in (
        (pane.cut_left, pane.w, 0, 2), (pane.cut_right, pane.w, 0, 2),
        (pane.cut_top, pane.h, 1, 3), (pane.cut_bottom, pane.h, 1, 3),
    ):  # fmt: skip
        piece, rest = cut(size, gap)
        assert piece[length] == min(size, whole)
        assert rest[length] == pytest.approx(max(whole - piece[length] - gap, 0), abs=1e-9)
        for part in (piece, rest):
            assert pane[start] - 1e-9 <= part[start]
            assert part[start] + part[length] <= pane[start] + whole + 1e-9


@given(panes, st.integers(1, 9), st.floats(0, 20))
def test_columns_and_rows_are_alike_apart_and_inside(pane, n, gap):
    columns, rows = pane.columns(n, gap), pane.rows(n, gap)
    assert n == len(columns) == len(rows)
    for left, right in pairwise(columns):
        assert right.x - left.right == pytest.approx(gap, abs=1e-6)
        assert left.w == pytest.approx(right.w)
    for upper, lower in pairwise(rows):
        assert lower.y - upper.bottom == pytest.approx(gap, abs=1e-6)
        assert upper.h == pytest.approx(lower.h)


def test_shares_share_what_the_gaps_leave():
    assert [Pane(0, 0, 30, 5), Pane(40, 0, 60, 5)] == Pane(0, 0, 100, 5).columns([1, 2], 10)


@given(panes, panes)
def test_what_two_panes_share_is_covered_by_both(one, other):
    both = one.meet(other)
    assert both == other.meet(one)
    if both.w and both.h:
        assert one.covers(both)
        assert other.covers(both)


@given(panes, st.floats(0, 3000))
def test_drawing_in_never_turns_a_pane_inside_out(pane, by):
    inner = pane.inset(by)
    assert inner.w >= 0
    assert inner.h >= 0
    assert inner.middle == pytest.approx(pane.middle)


def test_a_side_belongs_to_one_neighbour_only():
    left, right = Pane(0, 0, 10, 10).cut_left(5)
    assert [False, True] == [left.holds(5, 5), right.holds(5, 5)]
