"""Loading orders against the order by hand, random orders, and what must hold for any order."""

import math
from itertools import permutations

import numpy as np
import pytest

from folder.cargo.arrange import Bother, arranged, chosen_places, corners_inward
from folder.cargo.item import Item
from folder.cargo.order import follow, load_order
from folder.cargo.stack import centres, stack_item
from folder.errors import BadRequest
from folder.hull.weight import Weight
from folder.water.balance import rest
from folder.water.density import Water
from tests.prisms import FLOORS, afloat, prism

CENT = Item("cent", "Cent", "disc", (19.05, 1.52), 2.5, stacks=True)
QUARTER = Item("quarter", "Quarter", "disc", (24.26, 1.75), 5.67, stacks=True)


def beats(least_mm, places, mass_g, settle):
    """Whether an order of these places ends above `least_mm` all the way; the last object is asked first."""
    centre = centres(places)
    for k in range(len(places) - 1, -1, -1):
        afloat_now = settle(Weight(mass_g * (k + 1), tuple(centre[k].tolist())))
        if afloat_now.freeboard is None or afloat_now.freeboard.least_mm <= least_mm:
            return False
    return True


@pytest.mark.parametrize("item", [CENT, QUARTER], ids=lambda item: item.name)
@pytest.mark.parametrize("name", FLOORS)
def test_twenty_objects_ride_no_lower_than_by_hand_or_by_chance(name, item):
    """Against "opposite corners first, then inward" on the outermost places, and the best of 200 random orders."""
    floor, height, settle, level_at, _ = afloat(name)
    stack = stack_item(floor, item, wall_height_mm=height, rounds=0, enough=20)
    loading = load_order(stack.places_mm, stack.layer, 20, item.mass_g, settle, level_at)
    assert (20, 20) == (loading.held, len(loading.places_mm))
    offset = stack.places_mm[:, 0] - level_at[0] + 1j * (stack.places_mm[:, 1] - level_at[1])
    slack = 1e-6
    by_hand = stack.places_mm[corners_inward(offset, stack.layer)[:20]]
    assert not beats(loading.least_mm + slack, by_hand, item.mass_g, settle)
    random = np.random.default_rng(5)
    for _ in range(200):
        shuffled = np.lexsort([random.random(len(stack.layer)), stack.layer])[:20]
        assert not beats(loading.least_mm + slack, stack.places_mm[shuffled], item.mass_g, settle)


@pytest.mark.parametrize("name", ["square", "trough"])
def test_six_heavy_objects_ride_as_high_as_in_the_best_of_all_orders(name):
    """All 720 orders of the places taken, followed one by one."""
    floor, height, settle, level_at, brim_g = afloat(name)
    stack = stack_item(
        floor, Item("lead", "Lead", "disc", (24.0, 6.0), 1.0), wall_height_mm=height, rounds=0, column_mm=6
    )
    mass_g = 0.6 * brim_g / 6
    loading = load_order(stack.places_mm, stack.layer, 6, mass_g, settle, level_at)
    assert 6 == loading.held
    assert not any(
        beats(loading.least_mm + 0.02, loading.places_mm[list(order)], mass_g, settle)
        for order in permutations(range(6))
    )


def test_the_freeboard_of_a_tray_is_that_of_its_draft():
    """A box 100 x 100 x 25 mm, loaded in the middle: it sinks 1 mm for each 10 g of water displaced (closed form)."""
    skin = prism(FLOORS["square"][0], 25.0)
    water = Water.of(20.0)
    places = np.tile([0.0, 0.0, 2.0], (5, 1))
    loading = follow(places, 10.0, lambda load: rest(skin, load, water))
    sunk = 10.0 * np.arange(1, 6) / (water.density_g_per_mm3 * 10_000.0)
    assert 25.0 - sunk == pytest.approx(loading.freeboard_mm)


def test_one_cent_moved_40_mm_lowers_the_rim_as_computed():
    """The 15 cm tray with 40 cents one deep: freeboard 14.885 mm level (computed from the box formulas).

    Moving the last of them 40 mm off heels it by 0.66 deg and lowers the rim by 0.57 mm.
    """
    floor, _, settle, _, _ = afloat("square")
    assert 100.0 == np.ptp(floor[:, 0])
    level = np.tile([0.0, 0.0, 0.76], (40, 1))
    moved = level.copy()
    moved[-1, 0] = 40.0
    before, after = (follow(places, 2.5, settle).freeboard_mm[-1] for places in (level, moved))
    assert 14.885 == pytest.approx(before, abs=0.02)
    assert 0.57 == pytest.approx(before - after, abs=0.01)


def test_the_object_that_lets_water_in_does_not_count():
    """249.6 g are displaced at the brim of the 100 x 100 x 25 mm box (density at 20 degrees): 24 objects of 10 g, not 25."""
    skin = prism(FLOORS["square"][0], 25.0)
    loading = follow(np.tile([0.0, 0.0, 1.0], (30, 1)), 10.0, lambda load: rest(skin, load, Water.of(20.0)))
    assert 24 == loading.held
    assert "floods" == loading.states[24]
    assert np.isnan(loading.freeboard_mm[24:]).all()
    assert np.isfinite(loading.freeboard_mm[:24]).all()


def test_of_many_objects_the_first_that_fails_is_found_all_the_same():
    """The same box with 1 g each: 249 stay afloat; only every third of 600 is asked after."""
    skin = prism(FLOORS["square"][0], 25.0)
    loading = follow(np.tile([0.0, 0.0, 1.0], (600, 1)), 1.0, lambda load: rest(skin, load, Water.of(20.0)))
    assert 249 == loading.held
    sunk = np.arange(1, 250) / (Water.of(20.0).density_g_per_mm3 * 10_000.0)
    assert 25.0 - sunk == pytest.approx(loading.freeboard_mm[:249], abs=1e-6)


def test_a_tower_that_turns_the_hull_over_is_told_from_a_flood():
    skin = prism(FLOORS["trough"][0], 60.0)
    places = np.column_stack([np.zeros((40, 2)), 10.0 * np.arange(40) + 5.0])
    loading = follow(places, 10.0, lambda load: rest(skin, load, Water.of(20.0)))
    assert 0 < loading.held < 40
    assert "capsizes" == loading.states[loading.held]


def test_lower_layers_are_filled_before_the_next():
    floor, height, settle, level_at, _ = afloat("square")
    stack = stack_item(floor, QUARTER, wall_height_mm=height, rounds=0, enough=40)
    heights = load_order(stack.places_mm, stack.layer, 37, 5.67, settle, level_at).places_mm[:, 2]
    assert (np.diff(heights) >= 0.0).all()
    assert 16 == np.count_nonzero(heights < 1.75)


@pytest.mark.parametrize("count", [0, 1, 2, 7, 25])
def test_every_object_has_its_own_place_of_those_given(count):
    floor, height, settle, level_at, _ = afloat("square")
    stack = stack_item(floor, CENT, wall_height_mm=height, rounds=0, enough=27)
    loading = load_order(stack.places_mm, stack.layer, count, 2.5, settle, level_at)
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


def test_an_order_ends_with_what_tilts_least():
    """On a hull that is as stiff every way, the 25 places of a grid balance after each pair, and the middle comes last."""
    grid = np.array([x + 1j * y for x in (-2, -1, 0, 1, 2) for y in (-2, -1, 0, 1, 2)])
    (order,) = arranged(grid, np.zeros(25, dtype=int), Bother(0.3, np.ones(16)))
    sums = np.abs(np.cumsum(grid[order]))
    assert 0.0 == pytest.approx(sums[-1])
    assert sums[-6:].max() <= math.sqrt(2) + 1e-9


@pytest.mark.parametrize("count", [5, 9, 14, 20])
def test_the_places_taken_balance(count):
    """Some of the 25 places of a grid: chosen spread out or near the middle, their offsets add up to nothing."""
    grid = np.array([x + 1j * y for x in (-2, -1, 0, 1, 2) for y in (-2, -1, 0, 1, 2)])
    inner, spread, _ = chosen_places(grid, np.zeros(25, dtype=int), count)
    for chosen in (spread, inner):
        assert count == len(set(chosen.tolist()))
        assert abs(grid[chosen].sum()) <= 1.0
    assert np.abs(grid[inner]).mean() <= np.abs(grid[spread]).mean()


def test_bother_between_two_sides_lies_between_theirs():
    bother = Bother(0.0, np.arange(1.0, 17.0))
    assert 2.0 * 1.0 == bother.of(np.array([2.0 + 0j]))[0]
    assert 1.5 == pytest.approx(bother.of(np.array([np.exp(1j * math.pi / 16)]))[0])
    assert 16.0 == pytest.approx(bother.of(np.array([np.exp(-1j * math.pi / 8)]))[0])


@pytest.mark.parametrize(
    ("count", "mass", "said"), [(28, 2.5, "not that many places"), (-1, 2.5, "not that many places")]
)
def test_a_count_without_places_is_refused(count, mass, said):
    places = np.zeros((27, 3))
    with pytest.raises(BadRequest, match=said):
        load_order(places, np.zeros(27, dtype=int), count, mass, pytest.fail)


@pytest.mark.parametrize("mass", [0.0, -1.0, math.nan, math.inf])
def test_objects_without_a_mass_are_refused(mass):
    with pytest.raises(BadRequest, match="must weigh something"):
        load_order(np.zeros((5, 3)), np.zeros(5, dtype=int), 3, mass, pytest.fail)
