"""The room inside a hull against slices by trimesh, against what the hull displaces, and against closed forms."""

import math

import numpy as np
import pytest
import shapely
import trimesh

from folder.cargo.item import Item
from folder.cargo.item_list import find_item
from folder.cargo.packing.room import Room, room_of
from folder.cargo.packing.stack import fill, first_layer
from folder.errors import BadRequest
from folder.fold.place import folded
from folder.hull.hull import hull_of
from folder.hull.skin import Skin
from folder.pattern.faces.faces import faces_of
from folder.pattern.families.catalogue import FAMILIES, make
from tests.designs import READY
from tests.rooms import straight_room
from tests.studied import ready_study

SLICES = 16
TRAY = [(-50.0, -50.0), (50.0, -50.0), (50.0, 50.0), (-50.0, 50.0)]


def sliced_mm2(hull, z):
    """The area inside at a height: all that the lines of trimesh's slice enclose. Right where flaps lie flat on the walls."""
    mesh = trimesh.Trimesh(hull.skin.vertices, hull.skin.triangles, process=False)
    lines = trimesh.intersections.mesh_plane(mesh, (0.0, 0.0, 1.0), (0.0, 0.0, z))[:, :, :2]
    noded = shapely.union_all(shapely.linestrings(lines), grid_size=1e-6)
    return shapely.union_all(shapely.polygonize(list(shapely.get_parts(noded)))).area


def check_room(hull):
    """Every slice and all of them together within 1 %."""
    room = room_of(hull)
    heights = room.rim_mm * (np.arange(SLICES) + 0.5) / SLICES
    truth = np.array([sliced_mm2(hull, z) for z in heights])
    ours = np.array([room.section(float(z)).area for z in heights])
    assert truth == pytest.approx(ours, rel=0.01)
    # Midpoint sums of areas that are quadratic between the corners' heights.
    assert truth.mean() * room.rim_mm == pytest.approx(room.volume_mm3(room.rim_mm), rel=0.01)


@pytest.mark.parametrize("name", READY)
def test_the_room_inside_a_ready_hull_is_what_slices_by_trimesh_say(name):
    check_room(ready_study(name).hull)


def random_hull(random):
    """A hull of some family with parameters anywhere in their ranges that leave a floor; None when they do not."""
    name = random.choice(list(FAMILIES))
    values = {}
    for p in FAMILIES[name].parameters:
        if not isinstance(p.default, str) and not p.whole:
            high = min(p.high, 55.0) if p.high > 180.0 else p.high
            values[p.name] = float(random.uniform(p.low, max(p.low, high)))
    chosen = {key: values[key] for key in values if random.random() < 0.7}
    try:
        pattern = make(str(name), **chosen)
    except (BadRequest, TypeError):
        return None
    hull = hull_of(folded(faces_of(pattern)), pattern.sheet.thickness_um)
    usable = hull is not None and 2.0 < hull.rim_height_mm < math.inf and hull.cover.area_mm2 > 100.0
    return hull if usable else None


def test_the_room_inside_random_hulls_is_what_slices_by_trimesh_say(many):
    """Of every family, walls leaning differently, bent, pleated; 100 of them on request."""
    random = np.random.default_rng(8)
    wanted, kept = many(8, 100), 0
    while kept < wanted:
        hull = random_hull(random)
        if hull is not None:
            check_room(hull)
            kept += 1


@pytest.mark.parametrize(
    ("name", "room_cm3"),
    [("six-sided-bowl", 162.6), ("two-bend-tray", 314.0), ("long-barge", 259.4), ("pinched-barge", 95.9)],
)
def test_walls_that_lean_each_in_their_own_way_or_bend_leave_the_room_they_leave(name, room_cm3):
    """Found by trimesh's slices; one angle for all walls gave 85.7, 427, 164.6 and 70.6."""
    room = room_of(ready_study(name).hull)
    assert room_cm3 == pytest.approx(room.volume_mm3(room.rim_mm) / 1000.0, abs=0.1)


@pytest.mark.parametrize("turn_deg", [50.0, 90.0, 105.0])
def test_the_room_between_flat_walls_is_a_frustum(turn_deg):
    """h / 3 (A1 + A2 + sqrt(A1 A2)) (Derrett), for a floor of 100 x 100 mm and walls 25 mm high."""
    side = 100.0 + 50.0 / math.tan(math.radians(turn_deg))
    room = straight_room(TRAY, 25.0, math.radians(turn_deg))
    assert 25.0 / 3.0 * (100.0**2 + side**2 + 100.0 * side) == pytest.approx(room.volume_mm3(25.0))
    assert side**2 == pytest.approx(room.section(25.0 - 1e-7).area, rel=1e-6)


def test_an_upright_thing_between_walls_that_lean_in_has_the_room_at_its_top():
    """Closed form: 100 mm less twice h cot(turn) on each side."""
    room = straight_room(TRAY, 25.0, math.radians(105.0))
    for high in (5.0, 20.0, 60.0):
        side = 100.0 - 2.0 * min(high, 25.0) * math.tan(math.radians(15.0))
        assert side**2 == pytest.approx(shapely.Polygon(room.clear(0.0, high)[0]).area, rel=1e-6)


def test_an_upright_thing_between_walls_that_lean_out_has_the_floor():
    room = straight_room(TRAY, 25.0, math.radians(60.0))
    assert TRAY == [tuple(corner) for corner in room.clear(0.0, 60.0)[0].tolist()]


def test_foil_that_stands_in_the_middle_parts_the_room():
    """A plate 20 mm high across a box 25 mm high: two halves at its foot, the whole above it."""
    box = straight_room(TRAY, 25.0)
    plate = np.array([(0.0, -50.0, 0.0), (0.0, 50.0, 0.0), (0.0, 50.0, 20.0), (0.0, -50.0, 20.0)])
    corners = np.concatenate([box.skin.vertices, plate])
    triangles = np.concatenate([box.skin.triangles, len(box.skin.vertices) + np.array([(0, 1, 2), (0, 2, 3)])])
    room = Room(Skin.of(corners, triangles, box.skin.floor), box.floor_mm, 20.0)
    halves = room.clear(0.0, 10.0)
    assert [5000.0, 5000.0] == pytest.approx([shapely.Polygon(half).area for half in halves], rel=2e-3)
    assert 8 == first_layer(room, Item("brick", "Brick", "block", (50.0 - 0.1, 25.0, 5.0), 1.0)).count
    assert 1 == len(straight_room(TRAY, 25.0).clear(0.0, 10.0))


def test_distances_to_the_foil_are_those_of_trimesh():
    """trimesh.proximity.closest_point, on the walls of the bowl with bent and doubled foil."""
    hull = ready_study("six-sided-bowl").hull
    room = room_of(hull)
    points = np.random.default_rng(1).uniform((-50, -50, 1), (50, 50, 30), (60, 3))
    rising = hull.skin.vertices[hull.skin.triangles, 2].max(axis=1) > 0.3
    walls = trimesh.Trimesh(hull.skin.vertices, hull.skin.triangles[rising], process=False)
    assert trimesh.proximity.closest_point_naive(walls, points)[1] == pytest.approx(room.distance_mm(points), abs=1e-6)


@pytest.mark.parametrize(("name", "held"), [("measuring-cup-30", 26), ("baking-cup", 179), ("wood-brick", 6)])
def test_cups_and_bricks_find_the_room_of_the_six_sided_bowl(name, held):
    """By hand, in nests and towers three times as tall as wide: 2 nests of 13 cups; one of 179 baking cups; one tower of 6
    bricks. Walls taken to lean in left none of them any room."""
    item = find_item(name)
    tall = 3.0 * min(item.extents_mm[:2])
    assert held == fill(room_of(ready_study("six-sided-bowl").hull), item, column_mm=tall).room
