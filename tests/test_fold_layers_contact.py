"""Where a folded sheet touches itself: areas, depths and lines by closed forms."""

import numpy as np
import pytest

from folder.fold.layers.contact import Contacts, contacts_of, least_part_mm, no_contacts
from folder.fold.place import folded
from folder.pattern.faces.faces import faces_of
from folder.pattern.pattern import Pattern
from tests.folds import strip

TOUCH_MM = 0.3


def contacts(pattern: Pattern, margin_mm: float | None = None) -> Contacts:
    return contacts_of(folded(faces_of(pattern)), TOUCH_MM, margin_mm)


def test_an_open_corner_touches_nowhere() -> None:
    found = contacts(strip([40.0, 30.0], [90.0]))
    assert 0 == len(found.flat) + len(found.crossing) + len(found.edge_in_face) + len(found.collinear_edges)
    assert found.complete


@pytest.mark.parametrize(("over", "area"), [(10.0, 200.0), (25.0, 500.0), (40.0, 800.0), (55.0, 800.0)])
def test_two_panels_folded_flat_overlap_by_the_narrower_one(over: float, area: float) -> None:
    """20 mm deep; the floor is 40 mm wide."""
    found = contacts(strip([40.0, over], [180.0]))
    assert [[0, 1]] == found.flat.tolist()
    assert [area] == pytest.approx(found.flat_mm2.tolist())
    x, y, z = found.flat_at[0]
    assert 40.0 - min(over, 40.0) < x < 40.0
    assert 0.0 < y < 20.0
    assert z == pytest.approx(0.0)


def test_a_wall_that_leans_back_through_the_floor_crosses_it_by_its_depth() -> None:
    """A pleat stands 20 mm up over the floor and comes down 30 mm, 10 mm through; the panels are 20 mm deep, so 10 counts."""
    found = contacts(strip([60.0, 20.0, 20.0, 30.0], [90.0, 90.0, 90.0]))
    assert 1 == len(found.crossing)
    assert [10.0] == pytest.approx(found.crossing_mm.tolist())
    assert [40.0, 0.0] == pytest.approx(found.crossing_at[0, [0, 2]].tolist())


@pytest.mark.parametrize("over", [0.2, 0.4])
def test_what_crosses_by_less_than_the_tolerance_touches(over: float) -> None:
    found = contacts(strip([60.0, 20.0, 20.0, 20.0 + over], [90.0, 90.0, 90.0]))
    assert (over > TOUCH_MM) == bool(len(found.crossing))


def test_a_fold_that_ends_on_a_layer_runs_through_its_inside() -> None:
    """A letter fold of 40, 30 and 10 mm: its second fold lies 30 mm from the first, inside the floor's 40."""
    found = contacts(strip([40.0, 30.0, 10.0], [180.0, 180.0]))
    faces = faces_of(strip([40.0, 30.0, 10.0], [180.0, 180.0]))
    edge, face = found.edge_in_face[0].tolist()
    assert 1 == len(found.edge_in_face)
    assert faces.root == face
    assert [70.0, 70.0] == faces.vertices[faces.edges[edge], 0].tolist()
    assert 10.0 == pytest.approx(found.edge_in_face_at[0, 0])


@pytest.mark.parametrize(("short", "found_mm"), [(0.2, 1), (0.4, 0), (1.2, 0)])
def test_folds_along_each_other_are_collinear_up_to_the_margin(short: float, found_mm: int) -> None:
    """A letter of three: the folds at 40 and 40 + 30 - `short` + 30; the third panel's end fold comes to the first fold."""
    found = contacts(strip([40.0, 30.0, 30.0 - short, 30.0], [180.0, -180.0, 180.0]))
    assert found_mm == len(found.collinear_edges)
    wider = contacts(strip([40.0, 30.0, 30.0 - short, 30.0], [180.0, -180.0, 180.0]), margin_mm=1.5)
    assert 1 == len(wider.collinear_edges)


def test_a_part_counts_from_the_tolerance_on_or_half_the_margin() -> None:
    assert (0.3, 0.75) == (least_part_mm(0.3, 0.3), least_part_mm(0.3, 1.5))


def test_nothing_looked_at_is_told_from_nothing_found() -> None:
    assert no_contacts(complete=True).complete
    assert not no_contacts(complete=False).complete
    assert (0, 3) == no_contacts(complete=True).flat_at.shape
    assert np.empty((0, 2)).shape == no_contacts(complete=True).collinear_edges.shape
