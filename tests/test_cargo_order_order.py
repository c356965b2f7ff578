"""Loading orders against the order by hand, random orders, and what must hold for any order."""

import math
from itertools import permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from folder.cargo.item import Item
from folder.cargo.order.arrange import Response, arrangements, corners_inward, greedy, place_choices
from folder.cargo.order.order import SAME_MM, follow, load_order
from folder.cargo.packing.stack import centres
from folder.errors import BadRequest
from folder.hull.weight import Weight
from folder.water.equilibrium.under_loads import LadenPoses
from folder.water.fluid import Water
from tests.prisms import FLOORS, afloat, box_lie, resting
from tests.rooms import stack_item

CENT = Item("cent", "Cent", "disc", (19.05, 1.52), 2.5, stacks=True)
QUARTER = Item("quarter", "Quarter", "disc", (24.26, 1.75), 5.67, stacks=True)


def beats(loading, places, mass_g, name):
    """Whether an order of these places rides higher all the way, and tilts no farther; the last object is asked first."""
    centre = centres(places)
    for k in range(len(places) - 1, -1, -1):
        afloat_now = resting(name, Weight(mass_g * (k + 1), tuple(centre[k].tolist())))
        if afloat_now.freeboard is None or afloat_now.freeboard.least_mm <= loading.least_mm + SAME_MM:
            return False
        if afloat_now.pose.tilt_rad > loading.most_rad + 1e-9:
            return False
    return True


@pytest.mark.parametrize("item", [CENT, QUARTER], ids=lambda item: item.name)
@pytest.mark.parametrize("name", FLOORS)
def test_twenty_objects_ride_no_lower_than_by_hand_or_by_chance(name, item):
    """Against "opposite corners first, then inward" on the outermost places, and the best of 200 random orders."""
    floor, height, lie, level_at, _ = afloat(name)
    stack = stack_item(floor, item, wall_height_mm=height, rounds=0, enough=20)
    loading = load_order(stack.places_mm, stack.layer, 20, item.mass_g, lie, level_at)
    assert (20, 20) == (loading.held, len(loading.places_mm))
    offset = stack.places_mm[:, 0] - level_at[0] + 1j * (stack.places_mm[:, 1] - level_at[1])
    by_hand = stack.places_mm[corners_inward(offset, stack.layer)[:20]]
    assert not beats(loading, by_hand, item.mass_g, name)
    random = np.random.default_rng(5)
    for _ in range(200):
        shuffled = np.lexsort([random.random(len(stack.layer)), stack.layer])[:20]
        assert not beats(loading, stack.places_mm[shuffled], item.mass_g, name)


@pytest.mark.parametrize("name", ["square", "trough"])
def test_six_heavy_objects_ride_as_high_as_in_the_best_of_all_orders(name):
    """All 720 orders of the places taken, followed one by one."""
    floor, height, lie, level_at, brim_g = afloat(name)
    stack = stack_item(floor, Item("lead", "Lead", "disc", (24.0, 6.0), 1.0), wall_height_mm=height, rounds=0, column_mm=6)
    mass_g = 0.6 * brim_g / 6
    loading = load_order(stack.places_mm, stack.layer, 6, mass_g, lie, level_at)
    assert 6 == loading.held
    assert not any(beats(loading, loading.places_mm[list(order)], mass_g, name) for order in permutations(range(6)))


def test_the_freeboard_of_a_tray_is_that_of_its_draft():
    """A box 100 x 100 x 25 mm, loaded in the middle: it sinks 1 mm for each 10 g of water displaced (closed form)."""
    water = Water.of(20.0)
    places = np.tile([0.0, 0.0, 2.0], (5, 1))
    loading = follow(places, 10.0, box_lie("square", 25.0))
    sunk = 10.0 * np.arange(1, 6) / (water.density_g_per_mm3 * 10_000.0)
    assert 25.0 - sunk == pytest.approx(loading.freeboard_mm)


def test_one_cent_moved_40_mm_lowers_the_rim_as_computed():
    """The 15 cm tray with 40 cents one deep: freeboard 14.885 mm level (computed from the box formulas).

    Moving the last of them 40 mm off heels it by 0.66 deg and lowers the rim by 0.57 mm.
    """
    floor, _, lie, _, _ = afloat("square")
    assert 100.0 == np.ptp(floor[:, 0])
    level = np.tile([0.0, 0.0, 0.76], (40, 1))
    moved = level.copy()
    moved[-1, 0] = 40.0
    before, after = (follow(places, 2.5, lie).freeboard_mm[-1] for places in (level, moved))
    assert 14.885 == pytest.approx(before, abs=0.02)
    assert 0.57 == pytest.approx(before - after, abs=0.01)


def test_the_object_that_lets_water_in_does_not_count():
    """249.6 g are displaced at the brim of the 100 x 100 x 25 mm box (density at 20 degrees): 24 objects of 10 g, not 25."""
    loading = follow(np.tile([0.0, 0.0, 1.0], (30, 1)), 10.0, box_lie("square", 25.0))
    assert 24 == loading.held
    assert "floods" == loading.states[24]
    assert np.isnan(loading.freeboard_mm[24:]).all()
    assert np.isfinite(loading.freeboard_mm[:24]).all()


def test_of_many_objects_the_first_that_fails_is_found_all_the_same():
    """The same box with 1 g each: 249 stay afloat; only every third of 600 is asked after."""
    loading = follow(np.tile([0.0, 0.0, 1.0], (600, 1)), 1.0, box_lie("square", 25.0))
    assert 249 == loading.held
    sunk = np.arange(1, 250) / (Water.of(20.0).density_g_per_mm3 * 10_000.0)
    assert 25.0 - sunk == pytest.approx(loading.freeboard_mm[:249], abs=1e-6)


def test_a_tower_that_turns_the_hull_over_is_told_from_a_flood():
    places = np.column_stack([np.zeros((40, 2)), 10.0 * np.arange(40) + 5.0])
    loading = follow(places, 10.0, box_lie("trough", 60.0))
    assert 0 < loading.held < 40
    assert "capsizes" == loading.states[loading.held]


def test_lower_layers_are_filled_before_the_next():
    floor, height, lie, level_at, _ = afloat("square")
    stack = stack_item(floor, QUARTER, wall_height_mm=height, rounds=0, enough=40)
    heights = load_order(stack.places_mm, stack.layer, 37, 5.67, lie, level_at).places_mm[:, 2]
    assert (np.diff(heights) >= 0.0).all()
    assert 16 == np.count_nonzero(heights < 1.75)


@pytest.mark.parametrize("count", [0, 1, 2, 7, 25])
def test_every_object_has_its_own_place_of_those_given(count):
    floor, height, lie, level_at, _ = afloat("square")
    stack = stack_item(floor, CENT, wall_height_mm=height, rounds=0, enough=27)
    loading = load_order(stack.places_mm, stack.layer, count, 2.5, lie, level_at)
    placed = {tuple(place) for place in loading.places_mm.tolist()}
    assert count == len(placed) == loading.held
    assert placed <= {tuple(place) for place in stack.places_mm.tolist()}


def test_by_hand_goes_from_corner_to_opposite_corner_and_then_inward():
    grid = np.array([x + 1j * y for x in (-2, -1, 0, 1, 2) for y in (-2, -1, 0, 1, 2)])
    order = corners_inward(grid, np.zeros(25, dtype=int))
    assert [2 * math.sqrt(2)] * 4 == pytest.approx(np.abs(grid[order[:4]]))
    assert (np.diff(np.abs(grid[order])) <= 1e-12).all()
    assert 0j == grid[order[0]] + grid[order[1]] == grid[order[2]] + grid[order[3]]
    assert 0j == grid[order[-1]]


def even_hull(masses_g, centres_mm):
    """A made-up hull that is as stiff every way: an offset sum of 1 mm tilts it 1 mrad, an object or 1 mrad costs 0.1 mm."""
    tilt = 0.001 * masses_g * np.hypot(centres_mm[:, 0], centres_mm[:, 1])
    least = 100.0 - 0.1 * masses_g - 100.0 * tilt
    yes = np.ones(len(masses_g), dtype=bool)
    return LadenPoses(least[:, None].copy(), least, tilt, yes, ~yes)


GRID = np.array([x + 1j * y for x in (-2, -1, 0, 1, 2) for y in (-2, -1, 0, 1, 2)])


def worst(freeboard, tilt):
    return tilt.max() - freeboard.min()


def test_orders_are_balanced_after_every_pair():
    """On a hull that is as stiff every way, the 25 places of a grid balance after each pair; the last pair is a near one."""
    places = np.column_stack([GRID.real, GRID.imag, 0.0 * GRID.real])
    response = Response.of(places, np.zeros(25, dtype=int), 1.0, even_hull, (0.0, 0.0))
    orders = list(arrangements(GRID, np.zeros(25, dtype=int), response))
    for order in orders:
        assert list(range(25)) == sorted(order.tolist())
        assert np.abs(np.cumsum(GRID[order])).max() <= 2.0 * math.sqrt(2) + 1e-9
    best = min(orders, key=lambda order: worst(*response.along(np.cumsum(GRID[order]))))
    assert np.abs(np.cumsum(GRID[best])[-6:]).max() <= math.sqrt(2) + 1e-9


def test_the_greedy_way_begins_in_the_middle():
    places = np.column_stack([GRID.real, GRID.imag, 0.0 * GRID.real])
    response = Response.of(places, np.zeros(25, dtype=int), 1.0, even_hull, (0.0, 0.0))
    order = greedy(GRID, np.zeros(25, dtype=int), 9, response)
    assert 9 == len(set(order.tolist()))
    assert 0j == GRID[order[0]]
    assert np.abs(np.cumsum(GRID[order])).max() <= math.sqrt(2) + 1e-9
    assert 1.0 == pytest.approx(np.abs(np.cumsum(GRID[order])[:5]).max())


@given(st.integers(1, 25), st.floats(0.0, 4.0), st.floats(-math.pi, math.pi))
def test_the_response_between_its_nodes_is_that_of_the_hull(aboard, size, turn):
    """Against the made-up hull's own formula, in which all is straight along each of the three."""
    places = np.column_stack([GRID.real, GRID.imag, 0.0 * GRID.real])
    response = Response.of(places, np.zeros(25, dtype=int), 1.0, even_hull, (0.0, 0.0))
    sums = size * np.exp(1j * np.array([turn]))
    least, tilt = response.read(sums, float(aboard))
    assert 0.001 * size == pytest.approx(tilt[0], abs=1e-9)
    assert 100.0 - 0.1 * aboard - 0.1 * size == pytest.approx(least[0], abs=1e-9)


@pytest.mark.parametrize("count", [5, 9, 14, 20])
def test_the_places_taken_balance(count):
    """Some of the 25 places of a grid: chosen spread out or near the middle, their offsets add up to nothing."""
    grid = np.array([x + 1j * y for x in (-2, -1, 0, 1, 2) for y in (-2, -1, 0, 1, 2)])
    inner, spread, _ = place_choices(grid, np.zeros(25, dtype=int), count)
    for chosen in (spread, inner):
        assert count == len(set(chosen.tolist()))
        assert abs(grid[chosen].sum()) <= 1.0
    assert np.abs(grid[inner]).mean() <= np.abs(grid[spread]).mean()


@pytest.mark.parametrize(("count", "mass", "said"), [(28, 2.5, "not that many places"), (-1, 2.5, "not that many places")])
def test_a_count_without_places_is_refused(count, mass, said):
    places = np.zeros((27, 3))
    with pytest.raises(BadRequest, match=said):
        load_order(places, np.zeros(27, dtype=int), count, mass, pytest.fail)


@pytest.mark.parametrize("mass", [0.0, -1.0, math.nan, math.inf])
def test_objects_without_a_mass_are_refused(mass):
    with pytest.raises(BadRequest, match="must weigh something"):
        load_order(np.zeros((5, 3)), np.zeros(5, dtype=int), 3, mass, pytest.fail)
