import math

import pytest
import trimesh

from folder.errors import BadRequest
from folder.hull.weight import Weight, foil_weight
from tests.skins import box, ring_hull


def test_weights_add_about_their_common_centre() -> None:
    both = Weight(30.0, (0.0, 0.0, 4.0)) + Weight(10.0, (8.0, -4.0, 0.0))
    assert both == Weight(40.0, (2.0, -1.0, 3.0))


def test_nothing_added_to_nothing_is_nothing() -> None:
    assert Weight(0.0) + Weight(0.0, (1.0, 1.0, 1.0)) == Weight(0.0)


def test_a_sheet_of_150_mm_weighs_what_foil_weighs() -> None:
    """16 um: 0.972 g, 24 um: 1.458 g (150 mm square at 2.70 g/cm3)."""
    sheet = ring_hull([(100, 100, 0), (150, 150, 0)])
    assert foil_weight(sheet, 16.0).mass_g == pytest.approx(0.972, abs=1e-12)
    assert foil_weight(sheet, 24.0).mass_g == pytest.approx(1.458, abs=1e-12)


def test_the_centre_of_the_foil_is_the_one_of_its_surface() -> None:
    skin = box(100, 60, 25)
    mesh = trimesh.Trimesh(skin.vertices, skin.triangles, process=False)
    assert foil_weight(skin, 16.0).centre_mm == pytest.approx(tuple(mesh.centroid), abs=1e-12)


@pytest.mark.parametrize("mass", [-1.0, math.nan, math.inf, 2e6])
def test_a_mass_no_load_can_have_is_refused_in_one_line(mass: float) -> None:
    with pytest.raises(BadRequest, match="a mass must be from 0 to 1000000 g") as caught:
        Weight(mass)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("place", [math.nan, math.inf, -1e5])
def test_a_centre_nowhere_near_the_hull_is_refused(place: float) -> None:
    with pytest.raises(BadRequest, match="centre of mass"):
        Weight(1.0, (0.0, place, 0.0))
