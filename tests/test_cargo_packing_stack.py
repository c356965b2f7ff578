"""Columns, nests, hollows and heaps: heights and centres of mass against closed forms."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from folder.cargo.item import Item
from folder.cargo.item_list import items
from folder.cargo.packing.hollows import over_three, settled_balls
from folder.cargo.packing.stack import centres
from folder.errors import BadRequest
from tests.rooms import stack_item

TRAY = [(-50.0, -50.0), (50.0, -50.0), (50.0, 50.0), (-50.0, 50.0)]
CENT = Item("cent", "Cent", "disc", (19.05, 1.52), 2.5, stacks=True)
MARBLE = Item("marble", "Marble", "ball", (16.0,), 5.36, rolls=True)
CUP = Item("cup", "Cup", "cup", (40.0, 30.0), 1.0, nest_step_mm=6.0)
SCREW = Item("screw", "Screw", "screw", (6.0, 20.0), 0.9, sharp=True)
DIE = Item("die", "Die", "block", (16.0, 16.0, 16.0), 4.0, stacks=True)


def test_coins_stand_in_columns_layer_by_layer():
    """k whole layers of thickness t have their centre of mass at k t / 2 and reach k t."""
    stack = stack_item(TRAY, CENT, wall_height_mm=25.0, rounds=0)
    assert "column" == stack.way
    for layers in (1, 2, 5):
        count = layers * stack.fits_per_layer
        assert layers == stack.layers(count)
        assert layers * 1.52 == pytest.approx(stack.height_mm(count))
        assert layers * 1.52 / 2 == pytest.approx(centres(stack.places_mm)[count - 1, 2])
    assert 3 == stack.layers(2 * stack.fits_per_layer + 1)


def test_a_column_is_no_taller_than_it_may_be():
    """Twice its width: 38.1 mm of coins of 1.52 mm are 25; or as many as the user allows."""
    assert 25 * 27 == stack_item(TRAY, CENT, wall_height_mm=25.0, rounds=0).room
    assert 4 * 27 == stack_item(TRAY, CENT, wall_height_mm=25.0, rounds=0, column_mm=4 * 1.52).room
    assert 27 == stack_item(TRAY, CENT, wall_height_mm=25.0, rounds=0, column_mm=1.0).room
    assert 2 * 36 == stack_item(TRAY, DIE, wall_height_mm=5.0).room


def test_places_are_given_in_whole_layers_for_as_many_as_are_asked_for():
    stack = stack_item(TRAY, CENT, wall_height_mm=25.0, rounds=0, enough=30)
    assert 54 == len(stack.places_mm)
    assert 675 == stack.room


def test_cups_nest_by_their_step():
    """A column of k cups is 30 + 6 (k - 1) mm high; 120 mm is three times their width."""
    stack = stack_item(TRAY, CUP, wall_height_mm=25.0)
    assert "nest" == stack.way
    assert 5 == stack.fits_per_layer  # five of radius 20 on 100 mm: one in the middle (best radius 20.7, Packomania)
    assert 16 * 5 == stack.room
    assert 30.0 == stack.height_mm(5)
    assert 42.0 == stack.height_mm(15)


def test_a_cup_that_does_not_nest_makes_one_layer():
    plain = Item("cup", "Cup", "cup", (40.0, 30.0), 1.0)
    stack = stack_item(TRAY, plain, wall_height_mm=25.0)
    assert ("single", 5) == (stack.way, stack.room)


def test_balls_on_a_square_settle_one_over_each_four():
    """n x n balls touching leave (n - 1)^2 hollows, each ball r sqrt 2 above those below."""
    below = np.array([[16.0 * i, 16.0 * j, 8.0] for i in range(6) for j in range(6)])
    above = settled_balls(below, below, 8.0)
    assert 25 == len(above)
    assert 8.0 + 8.0 * math.sqrt(2.0) == pytest.approx(above[:, 2])


def test_balls_in_staggered_rows_settle_a_tetrahedron_higher():
    """The height of a regular tetrahedron of side d is d sqrt(2 / 3); every other hollow is taken."""
    side = 6
    below = np.array([[16 * (i + j / 2), 8 * math.sqrt(3) * j, 8.0] for j in range(side) for i in range(side - j)])
    above = settled_balls(below, below, 8.0)
    assert 15 == len(above)  # 21 balls in a triangle carry 15
    assert 8.0 + 16.0 * math.sqrt(2.0 / 3.0) == pytest.approx(above[:, 2])


@pytest.mark.parametrize("diameter", [10.0, 14.0, 16.0, 25.0])
@pytest.mark.parametrize("wall_turn_deg", [60.0, 90.0])
def test_no_two_balls_enter_each_other_and_the_walls_hold_them_all(diameter, wall_turn_deg):
    ball = Item("ball", "Ball", "ball", (diameter,), 1.0)
    stack = stack_item(TRAY, ball, wall_height_mm=25.0, wall_turn_rad=math.radians(wall_turn_deg), heap_fraction=None, rounds=0)
    apart = np.linalg.norm(stack.places_mm[:, None] - stack.places_mm, axis=2) + 1e9 * np.eye(len(stack.places_mm))
    assert apart.min() >= diameter * (1 - 1e-5)
    upper = stack.places_mm[stack.layer > 0]
    assert (upper[:, 2] <= 25.0).all()
    aside = np.abs(upper[:, :2]).max(axis=1)  # the wall's plane leans out from the floor's edge
    turn = math.radians(wall_turn_deg)
    assert (math.sin(turn) * (50.0 - aside) + math.cos(turn) * upper[:, 2] >= diameter / 2 * (1 - 1e-5)).all()
    assert stack.room == len(stack.places_mm)


@given(st.lists(st.tuples(st.floats(-4, 4), st.floats(-4, 4), st.floats(0, 6)), min_size=9, max_size=9))
@settings(deadline=None, derandomize=True)
def test_a_ball_over_three_of_a_layer_touches_all_three(shifts):
    """A layer of nine, shaken out of its rows."""
    layer = np.array([(24.0 * (k % 3), 24.0 * (k // 3), 0.0) for k in range(9)]) + shifts
    found = over_three(layer, 20.0)
    apart = np.linalg.norm(found[:, None] - layer, axis=2)
    assert (np.sum(np.abs(apart - 20.0) < 1e-6, axis=1) >= 3).all()
    assert (found[:, 2] > layer[:, 2].min()).all()


def test_a_heap_fills_the_hull_to_the_rim_and_no_higher():
    """By hand: 100 x 100 x 25 mm, 35 % full of shanks 3 mm thick and 20 mm long."""
    stack = stack_item(TRAY, SCREW, wall_height_mm=25.0)
    each = math.pi / 4 * 3.0**2 * 20.0
    assert "heap" == stack.way
    assert math.floor(0.35 * 250_000 / each) == stack.room
    assert stack.height_mm(stack.room) <= 25.0 + 1e-9
    assert 3.0 == stack.places_mm[0, 2]  # half a head over the floor: none stands in it
    assert 12.5 == pytest.approx(centres(stack.places_mm)[-1, 2], abs=0.2)


def test_the_user_may_say_how_full_a_heap_is():
    """Spheres .64 (Song, Wang, Makse, Nature 453 (2008) 629): 250 cm3 hold 0.64 * 250000 / (pi/6 16^3) marbles."""
    stack = stack_item(TRAY, MARBLE, wall_height_mm=25.0, heap_fraction=0.64)
    assert ("heap", math.floor(0.64 * 250_000 / (math.pi / 6 * 16.0**3))) == (stack.way, stack.room)


def test_a_heap_between_leaning_walls_has_the_room_of_a_frustum():
    """h / 3 (A1 + A2 + sqrt(A1 A2)) (Derrett): 100 to 150 mm square, 25 mm high, walls at 45 degrees."""
    stack = stack_item(TRAY, SCREW, wall_height_mm=25.0, wall_turn_rad=math.pi / 4, heap_fraction=0.5)
    volume = 25.0 / 3.0 * (100.0**2 + 150.0**2 + 100.0 * 150.0)
    assert math.floor(0.5 * volume / (math.pi / 4 * 3.0**2 * 20.0)) == stack.room


def test_a_floor_may_run_either_way_round():
    for item in (CENT, MARBLE, SCREW):
        there, back = (stack_item(floor, item, wall_height_mm=25.0, rounds=0) for floor in (TRAY, TRAY[::-1]))
        assert there.room == back.room


def test_the_centre_of_mass_is_the_mean_of_what_is_aboard():
    places = np.random.default_rng(0).normal(size=(20, 3))
    for count in (1, 7, 20):
        assert places[:count].mean(axis=0) == pytest.approx(centres(places)[count - 1])


@pytest.mark.parametrize("item", items(), ids=lambda item: item.name)
def test_every_listed_object_has_places_above_the_floor_and_within_the_room(item):
    stack = stack_item(TRAY, item, wall_height_mm=25.0, enough=120, rounds=0)
    assert stack.room >= stack.fits_per_layer
    assert len(stack.places_mm) >= min(120, stack.room)
    assert (stack.places_mm[:, 2] > 0.0).all()
    assert (np.diff(stack.layer) >= 0).all()
    assert stack.assumes.endswith(".")


@pytest.mark.parametrize("item", [CENT, MARBLE, CUP, SCREW, DIE], ids=lambda item: item.name)
def test_what_is_too_large_for_the_floor_has_no_room(item):
    stack = stack_item(np.array(TRAY) / 40.0, item, wall_height_mm=25.0)
    assert (0, 0, 0, 0.0) == (stack.room, len(stack.places_mm), stack.layers(0), stack.height_mm(5))


@pytest.mark.parametrize("value", [0.0, -1.0, math.nan, math.inf])
def test_walls_columns_and_heaps_need_a_size(value):
    with pytest.raises(BadRequest, match="wall height is not possible"):
        stack_item(TRAY, CENT, wall_height_mm=value)
    with pytest.raises(BadRequest, match="height of a column is not possible"):
        stack_item(TRAY, CENT, wall_height_mm=25.0, column_mm=value)
    with pytest.raises(BadRequest, match=r"heap fraction .* more than 0 and at most 1"):
        stack_item(TRAY, CENT, wall_height_mm=25.0, heap_fraction=value)


def test_nested_cups_stand_higher_than_loose_columns_but_not_where_10_deg_topples_them():
    """One rigid tower on a foot two thirds as wide as the rim stands at 10 deg up to 2/3 w / tan 10 deg: 151 mm of a cup of 40 mm."""
    stack = stack_item(TRAY, CUP, wall_height_mm=25.0, rounds=0)
    assert 2.0 * 40.0 < stack.height_mm(stack.room) < 2.0 / 3.0 * 40.0 / math.tan(math.radians(10.0))


def test_a_loose_column_stands_in_its_middle_third_at_9_deg_and_not_at_12():
    """w / (3 tan a): 40.1 mm at 9 deg and 29.9 mm at 12 deg for a coin of 19.05 mm."""
    stack = stack_item(TRAY, CENT, wall_height_mm=25.0, rounds=0)
    low, high = (19.05 / (3.0 * math.tan(math.radians(deg))) for deg in (12.0, 9.0))
    assert low < stack.height_mm(stack.room) < high
