"""Charts of trials and of another wall: every number stands where its axis says."""

from __future__ import annotations

import pytest

from folder.draw.chart import Axis, Spread, axis_row, row_bar
from folder.draw.picture import Area, Box, Label, Line, box_round
from folder.draw.style import INK, PAPER
from folder.draw.sweep_chart import SweepPoint, sweep_chart
from folder.draw.trial_chart import Forecast, TrialRow, trial_chart

BOX = Box(0.0, 0.0, 160.0, 90.0)


def discs(picture, fill):
    """The middles of the round dots of a fill."""
    areas = [m for m in picture.marks if isinstance(m, Area) and m.fill == fill and len(m.rings[0]) > 20]
    return [box_round(area.rings[0]).middle for area in areas]


def scale(picture):
    """From a number of the foot's axis to its place, by the labels themselves."""
    places = {}
    for mark in picture.marks:
        if isinstance(mark, Label) and mark.anchor == "middle":
            digits = mark.text.split(" ")[0]
            if digits.replace(".", "").isdigit():
                places[float(digits)] = mark.at[0]
    (low, left), (high, right) = min(places.items()), max(places.items())
    return lambda value: left + (right - left) * (value - low) / (high - low)


def test_every_trial_has_a_dot_where_its_load_is_and_a_cross_where_the_guess_was() -> None:
    rows = [TrialRow("Ada", 150.0, 120.0), TrialRow("Ole", 90.0), TrialRow("other", 200.0, own=False)]
    picture = trial_chart(rows, Forecast((100.0, 140.0, 180.0), 80.0, 240.0), BOX)
    at = scale(picture)
    assert [pytest.approx(at(150.0)), pytest.approx(at(90.0))] == [x for x, _ in discs(picture, INK)]
    assert [pytest.approx(at(200.0))] == [x for x, _ in discs(picture, PAPER)]
    slanted = [
        m for m in picture.marks if isinstance(m, Line) and m.points[0][0] != m.points[1][0] and m.points[0][1] != m.points[1][1]
    ]
    assert [pytest.approx(at(120.0))] * 2 == [(line.points[0][0] + line.points[1][0]) / 2 for line in slanted]


def test_all_marks_of_a_hundred_trials_stay_in_their_box_and_apart() -> None:
    rows = [TrialRow(f"{k}", 100.0 + k, 150.0) for k in range(100)]
    picture = trial_chart(rows, Forecast(most=248.0), BOX)
    heights = [y for _, y in discs(picture, INK)]
    assert 100 == len({round(y, 6) for y in heights})
    assert all(BOX.holds(point) for point in discs(picture, INK))


def test_no_trials_and_nothing_foretold_is_an_empty_chart() -> None:
    assert [] == discs(trial_chart([], Forecast(), BOX), INK)


def test_rows_drawn_one_by_one_stand_on_the_axis_below_them() -> None:
    axis = Axis.over(116.0, 0.0, 180.0)
    below = scale(axis_row(axis, Box(0.0, 0.0, 180.0, 8.0)))
    for value in (0.0, 55.0, 116.0):
        assert pytest.approx(below(value)) == axis.at(value)
    bar = row_bar(Spread("Tray", (55.0, 76.0, 96.0), 116.0), axis, Box(0.0, 0.0, 180.0, 22.0))
    band = next(m for m in bar.marks if isinstance(m, Area) and m.edge == "outline" and len(m.rings[0]) == 4)
    box = box_round(band.rings[0])
    assert (pytest.approx(axis.at(55.0)), pytest.approx(axis.at(96.0))) == (box.left, box.right)


def test_a_curve_has_gaps_where_there_is_no_hull_and_none_where_it_is_only_not_known_yet() -> None:
    def lines(points):
        picture = sweep_chart(points, 2.0, 2.0, 11.0, BOX, "wall, mm", "cents")
        return [len(m.points) for m in picture.marks if isinstance(m, Line) and m.style == "thick"]

    span = (8.0, 10.0, 12.0)
    known = [SweepPoint(float(k), span, True) for k in range(6)]
    assert [6] == lines(known)
    assert [2, 3] == lines([*known[:2], SweepPoint(2.0, None, True), *known[3:]])
    assert [5] == lines([*known[:2], SweepPoint(2.0, None, False), *known[3:]])
