"""States on the way: walls half way up, flaps half way round."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from folder.fold.layers.clash import clashes_of
from folder.fold.place import folded
from folder.fold.sequence.partway import partway, path
from folder.fold.sequence.steps import fold_sequence
from folder.pattern.faces.faces import faces_of
from folder.pattern.families.catalogue import make
from tests.folds import tray, turns_at, vertex_sheet

_TRAY = faces_of(tray(-180.0, 180.0, 90.0))
_TRAY_PATH = path(_TRAY, _TRAY.turn)


@pytest.mark.parametrize(("share", "side"), [(1.0 / 3.0, -12.66647), (0.5, -19.47122), (2.0 / 3.0, -26.89895)])
def test_a_tray_half_way_up_goes_by_the_symmetric_path(share: float, side: float) -> None:
    """CHECKS section 5, with the floor's creases exactly at their share of 90 deg."""
    pattern = tray(-180.0, 180.0, 90.0)
    faces = faces_of(pattern)
    state = partway(faces, faces.turn, share)
    floor = 90.0 * share
    assert state.closed
    assert [floor, side, 2.0 * floor, side] == pytest.approx(turns_at(faces, state.turn, [0, 4, 5, 6]), abs=5e-6)


def test_the_slider_first_raises_the_walls_and_then_lays_the_flaps() -> None:
    pattern = tray(-180.0, 180.0, 90.0)
    faces = faces_of(pattern)
    way = path(faces, faces.turn)
    assert way.closed.all()
    standing = turns_at(faces, way.at(0.75).turn, [0, 4, 5, 6])
    assert [90.0, -45.0, 180.0, -45.0] == pytest.approx(standing, abs=1e-6)
    assert (way.at(0.0).turn == 0.0).all()
    assert (way.at(1.0).turn == faces.turn).all()


@given(st.floats(0.0, 1.0))
@settings(max_examples=30, deadline=None)
def test_every_state_of_the_slider_closes_and_nothing_passes_through(share: float) -> None:
    faces = faces_of(tray(-180.0, 180.0, 90.0))
    state = _TRAY_PATH.at(share)
    shape = folded(faces, state.turn)
    assert state.closed
    assert shape.closure_gap_mm < 1e-5
    assert 0 == len(clashes_of(shape).pairs)


def test_states_follow_each_other_smoothly() -> None:
    steps = np.degrees(np.abs(np.diff(_TRAY_PATH.turns, axis=0)).max(axis=1))
    assert steps.max() < 25.0


def test_a_pleat_that_is_folded_first_stays_folded_while_the_walls_go_up() -> None:
    """From one closed state to the next: the pleat's half turns are in both."""
    pattern = make("pleated-floor-tray", {})
    faces = faces_of(pattern)
    pleat = np.array([c.turn_rad == math.pi and c.step in (1, 2) for c in pattern.creases] + [False, False])
    first = np.where(pleat[faces.crease], faces.turn, 0.0)
    assert folded(faces, first).closure_gap_mm < 1e-9
    way = path(faces, first, faces.turn)
    assert way.closed.all()


@pytest.mark.parametrize("family", ["hemmed-tray", "double-sheet-tray", "bevelled-tray", "pinched-barge", "six-sided-bowl"])
def test_from_step_to_step_a_family_closes_all_the_way(family: str) -> None:
    pattern = make(family, {})
    faces = faces_of(pattern)
    states = [np.zeros_like(faces.turn)]
    for step in fold_sequence(pattern, folded(faces)).steps:
        if (step.turn != states[-1]).any():
            states.append(step.turn)
    way = path(faces, *states)
    assert len(states) >= 3
    assert way.closed.all()
    assert np.degrees(np.abs(np.diff(way.turns, axis=0)).max()) < 30.0


def test_a_hull_without_a_rigid_way_says_so() -> None:
    """Two square lines that cross turn one after the other, never both at once (CHECKS: cross, p = 0)."""
    pattern = vertex_sheet((90, 90, 90, 90), [180.0, 180.0, -180.0, 180.0])
    faces = faces_of(pattern)
    assert folded(faces).closure_gap_mm < 1e-9
    half = partway(faces, faces.turn, 0.5)
    assert not half.closed
    assert half.turn == pytest.approx(faces.turn / 2.0)


def test_the_start_and_the_end_are_left_alone() -> None:
    faces = faces_of(tray(-180.0, 180.0, 90.0))
    before = faces.turn.copy()
    path(faces, faces.turn)
    assert (faces.turn == before).all()
