"""The map of the plan: every object drawn once, in its layer, with its number, whatever its shape and however many there are."""

import math

import numpy as np
import pytest

from folder.cargo.item import Item
from folder.cargo.item_list import find_item
from folder.cargo.loading_plan import plan_of_cargo
from folder.cargo.predict import predict
from folder.cargo.shape import SHAPES
from folder.cargo.vessel import vessel_of
from folder.draw.picture import Area, Box, Label, Line, box_round
from folder.draw.plan_map import DONE, LIT, plan_map
from folder.geometry.plane import inside
from tests.studied import family_study, ready_study

INTO = Box(0.0, 0.0, 160.0, 160.0)
ITEMS = {
    "disc": find_item("us-cent"),
    "ball": find_item("marble-16"),
    "block": Item("tile", "tile", "block", (22.0, 9.0, 3.0), 2.0, stacks=True),
    "tube": Item("bar", "bar", "tube", (6.0, 24.0), 3.0),
    "cup": Item("cup", "cup", "cup", (30.0, 20.0), 4.0, nest_step_mm=5.0),
    "screw": Item("screw", "screw", "screw", (6.0, 20.0), 1.5, sharp=True),
}


def plan_of(made, item):
    vessel = vessel_of(made.hull, made.water, made.working)
    return plan_of_cargo(predict(vessel, item, rounds=0), vessel, item.mass_g, sought=0)


def drawn(made, item, spots, layer, **more):
    picture = plan_map(made.hull.cover.outline, item, spots, layer, INTO, **more)
    things = [mark for mark in picture.marks[1:] if isinstance(mark, Area)]
    return things, [mark for mark in picture.marks if isinstance(mark, Label)], picture


def test_there_is_an_object_of_every_shape():
    assert set(SHAPES) == set(ITEMS) == {item.shape for item in ITEMS.values()}


@pytest.mark.parametrize("shape", ITEMS)
@pytest.mark.parametrize("name", ["plain-tray", "six-sided-bowl"])
def test_every_object_is_drawn_once_in_its_layer_with_its_number_at_every_count(shape, name, many):
    made, item = ready_study(name), ITEMS[shape]
    plan = plan_of(made, item)
    assert len(plan.spots) > 3
    step = many(max(1, len(plan.spots) // 5), 1)
    for count in sorted({*range(1, len(plan.spots), step), len(plan.spots)}):
        spots = plan.spots[:count]
        numbers = []
        for layer in range(max(spot.layer for spot in spots) + 1):
            things, labels, _ = drawn(made, item, spots, layer)
            expected = [k for k, spot in enumerate(spots, 1) if spot.layer == layer]
            assert [str(k) for k in expected] == [label.text for label in labels]
            assert len(expected) == len(things)
            for thing, label in zip(things, labels, strict=True):
                half = 0.35 * label.size_mm
                turn = label.rotation_rad
                middle = (label.at[0] - half * math.sin(turn), label.at[1] + half * math.cos(turn))
                assert math.dist(box_round(thing.rings[0]).middle, middle) < 0.05
                assert label.size_mm > 1.0
            numbers += [int(label.text) for label in labels]
        assert list(range(1, count + 1)) == sorted(numbers)


def test_objects_of_upper_layers_are_turned_as_they_lie():
    """Each layer of a heap lies its own way: no block on the map lies in another."""
    made, item = ready_study("eight-sided-bowl"), ITEMS["screw"]
    plan = plan_of(made, item)
    for layer in range(plan.layers):
        rings = [thing.rings[0] for thing in drawn(made, item, plan.spots, layer)[0]]
        middles = [box_round(ring).middle for ring in rings]
        for k, ring in enumerate(rings):
            others = np.array([m for j, m in enumerate(middles) if j != k])
            assert not len(others) or not inside(others, np.array(ring)).any()


def test_the_sixth_layer_of_cents_in_a_deep_tray_is_there():
    """Walls of 35 mm, 82 cents: each is in its layer (found wrong before: the upper layers were drawn on the floor)."""
    made = family_study("square-tray", wall=35.0)
    plan = plan_of(made, ITEMS["disc"])
    layers = {spot.layer for spot in plan.spots[:82]}
    assert layers == set(range(max(layers) + 1))
    for layer in layers:
        assert len(drawn(made, ITEMS["disc"], plan.spots[:82], layer)[0]) == sum(s.layer == layer for s in plan.spots[:82])


def test_what_lies_there_and_what_comes_next_are_told_apart():
    made, item = ready_study("plain-tray"), ITEMS["disc"]
    things, _, picture = drawn(made, item, plan_of(made, item).spots[:9], 0, done=4, lit=5)
    assert [DONE] * 4 + [LIT] == [thing.fill for thing in things[:5]]
    assert 1 == sum(isinstance(mark, Line) and mark.style == "thick" for mark in picture.marks)


@pytest.mark.parametrize("shape", ITEMS)
def test_a_number_stays_in_its_object(shape):
    made, item = ready_study("plain-tray"), ITEMS[shape]
    spots = plan_of(made, item).spots
    long, wide = (2 * item.footprint_mm[0],) * 2 if len(item.footprint_mm) == 1 else sorted(item.footprint_mm, reverse=True)
    _, labels, picture = drawn(made, item, spots, 0)
    floor = box_round(picture.marks[0].rings[0])
    scale = floor.width / box_round(made.hull.cover.outline).width
    for label in labels:
        assert 0.7 * label.size_mm < scale * wide
        assert 0.45 * label.size_mm * len(label.text) < scale * long
