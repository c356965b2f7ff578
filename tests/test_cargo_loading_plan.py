"""The loading plan: the places of the likely count first, as `cargo` and the card have them, then all others once."""

import numpy as np
import pytest

from folder.cargo.item import Item
from folder.cargo.item_list import find_item
from folder.cargo.loading_plan import plan_of_cargo
from folder.cargo.predict import predict
from folder.cargo.vessel import vessel_of
from tests.studied import ready_study

CASES = [
    ("plain-tray", "us-cent"),
    ("six-sided-bowl", "marble-16"),
    ("plain-tray", "golf-ball"),
    ("tall-small-tray", "glass-tile-10"),
]


def planned(name, item):
    made = ready_study(name)
    vessel = vessel_of(made.hull, made.water, made.working)
    cargo = predict(vessel, item, rounds=0)
    return vessel, cargo, plan_of_cargo(cargo, vessel, item.mass_g)


def places_of(plan):
    """The centres (n, 3) mm in loading order."""
    return np.array([spot.centre for spot in plan.spots])


@pytest.mark.parametrize(("name", "item"), CASES)
def test_it_begins_with_the_order_that_cargo_tells(name, item):
    _, cargo, plan = planned(name, find_item(item))
    assert plan.likely == len(cargo.loading.places_mm) == cargo.count
    assert places_of(plan)[: plan.likely] == pytest.approx(cargo.loading.places_mm, abs=0)


@pytest.mark.parametrize(("name", "item"), CASES)
def test_every_place_comes_once_and_no_layer_before_the_one_below(name, item):
    _, cargo, plan = planned(name, find_item(item))
    places = places_of(plan)
    assert len(np.unique(places.round(6), axis=0)) == len(places) >= cargo.count_high - 1
    layers = [spot.layer for spot in plan.spots]
    assert sorted(layers) == layers


def test_after_the_likely_count_it_keeps_the_hull_as_level_as_another_place_would():
    """Each further object goes where the hull then has the most freeboard: no other place of its layer leaves more."""
    vessel, _, plan = planned("plain-tray", find_item("us-cent"))
    places = places_of(plan)
    for count in (plan.likely, plan.likely + 5):
        layer = plan.spots[count].layer
        others = [k for k in range(count, len(places)) if plan.spots[k].layer == layer]
        sums = places[:count].sum(axis=0) + places[others]
        poses = vessel.lie(np.full(len(others), 2.5 * (count + 1)), sums / (count + 1))
        assert poses.least_mm[0] == pytest.approx(poses.least_mm.max(), abs=0.02)


def test_a_few_heavy_ones_go_on_upon_each_other():
    item = Item("weight", "weight", "block", (40.0, 40.0, 10.0), 60.0, stacks=True)
    _, cargo, plan = planned("plain-tray", item)
    assert cargo.count <= 5
    assert len(plan.spots) > cargo.count
    upper = plan.spots[cargo.count]
    assert (1, upper.x_mm, upper.y_mm) == (upper.layer, plan.spots[0].x_mm, plan.spots[0].y_mm)
