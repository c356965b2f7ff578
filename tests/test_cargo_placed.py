"""Every placed object in three dimensions: inside the hull, on something, clear of the others. The check stands here, apart
from the code: foil is cut by trimesh, seen from above by shapely, and pushes are balanced by scipy."""

import math
from types import SimpleNamespace

import numpy as np
import pytest
import shapely
import trimesh
from scipy.optimize import nnls
from scipy.spatial import cKDTree

from folder.cargo.item_list import items
from folder.cargo.packing.room import room_of
from folder.cargo.packing.stack import fill
from tests.designs import READY
from tests.rooms import straight_room
from tests.studied import ready_study

CLOSE_MM = 1e-3
FLOOR_MM = 0.3
"""Foil no higher than this lies on the floor."""

ENOUGH = 60
PAIRS = [(name, item) for item in items() for name in READY]


def foil_between(hull, low, high):
    """The foil between two heights, seen from above: polygons and lines."""
    vertices, faces = hull.skin.vertices, hull.skin.triangles
    for way, z in ((1.0, max(low, FLOOR_MM) + CLOSE_MM), (-1.0, high - CLOSE_MM)):
        vertices, faces = trimesh.intersections.slice_faces_plane(vertices, faces, (0, 0, way), (0, 0, z))[:2]
        if not len(faces):
            return np.empty(0, dtype=object)
    return shapely.convex_hull(shapely.multipoints(vertices[faces][:, :, :2]))


def footprints(stack):
    """What each object covers, seen from above, and how far that may reach toward others."""
    size, places = stack.first.size_mm, stack.places_mm
    if len(size) == 1:
        return shapely.buffer(shapely.points(places[:, :2]), size[0] - CLOSE_MM, quad_segs=64)
    turns = {
        tuple(np.round(place, 6)): turn for place, turn in zip(stack.first.places_mm, stack.first.rotations_rad, strict=True)
    }
    boxes = []
    for x, y, _ in places.tolist():
        turn = turns.get((round(x, 6), round(y, 6)), 0.0)
        half = np.array(size) / 2.0 - CLOSE_MM
        box = shapely.affinity.rotate(shapely.box(*-half, *half), turn, origin=(0, 0), use_radians=True)
        boxes.append(shapely.affinity.translate(box, x, y))
    return np.array(boxes)


def check_upright(hull, item, stack, real):
    """Discs, cups, blocks and what lies: each stands on the floor or on the one below, meets no foil and no other."""
    height = item.extents_mm[2]
    step = item.nest_step_mm or height
    places, covers = stack.places_mm[:real], footprints(stack)[:real]
    floor = shapely.Polygon(hull.cover.outline).buffer(CLOSE_MM)
    assert shapely.covers(floor, covers).all()  # on the floor, or on what stands there
    for layer in range(stack.layer[:real].max(initial=-1) + 1):
        here = stack.layer[:real] == layer
        assert step * layer + height / 2.0 == pytest.approx(places[here, 2])
        foil = foil_between(hull, step * layer, step * layer + height)
        assert len(shapely.STRtree(foil).query(covers[here], predicate="intersects")[0]) == 0
        first, second = shapely.STRtree(covers[here]).query(covers[here], predicate="intersects")
        assert (first == second).all()
        if layer:  # straight on top of one of the layer below
            below = cKDTree(places[stack.layer[:real] == layer - 1, :2])
            assert below.query(places[here, :2])[0].max() < CLOSE_MM


def check_balls(hull, stack, radius):
    """Balls touch without entering each other or the foil, their middles below the rim, each held up by what it touches."""
    places = stack.places_mm
    rising = hull.skin.vertices[hull.skin.triangles, 2].max(axis=1) > FLOOR_MM
    walls = hull.skin.vertices[hull.skin.triangles[rising]]
    tree = cKDTree(places)
    assert not tree.query_pairs(2.0 * (radius - CLOSE_MM))
    assert shapely.contains_xy(shapely.Polygon(hull.cover.outline), *places[stack.layer == 0, :2].T).all()
    for place in places:
        off = place - trimesh.triangles.closest_point(walls, np.tile(place, (len(walls), 1)))
        distance = np.linalg.norm(off, axis=1)
        assert distance.min() >= radius - CLOSE_MM
        assert radius - CLOSE_MM <= place[2]
        if place[2] <= radius + CLOSE_MM:
            continue
        assert place[2] <= hull.rim_height_mm
        pushes = [
            place - places[k] for k in tree.query_ball_point(place, 2.0 * (radius + CLOSE_MM)) if (places[k] != place).any()
        ]
        pushes += list(off[distance < radius + CLOSE_MM])
        pushes = np.array(pushes).T / np.linalg.norm(pushes, axis=1)
        assert nnls(pushes, np.array([0.0, 0.0, 1.0]))[1] < 1e-3


def check_heap(room, item, stack):
    """What is poured on the first layer: middles inside the hull, none lower than half its height, none over the rim."""
    poured = stack.places_mm[stack.layer > 0]
    assert (poured[:, 2] >= item.extents_mm[2] / 2.0 - 1e-9).all()
    for z in np.unique(poured[:, 2]).tolist():
        assert z <= max(room.rim_mm, item.extents_mm[2] / 2.0)
        inside = room.section(min(z, room.rim_mm - 1e-6))
        assert shapely.contains_xy(inside, *poured[poured[:, 2] == z, :2].T).all()


def check(hull, room, item, rounds):
    """One item in one hull."""
    stack = fill(room, item, enough=ENOUGH, rounds=rounds)
    if not len(stack.layer):
        assert 0 == stack.room
    elif item.shape == "ball" and stack.way != "heap":
        check_balls(hull, stack, item.size_mm[0] / 2.0)
    elif item.shape == "ball":
        check_heap(room, item, stack)
    else:
        check_upright(hull, item, stack, int((stack.layer == 0).sum()) if stack.way == "heap" else len(stack.layer))
        if stack.way == "heap":
            check_heap(room, item, stack)


def test_every_placed_object_is_inside_the_hull_on_something_and_clear_of_the_others(many):
    """17 ready hulls by all listed objects, on request; of a heap the first layer, and where the rest is."""
    for name, item in PAIRS[:: many(37, 1)]:
        hull = ready_study(name).hull
        check(hull, room_of(hull), item, many(0, 1))


@pytest.mark.parametrize("turn_deg", [65.0, 105.0])
def test_towers_end_where_a_wall_leans_into_them_and_balls_rest_on_walls_that_lean_out(turn_deg):
    """Flat walls about a crooked floor, 30 mm high; every seventh listed object."""
    floor = [(-50.0, -40.0), (45.0, -44.0), (52.0, 30.0), (0.0, 48.0), (-47.0, 36.0)]
    room = straight_room(floor, 30.0, math.radians(turn_deg))
    hull = SimpleNamespace(skin=room.skin, cover=SimpleNamespace(outline=room.floor_mm), rim_height_mm=room.rim_mm)
    for item in items()[::7]:
        check(hull, room, item, 0)
