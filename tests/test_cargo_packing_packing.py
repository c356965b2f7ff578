"""Rows, packings and how walls change the floor. Every placing is checked by shapely."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from folder.cargo.item import Item
from folder.cargo.packing.packing import gathered, most_discs, pack_blocks, pack_discs, pack_rows
from folder.cargo.packing.stack import first_layer
from folder.errors import BadRequest
from tests.discs import widest_discs
from tests.rooms import straight_room

BEST_KNOWN = """
0.5 0.292893218813 0.254333095030 0.25 0.207106781187 0.187680601147 0.174457630187 0.170540688701 0.166666666667
0.148204322565 0.142399237696 0.139958844038 0.133993513499 0.129331793710 0.127166547515 0.125 0.117196742783
0.115521432464 0.112265437571 0.111382347512 0.106860212352 0.105665296757 0.102802323380 0.101381800432 0.1
0.096362339010 0.095420001748 0.093672833833 0.092463144040 0.091671057986
"""
BEST = dict(enumerate(map(float, BEST_KNOWN.split()), start=1))
"""Best known radius of n discs in a unit square: Packomania, E. Specht (proven to n = 30)."""

UNIT = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]
TRAY = [(100.0 * x, 100.0 * y) for x, y in UNIT]
ELL = [(0, 0), (100, 0), (100, 40), (45, 40), (45, 90), (0, 90)]
SHAPES = {
    "square": TRAY,
    "hexagon": [(60 * math.cos(k * math.pi / 3), 60 * math.sin(k * math.pi / 3)) for k in range(6)],
    "ell": ELL,
    "dart": [(0, 0), (60, 25), (120, 0), (60, 110)],
    "sliver": [(0, 0), (150, 12), (150, 30), (0, 42)],
}


def round_floor(radius: float, sides: int = 24) -> np.ndarray:
    """A regular floor about a circle of this radius: every side touches it."""
    turn = 2 * np.pi * np.arange(sides) / sides
    return radius / math.cos(math.pi / sides) * np.column_stack([np.cos(turn), np.sin(turn)])


def check_discs(floor, packing, slack=1e-6):
    """Shapely: discs of the radius lie inside the floor, and their middles two radii apart."""
    outline, radius = shapely.Polygon(floor), packing.size_mm[0]
    middles = shapely.points(packing.places_mm)
    assert shapely.contains(outline, middles).all()
    assert (shapely.distance(outline.exterior, middles) >= radius - slack).all()
    apart = shapely.distance(middles[:, None], middles) + np.eye(packing.count) * 1e9
    assert (apart >= 2 * radius - slack).all()


def check_blocks(floor, packing):
    """Shapely: every block lies inside the floor and none shares area with another."""
    blocks = shapely.polygons(packing.corners_mm())
    assert np.prod(packing.size_mm) == pytest.approx(shapely.area(blocks))
    assert shapely.covers(shapely.Polygon(floor).buffer(1e-6), blocks).all()
    # On a grid: GEOS' floating overlay may call two rectangles with a nearly common side one and the same.
    shared = shapely.area(shapely.intersection(blocks[:, None], blocks, grid_size=1e-6))
    assert pytest.approx(0.0, abs=1e-4) == (shared - np.diag(np.diag(shared))).max(initial=0.0)


@pytest.mark.parametrize(
    ("diameter", "square", "staggered", "best"),
    [(19.05, 25, 23, 27), (18.75, 25, 27, 27), (16.25, 36, 33, 39), (20.3, 16, 20, 23)],
)
def test_coins_on_a_100_mm_floor(diameter, square, staggered, best):
    """US cent, 2 and 1 euro cent, UK penny: rows computed by hand, best known from Packomania's radii."""
    assert square == pack_rows(TRAY, diameter / 2, ("square rows",)).count
    assert staggered == pack_rows(TRAY, diameter / 2, ("staggered rows",)).count
    packing = pack_discs(TRAY, diameter / 2, enough=best)
    assert best == packing.count
    check_discs(TRAY, packing)


def test_a_unit_square_holds_what_the_best_known_packings_hold():
    """n = 1 to 30 at the best-known radius less 1e-9 of it: never under the rows, n - 1 always, n in at least 24 cases."""
    reached = 0
    for n, best in BEST.items():
        radius = best * (1 - 1e-9)
        packing = pack_discs(UNIT, radius, enough=n)
        check_discs(UNIT, packing, 1e-9)
        rows = pack_rows(UNIT, radius, ("square rows", "staggered rows")).count
        assert packing.count >= max(rows, n - 1), n
        reached += packing.count >= n
    assert reached >= 24


@pytest.mark.parametrize("n", [2, 5, 7, 8, 10, 13, 15, 20])
def test_the_widest_discs_in_a_square_are_the_best_known_ones(n):
    """Packomania again, from the other side: no wider than proven, and as wide."""
    widest = widest_discs(UNIT, n, rounds=3)
    check_discs(UNIT, widest, 1e-9)
    assert BEST[n] == pytest.approx(widest.size_mm[0], rel=1e-9)


@pytest.mark.parametrize(("n", "circle"), [(7, 3.0), (10, 3.813), (12, 4.029), (19, 4.863)])
def test_unit_discs_on_a_round_floor(n, circle):
    """E. Friedman's tables for a circle of this radius (printed to 3 decimals, so 5e-4 is added).

    The 24-sided floor about the circle holds what the circle holds. It lies inside a circle wider by 1 / cos 7.5 deg, so
    no disc on it is wider than unit by more than that (the tables are taken as best possible).
    """
    floor = round_floor(circle + 5e-4)
    packing = pack_discs(floor, 1.0, enough=n)
    assert packing.count >= n
    check_discs(floor, packing)
    assert packing.count >= pack_rows(floor, 1.0, ("square rows", "staggered rows")).count
    if n < 19:
        assert 1.0 <= widest_discs(floor, n, rounds=2).size_mm[0] <= (1 + 5e-4) / math.cos(math.pi / 24)


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("diameter", [9.0, 14.0, 23.0, 38.0])
def test_the_search_never_holds_less_than_rows_nor_more_than_can_be(shape, diameter):
    """The bound is Oler's inequality, Acta Mathematica 105 (1961) 19-48."""
    floor = SHAPES[shape]
    packing = pack_discs(floor, diameter / 2, rounds=1)
    check_discs(floor, packing)
    assert pack_rows(floor, diameter / 2).count <= packing.count <= most_discs(floor, diameter / 2)


stars = st.lists(st.floats(15.0, 80.0), min_size=3, max_size=9)


@given(stars, st.floats(2.0, 20.0))
@settings(max_examples=25, deadline=None, derandomize=True)
def test_rows_on_any_floor_lie_inside_and_apart(reaches, radius):
    """Floors with corners at any distance from a middle: some convex, some not."""
    turn = 2 * np.pi * np.arange(len(reaches)) / len(reaches)
    floor = np.array(reaches)[:, None] * np.column_stack([np.cos(turn), np.sin(turn)])
    check_discs(floor, pack_rows(floor, radius))


@given(stars, st.floats(4.0, 40.0), st.floats(4.0, 40.0))
@settings(max_examples=12, deadline=None, derandomize=True)
def test_blocks_on_any_floor_lie_inside_and_apart(reaches, length, width):
    turn = 2 * np.pi * np.arange(len(reaches)) / len(reaches)
    floor = np.array(reaches)[:, None] * np.column_stack([np.cos(turn), np.sin(turn)])
    check_blocks(floor, pack_blocks(floor, length, width, rounds=1))


@pytest.mark.parametrize("floor", [TRAY, SHAPES["hexagon"], ELL])
@pytest.mark.parametrize("turn", [0.3, 1.9, 4.4])
def test_a_turned_moved_or_larger_floor_holds_as_many(floor, turn):
    cos, sin = math.cos(turn), math.sin(turn)
    moved = 3.0 * (np.array(floor) @ np.array([[cos, sin], [-sin, cos]])) + (700.0, -300.0)
    assert pack_rows(floor, 8.0, ("square rows",)).count == pack_rows(moved, 24.0, ("square rows",)).count
    assert pack_blocks(floor, 24.0, 13.0).count == pack_blocks(moved, 72.0, 39.0).count


def test_the_same_question_has_the_same_answer():
    first, second = (pack_discs(TRAY, 10.15, rounds=1) for _ in range(2))
    assert first.places_mm.tolist() == second.places_mm.tolist()


def test_corners_may_run_either_way_and_the_first_may_be_repeated():
    assert 25 == pack_rows([*TRAY[::-1], TRAY[-1]], 10.0).count


@pytest.mark.parametrize(
    ("diameter", "count"), [(25.0, 16), (50.0, 4), (100.0, 1), (100.0 * (1 + 3e-10), 1), (100.001, 0), (101.0, 0)]
)
def test_what_fits_exactly_fits(diameter, count):
    assert count == pack_discs(TRAY, diameter / 2).count


def test_square_rows_lie_about_the_middle_of_the_floor():
    """25 coins of 19.05 mm leave 4.75 mm free each way; loading off the middle would tilt the hull."""
    assert [50.0, 50.0] == pytest.approx(pack_rows(TRAY, 9.525, ("square rows",)).places_mm.mean(axis=0).tolist())


def test_enough_is_where_the_search_ends():
    assert 25 == pack_discs(TRAY, 10.0, enough=20).count
    assert 21 == pack_discs(TRAY, 10.15, enough=21).count


@pytest.mark.parametrize(
    ("length", "width", "count"),
    [(16.0, 16.0, 36), (30.0, 20.0, 16), (50.0, 20.0, 10), (48.0, 24.0, 8), (142.0, 5.0, 0)],
)
def test_blocks_on_a_100_mm_floor(length, width, count):
    """By hand: 6 x 6 dice; 5 rows of 3 and one more turned; 5 rows of 2; 4 rows of 2; longer than the way across, 141.4 mm."""
    packing = pack_blocks(TRAY, length, width)
    assert count == packing.count
    check_blocks(TRAY, packing)


def test_blocks_turn_with_a_floor_that_stands_askew():
    cos, sin = math.cos(0.5), math.sin(0.5)
    askew = np.array(TRAY) @ np.array([[cos, sin], [-sin, cos]])
    packing = pack_blocks(askew, 30.0, 20.0)
    assert 16 == packing.count
    check_blocks(askew, packing)


@pytest.mark.parametrize("turn_deg", [45.0, 57.914, 90.0, 110.0])
def test_balls_touch_leaning_walls_and_do_not_enter_them(turn_deg):
    """Against the plane of the wall in space: the ball farthest to a side is its radius away from that wall."""
    turn, radius = math.radians(turn_deg), 8.0
    (floor,) = straight_room(TRAY, 30.0, turn).clear_for_balls(radius)
    middles = widest_discs(floor, 4, rounds=1)
    inward = np.array([math.sin(turn), 0.0, math.cos(turn)])  # of the wall that stands on the side x = 0
    touching = np.array([floor[:, 0].min() + radius, 50.0, radius])
    assert radius == pytest.approx(float(inward @ touching))
    assert middles.places_mm[:, 0].min() >= floor[:, 0].min()


def test_the_floor_between_leaning_walls_grows_with_height():
    """Closed form for a square floor: its side grows by 2 h cot(turn), its corners stay sharp."""
    grown = straight_room(TRAY, 30.0, math.radians(60.0)).section(20.0)
    side = 100.0 + 40.0 / math.tan(math.radians(60.0))
    assert side**2 == pytest.approx(grown.area)
    (upright,) = straight_room(TRAY, 30.0).clear(0.0, 20.0)
    assert [(0.0, 0.0), (0.0, 100.0), (100.0, 0.0), (100.0, 100.0)] == sorted(map(tuple, upright.tolist()))


def test_walls_that_lean_in_leave_less_room():
    tall = Item("tall-disc", "Tall disc", "disc", (25.0, 20.0), 1.0)
    assert 16 == first_layer(straight_room(TRAY, 25.0), tall).count
    assert (
        12 == first_layer(straight_room(TRAY, 25.0, math.radians(100.0)), tall).count
    )  # 93 mm across at their tops: 4 staggered rows of 3


@pytest.mark.parametrize(
    ("shape", "size", "count"),
    [
        ("disc", (25.0, 2.0), 16),
        ("ball", (25.0,), 16),
        ("cup", (25.0, 40.0), 16),
        ("tube", (10.0, 50.0), 20),
        ("screw", (10.0, 50.0), 20),
        ("block", (50.0, 20.0, 5.0), 10),
    ],
)
def test_each_shape_lies_as_it_is_loaded(shape, size, count):
    """By hand on 100 x 100 mm: 4 x 4 round ones; 10 rows of 2 lying rods; 5 rows of 2 blocks."""
    assert count == first_layer(straight_room(TRAY, 60.0), Item("thing", "Thing", shape, size, 1.0)).count


@pytest.mark.parametrize("count", range(1, 8))
def test_a_few_gather_about_a_place_in_balance(count):
    coins = pack_rows(TRAY, 10.0)
    together = gathered(TRAY, coins, count, (45.0, 52.0))
    assert count == together.count
    check_discs(TRAY, together)
    assert [45.0, 52.0] == pytest.approx(together.places_mm.mean(axis=0).tolist())


def test_too_many_or_too_wide_do_not_gather():
    assert 0 == gathered(TRAY, pack_rows(TRAY, 10.0), 8, (50.0, 50.0)).count
    assert 0 == gathered(TRAY, pack_rows(TRAY, 25.0), 7, (50.0, 50.0)).count


@pytest.mark.parametrize("radius", [0.0, -3.0, math.nan, math.inf])
def test_a_disc_without_a_size_is_refused_in_a_sentence(radius):
    with pytest.raises(BadRequest, match=r"the object has no size .* Give a length above 0 mm"):
        pack_discs(TRAY, radius)
    with pytest.raises(BadRequest, match="no size"):
        pack_blocks(TRAY, 10.0, radius)


@pytest.mark.parametrize(
    ("floor", "said"),
    [
        ([], "no floor to load"),
        ([(0, 0), (1, 1)], "no floor to load"),
        ([(0, 0), (50, 50), (100, 100)], "encloses nothing"),
        ([(0, 0), (100, 100), (100, 0), (0, 100)], "crosses itself"),
        ([(0, 0), (math.nan, 0), (0, 9)], "not a number"),
        ("floor", "not a list of corners"),
    ],
)
def test_what_is_no_floor_is_refused_in_a_sentence(floor, said):
    with pytest.raises(BadRequest, match=said):
        pack_discs(floor, 5.0)


def test_dust_is_not_placed_grain_by_grain():
    with pytest.raises(BadRequest, match="Count them as a heap"):
        pack_discs(TRAY, 0.01)


@pytest.mark.parametrize("turn", [0.0, -1.0, math.pi, math.nan])
def test_walls_that_do_not_stand_are_refused(turn):
    with pytest.raises(BadRequest, match="90° is upright"):
        straight_room(TRAY, 10.0, turn)


def test_walls_that_meet_above_the_floor_leave_no_room():
    with pytest.raises(BadRequest, match="nothing has room"):
        straight_room(TRAY, 100.0, math.radians(150.0))
