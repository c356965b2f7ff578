"""Faces traced along their borders, against shapely's polygonizer on the same noded lines."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from folder.pattern.faces.noding import graph_of
from folder.pattern.faces.trace import traced

SQUARE = [((0, 0), (9, 0)), ((9, 0), (9, 9)), ((9, 9), (0, 9)), ((0, 9), (0, 0))]


def rounds(*corners: tuple[float, float]) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    return list(zip(corners, (*corners[1:], corners[0]), strict=True))


def found_and_expected(lines) -> tuple[list[shapely.Polygon], list[shapely.Polygon], np.ndarray]:
    """The faces as polygons, ours and shapely's, in one order; and the areas we tell."""
    net = shapely.unary_union([shapely.LineString(line) for line in lines])
    places, edges = graph_of(shapely.get_coordinates(net))
    border, areas, holes = traced(places, edges)
    points = places.view(float).reshape(-1, 2)
    polygons = []
    for face in range(len(areas)):
        rows = np.nonzero(border[:, 0] == face)[0]
        shell, *rest = np.split(rows, np.searchsorted(rows, holes[np.isin(holes, rows)]))
        polygons.append(shapely.Polygon(points[border[shell, 1]], [points[border[r, 1]] for r in rest]))
    ours = sorted(polygons, key=lambda p: shapely.to_wkb(shapely.normalize(p)))
    theirs = sorted(shapely.get_parts(shapely.polygonize([net])), key=lambda p: shapely.to_wkb(shapely.normalize(p)))
    assert areas == pytest.approx([p.area for p in polygons], rel=1e-9)
    return ours, theirs, border


def same(lines) -> None:
    ours, theirs, border = found_and_expected(lines)
    assert len(theirs) == len(ours)
    for one, other in zip(ours, theirs, strict=True):
        assert one.is_valid
        assert shapely.equals(one, other)
    assert len(np.unique(border[:, 3])) == len(border)


@pytest.mark.parametrize(
    "lines",
    {
        "one square": SQUARE,
        "a line that stops in mid-sheet": [*SQUARE, ((0, 0), (4, 4))],
        "a hole": [*SQUARE, *rounds((3, 3), (6, 3), (6, 6), (3, 6))],
        "a hole in a hole": [*SQUARE, *rounds((2, 2), (7, 2), (7, 7), (2, 7)), *rounds((4, 4), (5, 4), (5, 5), (4, 5))],
        "two holes side by side": [*SQUARE, *rounds((1, 1), (3, 1), (2, 3)), *rounds((5, 1), (7, 1), (6, 3))],
        "a hole of two faces": [*SQUARE, *rounds((3, 3), (6, 3), (6, 6), (3, 6)), ((3, 3), (6, 6))],
        "a hole that touches the border": [*SQUARE, *rounds((0, 0), (5, 2), (2, 5))],
        "two holes that touch": [*SQUARE, *rounds((2, 2), (4, 4), (2, 4)), *rounds((4, 4), (6, 4), (6, 6))],
        "a hole on a bridge": [*SQUARE, *rounds((3, 3), (6, 3), (6, 6), (3, 6)), ((0, 0), (3, 3))],
        "two squares joined by a bridge": [*SQUARE, *rounds((20, 0), (29, 0), (29, 9), (20, 9)), ((9, 0), (20, 0))],
        "two squares apart": [*SQUARE, *rounds((20, 0), (29, 0), (29, 9), (20, 9))],
        "two squares that share a corner": [*SQUARE, *rounds((9, 9), (12, 9), (12, 12), (9, 12))],
    }.items(),
    ids=lambda each: each[0],
)
def test_faces_are_those_of_the_polygonizer(lines) -> None:
    same(lines[1])


@settings(max_examples=150, deadline=None)
@given(st.lists(st.tuples(*[st.integers(0, 12)] * 4), min_size=1, max_size=40))
def test_faces_of_any_lines_are_those_of_the_polygonizer(drawn) -> None:
    """On a coarse grid, so that lines cross in one point, overlap, end on each other and leave holes and loose ends."""
    lines = [((a, b), (c, d)) for a, b, c, d in drawn if (a, b) != (c, d)]
    same([*rounds((0, 0), (12, 0), (12, 12), (0, 12)), *lines])
