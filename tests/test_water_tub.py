import math

import pytest

from folder.errors import BadRequest
from folder.hull.weight import Weight
from folder.water.displace import Pose
from folder.water.equilibrium.rest import rest
from folder.water.fluid import Water
from folder.water.tub import Tub, in_tub
from tests.skins import box


def test_the_level_rises_by_the_displaced_volume_over_the_tubs_area() -> None:
    """100 cm3 in a tub of 400 x 250 mm: 1 mm."""
    found = in_tub(box(100, 100, 25), Pose(10.0), Tub(400, 250, wall_mm=100, depth_mm=50))
    assert found.rise_mm == pytest.approx(1.0, rel=1e-12)
    assert found.under_keel_mm == pytest.approx(41.0, rel=1e-12)
    assert (found.grounds, found.fits, found.spill_mm3) == (False, True, 0.0)


def test_a_tub_filled_to_the_edge_runs_over_by_what_the_hull_displaces() -> None:
    found = in_tub(box(100, 100, 25), Pose(10.0), Tub(400, 250, wall_mm=50, depth_mm=50))
    assert (found.rise_mm, found.spill_mm3) == (0.0, pytest.approx(100_000.0, rel=1e-12))


def test_a_deep_hull_grounds_in_shallow_water_the_more_so_when_it_leans() -> None:
    tub = Tub(2000, 2000, wall_mm=100, depth_mm=15)
    assert not in_tub(box(100, 100, 25), Pose(14.0), tub).grounds
    assert in_tub(box(100, 100, 25), Pose.tilted(14.0, math.radians(3)), tub).grounds
    assert in_tub(box(100, 100, 25), Pose(16.0), tub).under_keel_mm == pytest.approx(-0.96, abs=1e-9)


def test_what_floats_weighs_what_the_rise_weighs() -> None:
    """Archimedes, from the other side: the rise times the tub's area is the weight in water."""
    water, tub = Water.of(20.0, 35.0), Tub(300, 200, 100, 60)
    lying = rest(box(100, 100, 25), Weight(120.0, (3.0, 2.0, 6.0)), water)
    assert lying.pose is not None
    rise = in_tub(box(100, 100, 25), lying.pose, tub).rise_mm
    assert rise * 300 * 200 * water.density_g_per_mm3 == pytest.approx(120.0, rel=1e-12)


def test_a_hull_longer_than_the_tub_does_not_fit_either_way_round() -> None:
    assert in_tub(box(180, 90, 25), Pose(5.0), Tub(100, 200, 100, 50)).fits
    assert not in_tub(box(210, 90, 25), Pose(5.0), Tub(100, 200, 100, 50)).fits
    assert not in_tub(box(180, 110, 25), Pose(5.0), Tub(100, 200, 100, 50)).fits


@pytest.mark.parametrize("size", [0.0, -5.0, math.nan, math.inf, 1e6])
def test_a_tub_no_hall_has_is_refused_in_one_line(size: float) -> None:
    with pytest.raises(BadRequest, match="the tub's width must be more than 0 and at most 20000 mm"):
        Tub(400, size, 100, 50)


def test_water_higher_than_the_tub_is_refused() -> None:
    with pytest.raises(BadRequest, match="60 mm of water, 50 mm of wall"):
        Tub(400, 300, wall_mm=50, depth_mm=60)
