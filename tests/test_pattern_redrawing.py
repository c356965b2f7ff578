"""Parallel redrawing: the same angles, other lengths."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from folder.pattern.families.catalogue import make
from folder.pattern.file import ready_patterns
from folder.pattern.redrawing import outward_normals, redrawing_rate, redrawing_room, redrawn
from folder.search.sweeps import WALLS, Sweep
from folder.studies import study
from folder.verdict import verdict_of
from tests.drawings import tray
from tests.studied import ready_study


def walls_wider(made, by_mm):
    """A pattern with its floor creases pushed inward."""
    faces, edges = made.faces, made.hull.wall_edges
    rate = redrawing_rate(faces, edges, -outward_normals(faces, edges, made.hull.floor_piece))
    return redrawn(made.pattern, faces, rate, by_mm)


def lines(pattern):
    ends = [sorted((tuple(np.round(c.start, 6)), tuple(np.round(c.end, 6)))) for c in pattern.creases]
    return sorted((*a, *b) for a, b in ends)


def test_a_square_tray_redrawn_is_the_square_tray_of_that_wall() -> None:
    """Beside the family's own drawing, line by line."""
    wider = walls_wider(study(make("square-tray", {"wall": 25.0})), 6.5)
    assert pytest.approx(np.array(lines(make("square-tray", {"wall": 31.5})))) == np.array(lines(wider))


RIGID = {"diamond-bowl", "fan-bowl", "usual-fan-bowl"}
"""Their pleats tie the floor to the rim: no other drawing has all their directions."""


@pytest.mark.parametrize("name", sorted(RIGID))
def test_a_drawing_that_no_other_is_parallel_to_has_no_such_number(name: str) -> None:
    assert () == Sweep(study(replace(ready_study(name).pattern, family=None))).variables


@pytest.mark.parametrize("name", sorted({*ready_patterns()} - RIGID))
def test_every_ready_hull_drawn_by_hand_gets_the_wall_that_is_asked_for(name: str) -> None:
    """All lines keep their directions, so that it folds as before; its walls then measure what was asked for."""
    made = ready_study(name)
    sweep = Sweep(study(replace(made.pattern, family=None)))
    (walls,) = sweep.variables
    assert WALLS == walls.name
    assert pytest.approx(made.hull.mean_wall_mm) == walls.now
    height = walls.now + 0.1 * (walls.high - walls.now)
    other = sweep.variant(walls, height)
    for before, after in zip(made.pattern.creases, other.creases, strict=True):
        one, two = (np.subtract(c.end, c.start) / c.length_mm for c in (before, after))
        assert pytest.approx(one, abs=1e-7) == two
    again = study(other)
    assert "hull" == verdict_of(again).code
    # The end walls of a barge slope: their share of the outline changes with their height.
    assert pytest.approx(height, abs=0.1 if name == "long-barge" else 1e-6) == again.hull.mean_wall_mm


def test_a_tray_carries_what_its_closed_form_says_at_every_height() -> None:
    """A box of (150 - 2h)^2 by h holds rho (150 - 2h)^2 h less its own foil of 0.972 g (16 um of 2.70 g/cm3)."""
    sweep = Sweep(study(tray(25.0)))
    (walls,) = sweep.variables
    for height in (10.0, 20.0, 30.0, 40.0):
        made = study(sweep.variant(walls, height))
        box_g = made.water.density_g_per_mm3 * (150.0 - 2.0 * height) ** 2 * height
        assert pytest.approx(box_g - 0.972, abs=0.02) == made.brim.load_g


def test_one_goes_as_far_as_the_shortest_edge_lets_it() -> None:
    """The wall of 25 is an edge of 25 mm that may shrink to 3; the floor of 100 shrinks by 2 mm for each mm of wall, to 3."""
    made = study(tray(25.0))
    faces, edges = made.faces, made.hull.wall_edges
    rate = redrawing_rate(faces, edges, -outward_normals(faces, edges, made.hull.floor_piece))
    assert pytest.approx((-22.0, 48.5)) == redrawing_room(faces, rate)


def test_a_sheet_without_walls_has_no_number_to_change() -> None:
    assert () == Sweep(study(replace(tray(25.0), creases=()))).variables


def test_a_familys_numbers_go_as_far_as_it_makes_hulls() -> None:
    """A square tray on 150 mm leaves a floor of 5 mm at a wall of 72.5."""
    (wall,) = Sweep(study(make("square-tray", {"wall": 25.0}))).variables
    assert ("wall", 3.0, pytest.approx(72.5, abs=0.3), 25.0) == (wall.name, wall.low, wall.high, wall.now)
    assert wall.now in wall.values
