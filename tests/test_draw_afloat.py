"""Hull, water and cargo as pictures: true to scale, true to the numbers they show."""

import math

import pytest

from folder.draw.afloat import drawn_cargo, loading_map, side_view
from folder.draw.picture import PUPIL_MM, SMALL_MM, Area, Box, Label, Line, box_round
from folder.draw.style import PAPER, WATER
from folder.hull.weight import Weight
from folder.paper.pages import Page
from folder.studies import study
from folder.water.equilibrium.rest import rest
from tests.designs import READY, hand_cargo, ready, ready_cargo
from tests.drawings import tray
from tests.overlap import overlaps
from tests.studied import ready_study

INTO = Box(12.0, 100.0, 190.0, 180.0)


def texts(picture) -> list[str]:
    return [item.text for item in picture.marks if isinstance(item, Label)]


def afloat(mass_g: float, x_mm: float = 0.0, z_mm: float = 1.0, objects=()):
    """The plain tray with a load, its rest and its picture."""
    done = study(tray(25.0))
    lying = rest(done.hull.skin, done.hull.weight + Weight(mass_g, (x_mm, 0.0, z_mm)), done.water)
    return lying, side_view(done.hull, lying, objects, INTO)


def level_of(picture) -> float:
    """Where the water stands in the picture."""
    (water,) = (box_round(i.rings[0]) for i in picture.marks if isinstance(i, Area) and i.fill == WATER)
    return water.top


def hull_box(picture) -> Box:
    lines = [i for i in picture.marks if isinstance(i, Line) and i.style in ("edge", "outline")]
    return box_round(p for line in lines for p in line.points)


def test_a_level_hull_is_drawn_as_deep_as_it_lies():
    """CHECKS 3: the 15 cm tray with 40 cents of 2.5 g: draft 10.115 mm, freeboard 14.885 mm, wall 25 mm."""
    _, picture = afloat(100.0, z_mm=0.76)
    hull, level = hull_box(picture), level_of(picture)
    scale = hull.height / 25.0
    assert pytest.approx(10.115, abs=0.01) == (level - hull.bottom) / scale
    assert pytest.approx(14.885, abs=0.01) == (hull.top - level) / scale
    assert ["freeboard 15 mm", "draft 10 mm"] == texts(picture)


def test_a_tilted_hull_dips_to_the_right_and_its_rim_stands_as_high_as_its_freeboard():
    """CHECKS 3: 100 g in all, centre of mass 8 mm up and 5 mm off: heel 3.56 deg, least freeboard 11.85 mm."""
    done = study(tray(25.0))
    for off in ((5.0, 0.0, 8.0), (-5.0, 0.0, 8.0), (0.0, 5.0, 8.0)):
        lying = rest(done.hull.skin, Weight(100.0, off), done.water)
        picture = side_view(done.hull, lying, (), INTO)
        points = [p for i in picture.marks if isinstance(i, Line) and i.style in ("edge", "outline") for p in i.points]
        right, left = max(points), min(points)
        across = math.dist((right[0], 0), (left[0], 0))
        scale = across / (100.0 * math.cos(math.radians(3.56)) + 25.0 * math.sin(math.radians(3.56)))
        # The rim's low end is the rightmost point of a box that has turned clockwise.
        assert pytest.approx(11.85, abs=0.03) == (right[1] - level_of(picture)) / scale
        assert "freeboard 12 mm" in texts(picture)


def test_inside_it_is_dry():
    _, picture = afloat(100.0)
    water = next(k for k, i in enumerate(picture.marks) if isinstance(i, Area) and i.fill == WATER)
    faces = [(k, i) for k, i in enumerate(picture.marks) if isinstance(i, Area) and i.fill == PAPER and not i.edge]
    assert faces
    assert all(k > water for k, _ in faces)
    assert pytest.approx(hull_box(picture), abs=1e-6) == box_round(p for _, face in faces for p in face.rings[0])


@pytest.mark.parametrize(("mass", "x", "z", "said"), [(400.0, 0.0, 1.0, "water comes in"), (60.0, 0.0, 150.0, "turns over")])
def test_what_does_not_float_is_said(mass, x, z, said):
    lying, picture = afloat(mass, x, z)
    assert lying.pose is None
    assert [said] == texts(picture)
    assert pytest.approx(hull_box(picture).top, abs=1e-6) == level_of(picture)


def test_the_cargo_stands_in_the_hull():
    objects = drawn_cargo(hand_cargo(15))
    _, picture = afloat(60.0, objects=objects)
    hull = hull_box(picture)
    boxes = [box_round(i.rings[0]) for i in picture.marks if isinstance(i, Area) and i.edge == "thin"][1:]
    assert 15 == len(boxes)
    assert all(hull.grown(1e-6).holds(corner) for box in boxes for corner in box.corners)
    assert pytest.approx(24.0 / 84.0) == boxes[0].width / (max(b.right for b in boxes) - min(b.left for b in boxes))


@pytest.mark.parametrize("name", READY)
def test_a_side_view_of_every_ready_pattern_stands_in_its_box_with_nothing_in_the_way(name):
    design, cargo = ready(name), ready_cargo(name)
    if design.hull is None or cargo is None:
        pytest.skip("no hull to load")
    load = design.load
    lying = rest(design.hull.skin, design.hull.weight + Weight(load.likely_g, (3.0, 2.0, 4.0)), ready_study(name).water)
    picture = side_view(design.hull, lying, drawn_cargo(cargo), INTO)
    assert INTO == picture.box
    for item in picture.marks:
        points = item.points if isinstance(item, Line) else item.rings[0] if isinstance(item, Area) else ()
        assert all(INTO.grown(1e-6).holds(p) for p in points)
    assert not overlaps(Page("Side", "Test").showing(picture))


@pytest.mark.parametrize("room", [Box(0, 0, 60, 50), Box(5, 5, 170, 170)])
def test_every_object_of_a_layer_is_on_the_map_with_its_number(room):
    floor = Box(-50.0, -50.0, 50.0, 50.0).corners
    objects = drawn_cargo(hand_cargo(15))
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
    picture = loading_map(Box(-50.0, -50.0, 50.0, 50.0).corners, drawn_cargo(hand_cargo(9)), 0, Box(0.0, 0.0, 50.0, 50.0))
    discs = [box_round(i.rings[0]) for i in picture.marks if isinstance(i, Area) and i.fill == PAPER]
    assert pytest.approx((10.0, 10.0)) == discs[0].middle
    assert pytest.approx((40.0, 40.0)) == discs[8].middle
    assert pytest.approx(12.0, abs=0.15) == discs[0].width  # round, as a polygon


def test_numbers_that_do_not_fit_stand_in_rings_over_the_first_objects():
    picture = loading_map(Box(-50.0, -50.0, 50.0, 50.0).corners, drawn_cargo(hand_cargo(9)), 0, Box(0.0, 0.0, 14.0, 14.0))
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
    picture = loading_map(design.hull.cover.outline, drawn_cargo(cargo), 0, Box(20.0, 50.0, 80.0, 110.0))
    assert texts(picture)[0] == "1"
    assert min(i.size_mm for i in picture.marks if isinstance(i, Label)) >= SMALL_MM
    assert not overlaps(Page("Map", "Test").showing(picture))


def test_a_cargo_of_nothing_is_an_empty_floor():
    picture = loading_map(Box(0, 0, 100, 100).corners, (), 0, Box(0, 0, 50, 50))
    assert 1 == len(picture.marks)
