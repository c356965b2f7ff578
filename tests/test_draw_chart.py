"""Bars with spread: every number where it belongs on the axis, and nothing in the way."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from folder.draw.chart import AXIS_MM, Spread, bars, chart_key, key_rows, spread_chart, ticks
from folder.draw.picture import Area, Box, Label, Line, box_round
from folder.draw.style import FOIL, INK, PAPER
from folder.paper.pages import Page
from folder.units import rounded_down
from tests.overlap import overlaps

BOX = Box(20.0, 30.0, 120.0, 30.0 + AXIS_MM + 40.0)
loads = st.floats(0.0, 5000.0, allow_nan=False)


@st.composite
def spreads(draw):
    low, likely, high, most = sorted(draw(st.tuples(loads, loads, loads, loads)))
    return Spread(draw(st.text(max_size=60)), (low, likely, high), draw(st.sampled_from((most, None))))


def texts(picture) -> list[str]:
    return [item.text for item in picture.marks if isinstance(item, Label)]


def filled(picture, colour: str) -> list[Box]:
    return [box_round(item.rings[0]) for item in picture.marks if isinstance(item, Area) and item.fill == colour]


@given(st.floats(1e-3, 1e6), st.integers(1, 8))
def test_ticks_are_round_numbers_that_just_reach_the_most(most, steps):
    found = ticks(most, steps)
    step = found[1]
    assert 0.0 == found[0]
    assert found[-2] < most * (1 + 1e-6)
    assert found[-1] >= most * (1 - 1e-6)
    assert len(found) <= steps + 1
    assert f"{step:e}"[0] in "125"
    assert [pytest.approx(k * step) for k in range(len(found))] == list(found)


def test_without_any_load_there_is_still_an_axis():
    assert (0.0, 1.0) == ticks(0.0)
    assert "none" in texts(bars([Spread("x", None, text="none")], BOX))


def test_a_band_runs_from_low_to_high_and_its_marks_stand_where_they_should():
    picture = bars([Spread("tray", (50.0, 100.0, 150.0), 200.0)], BOX)
    lines = [item for item in picture.marks if isinstance(item, Line) and item.colour == FOIL]
    left, right = lines[0].points[0][0], lines[-1].points[0][0]
    per_gram = (right - left) / 200.0
    (band,), (stroke,) = filled(picture, FOIL), filled(picture, INK)
    assert pytest.approx((left + 50 * per_gram, left + 150 * per_gram)) == (band.left, band.right)
    assert pytest.approx(left + 100 * per_gram) == stroke.middle[0]
    diamond = [box_round(i.rings[0]) for i in picture.marks if isinstance(i, Area) and i.fill == PAPER and i.edge]
    assert [pytest.approx(left + 200 * per_gram)] == [box.middle[0] for box in diamond]


def test_rows_stand_under_one_another_in_their_order():
    picture = bars([Spread("a", (1.0, 2.0, 3.0)), Spread("b", (4.0, 5.0, 6.0))], BOX)
    first, second = filled(picture, FOIL)
    assert first.bottom > second.top
    assert first.right < second.left
    assert first.bottom - second.bottom == pytest.approx((BOX.height - AXIS_MM) / 2)


def test_the_numbers_of_a_row_are_told_in_words_rounded_down():
    assert "likely 165 g (130 to 206)" in texts(bars([Spread("a", (130.2, 165.9, 206.99), 248.6)], BOX))
    assert ["9.9", "0", "10"] == [rounded_down(v) for v in (9.99, 0.0, 10.99)]


@given(st.lists(spreads(), min_size=1, max_size=8))
def test_nothing_in_a_chart_is_in_the_way_whatever_the_loads(rows):
    page = Page("Chart", "Test")
    chart = spread_chart(rows, 180.0)
    assert not overlaps(page.showing(chart.moved(page.body.left, page.body.bottom)))


@pytest.mark.parametrize("room", [70.0, 120.0, 186.0])
def test_the_key_takes_the_room_it_says(room):
    key = chart_key(room)
    page = Page("Key", "Test").showing(key.moved(12.0, 200.0))
    assert not overlaps(page)
    assert key_rows(room) * 7.0 == key.box.height
    for item in key.marks:
        if isinstance(item, Area):
            assert box_round(item.rings[0]).bottom >= key.box.bottom


def test_the_names_stand_left_of_the_bars_and_a_long_one_is_shortened():
    picture = spread_chart([Spread("Plain tray", (1.0, 2.0, 3.0)), Spread("W" * 300, (1.0, 2.0, 3.0))])
    assert "Plain tray" in texts(picture)
    assert any(text.startswith("WW") and text.endswith("…") for text in texts(picture))
