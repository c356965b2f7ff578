"""The table of shapes: what each row says of sizes, volume and box, against meshes and against what no heap can pass."""

import math

import numpy as np
import pytest
import trimesh

from folder.cargo.item import Item
from folder.cargo.packing.stack import fill, first_layer
from folder.cargo.shape import SHAPES
from tests.rooms import straight_room

SIZES = (9.0, 20.0, 5.0)
FLOOR = [(0, 0), (100, 0), (100, 100), (0, 100)]
MESHES = {
    "disc": trimesh.creation.cylinder(4.5, 20.0, sections=512),
    "tube": trimesh.creation.cylinder(4.5, 20.0, sections=512),
    "cup": trimesh.creation.cylinder(4.5, 20.0, sections=512),
    "ball": trimesh.creation.icosphere(subdivisions=5, radius=4.5),
    "block": trimesh.creation.box((9.0, 20.0, 5.0)),
    "screw": trimesh.creation.cylinder(2.25, 20.0, sections=512),
}
"""A screw is counted as its shank, half as wide as its head."""


def of_shape(name: str) -> Item:
    return Item("thing", "Thing", name, SIZES[: len(SHAPES[name].sizes)], 1.0)


@pytest.mark.parametrize("name", SHAPES)
def test_the_volume_of_an_object_is_that_of_a_mesh_of_its_shape(name):
    item = of_shape(name)
    assert MESHES[name].volume == pytest.approx(item.form.volume_mm3(item.size_mm), rel=1e-3)


@pytest.mark.parametrize("name", [name for name in SHAPES if name != "screw"])
def test_the_box_round_an_object_is_that_of_its_mesh(name):
    assert sorted(MESHES[name].extents) == pytest.approx(sorted(of_shape(name).extents_mm), rel=1e-3)


@pytest.mark.parametrize("name", SHAPES)
def test_an_object_fits_its_box_and_grows_with_its_sizes(name):
    form, item = SHAPES[name], of_shape(name)
    twice = tuple(2.0 * size for size in item.size_mm)
    assert math.prod(item.extents_mm) >= form.volume_mm3(item.size_mm) > 0.0
    assert 8.0 * form.volume_mm3(item.size_mm) == pytest.approx(form.volume_mm3(twice))
    assert [2.0 * mm for mm in item.extents_mm] == list(form.extents_mm(twice))


@pytest.mark.parametrize("name", SHAPES)
def test_a_heap_is_no_denser_than_balls_poured_at_random_and_not_mostly_air(name):
    """Random close packing .64: Song, Wang, Makse, Nature 453 (2008) 629. Less than a quarter: only much longer things (judgement)."""
    assert 0.64 >= SHAPES[name].heap_fraction >= 0.25


@pytest.mark.parametrize("name", SHAPES)
def test_a_heap_holds_its_share_of_the_room_and_a_layer_its_share_of_the_floor(name):
    item, room = of_shape(name), straight_room(FLOOR, 25.0)
    heap = fill(room, item, heap_fraction=item.form.heap_fraction, rounds=0)
    each = item.form.volume_mm3(item.size_mm) / item.form.heap_fraction
    assert max(heap.fits_per_layer, math.floor(100.0 * 100.0 * 25.0 / each)) == heap.room
    layer = first_layer(room, item, rounds=0)
    length, width, _ = item.extents_mm
    covers = length * width * (1.0 if item.form.outline == "block" else math.pi / 4.0)
    assert 100.0 * 100.0 >= layer.count * covers > 0.7 * 100.0 * 100.0
    assert np.ptp(layer.places_mm, axis=0).max() < 100.0
