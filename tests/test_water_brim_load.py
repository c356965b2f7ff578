import math

import numpy as np
import pytest

from folder.errors import BadRequest
from folder.hull.weight import Weight
from folder.water.brim_load import brim_load
from folder.water.displace import Pose
from folder.water.equilibrium.rest import standing_on_floor
from folder.water.flooding.load import flooding_loads
from folder.water.fluid import Water
from tests.boxes import folded_box, folded_frustum
from tests.skins import box, ring_hull

FRESH = Water.of(20.0)


def test_the_plain_tray_carries_248_6_g_at_its_brim() -> None:
    """250 cm3 of water at 998.2 kg/m3 less 0.972 g of foil."""
    tray = folded_box(100, 100, 25)
    found = brim_load(tray.skin, tray.weight, FRESH)
    assert found.load_g == pytest.approx(250.0 * 0.9982067 - 0.972, abs=1e-4)
    assert round(found.load_g, 1) == 248.6
    assert (found.rim_mm, found.volume_mm3, found.waterplane_mm2) == pytest.approx((25.0, 250_000.0, 10_000.0), rel=1e-12)
    assert found.at in {(x, y, 25.0) for x in (-50.0, 50.0) for y in (-50.0, 50.0)} or found.at == pytest.approx(
        (math.copysign(50, found.at[0]), math.copysign(50, found.at[1]), 25.0)
    )


@pytest.mark.parametrize(("wall_cm", "volume_cm3"), [(1, 169), (1.5, 216), (2, 242), (2.5, 250), (3, 243), (3.5, 224), (4, 196)])
def test_trays_of_15_cm_hold_what_x_times_a_less_2x_squared_says(wall_cm: float, volume_cm3: float) -> None:
    """V = x (a - 2 x)^2, a = 15 cm (textbook)."""
    wall = wall_cm * 10
    tray = folded_box(150 - 2 * wall, 150 - 2 * wall, wall)
    assert brim_load(tray.skin, tray.weight, FRESH).volume_mm3 == pytest.approx(volume_cm3 * 1000, abs=500)
    assert brim_load(tray.skin, tray.weight, FRESH).volume_mm3 == pytest.approx(wall * (150 - 2 * wall) ** 2, rel=1e-9)


def test_the_leaning_tray_at_its_best_holds_291_67_cm3() -> None:
    """a = 15 cm: s 3.486 cm, f 57.91 deg, V 291.67 cm3."""
    s, f = 34.86, math.radians(57.91)
    tray = folded_frustum(150 - 2 * s, 150 - 2 * s + 2 * s * math.cos(f), s * math.sin(f))
    assert brim_load(tray.skin, tray.weight, FRESH).volume_mm3 == pytest.approx(291_670, abs=10)


def test_no_15_cm_class_load_exceeds_the_best_trays_brim() -> None:
    """One class, US cents of 2.5 g on 15 cm squares: 20, 12, 45, 6, 15, 11, 23, 65 (public-broadcast science pages)."""
    tray = folded_box(100, 100, 25)
    assert max(20, 12, 45, 6, 15, 11, 23, 65) * 2.5 < brim_load(tray.skin, tray.weight, FRESH).load_g


def test_water_standing_above_the_rim_is_a_slab_over_the_waterplane() -> None:
    """2.73 mm at 60 deg (2 l sin(q / 2), 20 C)."""
    tray = folded_box(100, 100, 25)
    found = brim_load(tray.skin, tray.weight, FRESH)
    slab = 10_000 * FRESH.density_g_per_mm3
    assert found.surface_tension_g - found.load_g == pytest.approx(2.73 * slab, abs=0.05)


def test_warm_water_and_salt_change_the_brim_load_as_the_density_does() -> None:
    skin = box(100, 100, 25)
    fresh, warm, sea = (brim_load(skin, Weight(1.0), w).load_g for w in (FRESH, Water.of(35.0), Water.of(20.0, 35.0)))
    assert warm < fresh < sea
    assert (sea + 1) / (fresh + 1) == pytest.approx(1.0248 / 0.9982, rel=1e-4)


def test_a_lopsided_hulls_best_place_keeps_its_floor_level() -> None:
    skin = box(100, 100, 25)
    own = Weight(50.0, (-10.0, 0.0, 6.0))
    found = brim_load(skin, own, FRESH)
    assert found.level_at == pytest.approx((10.0 * 50.0 / found.load_g, 0.0), abs=1e-9)
    off_level = flooding_loads(skin, own, np.array([[*found.level_at, 5.0]]), FRESH)
    assert off_level.load_g == pytest.approx(found.load_g, rel=1e-9)
    assert off_level.ups[0] == pytest.approx((0.0, 0.0, 1.0), abs=1e-9)


def test_a_hull_too_heavy_for_itself_carries_nothing_and_nothing_less() -> None:
    found = brim_load(box(100, 100, 25), Weight(400.0), FRESH)
    assert (found.load_g, found.level_at, found.surface_tension_g) == (0.0, (0.0, 0.0), 0.0)


def test_a_sheet_without_walls_carries_nothing_at_its_brim() -> None:
    assert brim_load(ring_hull([(100, 100, 0), (150, 150, 0)]), Weight(1.0), FRESH).load_g == 0.0


def test_the_flooding_load_says_where_and_how_far_over() -> None:
    """150 g in all, 10 mm off and 8 mm up, heels 10.15 deg with 1 mm to spare: a little more floods the +x side."""
    skin = box(100, 100, 25)
    found = flooding_loads(skin, Weight(1e-6), np.array([[10.0, 0.0, 8.0]]), FRESH)
    assert 150 < found.load_g[0] < 160
    assert not found.capsizes[0]
    assert skin.vertices[found.vertices[0], 0] == 50.0
    pose = Pose(0.0, tuple(found.ups[0].tolist()))
    assert 10.15 < math.degrees(pose.heel_rad) < 11
    assert pose.trim_rad == pytest.approx(0.0, abs=1e-9)


def test_flooding_loads_round_the_middle_are_those_one_by_one() -> None:
    skin, own = box(100, 80, 25), Weight(1.0, (0.0, 0.0, 6.0))
    turns = np.arange(8) * math.pi / 4
    places = np.column_stack([10 * np.cos(turns), 10 * np.sin(turns), np.full(8, 5.0)])
    around = flooding_loads(skin, own, places, FRESH)
    for i in range(8):
        assert around.load_g[i] == pytest.approx(flooding_loads(skin, own, places[i : i + 1], FRESH).load_g[0], rel=1e-9)


def test_loads_beside_the_floor_are_refused() -> None:
    skin = box(100, 80, 25)
    with pytest.raises(BadRequest, match="must stand on the floor"):
        standing_on_floor(skin, Weight(1.0, (51.0, 0.0, 0.0)))
    with pytest.raises(BadRequest, match="below the floor"):
        standing_on_floor(skin, Weight(1.0, (49.0, 0.0, -1.0)))


def test_what_comes_out_cannot_be_written_to() -> None:
    found = flooding_loads(box(100, 80, 25), Weight(1.0), np.array([[10.0, 0.0, 0.0]]), FRESH)
    with pytest.raises(ValueError, match="read-only"):
        found.load_g[0] = np.nan
