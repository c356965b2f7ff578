"""Whether walls can swing although everything fits: known linkages, and hulls that were folded."""

import math

import numpy as np
import pytest
from msgspec.structs import replace

from folder.fold.closing.solve import solved
from folder.fold.flex import flex_findings
from folder.fold.place import folded
from folder.pattern.faces.faces import faces_of
from folder.pattern.families.catalogue import make
from folder.pattern.file import ready_patterns
from folder.pattern.pattern import Crease, Pattern
from tests.folds import vertex_sheet
from tests.studied import ready_study

STARS = {"diamond-bowl", "fan-bowl", "usual-fan-bowl"}


def flexes(pattern):
    return bool(flex_findings(folded(faces_of(pattern)), pattern.crimps, pattern.floor_at))


@pytest.mark.parametrize("name", ready_patterns())
def test_of_the_ready_hulls_only_the_stars_flex(name):
    """Their one free motion was worked out for this program; the others hold their shape when their flaps are pinched."""
    assert (name in STARS) == bool(ready_study(name).report.having("flexes"))


@pytest.mark.parametrize("wider", [0.5, -0.5])
def test_a_diamond_goes_on_closing_as_its_corners_rise_and_sink(wider):
    """The motion is real, not one of first order only: the same lines close with other turns."""
    lines = [(c.start, c.end) for c in make("diamond-bowl").creases]
    moved = make("diamond-bowl", {"turn": 26.0 + wider})
    assert np.allclose(lines, [(c.start, c.end) for c in moved.creases])
    assert 1e-9 > folded(faces_of(moved)).closure_gap_mm


def test_a_point_of_four_folds_can_move_and_one_of_three_is_stiff():
    """n folds at a point leave n - 3 ways to move (Tachi 2009); a corner of three square faces is stiff."""
    miura = vertex_sheet((60.0, 120.0, 120.0, 60.0), (50.0, None, None, None), "vvvm")
    faces = faces_of(miura)
    four = folded(faces, solved(faces, miura.creases).turn)
    assert 1e-6 > four.closure_gap_mm
    assert flex_findings(four, (), miura.floor_at)
    with_three = vertex_sheet((90.0, 90.0, 90.0, 45.0, 45.0), (90.0, 90.0, 90.0, 180.0, 180.0))
    corner = folded(faces_of(with_three))
    assert 1e-6 > corner.closure_gap_mm
    assert not flex_findings(corner, (), with_three.floor_at)


def test_a_wall_on_one_side_alone_has_no_point_that_could_open():
    wall = Pattern(creases=(Crease((30.0, 0.0), (30.0, 150.0), "valley", math.pi / 2.0),), floor_at=(90.0, 75.0))
    assert not flexes(wall)


def test_splitting_a_crease_changes_nothing():
    bowl = make("diamond-bowl")
    first, *rest = bowl.creases
    middle = tuple(np.mean([first.start, first.end], axis=0).tolist())
    halves = (replace(first, end=middle), replace(first, start=middle))
    assert flexes(replace(bowl, creases=(*halves, *rest)))
