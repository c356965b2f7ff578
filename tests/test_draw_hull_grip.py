"""A wall taken hold of by its rim in the picture, and leaned by dragging."""

import math

import numpy as np
import pytest

from folder.draw.hull.marks.grip import WallGrip, grip_at, turn_toward
from folder.draw.hull.view import View
from folder.fold.place import folded
from tests.studied import family_study

VIEW = View(math.radians(-30), math.radians(40))


def held(made, rim, view=VIEW, reach_mm=2.0) -> WallGrip | None:
    """What is under the hand at a place in space."""
    x, y, _ = view.project(made.folded, np.array(rim)).tolist()
    return grip_at(made.folded, made.hull.floor_faces, view, (x, y), reach_mm)


@pytest.mark.parametrize(
    ("rim", "line"),
    [((120.0, 75.0, 30.0), "right"), ((75.0, 120.0, 30.0), "back"), ((75.0, 30.0, 30.0), "front"), ((30.0, 75.0, 30.0), "left")],
)
def test_the_wall_under_the_hand_is_the_one_whose_rim_is_there(rim, line):
    made = family_study("square-tray", wall=30.0)
    grip = held(made, rim)
    assert grip is not None
    xs, ys = zip(*grip.hinge, strict=True)
    where = {"right": (xs, 120.0), "left": (xs, 30.0), "front": (ys, 30.0), "back": (ys, 120.0)}[line]
    assert (where[1], where[1]) == pytest.approx(where[0])
    assert math.pi / 2 == pytest.approx(grip.turn_rad)
    assert rim == pytest.approx(tuple(grip.at), abs=1e-6)


def test_the_floor_lies_on_the_left_of_the_line():
    made = family_study("leaning-tray")
    floor = made.folded.corners[made.folded.faces.triangle_face == made.folded.faces.root].reshape(-1, 3)
    for k in range(4):
        way = np.array([math.cos(k * math.pi / 2), math.sin(k * math.pi / 2), 0.0])
        corners = made.folded.corners.reshape(-1, 3)
        far = corners[(corners @ way + corners[:, 2]).argmax()]
        along = np.array([-way[1], way[0], 0.0])
        middle = far - along * ((far - floor.mean(axis=0)) @ along)
        grip = held(made, middle, View(0.1 - k * math.pi / 2, 1.3), 4.0)
        if grip is None:
            continue
        (ax, ay), (bx, by) = grip.hinge
        x, y = made.pattern.floor_at
        assert (bx - ax) * (y - ay) - (by - ay) * (x - ax) > 0


def test_beside_the_rim_nothing_is_held():
    made = family_study("square-tray", wall=30.0)
    assert held(made, (75.0, 75.0, 0.0)) is None
    assert held(made, (200.0, 75.0, 30.0)) is None
    assert held(made, (120.0, 75.0, 15.0)) is None


def test_a_hemmed_wall_is_held_by_the_fold_at_its_top():
    made = family_study("hemmed-tray")
    high = made.hull.rim_height_mm
    right = float(made.folded.corners.reshape(-1, 3)[:, 0].max())
    grip = held(made, (right, 75.0, high))
    assert grip is not None
    assert grip.hinge[0][0] == pytest.approx(grip.hinge[1][0])


@pytest.mark.parametrize("turn_deg", [40.0, 60.0, 75.0, 90.0, 110.0])
def test_dragged_to_where_the_rim_would_be_the_wall_takes_that_turn(turn_deg):
    """The place where the rim of a leaning wall is seen, by trigonometry, gives its turn back."""
    made = family_study("square-tray", wall=30.0)
    grip = held(made, (120.0, 75.0, 30.0))
    assert grip is not None
    turn = math.radians(turn_deg)
    rim = np.array([120.0 + 30.0 * math.cos(turn), 75.0, 30.0 * math.sin(turn)])
    assert rim == pytest.approx(grip.rim_at(np.array([turn]))[0], abs=1e-9)
    x, y, _ = VIEW.project(made.folded, rim).tolist()
    assert turn == pytest.approx(turn_toward(grip, made.folded, VIEW, (x, y)), abs=math.radians(0.6))


def test_the_rim_turns_as_the_fold_does():
    """Folded with another turn on that crease alone, the wall's top lies where the grip says."""
    made = family_study("square-tray", wall=30.0)
    grip = held(made, (120.0, 75.0, 30.0))
    assert grip is not None
    faces = made.folded.faces
    ends = faces.vertices[faces.edges]
    on = np.nonzero(np.isclose(ends[:, :, 0], 120.0).all(axis=1) & (np.abs(ends[:, :, 1].mean(axis=1) - 75.0) < 1.0))[0]
    turns = made.folded.turn.copy()
    turns[on] = math.radians(60.0)
    shape = folded(faces, turns)
    wall = faces.face_at((140.0, 75.0))
    top = shape.motions[wall] @ np.array([150.0, 75.0, 0.0, 1.0])
    assert top[:3] == pytest.approx(grip.rim_at(np.array([math.radians(60.0)]))[0], abs=1e-6)
