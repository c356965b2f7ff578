"""How many objects a hull takes, what limits it, and what follows from the object."""

import json
import math
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from folder.cargo.item import Item
from folder.cargo.item_list import find_item
from folder.cargo.predict import held_by_mass, predict
from folder.cargo.vessel import Vessel, builds_of, vessel_of
from folder.errors import BadRequest
from folder.hull.weight import foil_weight
from folder.water.working_load import working_load
from tests.prisms import WATER, afloat, hull_of_foil
from tests.rooms import straight_room
from tests.studied import ready_study

KEYS = [
    "fits_per_layer",
    "layers",
    "placed",
    "least_freeboard_mm",
    "tilt_deg",
    "hold_until",
    "count",
    "count_low",
    "count_high",
    "limited_by",
]


def vessel(name, hand="usual", layers=1):
    """A hull of foil with upright walls, as such hands make it."""
    floor, height, lie, level_at, brim_g = afloat(name)
    skin = hull_of_foil(name)
    own = foil_weight(skin, 16.0)
    load = working_load(skin, own, WATER, hand)
    loads = load.low_g, load.likely_g, load.high_g
    builds = builds_of(skin, own, WATER, load)
    return Vessel(floor, height, straight_room(floor, height), loads, load.limited_by, level_at, layers, lie, builds, brim_g)


@pytest.fixture(scope="module")
def tray():
    """The ready plain tray with all that is known of it."""
    known = ready_study("plain-tray")
    load = working_load(known.hull.skin, known.hull.weight, known.water)
    return vessel_of(known.hull, known.water, load), load


@given(st.decimals(0, 5000, places=3), st.decimals("0.01", 60, places=3))
@settings(max_examples=500, deadline=None, derandomize=True)
def test_the_count_by_mass_is_the_exact_quotient_rounded_down(load, each):
    """Against fractions, which do not round."""
    assert math.floor(Fraction(load) / Fraction(each)) == held_by_mass(load, each)


@pytest.mark.parametrize(("load", "each", "count"), [(90.0, "4.5", 20), (71.2, "3.56", 20), (96.0, "12", 8), (0.0, "1", 0)])
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
    """Cents lie lower than the 5 mm by which the working load is told: a few more than that load divided by their mass."""
    ship, load = tray
    cargo = predict(ship, find_item("us-cent"), rounds=0)
    for grams, held in zip(ship.loads_g, (cargo.count_low, cargo.count, cargo.count_high), strict=True):
        assert 0.97 * grams / 2.5 <= held <= 1.05 * grams / 2.5
    assert "mass" == cargo.limited_by
    assert 27 == cargo.stack.fits_per_layer
    assert cargo.counts.max() * 2.5 <= load.brim_g


def test_the_json_holds_what_was_agreed(tray):
    data = predict(tray[0], find_item("us-quarter"), rounds=0).as_json()
    assert KEYS == list(data)
    assert data == json.loads(json.dumps(data, allow_nan=False))
    assert data["count"] == len(data["placed"]) == len(data["least_freeboard_mm"])
    assert list(range(1, data["count"] + 1)) == [place["n"] for place in data["placed"]]
    assert {"n", "x_mm", "y_mm", "z_mm"} == set(data["placed"][0])
    assert min(data["least_freeboard_mm"]) > 0.0
    assert data["count"] == len(data["tilt_deg"])
    assert 0.0 <= min(data["tilt_deg"]) <= max(data["tilt_deg"]) < 5.0
    assert 0 == data["hold_until"]
    assert math.ceil(data["count"] / data["fits_per_layer"]) == data["layers"]


def test_light_and_large_objects_are_limited_by_room():
    """Five table-tennis balls of 40 mm lie on 100 x 100 mm (best radius of five: 20.7 mm); walls of 25 mm hold no more."""
    cargo = predict(vessel("square"), find_item("table-tennis-ball"))
    assert (5, 5, 5, "room") == (cargo.count_low, cargo.count, cargo.count_high, cargo.limited_by)
    assert any("Room and height limit it, not mass" in said for said in cargo.advice)


def test_a_tall_stack_tips_the_hull_before_it_is_full():
    ship = vessel("square")
    cargo = predict(ship, find_item("baking-cup"), mass_each="1.2", column_mm=400.0)
    assert "tipping" == cargo.limited_by
    assert cargo.count_low < cargo.count < cargo.count_high < min(cargo.stack.room, held_by_mass(ship.loads_g[1], Decimal("1.2")))
    assert cargo.loading.held == cargo.count


def test_few_heavy_objects_are_limited_by_tilt():
    """All together, in the middle, the hull would carry as many as its brim load is of them; one by one water comes in before."""
    ship = vessel("square")
    cargo = predict(ship, find_item("golf-ball"))
    assert "tilt" == cargo.limited_by
    assert cargo.count < 5 == held_by_mass(ship.brim_g, Decimal("45.93"))
    assert cargo.loading.held == cargo.count


@pytest.mark.parametrize(("name", "held"), [("leaning-hemmed-tray", 3), ("eight-sided-bowl", 3), ("plain-tray", 4)])
def test_heavy_balls_placed_freely_float_where_their_own_places_would_let_water_in(name, held):
    """Four golf balls of 45.93 g lie in the corners of the floor, and the first of them sinks the hull."""
    known = ready_study(name)
    ball = find_item("golf-ball")
    cargo = predict(vessel_of(known.hull, known.water, known.working), ball, wanted=held)
    assert held == cargo.loading.held
    apart = np.linalg.norm(cargo.loading.places_mm[:, None] - cargo.loading.places_mm, axis=2)[np.triu_indices(held, 1)]
    assert apart.min() >= ball.size_mm[0] - 1e-6
    assert cargo.count >= 2


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
    data = predict(vessel("square"), find_item("us-cent"), wanted=110, rounds=0).as_json()
    assert 110 == len(data["placed"])
    assert data["least_freeboard_mm"][-1] is None
    assert data["least_freeboard_mm"][50] > 0.0


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
    assert held_by_mass(vessel("square").loads_g[1], Decimal("0.119")) == pytest.approx(cargo.count, rel=0.05)
    assert cargo.count == cargo.loading.held
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
    cargo = predict(vessel("square", layers=layers), find_item(name), mass_each="45" if name == "golf-ball" else "3", rounds=0)
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
