import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from folder.hull.rim import spill
from folder.hull.skin import Skin
from folder.water.displace import Pose, displacement, drafts, frames, volumes
from tests.boxes import SEA, TONNE_G, folded_box, folded_frustum
from tests.skins import below_water, box, frustum, lopsided, ring_hull, subdivided

SEEDS = st.integers(0, 10_000)


def a_pose(chance: np.random.Generator, skin: Skin) -> Pose:
    """A tilted pose with the water below the rim."""
    up = Pose.tilted(0.0, *chance.uniform(-0.12, 0.12, 2)).up
    return Pose(chance.uniform(0.4, 0.95) * spill(skin.vertices @ np.array(up), skin)[0], up)


@given(SEEDS)
def test_volume_and_centre_are_those_trimesh_finds(seed: int) -> None:
    chance = np.random.default_rng(seed)
    skin = lopsided(chance)
    pose = a_pose(chance, skin)
    volume, centre = below_water(skin, np.array(pose.up), pose.draft_mm)
    found = displacement(skin, pose)
    assert found.volume_mm3 == pytest.approx(volume, rel=1e-10)
    assert found.centre_mm == pytest.approx(tuple(centre), abs=1e-8)


@given(SEEDS)
def test_the_waterplane_is_how_fast_the_volume_grows(seed: int) -> None:
    chance = np.random.default_rng(seed)
    skin = lopsided(chance)
    pose = a_pose(chance, skin)
    grown = volumes(skin, pose.draft_mm + np.array([-1e-4, 1e-4]), pose.up)
    assert displacement(skin, pose).waterplane_mm2 == pytest.approx((grown[1] - grown[0]) / 2e-4, rel=1e-6)


@given(SEEDS)
def test_cutting_the_triangles_finer_changes_nothing(seed: int) -> None:
    chance = np.random.default_rng(seed)
    skin = lopsided(chance)
    pose = a_pose(chance, skin)
    whole, fine = displacement(skin, pose), displacement(subdivided(skin, 2), pose)
    assert fine.volume_mm3 == pytest.approx(whole.volume_mm3, rel=1e-11)
    assert fine.centre_mm == pytest.approx(whole.centre_mm, abs=1e-9)
    assert fine.least_moment_mm4 == pytest.approx(whole.least_moment_mm4, rel=1e-9)


@given(SEEDS, st.floats(0.5, 8.0))
def test_a_hull_k_times_as_large_displaces_k_cubed_times_as_much(seed: int, k: float) -> None:
    chance = np.random.default_rng(seed)
    skin = lopsided(chance)
    pose = a_pose(chance, skin)
    large = Skin.of(skin.vertices * k, skin.triangles, skin.floor)
    small, big = displacement(skin, pose), displacement(large, Pose(pose.draft_mm * k, pose.up))
    assert big.volume_mm3 == pytest.approx(small.volume_mm3 * k**3, rel=1e-11)
    assert big.least_moment_mm4 == pytest.approx(small.least_moment_mm4 * k**4, rel=1e-9)


def test_the_least_moment_of_an_oblong_is_about_its_long_axis() -> None:
    """b^3 l / 12 (any mechanics text)."""
    assert displacement(box(80, 30, 20), Pose(7.0)).least_moment_mm4 == pytest.approx(30**3 * 80 / 12, rel=1e-12)


@given(SEEDS)
def test_the_draft_for_a_volume_displaces_that_volume_at_every_tilt(seed: int) -> None:
    chance = np.random.default_rng(seed)
    skin = lopsided(chance)
    poses = [a_pose(chance, skin) for _ in range(5)]
    ups = np.array([p.up for p in poses])
    target = chance.uniform(1e3, 5e4)
    for draft, up in zip(drafts(skin, ups, target), ups, strict=True):
        assert volumes(skin, np.array([draft]), tuple(up))[0] == pytest.approx(target, rel=1e-9)


def test_above_the_rim_a_hull_displaces_as_if_upright_walls_stood_on_it() -> None:
    assert volumes(frustum(80, 80, 110, 110, 20), np.array([20.0, 23.0])).tolist() == pytest.approx(
        [182_000.0, 182_000.0 + 3 * 110**2], rel=1e-12
    )


def test_a_hem_adds_and_takes_nothing() -> None:
    plain = ring_hull([(100, 100, 0), (120, 120, 25)])
    hemmed = ring_hull([(100, 100, 0), (120, 120, 25), (120, 120, 10)])
    levels = np.linspace(0, 25, 11)
    assert volumes(hemmed, levels).tolist() == pytest.approx(volumes(plain, levels).tolist(), rel=1e-12)


def test_flaps_folded_flat_on_a_leaning_wall_cancel() -> None:
    tray = folded_frustum(80, 110, 20)
    assert volumes(tray.skin, np.array([20.0]))[0] == pytest.approx(182_000.0, rel=1e-9)


def test_a_frustum_holds_what_the_formula_says() -> None:
    """h/3 (A1 + A2 + sqrt(A1 A2)): 8 x 8 to 11 x 11, h 2: 182 (Derrett; scaled by ten)."""
    tray = folded_frustum(80, 110, 20)
    assert displacement(tray.skin, Pose(tray.rim_height_mm)).volume_mm3 == pytest.approx(182_000.0, rel=1e-9)


def test_a_box_of_50_by_10_and_1640_t_in_sea_water_draws_3_2() -> None:
    """Derrett: draft 3.2, KB 1.6."""
    skin = folded_box(50, 10, 6).skin
    volume = 1640 * TONNE_G / SEA.density_g_per_mm3
    draft = float(drafts(skin, np.array([[0.0, 0.0, 1.0]]), volume)[0])
    assert draft == pytest.approx(3.2, abs=1e-9)
    assert displacement(skin, Pose(draft)).centre_mm[2] == pytest.approx(1.6, abs=1e-9)


@given(st.floats(-1.3, 1.3), st.floats(-0.2, 0.2))
def test_a_pose_tells_the_heel_and_trim_it_was_made_from(heel: float, trim: float) -> None:
    pose = Pose.tilted(3.0, heel, trim)
    assert pose.heel_rad == pytest.approx(heel, abs=1e-12)
    assert pose.trim_rad == pytest.approx(trim, abs=1e-12)
    assert math.hypot(*pose.up) == pytest.approx(1.0)


def test_a_level_pose_has_no_tilt_and_no_minus_zero() -> None:
    pose = Pose(3.0)
    assert [0.0, 0.0, 0.0] == [pose.heel_rad, pose.trim_rad, pose.tilt_rad]
    assert math.copysign(1.0, pose.heel_rad) == 1.0


def test_heel_lowers_the_x_side_and_trim_the_y_side() -> None:
    assert np.array(Pose.tilted(0.0, 0.1, 0.0).up) @ [50, 0, 0] < 0
    assert np.array(Pose.tilted(0.0, 0.0, 0.1).up) @ [0, 50, 0] < 0


def test_a_hull_cannot_be_posed_upside_down() -> None:
    with pytest.raises(ValueError, match="turn the hull over"):
        Pose.tilted(0.0, 1.2, 1.2)


@given(SEEDS)
def test_the_waters_axes_are_square_to_each_other(seed: int) -> None:
    up = np.array([Pose.tilted(0.0, *np.random.default_rng(seed).uniform(-0.7, 0.7, 2)).up])
    axes = frames(up)[0]
    assert axes @ axes.T == pytest.approx(np.eye(3), abs=1e-12)
    assert np.linalg.det(axes) == pytest.approx(1.0)
    assert axes[2].tolist() == up[0].tolist()


def test_out_of_the_water_nothing_is_displaced_and_nothing_is_undefined() -> None:
    found = displacement(box(10, 10, 5), Pose(-1.0))
    assert (0.0, (0.0, 0.0, 0.0), 0.0, 0.0) == (
        found.volume_mm3, found.centre_mm, found.waterplane_mm2, found.least_moment_mm4,
    )  # fmt: skip
