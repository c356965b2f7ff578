"""Where an object comes to lie that is let go: flat on what carries it, inside the walls, never in another one."""

import math

import numpy as np
import pytest
import shapely
from shapely import Polygon

from folder.cargo.item import Item
from folder.cargo.item_list import find_item
from folder.cargo.packing.room import room_of
from folder.cargo.settle import free_of, outline_at, settled
from folder.cargo.spot import Spot
from tests.rooms import straight_room
from tests.studied import ready_study

COIN, MARBLE = find_item("us-cent"), find_item("marble-16")
BLOCK = Item("brick", "brick", "block", (20.0, 10.0, 6.0), 3.0, stacks=True)
CUP = Item("cup", "cup", "cup", (30.0, 20.0), 2.0, nest_step_mm=4.0)
ROOM = straight_room([(-50, -50), (50, -50), (50, 50), (-50, 50)], 25.0)


def test_on_an_empty_floor_it_lies_where_it_is_let_go():
    spot = settled(ROOM, COIN, (), 12.0, -7.0)
    assert (12.0, -7.0, 0.76, 0) == pytest.approx((spot.x_mm, spot.y_mm, spot.z_mm, spot.layer))


def test_over_another_it_lies_on_it():
    first = settled(ROOM, COIN, (), 0.0, 0.0)
    second = settled(ROOM, COIN, (first,), 3.0, 0.0)
    assert (3.0, 0.0, 3 * 0.76, 1) == pytest.approx((second.x_mm, second.y_mm, second.z_mm, second.layer))


def test_what_would_topple_is_pushed_to_where_it_lies_still():
    """Its centre would be beside the one below: it goes to the floor beside it, or on top, and lies flat."""
    first = settled(ROOM, COIN, (), 0.0, 0.0)
    second = settled(ROOM, COIN, (first,), 12.0, 0.0)
    beside = math.hypot(second.x_mm, second.y_mm)
    assert beside <= COIN.size_mm[0] / 2 or beside >= COIN.size_mm[0] - 0.15
    assert math.hypot(second.x_mm - 12.0, second.y_mm) < COIN.size_mm[0] / 2 + 1.0


def test_between_two_carriers_it_lies_across_both():
    pair = tuple(settled(ROOM, COIN, (), x, 0.0) for x in (-12.0, 12.0))
    across = settled(ROOM, COIN, pair, 0.0, 0.0)
    assert (0.0, 3 * 0.76, 1) == pytest.approx((across.x_mm, across.z_mm, across.layer))


def test_a_ball_let_go_on_a_ball_rolls_down_beside_it():
    first = settled(ROOM, MARBLE, (), 0.0, 0.0)
    second = settled(ROOM, MARBLE, (first,), 2.0, 1.0)
    assert 8.0 == pytest.approx(second.z_mm)
    assert 16.0 == pytest.approx(math.dist(first.centre, second.centre), abs=1.0)


def test_a_ball_settles_in_the_hollow_of_four():
    """Four touching balls on a square: the fifth lies r times the root of 2 over them (closed form)."""
    four = tuple(settled(ROOM, MARBLE, (), x, y) for x in (-8.0, 8.0) for y in (-8.0, 8.0))
    fifth = settled(ROOM, MARBLE, four, 1.5, -1.0)
    assert 8.0 + 8.0 * math.sqrt(2.0) == pytest.approx(fifth.z_mm, abs=0.05)
    assert 1 == fifth.layer


def test_a_cup_goes_into_a_cup():
    first = settled(ROOM, CUP, (), 0.0, 0.0)
    second = settled(ROOM, CUP, (first,), 2.0, 2.0)
    assert (0.0, 0.0, first.z_mm + 4.0) == pytest.approx(second.centre)


def test_a_column_is_no_taller_than_it_stands():
    tower = []
    for _ in range(30):
        spot = settled(ROOM, COIN, tower, 0.0, 0.0)
        if spot is None:
            break
        tower.append(spot)
    assert max(s.z_mm + s.half_mm for s in tower) <= 2.0 * COIN.size_mm[0]
    assert 30 == len(tower)  # the others lie around it


@pytest.mark.parametrize("item", [COIN, MARBLE, BLOCK, CUP], ids=lambda item: item.shape)
@pytest.mark.parametrize("name", ["plain-tray", "six-sided-bowl", "leaning-tray"])
def test_wherever_the_hand_points_nothing_lies_in_a_wall_or_in_another(item, name, many):
    room = room_of(ready_study(name).hull)
    random = np.random.default_rng(4)
    lying = []
    for _ in range(many(12, 60)):
        x, y = random.uniform(-70, 70, 2)
        spot = settled(room, item, lying, x, y, random.uniform(0, 3))
        if spot is None:
            continue
        assert free_of(item, [spot], lying)[0]
        middle = np.array([spot.centre])
        if item.shape == "ball":
            assert room.distance_mm(middle)[0] > item.size_mm[0] / 2 - 0.25
        elif spot.z_mm + spot.half_mm < room.rim_mm:  # by shapely, in the section at its foot
            foot = room.section(max(spot.z_mm - spot.half_mm, 0.01))
            assert shapely.Polygon(outline_at(item, spot)).difference(foot.buffer(0.2)).area < 0.5
        lying.append(spot)
    assert len(lying) > 1


@pytest.mark.parametrize("name", ["us-cent", "domino", "marble-16"])
def test_what_is_free_is_what_the_outlines_say_pair_by_pair(name):
    """Against shapely: both outlines drawn in by half of what still counts as lying side by side; balls by the distance of centres."""
    item, random = find_item(name), np.random.default_rng(15)
    half = item.extents_mm[2] / 2.0
    spots = [
        Spot(x, y, z + half, half, turn, 0)
        for x, y, z, turn in random.uniform((-40, -40, 0, 0), (40, 40, 16 * half, math.pi), (60, 4)).tolist()
    ]
    wanted, lying = spots[:30], spots[30:]
    free = free_of(item, wanted, lying)
    assert {True, False} == set(free.tolist())
    for spot, is_free in zip(wanted, free.tolist(), strict=True):
        assert is_free == (not any(met(item, spot, other) for other in lying))


def met(item, one, other):
    if item.form.outline == "ball":
        return math.dist(one.centre, other.centre) < item.size_mm[0] - 0.1
    apart = abs(one.z_mm - other.z_mm) > one.half_mm + other.half_mm - 0.05
    drawn_in = [Polygon(outline_at(item, spot)).buffer(-0.05, join_style="mitre") for spot in (one, other)]
    return not apart and drawn_in[0].intersects(drawn_in[1])
