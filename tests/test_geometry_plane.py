"""Kernels of the plane, against shapely (GEOS), scipy (Qhull) and closed forms."""

import math

import numpy as np
import pytest
import scipy.spatial
import shapely

from folder.geometry.plane import (
    centroid,
    clip_to_box,
    clip_to_convex,
    convex_hull,
    distances_to,
    inside,
    nearest_shares,
    sides,
    signed_area,
    winding_numbers,
)
from folder.geometry.space import Floats

RNG = np.random.default_rng(7)


def star(corners: int, at: tuple[float, float] = (0.0, 0.0)) -> Floats:
    """A simple, mostly hollow polygon: corners by direction, at any distance."""
    turns = np.sort(RNG.uniform(0.0, 2.0 * math.pi, corners))
    turns[0] = 0.0
    return np.array(at) + RNG.uniform(5.0, 50.0, (corners, 1)) * np.column_stack([np.cos(turns), np.sin(turns)])


STARS = [star(n, at) for n in (3, 5, 12, 40) for at in ((0.0, 0.0), (1e4, -3e4))]


@pytest.mark.parametrize("corners", STARS, ids=len)
def test_area_and_centre_are_those_of_shapely(corners: Floats) -> None:
    theirs = shapely.Polygon(corners)
    signed = theirs.area if shapely.is_ccw(theirs.exterior) else -theirs.area
    assert signed == pytest.approx(signed_area(corners), rel=1e-9)
    assert [theirs.centroid.x, theirs.centroid.y] == pytest.approx(centroid(corners).tolist(), rel=1e-6)


def test_an_l_has_the_area_and_centre_of_its_two_oblongs() -> None:
    """20 x 10 and 10 x 10 on its left end: 300; centre by moments (10 * 200 + 5 * 100) / 300, (5 * 200 + 15 * 100) / 300."""
    corners = np.array([[0, 0], [20, 0], [20, 10], [10, 10], [10, 20], [0, 20.0]])
    assert signed_area(corners) == 300.0
    assert signed_area(corners[::-1]) == -300.0
    assert centroid(corners).tolist() == pytest.approx([25.0 / 3.0, 25.0 / 3.0])


@pytest.mark.parametrize("corners", STARS, ids=len)
def test_inside_is_what_shapely_says(corners: Floats) -> None:
    points = corners.mean(axis=0) + RNG.uniform(-60.0, 60.0, (400, 2))
    assert shapely.contains_xy(shapely.Polygon(corners), points).tolist() == inside(points, corners).tolist()


def test_two_rounds_count_twice_and_backward_ones_less_than_nothing() -> None:
    square = np.array([[0, 0], [4, 0], [4, 4], [0, 4.0]])
    point = np.array([[1.0, 1.0], [9.0, 1.0]])
    assert winding_numbers(point, np.concatenate([sides(square)] * 2)).tolist() == [2, 0]
    assert winding_numbers(point, sides(square[::-1])).tolist() == [-1, 0]


def test_nearest_places_and_distances_are_those_of_shapely() -> None:
    points, segments = RNG.uniform(-10.0, 10.0, (60, 2)), RNG.uniform(-10.0, 10.0, (50, 2, 2))
    lines = shapely.linestrings(segments)
    there = shapely.line_locate_point(lines, shapely.points(points)[:, None], normalized=True)
    assert nearest_shares(points, segments) == pytest.approx(there, abs=1e-9)
    assert distances_to(points, segments) == pytest.approx(shapely.distance(lines, shapely.points(points)[:, None]), abs=1e-9)


def test_distances_hold_in_space_too() -> None:
    """From (1, 2, 2) to the x axis from 3 on: 2, 2 aside and 2 short, sqrt(12)."""
    assert distances_to(np.array([[1.0, 2.0, 2.0]]), np.array([[[3.0, 0, 0], [9.0, 0, 0]]])) == pytest.approx(math.sqrt(12.0))


def test_a_segment_without_length_is_its_point() -> None:
    assert distances_to(np.array([[3.0, 4.0]]), np.zeros((1, 2, 2))) == pytest.approx(5.0)


@pytest.mark.parametrize("count", [3, 8, 100, 1000])
def test_the_convex_hull_is_that_of_qhull(count: int) -> None:
    points = RNG.standard_normal((count, 2)) * (30.0, 10.0)
    ours, theirs = convex_hull(points), scipy.spatial.ConvexHull(points)
    assert {tuple(p) for p in points[theirs.vertices].tolist()} == {tuple(p) for p in ours.tolist()}
    assert theirs.volume == pytest.approx(signed_area(ours))  # counter-clockwise


def test_the_hull_of_a_grid_has_four_corners_and_that_of_nothing_none() -> None:
    grid = np.stack(np.meshgrid(np.arange(5.0), np.arange(4.0)), axis=-1).reshape(-1, 2)
    assert [[0, 0], [4, 0], [4, 3], [0, 3]] == convex_hull(grid).tolist()
    assert convex_hull(np.empty((0, 2))).shape == (0, 2)
    assert [[1.0, 2.0]] == convex_hull(np.array([[1.0, 2.0]] * 3)).tolist()


def test_clipping_keeps_what_shapely_keeps() -> None:
    box, low, high = shapely.box(-3.0, -2.0, 4.0, 5.0), (-3.0, -2.0), (4.0, 5.0)
    corners = convex_hull(RNG.uniform(-6.0, 6.0, (30, 2)))
    ring, region = [(x, y) for x, y in corners.tolist()], shapely.Polygon(corners)
    met = 0
    for start, end in RNG.uniform(-10.0, 10.0, (300, 2, 2)).tolist():
        line = shapely.LineString([start, end])
        for ours, theirs in (
            (clip_to_box(tuple(start), tuple(end), low, high), shapely.intersection(line, box)),
            (clip_to_convex(tuple(start), tuple(end), ring), shapely.intersection(line, region)),
        ):
            length = 0.0 if ours is None else (ours[1] - ours[0]) * line.length
            assert theirs.length == pytest.approx(length, abs=1e-9)
            met += ours is not None
    assert met > 100
