"""The floor's kernels against shapely, the linear programme against scipy."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog

from folder.cargo.packing.floor import (
    as_places,
    as_points,
    clearance,
    floor_centroid,
    inside_floor,
    margin,
    polygon_area,
)
from folder.cargo.packing.linear import Sparse, maximise

L_SHAPE = as_places(np.array([[0.0, 0.0], [100.0, 0.0], [100.0, 40.0], [30.0, 40.0], [30.0, 90.0], [0.0, 90.0]]))
places = st.tuples(st.floats(-20, 120), st.floats(-20, 110)).map(lambda p: complex(*p))


def test_places_and_points_are_the_same_numbers():
    points = np.array([[1.0, 2.0], [3.0, -4.0]])
    assert [1 + 2j, 3 - 4j] == as_places(points).tolist()
    assert points.tolist() == as_points(as_places(points)).tolist()


@given(places)
def test_clearance_is_the_distance_to_each_side(place):
    """Against shapely's distance from a point to a segment."""
    ends = as_points(L_SHAPE)
    sides = [shapely.LineString([ends[k], ends[(k + 1) % len(ends)]]) for k in range(len(ends))]
    distance, away = clearance(np.array([place]), L_SHAPE)
    point = shapely.Point(place.real, place.imag)
    assert [shapely.distance(point, side) for side in sides] == pytest.approx(distance[0].tolist(), abs=1e-9)
    assert np.ones(len(sides)) == pytest.approx(np.abs(away[0]))


@given(places)
def test_away_points_from_the_nearest_point_of_the_side(place):
    distance, away = clearance(np.array([place]), L_SHAPE)
    nearest = place - distance[0] * away[0]
    assert np.zeros(len(L_SHAPE)) == pytest.approx(clearance(nearest, L_SHAPE)[0].diagonal(), abs=1e-9)


@given(places)
def test_inside_agrees_with_shapely_away_from_the_edge(place):
    outline = shapely.Polygon(as_points(L_SHAPE))
    point = shapely.Point(place.real, place.imag)
    if shapely.distance(outline.exterior, point) > 1e-9:
        assert outline.contains(point) == bool(inside_floor(np.array([place]), L_SHAPE)[0])


def test_area_and_centre_of_an_l_are_those_of_its_two_rectangles():
    """Closed form: 100 x 40 with its middle at (50, 20), and 30 x 50 at (15, 65)."""
    assert 5500.0 == polygon_area(L_SHAPE)
    assert (4000 * (50 + 20j) + 1500 * (15 + 65j)) / 5500 == pytest.approx(floor_centroid(L_SHAPE))


def test_margin_is_half_the_way_to_a_neighbour_or_the_whole_way_to_a_wall():
    assert 5.0 == margin(np.array([20 + 20j, 30 + 20j]), L_SHAPE)
    assert 3.0 == margin(np.array([20 + 20j, 60 + 37j]), L_SHAPE)
    assert 0.0 == margin(np.array([20 + 20j, 60 + 50j]), L_SHAPE)


@pytest.mark.parametrize("seed", range(8))
def test_a_linear_programme_reaches_what_scipy_reaches(seed):
    """Random programmes in a box; scipy.optimize.linprog (HiGHS) is the second truth."""
    random = np.random.default_rng(seed)
    size, count = 12, 30
    columns = np.concatenate([random.integers(0, size, (count, 3)), np.tile(np.arange(size), 2)[:, None] * [1, 0, 0]])
    values = np.concatenate([random.normal(size=(count, 3)), np.repeat([1.0, -1.0], size)[:, None] * [1.0, 0.0, 0.0]])
    rows = Sparse(columns, values, size)
    dense = np.zeros((len(columns), size))
    for row, (where, what) in enumerate(zip(columns, values, strict=True)):
        np.add.at(dense[row], where, what)
    limits, gain = random.uniform(0.1, 1.0, len(dense)), random.normal(size=size)
    found = maximise(gain, rows, limits, np.zeros(size))
    best = linprog(-gain, dense, limits, bounds=(None, None))
    assert -best.fun == pytest.approx(float(gain @ found), rel=1e-9)
    assert (dense @ found <= limits + 1e-9).all()
