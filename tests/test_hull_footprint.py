"""The footprint against turning it a little at a time, and against rectangles known beforehand."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from folder.hull.footprint import outline_of, over_by_mm, smallest_rectangle
from folder.pattern.file import ready_patterns
from folder.studies import study
from tests.hulls import random_hull
from tests.strategies import tried
from tests.studied import ready_study


def turned(points, angle):
    c, s = math.cos(angle), math.sin(angle)
    return points @ np.array([[c, s], [-s, c]])


def brute(outline, rectangle, step_deg=0.1):
    """The least overlap in steps of a tenth of a degree."""
    best = math.inf
    for k in range(int(180 / step_deg)):
        width, height = np.ptp(turned(outline, math.radians(k * step_deg)), axis=0)
        best = min(best, max(width - max(rectangle), height - min(rectangle)))
    return best


PLACES = st.lists(st.tuples(st.floats(-80, 80), st.floats(-80, 80)), min_size=4, max_size=12)


@given(PLACES, st.tuples(st.floats(20, 150), st.floats(20, 150)))
@tried(60)
def test_what_passes_a_rectangle_is_what_turning_by_a_tenth_of_a_degree_finds(places, rectangle):
    hull = shapely.MultiPoint(places).convex_hull
    if not isinstance(hull, shapely.Polygon) or hull.area < 1.0:
        return
    outline = np.array(hull.exterior.coords)[:-1]
    expected = brute(outline, rectangle)
    # An extent changes by no more than the diameter times the angle, half a step of which is missed.
    slack = np.hypot(*np.ptp(outline, axis=0)) * math.radians(0.05)
    assert expected - slack - 1e-9 <= over_by_mm(outline, rectangle) <= expected + 1e-9


@given(PLACES)
@tried(60)
def test_the_smallest_rectangle_has_the_area_that_shapely_finds(places):
    hull = shapely.MultiPoint(places).convex_hull
    if not isinstance(hull, shapely.Polygon) or hull.area < 1.0:
        return
    length, width = smallest_rectangle(np.array(hull.exterior.coords)[:-1])
    assert shapely.minimum_rotated_rectangle(hull).area == pytest.approx(length * width, rel=1e-6)


@pytest.mark.parametrize("angle", [0.0, 0.3, 1.2, math.pi / 2])
def test_a_rectangle_fits_itself_at_any_turn_and_no_smaller_one(angle):
    box = turned(np.array([[0.0, 0.0], [100.0, 0.0], [100.0, 75.0], [0.0, 75.0]]), angle)
    assert (100.0, 75.0) == pytest.approx(smallest_rectangle(box))
    assert 0.0 == pytest.approx(over_by_mm(box, (75.0, 100.0)), abs=1e-9)
    assert 5.0 == pytest.approx(over_by_mm(box, (95.0, 75.0)), abs=1e-9)


def test_a_long_thin_hull_fits_a_square_across_its_corners():
    """A strip a by b turned by 45 degrees is (a + b) / sqrt 2 wide both ways."""
    strip = np.array([[0.0, 0.0], [120.0, 0.0], [120.0, 6.0], [0.0, 6.0]])
    assert 126.0 / math.sqrt(2.0) - 90.0 == pytest.approx(over_by_mm(strip, (90.0, 90.0)))


@pytest.mark.parametrize("name", sorted(ready_patterns()))
def test_ready_hulls_fit_the_rectangle_they_are_told_to_have(name, many):
    hull = ready_study(name).hull
    assert hull is not None
    outline = outline_of(hull)
    length, width = smallest_rectangle(outline)
    assert abs(over_by_mm(outline, (length, width))) < 1e-6
    assert shapely.minimum_rotated_rectangle(shapely.MultiPoint(hull.skin.vertices[:, :2])).area == pytest.approx(
        length * width, rel=1e-3
    )
    step = 1.0 if many(1, 0) else 0.1
    expected, slack = brute(outline, (100.0, 75.0), step), np.hypot(*np.ptp(outline, axis=0)) * math.radians(step / 2.0)
    assert expected - slack - 1e-9 <= over_by_mm(outline, (100.0, 75.0)) <= expected + 1e-9


def test_random_hulls_pass_a_rectangle_by_what_turning_them_finds(many):
    found = 0
    for seed in range(many(12, 300)):
        pattern = random_hull(seed)
        hull = study(pattern).hull if pattern is not None else None
        if hull is None:
            continue
        found += 1
        outline = outline_of(hull)
        expected = brute(outline, (100.0, 75.0))
        slack = np.hypot(*np.ptp(outline, axis=0)) * math.radians(0.05)
        assert expected - slack - 1e-9 <= over_by_mm(outline, (100.0, 75.0)) <= expected + 1e-9, seed
    assert found >= many(8, 200)
