"""The tub as a picture: as high over the water as the pose says, each thing in its place, picked where it is seen."""

import math

import numpy as np
import pytest
import trimesh
from scipy.spatial.transform import Rotation

from folder.cargo.item import Item
from folder.cargo.item_list import find_item
from folder.cargo.spot import Spot, centre_of
from folder.draw.tub.attitude import Attitude
from folder.draw.tub.moment import USUAL, Body, Facet, InkLine, Moment, picture_of
from folder.draw.tub.pick import place_under
from folder.draw.tub.scene import marks_of
from folder.draw.tub.shell import shell_of
from folder.draw.tub.solids import pieces
from folder.geometry.plane import signed_area
from folder.hull.weight import Weight
from folder.water.equilibrium.rest import rest
from tests.studied import ready_study

HULLS = ("plain-tray", "six-sided-bowl", "long-barge", "hemmed-tray", "two-bend-tray")
PX_PER_MM = 6.0
COIN = find_item("us-cent")


def afloat(name, mass_g, at=(0.0, 0.0, 5.0)):
    made = ready_study(name)
    found = rest(made.hull.skin, made.hull.weight + Weight(mass_g, at), made.water)
    return made, found.pose, Moment(shell_of(made.hull, made.layering), Attitude.of(found.pose))


def expected_px(pose, points):
    """Where places of the hull are seen, by scipy's smallest turn that stands the pose upright, and the axes of the view."""
    turn = Rotation.align_vectors([[0.0, 0.0, 1.0]], [pose.up])[0]
    world = turn.apply(np.array(points)) - [0.0, 0.0, pose.draft_mm]
    around, above = USUAL.around_rad, USUAL.above_rad
    right = np.array([math.cos(around), math.sin(around), 0.0])
    away = np.array([-math.sin(around), math.cos(around), 0.0])
    up = math.sin(above) * away + math.cos(above) * np.array([0.0, 0.0, 1.0])
    return world @ np.array([right, up]).T * PX_PER_MM, world


@pytest.mark.parametrize("name", HULLS)
@pytest.mark.parametrize("at", [(0.0, 0.0, 5.0), (9.0, 4.0, 5.0), (-4.0, 11.0, 8.0)])
def test_what_is_drawn_stands_over_the_drawn_water_as_the_pose_says_to_half_a_pixel(name, at):
    made, pose, moment = afloat(name, 40.0, at)
    marks = marks_of(moment)
    rim = made.hull.skin.vertices[made.hull.skin.on_edge]
    drawn, world = expected_px(pose, rim)
    assert world[:, 2] == pytest.approx(rim @ np.array(pose.up) - pose.draft_mm, abs=1e-9)
    assert drawn == pytest.approx(picture_of(moment, rim) * PX_PER_MM, abs=0.5)
    ends = np.concatenate([mark.points for mark in marks if isinstance(mark, InkLine) and mark.width > 0.5]) * PX_PER_MM
    corners, _ = expected_px(pose, made.hull.skin.vertices)
    at_corner = np.linalg.norm(ends[:, None] - corners, axis=2).min(axis=1) < 0.5
    # A rim line ends at a vertex, or where the water cuts it, as it cuts the foil: there the foil is, by trimesh.
    around = USUAL.around_rad
    turned = np.array([[math.cos(around), math.sin(around)], [-math.sin(around), math.cos(around)]])
    feet = ends[~at_corner] / PX_PER_MM / [1.0, math.sin(USUAL.above_rad)] @ turned
    turn = Rotation.align_vectors([[0.0, 0.0, 1.0]], [pose.up])[0]
    foil = trimesh.Trimesh(turn.apply(np.array(made.hull.skin.vertices)) - [0.0, 0.0, pose.draft_mm], made.hull.skin.triangles)
    assert at_corner.sum() > 6
    if len(feet):
        _, apart, _ = trimesh.proximity.closest_point(foil, np.column_stack([feet, np.zeros(len(feet))]))
        assert (apart * PX_PER_MM < 0.5).all()


def test_an_attitude_goes_all_the_way_and_is_level_without_a_tilt():
    one, other = Attitude(0.1, 0.5, 8.0), Attitude(0.3, -1.0, 12.0)
    assert (0.3, -1.0, 12.0) == pytest.approx((one.toward(other, 1.0).tilt_rad, one.toward(other, 1.0).toward_rad, 12.0))
    assert one.toward(other, 0.0).turn == pytest.approx(one.turn)
    assert Attitude().turn == pytest.approx(np.eye(3))
    assert Attitude(0.2, 0.7, 0.0).turn @ Attitude(0.2, 0.7, 0.0).turn.T == pytest.approx(np.eye(3))


def test_the_side_toward_which_it_tilts_dips():
    low = Attitude(0.2, 0.0, 5.0).world(np.array([[10.0, 0.0, 0.0], [-10.0, 0.0, 0.0]]))
    assert [-5.0 - 10.0 * math.sin(0.2), -5.0 + 10.0 * math.sin(0.2)] == pytest.approx(low[:, 2])


def test_every_object_is_drawn_in_its_place():
    spots = tuple(Spot(20.0 * x, 20.0 * y, 0.76, 0.76) for x in (-1, 0, 1) for y in (-1, 0, 1))
    made, pose, moment = afloat("plain-tray", 9 * 2.5, centre_of(spots))
    moment = Moment(moment.shell, moment.attitude, COIN, tuple(map(Body, spots)))
    tops = [mark for mark in marks_of(moment) if isinstance(mark, Facet) and mark.fill == "#E2B079"]
    drawn, _ = expected_px(pose, np.array([[s.x_mm, s.y_mm, 1.52] for s in spots]))
    seen = np.array([top.points.mean(axis=0) for top in tops]) * PX_PER_MM
    assert len(tops) == 9
    assert all(np.linalg.norm(seen - one, axis=1).min() < 0.5 for one in drawn)
    assert made.hull is not None


@pytest.mark.parametrize(("x", "y"), [(0.0, 0.0), (31.0, -12.0), (-40.0, 40.0)])
def test_a_place_is_picked_where_it_is_seen(x, y):
    _, _, moment = afloat("plain-tray", 60.0, (8.0, -5.0, 5.0))
    seen = picture_of(moment, np.array([x, y, 0.0]))
    assert (x, y) == pytest.approx(place_under(moment, tuple(seen)))


def test_of_two_things_behind_each_other_the_nearer_one_is_picked():
    spot = Spot(5.0, 5.0, 10.0, 10.0)
    _, _, moment = afloat("plain-tray", 60.0)
    block = Item("tall", "tall", "block", (10.0, 10.0, 20.0), 5.0)
    moment = Moment(moment.shell, moment.attitude, block, (Body(spot),))
    seen = picture_of(moment, np.array([6.0, 4.0, 20.0]))
    assert (6.0, 4.0) == pytest.approx(place_under(moment, tuple(seen)))


def outline_area(item, above):
    """Of the first and largest piece, seen from so high."""
    view = type(USUAL)(0.0, above)
    return abs(signed_area(next(iter(pieces(item, 0.0, view.axes, view))).points))


@pytest.mark.parametrize("above", [0.3, 0.8, 1.4])
def test_the_outlines_of_solids_are_those_of_their_shadows(above):
    """A convex body's shadow: a ball's is its circle, a cylinder's its end aslant and a rectangle (closed forms)."""
    ball, disc = find_item("marble-16"), find_item("us-cent")
    assert math.pi * 8.0**2 == pytest.approx(outline_area(ball, above), rel=0.01)
    d, t = disc.size_mm
    cylinder = math.pi / 4 * d**2 * math.sin(above) + d * t * math.cos(above)
    assert cylinder == pytest.approx(outline_area(disc, above), rel=0.01)
    tube = Item("bar", "bar", "tube", (8.0, 30.0), 4.0)
    assert 8.0 * 30.0 == pytest.approx(outline_area(tube, above), rel=0.02)  # lying across the view


@pytest.mark.parametrize("shape", ["disc", "ball", "block", "tube", "cup", "screw"])
def test_every_shape_is_seen_from_above_and_below(shape):
    item = next(i for i in map(find_item, ("us-cent", "marble-16", "die-16", "pony-bead", "wood-screw-3x20")) if i.shape == shape) \
        if shape != "cup" else Item("cup", "cup", "cup", (40.0, 30.0), 3.0, nest_step_mm=5.0)  # fmt: skip
    for above in (-1.0, 0.2, 0.9):
        view = type(USUAL)(0.4, above)
        found = list(pieces(item, 0.7, view.axes, view))
        assert found
        assert all(np.isfinite(piece.points).all() and len(piece.points) > 2 for piece in found)
