"""How many objects a hull takes, what limits it, and what follows from the object."""

import json
import math
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from folder import read_pattern, study
from folder.cargo.item import Item, find_item
from folder.cargo.predict import held_by_mass, predict
from folder.cargo.room import straight_room
from folder.cargo.vessel import Vessel, vessel_of
from folder.errors import BadRequest
from folder.places import PATTERNS
from folder.water.working import load_of
from tests.prisms import afloat

KEYS = ["fits_per_layer", "layers", "placed", "least_freeboard_mm", "count", "count_low", "count_high", "limited_by"]


def vessel(name, shares=(0.5, 0.7, 0.9), limit="rim", layers=1):
    """A hull of foil that carries these shares of its brim load."""
    floor, height, settle, level_at, brim_g = afloat(name)
    low, likely, high = (share * brim_g for share in shares)
    return Vessel(floor, height, straight_room(floor, height), (low, likely, high), limit, level_at, layers, settle)


@pytest.fixture(scope="module")
def tray():
    """The ready plain tray with all that is known of it."""
    known = study(read_pattern(PATTERNS / "plain-tray.json"))
    load = load_of(known.hull.skin, known.hull.weight, known.water)
    return vessel_of(known.hull, known.water, load), load


@given(st.decimals(0, 5000, places=3), st.decimals("0.01", 60, places=3))
@settings(max_examples=500, deadline=None, derandomize=True)
def test_the_count_by_mass_is_the_exact_quotient_rounded_down(load, each):
    """Against fractions, which do not round."""
    assert math.floor(Fraction(load) / Fraction(each)) == held_by_mass(load, each)


@pytest.mark.parametrize(
    ("load", "each", "count"), [(90.0, "4.5", 20), (71.2, "3.56", 20), (96.0, "12", 8), (0.0, "1", 0)]
)
def test_decimals_divide_as_they_are_written(load, each, count):
    """71.2 / 3.56 is 19.999999999999996 in floats and 20 in decimals; 90 / 4.5 and 96 / 12 are common practice rows."""
    assert count == held_by_mass(load, Decimal(each))


def test_the_vessel_of_the_plain_tray_is_a_box(tray):
    """By its crease lines: a floor of 100 x 100 mm, walls of 25 mm that stand upright, one layer of foil."""
    ship, load = tray
    assert [-50.0, 50.0] == pytest.approx([ship.floor_mm.min(), ship.floor_mm.max()])
    assert 25.0 == pytest.approx(ship.wall_height_mm)
    assert 250_000.0 == pytest.approx(ship.room.volume_mm3(25.0))
    assert (load.low_g, load.likely_g, load.high_g) == ship.loads_g
    assert 1 == ship.floor_layers


def test_cents_on_the_plain_tray_are_limited_by_mass(tray):
    ship, load = tray
    cargo = predict(ship, find_item("us-cent"), rounds=0)
    wanted = [math.floor(Fraction(grams) / Fraction("2.5")) for grams in ship.loads_g]
    assert wanted == [cargo.count_low, cargo.count, cargo.count_high]
    assert "mass" == cargo.limited_by
    assert 27 == cargo.stack.fits_per_layer
    assert cargo.count * 2.5 < load.brim_g


def test_the_json_holds_what_was_agreed(tray):
    told = predict(tray[0], find_item("us-quarter"), rounds=0).as_json()
    assert KEYS == list(told)
    assert told == json.loads(json.dumps(told, allow_nan=False))
    assert told["count"] == len(told["placed"]) == len(told["least_freeboard_mm"])
    assert list(range(1, told["count"] + 1)) == [place["n"] for place in told["placed"]]
    assert {"n", "x_mm", "y_mm", "z_mm"} == set(told["placed"][0])
    assert min(told["least_freeboard_mm"]) > 0.0
    assert math.ceil(told["count"] / told["fits_per_layer"]) == told["layers"]


def test_light_and_large_objects_are_limited_by_room():
    """Five table-tennis balls of 40 mm lie on 100 x 100 mm (best radius of five: 20.7 mm); walls of 25 mm hold no more."""
    cargo = predict(vessel("square"), find_item("table-tennis-ball"))
    assert (5, 5, 5, "room") == (cargo.count_low, cargo.count, cargo.count_high, cargo.limited_by)
    assert any("Room and height limit it, not mass" in said for said in cargo.advice)


def test_a_tall_stack_tips_the_hull_before_it_is_full():
    cargo = predict(vessel("square"), find_item("baking-cup"), mass_each="1.2", column_mm=400.0)
    assert "tipping" == cargo.limited_by
    assert cargo.count < min(cargo.stack.room, held_by_mass(vessel("square").loads_g[1], Decimal("1.2")))
    assert cargo.loading.held == cargo.count


def test_few_heavy_objects_are_limited_by_tilt():
    """Loaded level the hull would carry its brim load; object by object water comes in before."""
    cargo = predict(vessel("hexagon", (1.0, 1.0, 1.0)), find_item("uk-2-pounds"))
    assert "tilt" == cargo.limited_by
    assert cargo.count < held_by_mass(vessel("hexagon").loads_g[1] / 0.7, Decimal("12"))
    assert cargo.loading.held == cargo.count


def test_heavy_balls_are_gathered_in_the_middle_where_their_own_places_would_tilt_the_hull():
    """Four golf balls lie in the four corners of the floor, and the first of them lets water in; three in a ring do not."""
    ship = vessel("square")
    cargo = predict(ship, find_item("golf-ball"))
    assert 4 == cargo.stack.fits_per_layer
    assert (3, 3) == (cargo.count, cargo.loading.held)
    assert [0.0, 0.0] == pytest.approx(cargo.loading.places_mm[:, :2].mean(axis=0).tolist(), abs=1e-9)


def test_a_hull_that_falls_over_under_its_load_is_limited_by_tipping():
    assert "tipping" == predict(vessel("square", limit="stability"), find_item("us-cent"), rounds=0).limited_by


@pytest.mark.parametrize("name", ["us-quarter", "marble-16", "machine-screw-m4x16", "domino", "paper-cup"])
def test_low_likely_and_high_are_in_order_and_loads_stay_afloat(name):
    cargo = predict(vessel("rectangle"), find_item(name), mass_each="3.1", rounds=0)
    assert 0 <= cargo.count_low <= cargo.count <= cargo.count_high <= cargo.stack.room
    assert cargo.count == cargo.loading.held == len(cargo.loading.places_mm)


def test_as_many_are_laid_out_as_are_wanted():
    cargo = predict(vessel("square"), find_item("us-cent"), wanted=7, rounds=0)
    assert 7 == len(cargo.as_json()["placed"])
    assert cargo.count == predict(vessel("square"), find_item("us-cent"), rounds=0).count


def test_what_lets_water_in_has_no_freeboard():
    told = predict(vessel("square"), find_item("us-cent"), wanted=110, rounds=0).as_json()
    assert 110 == len(told["placed"])
    assert told["least_freeboard_mm"][-1] is None
    assert told["least_freeboard_mm"][50] > 0.0


def test_more_than_there_is_room_for_is_refused():
    with pytest.raises(BadRequest, match=r"no room for that many .* Give 0 to 5"):
        predict(vessel("square"), find_item("table-tennis-ball"), wanted=6)


def test_what_does_not_fit_on_the_floor_counts_none_and_says_so():
    cargo = predict(vessel("trough"), find_item("chip-39"), mass_each="9", rounds=0)
    assert cargo.count > 0
    wide = Item("plate", "Plate", "disc", (200.0, 2.0), 30.0)
    cargo = predict(vessel("trough"), wide)
    assert (0, 0, 0, "room") == (cargo.count_low, cargo.count, cargo.count_high, cargo.limited_by)
    assert "does not fit on the floor" in cargo.advice[0]
    assert [] == cargo.as_json()["placed"]


def test_what_varies_must_be_weighed_first():
    with pytest.raises(BadRequest, match="Weigh yours and give its mass"):
        predict(vessel("square"), find_item("paper-clip-28"))


@pytest.mark.parametrize("mass", ["0", "-2.5", "1e9", "10000000", "heavy", "nan"])
def test_each_impossible_mass_gets_a_sentence(mass):
    with pytest.raises(BadRequest, match=r"mass each: .+"):
        predict(vessel("square"), find_item("us-cent"), mass_each=mass)


def test_dust_is_weighed_not_counted():
    with pytest.raises(BadRequest, match="Weigh ten or a hundred together"):
        predict(vessel("square"), find_item("us-cent"), mass_each="0.001")


def test_a_thousand_small_objects_are_loaded_too():
    cargo = predict(vessel("square"), find_item("washer-m3"), rounds=0)
    assert held_by_mass(vessel("square").loads_g[1], Decimal("0.119")) == cargo.count == cargo.loading.held
    assert "mass" == cargo.limited_by


@pytest.mark.parametrize(
    ("name", "layers", "said"),
    [
        ("machine-screw-m4x16", 1, "two layers of foil"),
        ("marble-16", 1, "press a dimple"),
        ("table-tennis-ball", 1, "not mass"),
        ("us-cent", 1, "Mass limits it"),
        ("golf-ball", 1, "So few, so heavy"),
    ],
)
def test_advice_follows_from_the_object(name, layers, said):
    cargo = predict(
        vessel("square", layers=layers), find_item(name), mass_each="45" if name == "golf-ball" else "3", rounds=0
    )
    assert any(said in sentence for sentence in cargo.advice)
    assert all(sentence.endswith(".") for sentence in cargo.advice)


def test_sharp_objects_on_two_layers_need_no_more():
    screws = find_item("machine-screw-m4x16")
    assert not any("two layers" in said for said in predict(vessel("square", layers=2), screws, mass_each="2").advice)


def test_a_stack_above_the_rim_is_pointed_out():
    cargo = predict(vessel("square"), find_item("wood-cube-20"), mass_each="2")
    assert cargo.stack.height_mm(cargo.count) > 25.0
    assert any("above the rim" in said for said in cargo.advice)


def test_predicting_leaves_the_vessel_as_it_was():
    ship = vessel("square")
    before = ship.floor_mm.copy()
    predict(ship, find_item("us-cent"), rounds=0)
    assert before.tolist() == ship.floor_mm.tolist()
    with pytest.raises(ValueError, match="read-only"):
        ship.floor_mm[0] = 0.0
    assert isinstance(before, np.ndarray)
