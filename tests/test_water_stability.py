import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from folder.hull.weight import Weight
from folder.water.displace import Pose, drafts
from folder.water.equilibrium.rest import rest
from folder.water.fluid import Water
from folder.water.stability import (
    flooding_angle,
    metacentre,
    righting,
    righting_arms,
    tilted_ups,
)
from tests.boxes import SEA, TONNE_G, folded_box
from tests.skins import below_water, box, lopsided

FRESH = Water.of(20.0)
ACROSS = math.pi / 2
"""Toward +y, across a hull whose length is along x."""


def laden(length: float, breadth: float, draft: float, kg: float) -> Weight:
    """The weight with which a box draws that much in sea water."""
    return Weight(length * breadth * draft * SEA.density_g_per_mm3, (0.0, 0.0, kg))


def moment_t_m(weight: Weight, arm_mm: float) -> float:
    """The moment in the textbook's tonnes and metres."""
    return weight.mass_g / TONNE_G * arm_mm


def arm(length: float, breadth: float, wall: float, weight: Weight, heel_deg: float) -> float:
    """The righting arm of a folded box, tilted across."""
    skin = folded_box(length, breadth, wall).skin
    arms = righting_arms(skin, weight, SEA, ACROSS, np.radians([heel_deg]))
    assert arms.freeboard_mm[0] > 0
    return float(arms.arm_mm[0])


def test_a_box_65_by_12_is_as_stable_as_the_textbook_says() -> None:
    """Derrett: draft 4, KG 4, sea water: W 3198 t, KB 2, BM 3, GM 1; 5 deg: 278.9 t m; 25 deg, wall-sided: 1792.36."""
    weight = laden(65, 12, 4, 4)
    assert weight.mass_g / TONNE_G == pytest.approx(3198, abs=1e-9)
    found = metacentre(folded_box(65, 12, 8).skin, weight, SEA)
    assert (found.draft_mm, found.kb_mm, found.bm_mm, found.km_mm, found.gm_mm) == pytest.approx((4, 2, 3, 5, 1), abs=1e-9)
    assert moment_t_m(weight, found.gm_mm * math.sin(math.radians(5))) == pytest.approx(278.9, rel=1e-3)
    assert moment_t_m(weight, arm(65, 12, 8, weight, 25)) == pytest.approx(1792.36, abs=0.01)


def test_a_box_55_by_7_5_is_as_stable_as_the_textbook_says() -> None:
    """Derrett: draft 4, KG 2.7: BM 1.171875, KM 3.171875, GM 0.471875; 6 deg: 83.42, 24 deg: 404.498 t m."""
    weight = laden(55, 7.5, 4, 2.7)
    found = metacentre(folded_box(55, 7.5, 6).skin, weight, SEA)
    assert (found.bm_mm, found.km_mm, found.gm_mm) == pytest.approx((1.171875, 3.171875, 0.471875), abs=1e-9)
    assert moment_t_m(weight, found.gm_mm * math.sin(math.radians(6))) == pytest.approx(83.42, abs=5e-3)
    assert moment_t_m(weight, arm(55, 7.5, 6, weight, 24)) == pytest.approx(404.498, abs=5e-3)


def test_a_wall_sided_hull_rights_itself_by_the_wall_sided_formula() -> None:
    """GZ = sin q (GM + BM tan^2 q / 2): GM 0.5, BM 3, 25 deg: 0.35 (Derrett)."""
    assert arm(65, 12, 8, laden(65, 12, 4, 4.5), 25) == pytest.approx(0.35, abs=5e-3)


def test_the_least_km_of_a_box_is_where_the_textbook_has_it() -> None:
    """Derrett: at draft B / sqrt 6; B = 10: KM 4.08."""
    skin = folded_box(60, 10, 8).skin
    found = {round(d, 3): metacentre(skin, laden(60, 10, d, 0), SEA).km_mm for d in np.arange(3.5, 4.7, 0.001)}
    least = min(found, key=lambda d: found[d])
    assert least == pytest.approx(10 / math.sqrt(6), abs=1e-3)
    assert found[least] == pytest.approx(4.08, abs=5e-3)


def test_the_angle_of_loll_is_that_of_the_wall_sided_formula() -> None:
    """tan q = sqrt(-2 GM / BM): BM 3.84375, GM -0.83: 33.31 deg (Derrett)."""
    breadth, bm, gm = 20.0, 3.84375, -0.83
    draft = breadth**2 / (12 * bm)
    weight = laden(60, breadth, draft, draft / 2 + bm - gm)
    skin = folded_box(60, breadth, 17).skin
    assert metacentre(skin, weight, SEA).gm_mm == pytest.approx(gm, abs=1e-9)
    found = rest(skin, weight, SEA)
    assert math.degrees(found.pose.tilt_rad) == pytest.approx(33.31, abs=5e-3)
    assert found.state == "floats"


def test_a_stable_hull_has_no_loll() -> None:
    assert 1e-6 > rest(folded_box(65, 12, 8).skin, laden(65, 12, 4, 4), SEA).pose.tilt_rad


def test_the_edge_goes_under_where_half_beam_and_freeboard_say() -> None:
    """Half beam 9, freeboard 8: 41.6 deg (Derrett), for a draft that keeps the bottom in the water."""
    skin = folded_box(60, 18, 17).skin
    found = flooding_angle(skin, laden(60, 18, 9, 5), SEA, ACROSS)
    assert math.degrees(found or 0.0) == pytest.approx(math.degrees(math.atan(8 / 9)), abs=1e-6)
    assert math.degrees(found or 0.0) == pytest.approx(41.6, abs=0.05)


def test_a_hull_that_is_too_heavy_floods_without_being_tilted() -> None:
    assert flooding_angle(box(100, 100, 25), Weight(300.0), FRESH, 0.0) == 0.0


def test_a_light_hull_held_at_80_deg_may_still_be_dry() -> None:
    assert flooding_angle(box(10, 200, 100), Weight(1.0), FRESH, ACROSS) is None


@given(st.integers(0, 10_000), st.floats(0, 6.28), st.floats(0.02, 0.12))
def test_the_righting_arm_is_how_far_trimeshs_centre_of_buoyancy_moves_out(seed: int, toward: float, heel: float) -> None:
    chance = np.random.default_rng(seed)
    skin, weight = lopsided(chance), Weight(40.0, (1.0, -2.0, 6.0))
    arms = righting_arms(skin, weight, FRESH, toward, np.array([heel]))
    up = tilted_ups(np.array([toward]), np.array([heel]))[0]
    draft = (skin.vertices @ up)[4:].min() - arms.freeboard_mm[0]
    volume, centre = below_water(skin, up, draft)
    assert volume == pytest.approx(40.0 / FRESH.density_g_per_mm3, rel=1e-9)
    low = np.array([math.cos(toward), math.sin(toward), 0.0]) * math.cos(heel) + np.array([0, 0, math.sin(heel)])
    assert arms.arm_mm[0] == pytest.approx((centre - weight.centre_mm) @ low, abs=1e-7)


def test_small_tilts_are_answered_by_gm() -> None:
    skin, weight = box(100, 60, 25), Weight(60.0, (0.0, 0.0, 6.0))
    arms = righting_arms(skin, weight, FRESH, ACROSS, np.array([1e-4]))
    assert arms.arm_mm[0] / 1e-4 == pytest.approx(metacentre(skin, weight, FRESH).gm_mm, rel=1e-6)


def test_toward_names_the_side_that_goes_down() -> None:
    ups = tilted_ups(np.array([0.0, ACROSS]), np.array([0.1, 0.1]))
    assert ups[0] == pytest.approx(Pose.tilted(0.0, 0.1, 0.0).up)
    assert ups[1] == pytest.approx(Pose.tilted(0.0, 0.0, 0.1).up)


def test_a_level_box_is_pushed_over_toward_its_weak_side_by_the_wall_sided_formula() -> None:
    """A narrow box, long fore and aft: across. GZ = sin q (GM + BM tan^2 q / 2); the edge goes under at tan q = f / (B / 2).

    Half beam 9, freeboard 8: 41.6 deg (Derrett).
    """
    skin, weight = box(200, 18, 16), laden(200, 18, 8, 5)
    pose = rest(skin, weight, SEA).pose
    assert pose is not None
    found, bm, gm = righting(skin, weight, SEA, pose), 18**2 / (12 * 8), 8 / 2 + 18**2 / (12 * 8) - 5
    assert 41.6 == pytest.approx(math.degrees(found.flooding_rad or 0.0), abs=0.05)
    assert abs(math.sin(found.toward_rad)) == pytest.approx(1.0)
    heel = np.array(found.heel_rad)
    assert np.array(found.arm_mm) == pytest.approx(np.sin(heel) * (gm + bm * np.tan(heel) ** 2 / 2), abs=1e-6)
    assert found.vanishing_rad is None


@given(st.integers(0, 10_000))
def test_the_arms_of_a_loaded_hull_are_those_that_trimesh_finds_and_none_where_it_rests(seed: int) -> None:
    """Any lopsided hull, its load off the middle: how far trimesh's centre of buoyancy lies beside the weight."""
    chance = np.random.default_rng(seed)
    skin, weight = lopsided(chance), Weight(30.0, tuple(chance.uniform([-6, -6, 3], [6, 6, 8]).tolist()))
    pose = rest(skin, weight, FRESH).pose
    if pose is None:
        return
    found = righting(skin, weight, FRESH, pose)
    k = int(chance.integers(len(found.heel_rad)))
    up = tilted_ups(np.array([found.toward_rad]), np.array(found.heel_rad[k : k + 1]))[0]
    draft = drafts(skin, up[None], weight.mass_g / FRESH.density_g_per_mm3)[0]
    volume, centre = below_water(skin, up, float(draft))
    assert abs(volume) == pytest.approx(weight.mass_g / FRESH.density_g_per_mm3, rel=1e-6)
    low = np.array([math.cos(found.toward_rad), math.sin(found.toward_rad), 0.0])
    down = low - (low @ up) * up
    assert (centre - np.array(weight.centre_mm)) @ down / np.linalg.norm(down) == pytest.approx(found.arm_mm[k], abs=1e-4)
    if pose.tilt_rad > math.radians(0.2):
        at_rest = righting_arms(skin, weight, FRESH, found.toward_rad, np.array([pose.tilt_rad]))
        assert at_rest.arm_mm[0] == pytest.approx(0.0, abs=1e-3)
