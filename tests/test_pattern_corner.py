"""The corner fold: where the walls' common edge lies on the sheet, and that it closes."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from folder.fold.vertex import misfits
from folder.pattern.corner import corner_fold, to_outline, to_sheet_edge


def heading(angle_rad):
    return (math.cos(angle_rad), math.sin(angle_rad))


def angle_of(direction):
    return math.atan2(direction[1], direction[0])


@pytest.mark.parametrize(
    ("turn_deg", "lean_deg"),
    [(90.0, 0.0), (57.914, 27.98), (60.0, math.degrees(math.atan(0.5)))],
)
def test_the_side_creases_of_a_square_corner_lean_by_atan_cos_f(turn_deg, lean_deg):
    """The published leaning corner: floor turns 57.914 deg, side creases 27.98 deg from square; lean atan(cos f)."""
    turn = math.radians(turn_deg)
    fold = corner_fold((1.0, 0.0), (0.0, 1.0), turn, turn)
    assert lean_deg == pytest.approx(math.degrees(math.atan2(-fold.first[0], -fold.first[1])), abs=0.01)
    assert lean_deg == pytest.approx(math.degrees(math.atan2(-fold.second[1], -fold.second[0])), abs=0.01)
    assert pytest.approx(heading(math.radians(225.0)), abs=1e-12) == fold.diagonal


def test_a_square_corner_has_the_published_sectors_and_turns():
    """Tray corner, sectors 90, 90, 45, 45, 90: a flap tucked on one wall leaves turns -180, 180, 90."""
    fold = corner_fold((1.0, 0.0), (0.0, 1.0), math.pi / 2, math.pi / 2)
    assert (-180.0, 180.0, 90.0) == pytest.approx([math.degrees(t) for t in fold.turns(True)])
    assert (90.0, 180.0, -180.0) == pytest.approx([math.degrees(t) for t in fold.turns(False)])
    angles = [angle_of(d) % math.tau for d in (fold.second, fold.diagonal, fold.first)]
    assert [180.0, 225.0, 270.0] == pytest.approx([math.degrees(a) for a in angles])


corners = st.tuples(
    st.floats(0.0, math.tau),
    st.floats(math.radians(35.0), math.radians(170.0)),
    st.floats(math.radians(10.0), math.radians(120.0)),
    st.floats(math.radians(10.0), math.radians(120.0)),
)


@settings(deadline=None)
@given(corners, st.booleans())
def test_any_two_walls_with_a_common_edge_close(corner, tuck_on_first):
    """Closure: the product of Rx(turn) Rz(sector) round the vertex is the identity (belcastro & Hull 2002)."""
    start, opening, turn_1, turn_2 = corner
    fold = corner_fold(heading(start), heading(start + opening), turn_1, turn_2)
    assume(fold is not None)
    side_1, diagonal, side_2 = fold.turns(tuck_on_first)
    around = sorted(
        (angle % math.tau, turn)
        for angle, turn in (
            (start, turn_1),
            (start + opening, turn_2),
            (angle_of(fold.second), side_2),
            (angle_of(fold.diagonal), diagonal),
            (angle_of(fold.first), side_1),
        )
    )
    angles, turns = map(np.array, zip(*around, strict=True))
    sectors = np.diff(angles, append=angles[0] + math.tau)
    assert 1e-12 > misfits(turns[None], sectors[None])[0]


@settings(deadline=None)
@given(corners)
def test_the_diagonal_halves_the_spare_sheet(corner):
    start, opening, turn_1, turn_2 = corner
    fold = corner_fold(heading(start), heading(start + opening), turn_1, turn_2)
    assume(fold is not None)
    first, diagonal, second = (complex(*d) for d in (fold.first, fold.diagonal, fold.second))
    assert 0.0 == pytest.approx(abs(diagonal / second - first / diagonal), abs=1e-12)


@pytest.mark.parametrize("turn_deg", [1e-9, 180.0])
def test_walls_without_a_common_edge_have_no_corner_fold(turn_deg):
    assert corner_fold((1.0, 0.0), (0.0, 1.0), math.radians(turn_deg), math.radians(turn_deg)) is None


def test_walls_that_lie_flat_leave_no_sheet_between_them():
    """A floor corner of 90 deg and walls that hardly rise: the sides all but meet on the diagonal."""
    assert corner_fold((1.0, 0.0), (0.0, 1.0), 1e-4, 1e-4) is None


@settings(deadline=None)
@given(
    st.lists(st.floats(0.0, math.tau), min_size=5, max_size=9, unique_by=lambda a: round(a, 1)),
    st.floats(0.0, math.tau),
    st.floats(5.0, 500.0),
)
def test_a_ray_leaves_a_convex_outline_where_shapely_says(angles, direction, radius):
    """Against shapely: the far end of the ray's stretch inside the polygon."""
    outline = [(radius * math.cos(a), radius * math.sin(a)) for a in sorted(angles)]
    polygon = shapely.Polygon(outline)
    assume(polygon.area > radius and polygon.buffer(-1e-3).area > 0)
    inside = polygon.buffer(-1e-3).representative_point()
    way = heading(direction)
    ray = shapely.LineString([(inside.x, inside.y), (inside.x + 3e3 * way[0], inside.y + 3e3 * way[1])])
    expected = ray.intersection(polygon).coords[-1]
    assert pytest.approx(expected, abs=1e-6) == to_outline((inside.x, inside.y), way, outline)


def test_a_ray_at_a_corner_hits_it_exactly_and_an_upright_edge_is_met_exactly():
    outline = ((0.0, 0.0), (150.0, 0.0), (150.0, 150.0), (0.0, 150.0))
    assert (0.0, 0.0) == to_outline((34.86, 34.86), heading(math.radians(225.0)), outline)
    assert to_sheet_edge((34.86, 20.0), heading(math.radians(184.0)), 150.0, 150.0)[0] == 0.0
    assert to_sheet_edge((34.86, 20.0), heading(math.radians(264.0)), 150.0, 150.0)[1] == 0.0
