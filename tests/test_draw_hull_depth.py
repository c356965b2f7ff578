"""What covers what in the picture: against rays cast by trimesh, for hulls, for shapes that cross and for rings of shapes."""

import math
import random

import numpy as np
import pytest
import shapely
import trimesh

from folder.draw.hull.depth import Planes, back_to_front
from folder.draw.hull.lift import layer_lifts, layers_of
from folder.draw.hull.plates import Plate, layer_plates, painted
from folder.draw.hull.view import View
from folder.fold.place import Folded, folded
from folder.fold.sequence.film import film_of
from folder.fold.sequence.steps import fold_sequence
from folder.pattern.file import ready_patterns
from tests.drawings import drawn, line
from tests.studied import ready_study
from tests.test_draw_hull_solid import shape_of

APART_MM = 1.0
BORDER_MM = 0.15
"""Nearer to a border than this, a place may belong to either side."""


def some_view(draw: random.Random) -> View:
    return View(draw.uniform(-math.pi, math.pi), draw.uniform(math.radians(-60), math.radians(88)))


def seen_by_rays(shape: Folded, lifts: np.ndarray, view: View, places: np.ndarray) -> np.ndarray:
    """(n,) the layer that a ray from the eye meets first at places (n, 2) of the picture, -1 where it meets none; by trimesh."""
    layer, faces = layers_of(shape), shape.faces
    corners = view.project(shape, shape.corners)
    corners[..., 2] += (lifts * np.sign(shape.normals @ view.axes[2]))[faces.triangle_face, None]
    mesh = trimesh.Trimesh(corners.reshape(-1, 3), np.arange(3 * len(corners)).reshape(-1, 3), process=False)
    origins = np.column_stack([places, np.full(len(places), 1000.0)])
    down = np.tile([0.0, 0.0, -1.0], (len(places), 1))
    triangle, ray, at = mesh.ray.intersects_id(origins, down, multiple_hits=True, return_locations=True)
    first = np.full(len(places), -1)
    depth = np.full(len(places), -np.inf)
    for t, r, (_, _, z) in zip(triangle, ray, at, strict=True):
        if z > depth[r] and shape.placed[faces.triangle_face[t]]:
            depth[r], first[r] = z, layer[faces.triangle_face[t]]
    return first


def seen_in_picture(shape: Folded, lifts: np.ndarray, view: View, places: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """(n,) the layer painted last at places (n, 2), -1 where none is; and which places (n,) are clear of all borders."""
    layer = layers_of(shape)
    last, clear = np.full(len(places), -1), np.ones(len(places), dtype=bool)
    points = shapely.points(places)
    for plate, area in painted(layer_plates(shape, lifts), view, np.array([*shape.faces.floor_at, 0.0])):
        whole = shapely.Polygon(area.rings[0], area.rings[1:])
        last[shapely.contains(whole, points)] = layer[plate.face]
        clear &= shapely.distance(whole.boundary, points) > BORDER_MM
    return last, clear


def depth_at(shape: Folded, face: int, view: View, place: np.ndarray) -> float:
    """How near to the eye the plane of a face lies at a place of the picture."""
    at = view.project(shape, shape.corners[shape.faces.triangle_face == face][0, 0])
    normal = view.axes @ shape.normals[face]
    return float(at[2] - (place - at[:2]) @ normal[:2] / normal[2])


def agreement(shape: Folded, lifts: np.ndarray, view: View, count: int, draw: random.Random) -> tuple[int, int]:
    """How many of some places at random show the layer that a ray meets, and how many there were.

    Where two layers lie apart by less than those of a stack are drawn apart, but not in one plane, either is right.
    """
    corners = view.project(shape, shape.corners).reshape(-1, 3)
    low, high = corners.min(axis=0)[:2], corners.max(axis=0)[:2]
    places = np.array([[draw.uniform(low[0], high[0]), draw.uniform(low[1], high[1])] for _ in range(count)])
    seen, clear = seen_in_picture(shape, lifts, view, places)
    rays = seen_by_rays(shape, lifts, view, places)
    right = seen == rays
    for k in np.nonzero(clear & ~right & (seen >= 0) & (rays >= 0))[0]:
        one, other = int(seen[k]), int(rays[k])
        apart = abs(depth_at(shape, one, view, places[k]) - depth_at(shape, other, view, places[k]))
        right[k] = 1e-6 < apart * abs(float(view.axes[2] @ shape.normals[other])) < APART_MM
    return int(right[clear].sum()), int(clear.sum())


@pytest.mark.parametrize("name", ready_patterns())
def test_what_is_painted_last_is_what_a_ray_meets_first(name, many):
    """Oracle: trimesh's ray casting, from random cameras, at random places."""
    made, draw = ready_study(name), random.Random(name)
    lifts = layer_lifts(made.folded, made.layering)
    for _ in range(many(3, 40)):
        right, total = agreement(made.folded, lifts, some_view(draw), 150, draw)
        assert total == right


@pytest.mark.parametrize("name", ["hemmed-tray", "six-sided-bowl", "keel-tray"])
def test_so_it_is_half_way_through_the_folding(name):
    made, draw = ready_study(name), random.Random(name)
    film = film_of(fold_sequence(made.pattern, made.folded))
    for k in range(len(film.steps)):
        state = film.at(k, 0.5)
        right, total = agreement(state.shape, layer_lifts(state.rest), some_view(draw), 100, draw)
        assert total == right


def test_faces_that_pass_through_each_other_are_parted_along_the_crossing():
    walls = [line((60, 0), (60, 150), "valley", 130), line((90, 0), (90, 150), "valley", 120)]
    shape, draw = shape_of(drawn(walls)), random.Random(1)
    lifts = np.zeros(shape.faces.count)
    view = View(0.4, 0.9)
    parts = painted(layer_plates(shape, lifts), view, np.array([75.0, 75.0, 0.0]))
    assert len(parts) > shape.faces.count
    for _ in range(10):
        right, total = agreement(shape, lifts, some_view(draw), 200, draw)
        assert total == right


def test_a_crossing_painted_whole_would_be_told_from_the_truth():
    """The comparison can fail: painted by the depth of their middles, the crossing walls are wrong somewhere."""
    walls = [line((60, 0), (60, 150), "valley", 130), line((90, 0), (90, 150), "valley", 120)]
    shape, view = shape_of(drawn(walls)), View(0.4, 0.9)
    plates = layer_plates(shape, np.zeros(shape.faces.count))
    places = np.array([[x, y] for x in np.linspace(-60, 60, 30) for y in np.linspace(-40, 60, 30)])
    rays = seen_by_rays(shape, np.zeros(shape.faces.count), view, places)
    last = np.full(len(places), -1)
    for plate in sorted(plates, key=lambda p: float((p.rings[0] @ view.axes[2]).mean())):
        ring = view.project(shape, plate.rings[0])[:, :2]
        last[shapely.contains(shapely.Polygon(ring), shapely.points(places))] = layers_of(shape)[plate.face]
    assert (last != rays).sum() > 20


def beam(start, end, width: float, low: float, high: float) -> Plate:
    """A bar from one place to another that rises on its way."""
    (ax, ay), (bx, by) = start, end
    length = math.dist(start, end)
    nx, ny = -(by - ay) / length * width, (bx - ax) / length * width
    ring = np.array([[ax + nx, ay + ny, low], [ax - nx, ay - ny, low], [bx - nx, by - ny, high], [bx + nx, by + ny, high]])
    normal = np.cross(ring[1] - ring[0], ring[2] - ring[0])
    return Plate((ring,), normal / np.linalg.norm(normal))


def test_three_bars_that_lie_over_each_other_in_a_ring_are_each_seen_where_they_are_on_top():
    """No order of three whole bars is right (Newell, Newell & Sancha 1972): one must be cut."""
    corners = [(30.0 * math.cos(t), 30.0 * math.sin(t)) for t in (0.0, 2.1, 4.2)]
    bars = []
    for k in range(3):
        (ax, ay), (bx, by) = corners[k], corners[(k + 1) % 3]
        more = ((bx - ax) * 0.3, (by - ay) * 0.3)
        bars.append(beam((ax - more[0], ay - more[1]), (bx + more[0], by + more[1]), 5.0, 0.0, 10.0))
    parts = painted(bars, View(0.0, math.pi / 2), np.zeros(3))
    assert len(parts) > 3
    for k in range(3):
        # At each corner the bar that ends there, high, lies over the one that begins there, low.
        shown = [plate for plate, area in parts if shapely.Polygon(area.rings[0]).covers(shapely.Point(corners[(k + 1) % 3]))]
        assert bars[k] is shown[-1]


def test_no_cut_is_made_where_none_is_needed():
    made = ready_study("hemmed-tray")
    plates = layer_plates(made.folded, layer_lifts(made.folded, made.layering))
    for turn in range(12):
        view = View(turn * 0.5, 0.6)
        parts = painted(plates, view, np.zeros(3))
        edge_on = sum(abs(float(p.normal @ view.axes[2])) <= 1e-3 for p in plates)
        assert len(plates) - edge_on == len(parts)


def test_nothing_is_painted_of_nothing():
    assert [] == back_to_front(np.empty(0, dtype=object), Planes(np.empty((0, 3)), np.empty((0, 3)), np.empty(0)))
    assert [] == painted([], View(), np.zeros(3))


def test_a_flat_sheet_is_one_plate():
    made = ready_study("hemmed-tray")
    flat = folded(made.faces, np.zeros(len(made.folded.turn)))
    (plate,) = layer_plates(flat, np.zeros(flat.faces.count))
    assert pytest.approx(150.0 * 150.0) == shapely.Polygon(plate.rings[0][:, :2]).area
