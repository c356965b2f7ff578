import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from folder.hull.skin import Skin
from folder.hull.weight import Weight, foil_weight
from folder.water.brim_load import brim_load
from folder.water.equilibrium.rest import rest
from folder.water.flooding.load import flooding_loads
from folder.water.fluid import Water
from tests.skins import box, frustum, lopsided, ring_hull, subdivided
from tests.studied import ready_study

FRESH = Water.of(20.0)
SEEDS = st.integers(0, 10_000)


def state(skin: Skin, own: Weight, load_g: float, place: np.ndarray) -> str:
    x, y, z = place.tolist()
    return rest(skin, own + Weight(load_g, (x, y, z)), FRESH).state


@settings(max_examples=50, deadline=None)
@given(SEEDS)
def test_with_a_little_less_the_hull_floats_and_with_a_little_more_it_does_not(seed: int) -> None:
    chance = np.random.default_rng(seed)
    skin = lopsided(chance)
    own = foil_weight(skin, 16.0)
    places = chance.uniform([-20, -20, 2], [20, 20, 25], (4, 3))
    found = flooding_loads(skin, own, places, FRESH)
    for load, over, place in zip(found.load_g, found.capsizes, places, strict=True):
        assume(load > 1.0)
        slack = 5e-3 if over else 1e-6  # a hull that goes over is followed in steps
        assert state(skin, own, load * (1 - slack), place) == "floats"
        assert state(skin, own, load * (1 + slack), place) != "floats"


@settings(deadline=None)
@given(SEEDS)
def test_the_slopes_are_the_derivatives_of_the_load(seed: int) -> None:
    """Central differences over x, y and height of the load and over the shift, away from where another corner takes over.

    Above the rim the water counts as if walls stood on it that stay upright when the hull tilts: that is left out of them.
    """
    chance = np.random.default_rng(seed)
    skin, own = lopsided(chance), Weight(1.0, (0.5, -1.0, 6.0))
    place, shift, h = chance.uniform([-15, -15, 2], [15, 15, 20]), chance.uniform(-4, 1), 3e-3
    assume(abs(shift) > h)
    moved = np.tile([*place, shift], (9, 1))
    moved[1:5] += h * np.eye(4)
    moved[5:] -= h * np.eye(4)
    found = flooding_loads(skin, own, moved[:, :3], FRESH, moved[:, 3])
    assume(len(set(found.vertices.tolist())) == 1)
    assume(not found.capsizes.any())
    assume(found.load_g[0] > 1.0)
    slopes = (found.load_g[1:5] - found.load_g[5:]) / (2.0 * h)
    left = 1e-5 if shift < 0.0 else 1e-3
    assert found.slopes[0] == pytest.approx(slopes, abs=left * np.abs(slopes).max())


@settings(deadline=None)
@given(SEEDS)
def test_a_slack_leaves_about_its_square(seed: int) -> None:
    """A step of 0.03 a thousandth, a tenth of it a hundredth of that; more where another corner takes over just there."""
    chance = np.random.default_rng(seed)
    skin = lopsided(chance)
    own = foil_weight(skin, 16.0)
    places, shift = chance.uniform([-20, -20, 2], [20, 20, 15], (20, 3)), chance.uniform(-5, 1, 20)
    exact, fine, rough = (flooding_loads(skin, own, places, FRESH, shift, slack) for slack in (1e-9, 0.003, 0.03))
    sure = ~exact.capsizes & (exact.load_g > 5.0) & (exact.ups[:, 2] > 0.9)
    assume(sure.any())
    left = np.abs(rough.load_g[sure] / exact.load_g[sure] - 1.0)
    assert left.max() < 0.015
    assert left.mean() < 0.002
    same = sure & (fine.vertices == exact.vertices)
    assert fine.load_g[same] == pytest.approx(exact.load_g[same], rel=1e-4)


def test_far_over_the_load_at_the_rim_is_the_one_the_hull_comes_to_step_by_step() -> None:
    """A small high tray with the load far off leans by more than 30 deg; just less than that load floats, just more does not."""
    skin, own = box(70, 70, 40), Weight(1.0, (0.0, 0.0, 9.0))
    places = np.array([[28.0, 0.0, 5.0], [22.0, 24.0, 5.0], [-25.0, 20.0, 5.0]])
    found = flooding_loads(skin, own, places, FRESH)
    assert (found.ups[:, 2] < math.cos(math.radians(30.0))).all()
    assert (found.ups[:, 2] > math.cos(math.radians(45.0))).all()
    assert not found.capsizes.any()
    for load, place in zip(found.load_g, places, strict=True):
        assert state(skin, own, load * (1 - 1e-6), place) == "floats"
        assert state(skin, own, load * (1 + 1e-6), place) == "floods"


def test_a_hull_that_gives_way_and_catches_itself_takes_the_next_portion_too() -> None:
    """A tall narrow box with hems leans by 50 deg before it goes down: with 1 % less it floats, with 1 % more it does not."""
    found = ready_study("screw-box").hull
    assert found is not None
    skin, own = found.skin, found.weight
    off = [(-7, 9), (0, 10), (9, 4), (2, 6), (2, 8), (3, 7), (4, 6), (9, -2)]
    places = np.array([(x, y, 5) for x, y in off], dtype=float)
    for load, place in zip(flooding_loads(skin, own, places, FRESH).load_g, places, strict=True):
        assert state(skin, own, 0.99 * load, place) == "floats"
        assert state(skin, own, 1.01 * load, place) != "floats"


def test_a_load_in_the_middle_floods_a_hull_at_its_brim_load() -> None:
    skin = frustum(90, 70, 110, 95, 25)
    own = foil_weight(skin, 16.0)
    found = flooding_loads(skin, own, np.array([[0.0, 0.0, 5.0]]), FRESH)
    assert found.load_g[0] == pytest.approx(brim_load(skin, own, FRESH).load_g, rel=1e-12)
    assert found.ups[0].tolist() == pytest.approx([0, 0, 1])


def test_a_high_load_turns_the_hull_over_where_gm_is_gone() -> None:
    """Wall-sided box, load in the middle: KM = d/2 + B^2/(12 d) (Derrett) against the height of the common centre."""
    skin, own = box(100, 100, 25), Weight(1.0, (0.0, 0.0, 6.0))
    found = flooding_loads(skin, own, np.array([[0.0, 0.0, 60.0]]), FRESH)
    assert found.capsizes[0]
    total = own + Weight(float(found.load_g[0]), (0.0, 0.0, 60.0))
    draft = total.mass_g / FRESH.density_g_per_mm3 / 10_000
    assert draft / 2 + 10_000 / (12 * draft) == pytest.approx(total.centre_mm[2], rel=5e-3)


def test_the_flooding_load_falls_the_farther_the_load_is_off() -> None:
    skin, own = box(100, 100, 25), Weight(1.0, (0.0, 0.0, 6.0))
    off = np.linspace(0, 45, 20)
    load = flooding_loads(skin, own, np.column_stack([off, 0.3 * off, np.full(20, 8.0)]), FRESH).load_g
    assert (np.diff(load) < 0).all()


def test_turned_round_a_square_hull_the_flooding_load_comes_again_every_quarter() -> None:
    turns = np.arange(36) * math.pi / 18
    places = np.column_stack([12 * np.cos(turns), 12 * np.sin(turns), np.full(36, 6.0)])
    load = flooding_loads(box(100, 100, 25), Weight(1.0, (0.0, 0.0, 6.0)), places, FRESH).load_g
    assert load == pytest.approx(np.roll(load, 9), rel=1e-9)
    assert load == pytest.approx(load[(9 - np.arange(36)) % 36], rel=1e-9)
    assert load.min() < 0.95 * load.max()


@given(SEEDS)
def test_a_rim_that_lets_water_in_lower_down_is_a_lower_wall(seed: int) -> None:
    """A wall lower by d leans with the hull: its top is d cos(tilt) lower, seen from the water."""
    chance = np.random.default_rng(seed)
    dip, x, y = chance.uniform([0, -15, -15], [6, 15, 15])
    place, own = np.array([[x, y, 6.0]]), Weight(1.0, (0.0, 0.0, 6.0))
    lower = flooding_loads(box(100, 100, 25 - dip), own, place, FRESH)
    dipped = flooding_loads(box(100, 100, 25), own, place, FRESH, -dip * lower.ups[:, 2])
    assert dipped.load_g == pytest.approx(lower.load_g, rel=1e-9)


def test_cutting_the_triangles_finer_changes_no_flooding_load() -> None:
    places = np.array([[10.0, 4.0, 6.0], [0.0, 20.0, 6.0], [0.0, 0.0, 60.0]])
    own = Weight(1.0, (0.0, 0.0, 6.0))
    whole, fine = (flooding_loads(s, own, places, FRESH) for s in (box(100, 100, 25), subdivided(box(100, 100, 25), 2)))
    assert fine.load_g == pytest.approx(whole.load_g, rel=1e-3)
    assert fine.load_g[:2] == pytest.approx(whole.load_g[:2], rel=1e-9)
    assert fine.capsizes.tolist() == whole.capsizes.tolist() == [False, False, True]


def test_a_hem_costs_its_height_and_no_more() -> None:
    place, own = np.array([[8.0, 3.0, 6.0]]), Weight(1.0, (0.0, 0.0, 6.0))
    plain = flooding_loads(ring_hull([(90, 90, 0), (110, 110, 20)]), own, place, FRESH)
    hemmed = flooding_loads(ring_hull([(90, 90, 0), (110, 110, 20), (105, 105, 10)]), own, place, FRESH)
    assert hemmed.load_g[0] == pytest.approx(plain.load_g[0], rel=1e-9)


def test_a_hull_that_will_not_even_bear_itself_takes_nothing() -> None:
    found = flooding_loads(box(100, 100, 25), Weight(300.0, (0.0, 0.0, 6.0)), np.array([[0.0, 0.0, 5.0]]), FRESH)
    assert found.load_g.tolist() == [0.0]
    flat = flooding_loads(ring_hull([(90, 90, 0), (110, 110, 0)]), Weight(1.0), np.array([[5.0, 0.0, 5.0]]), FRESH)
    assert flat.load_g.tolist() == [0.0]
