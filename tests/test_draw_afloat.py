"""Hull, water and cargo as pictures: true to scale, true to the numbers they show."""

import pytest
from msgspec.structs import replace

from folder.draw.afloat import MOST_SHOWN, cargo_outlines, drawn_spots, loading_map
from folder.draw.picture import PUPIL_MM, SMALL_MM, Area, Box, Label, box_round
from folder.draw.style import PAPER
from folder.paper.pages import Page
from tests.designs import READY, hand_cargo, ready, ready_cargo
from tests.overlap import overlaps
from tests.studied import ready_study


def texts(picture) -> list[str]:
    return [item.text for item in picture.marks if isinstance(item, Label)]


@pytest.mark.parametrize("room", [Box(0, 0, 60, 50), Box(5, 5, 170, 170)])
def test_every_object_of_a_layer_is_on_the_map_with_its_number(room):
    floor = Box(-50.0, -50.0, 50.0, 50.0).corners
    objects = cargo_outlines(hand_cargo(15))
    assert [*range(1, 16)] == [thing.number for thing in objects]
    for layer, numbers in ((0, range(1, 10)), (1, range(10, 16))):
        picture = loading_map(floor, objects, layer, room)
        discs = [box_round(i.rings[0]) for i in picture.marks if isinstance(i, Area) and i.fill == PAPER]
        assert list(map(str, numbers)) == texts(picture)
        assert len(discs) == len(numbers)
        assert room.grown(1e-6).holds((picture.box.left, picture.box.bottom))
        for disc, label in zip(discs, (i for i in picture.marks if isinstance(i, Label)), strict=True):
            assert disc.holds(label.at)


def test_the_map_is_to_scale_and_lies_as_the_sheet_does():
    picture = loading_map(Box(-50.0, -50.0, 50.0, 50.0).corners, cargo_outlines(hand_cargo(9)), 0, Box(0.0, 0.0, 50.0, 50.0))
    discs = [box_round(i.rings[0]) for i in picture.marks if isinstance(i, Area) and i.fill == PAPER]
    assert pytest.approx((10.0, 10.0)) == discs[0].middle
    assert pytest.approx((40.0, 40.0)) == discs[8].middle
    assert pytest.approx(12.0, abs=0.15) == discs[0].width  # round, as a polygon


def test_numbers_that_do_not_fit_stand_in_rings_over_the_first_objects():
    picture = loading_map(Box(-50.0, -50.0, 50.0, 50.0).corners, cargo_outlines(hand_cargo(9)), 0, Box(0.0, 0.0, 14.0, 14.0))
    labels = [i for i in picture.marks if isinstance(i, Label)]
    assert 0 < len(labels) < 9
    assert [str(k + 1) for k in range(len(labels))] == [label.text for label in labels]
    assert {PUPIL_MM} == {label.size_mm for label in labels}
    assert not overlaps(Page("Map", "Test").showing(picture.moved(50.0, 50.0)))


@pytest.mark.parametrize("name", READY)
def test_a_map_of_every_ready_pattern_reads_well(name):
    design, cargo = ready(name), ready_cargo(name)
    if design.hull is None or cargo is None:
        pytest.skip("no hull to load")
    picture = loading_map(design.hull.cover.outline, cargo_outlines(cargo), 0, Box(20.0, 50.0, 80.0, 110.0))
    assert texts(picture)[0] == "1"
    assert min(i.size_mm for i in picture.marks if isinstance(i, Label)) >= SMALL_MM
    assert not overlaps(Page("Map", "Test").showing(picture))


def test_a_cargo_of_nothing_is_an_empty_floor():
    picture = loading_map(Box(0, 0, 100, 100).corners, (), 0, Box(0, 0, 50, 50))
    assert 1 == len(picture.marks)


def test_more_than_can_be_drawn_in_a_layer_are_a_grey_field():
    many = [replace(cargo_outlines(hand_cargo(1))[0], number=k) for k in range(1, MOST_SHOWN + 2)]
    floor, room = Box(-50.0, -50.0, 50.0, 50.0).corners, Box(0.0, 0.0, 80.0, 80.0)
    assert 1 == len(loading_map(floor, many, 0, room).marks)
    assert MOST_SHOWN < len(loading_map(floor, many[1:], 0, room).marks)


def test_numbers_stand_along_what_is_long():
    """Screws on the floor of a bowl: each has its number, as large as it is wide, not as its box is."""
    from tests.test_draw_plan_map import ITEMS, plan_of

    made = ready_study("plain-tray")
    plan = plan_of(made, ITEMS["screw"])
    things = drawn_spots(plan.item, plan.spots, plan.item.footprint_mm)
    picture = loading_map(made.hull.cover.outline, things, 0, Box(0.0, 0.0, 100.0, 100.0))
    first = [thing for thing in things if thing.layer == 0]
    assert [str(thing.number) for thing in first] == texts(picture)
    assert not overlaps(Page("Map", "Test").showing(picture.moved(40.0, 60.0)))
