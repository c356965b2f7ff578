import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from msgspec.structs import replace
from scipy.optimize import fsolve

from folder.errors import BadRequest
from folder.hull.rim import spill, spill_elevations
from folder.hull.skin import Skin
from folder.hull.weight import Weight
from folder.water.displace import Pose, displacement
from folder.water.equilibrium.rest import Rest, rest, standing_on_floor
from folder.water.fluid import Water
from tests.boxes import SEA, TONNE_G, folded_box, folded_keel
from tests.skins import below_water, box, frustum, lopsided, ring_hull

SEEDS = st.integers(0, 10_000)
FRESH = Water.of(20.0)


def afloat(found: Rest) -> tuple[Pose, float]:
    """The pose and the displaced volume of a hull that floats."""
    assert found.state == "floats"
    assert found.pose is not None
    assert found.displaced_mm3 is not None
    return found.pose, found.displaced_mm3


def a_weight(chance: np.random.Generator, skin: Skin) -> Weight:
    """A load the hull floats with: up to half of what it displaces at its rim, not far from the middle of that."""
    rim = displacement(skin, Pose(spill(skin.vertices[:, 2], skin)[0]))
    x, y, z = (np.array([*rim.centre_mm[:2], 0.0]) + chance.uniform([-4, -4, 2], [4, 4, 12])).tolist()
    return Weight(chance.uniform(0.1, 0.5) * rim.volume_mm3 * FRESH.density_g_per_mm3, (x, y, z))


def test_a_tray_with_40_coins_floats_as_worked_out_by_hand() -> None:
    """15 cm tray, floor 100 x 100, wall 25, foil 16 um, 40 cents of 2.5 g one deep (1.52 mm), 20 C: computed there."""
    tray = folded_box(100, 100, 25)
    total = tray.weight + Weight(100.0, (0.0, 0.0, 0.76))
    found = rest(tray.skin, total, FRESH)
    assert total.mass_g == pytest.approx(100.97, abs=5e-3)
    assert found.draft_mm == pytest.approx(10.115, abs=5e-4)
    assert found.freeboard is not None
    assert found.freeboard.least_mm == pytest.approx(14.885, abs=5e-4)
    assert (found.kb_mm, found.bm_mm, found.gm_mm) == (
        pytest.approx(5.06, abs=5e-3), pytest.approx(82.38, abs=5e-3), pytest.approx(86.6, abs=0.05),
    )  # fmt: skip


def test_one_coin_of_40_moved_40_mm_tilts_the_tray_by_two_thirds_of_a_degree() -> None:
    """Same tray: 0.66 deg, the rim drops 0.57 mm."""
    tray = folded_box(100, 100, 25)
    total = tray.weight + Weight(97.5, (0.0, 0.0, 0.76)) + Weight(2.5, (40.0, 0.0, 0.76))
    found, level = rest(tray.skin, total, FRESH), rest(tray.skin, replace(total, centre_mm=(0.0, 0.0, 0.8)), FRESH)
    assert math.degrees(found.heel_rad or 0.0) == pytest.approx(0.66, abs=5e-3)
    assert found.freeboard is not None
    assert level.freeboard is not None
    assert level.freeboard.least_mm - found.freeboard.least_mm == pytest.approx(0.57, abs=5e-3)


@pytest.mark.parametrize(("mass", "off", "heel_deg", "least"), [(100, 5, 3.56, 11.85), (150, 10, 10.15, 1.006)])
def test_a_load_off_the_middle_tilts_the_tray(mass: float, off: float, heel_deg: float, least: float) -> None:
    """Same tray, mass in all and centre of mass 8 mm up: general pose, computed there (they print 1.00 for 1.006)."""
    for place, tilt in (((off, 0.0, 8.0), "heel_rad"), ((0.0, off, 8.0), "trim_rad")):
        found = rest(folded_box(100, 100, 25).skin, Weight(mass, place), FRESH)
        assert math.degrees(getattr(found, tilt)) == pytest.approx(heel_deg, abs=5e-3)
        assert found.freeboard is not None
        assert found.freeboard.least_mm == pytest.approx(least, abs=5e-3)
        assert found.freeboard.at in {corner.at for corner in found.freeboard.corners}


@pytest.mark.parametrize(
    ("mass_t", "moved_t_m", "gm", "list_deg"), [(5000, 20 * 5, 0.3, 3.8), (8000, 1200, 2.0, 4.29), (10000, 1000, 0.6, 9.46)]
)
def test_a_weight_moved_across_gives_the_list_of_the_textbook(
    mass_t: float, moved_t_m: float, gm: float, list_deg: float
) -> None:
    """tan q = w d / (W GM) (Derrett). A deep narrow box, BM a thousandth of GM, answers as the formula has it."""
    scale = 10.0
    mass, gm_mm = mass_t * 0.01, gm * scale
    draft, breadth = 60.0, 7.0
    bm = breadth**2 / (12 * draft)
    assert bm < 0.03 * gm_mm
    length = mass / SEA.density_g_per_mm3 / (draft * breadth)
    kg = draft / 2 + bm - gm_mm
    skin = folded_box(length, breadth, 80.0).skin
    across = moved_t_m * scale / mass_t
    found = rest(skin, Weight(mass, (0.0, across, kg)), SEA)
    pose, _ = afloat(found)
    assert math.degrees(pose.trim_rad) == pytest.approx(list_deg, abs=0.02)
    assert pose.heel_rad == pytest.approx(0.0, abs=1e-9)


def test_a_triangular_prism_floats_on_its_keel() -> None:
    """Waterplane 40 x 12, KB 3.6: draft 5.4, W 1328.4 t, BM = B^2 / (6 d) = 4.444 (Derrett; BM from memory).

    Folded about a keel crease, so that one side of the V is the plane of the hull's frame: it has to turn by 42 deg.
    """
    half = math.atan2(6.0, 5.4)
    skin = folded_keel(40.0, half, 8.0).skin
    slant = 8.0 / math.cos(half)
    keel, up = np.array([0.0, slant / 2, 0.0]), np.array([0.0, -math.cos(half), math.sin(half)])
    x, y, z = (keel + 3.0 * up).tolist()
    found = rest(skin, Weight(1328.4 * TONNE_G, (x, y, z)), SEA)
    pose, volume = afloat(found)
    assert pose.up == pytest.approx(tuple(up), abs=1e-9)
    keel_below = -float(keel @ np.array(pose.up))
    assert pose.draft_mm + keel_below == pytest.approx(5.4, abs=1e-6)
    assert volume == pytest.approx(1296.0, rel=1e-9)
    assert found.bm_mm == pytest.approx(4.444, abs=5e-4)
    assert found.kb_mm is not None
    assert found.kb_mm + keel_below == pytest.approx(3.6, abs=1e-6)


@pytest.mark.parametrize("seed", range(50))
def test_the_pose_is_the_one_trimesh_and_fsolve_find(seed: int) -> None:
    """50 random hulls and loads: draft to 1e-6 mm, heel and trim to 1e-6 deg."""
    chance = np.random.default_rng(seed)
    skin = lopsided(chance)
    weight = a_weight(chance, skin)
    pose, _ = afloat(rest(skin, weight, FRESH))

    def out_of_balance(unknown: np.ndarray) -> list[float]:
        draft, heel, trim = unknown
        up = np.array([-math.sin(heel), -math.sin(trim), 0.0])
        up[2] = math.sqrt(1.0 - up @ up)
        volume, centre = below_water(skin, up, draft)
        arm = np.cross(np.array(centre) - weight.centre_mm, up)
        return [volume * FRESH.density_g_per_mm3 / weight.mass_g - 1.0, arm[0], arm[1]]

    start = Pose.tilted(pose.draft_mm + 0.5, pose.heel_rad - 0.02, pose.trim_rad + 0.02)
    solved = fsolve(out_of_balance, [start.draft_mm, start.heel_rad, start.trim_rad], xtol=1e-13)
    assert pose.draft_mm == pytest.approx(solved[0], abs=1e-6)
    assert math.degrees(pose.heel_rad) == pytest.approx(math.degrees(solved[1]), abs=1e-6)
    assert math.degrees(pose.trim_rad) == pytest.approx(math.degrees(solved[2]), abs=1e-6)


@given(SEEDS)
def test_a_mirrored_load_gives_the_mirrored_pose(seed: int) -> None:
    chance = np.random.default_rng(seed)
    skin = lopsided(chance)
    weight = a_weight(chance, skin)
    mirrored = Skin.of(skin.vertices * [-1, 1, 1], skin.triangles[:, ::-1], skin.floor)
    x, y, z = weight.centre_mm
    one, other = rest(skin, weight, FRESH), rest(mirrored, replace(weight, centre_mm=(-x, y, z)), FRESH)
    assert one.state == other.state
    assume(one.state == "floats")
    assert afloat(other)[0].draft_mm == pytest.approx(afloat(one)[0].draft_mm, abs=1e-9)
    assert afloat(other)[0].heel_rad == pytest.approx(-afloat(one)[0].heel_rad, abs=1e-11)
    assert afloat(other)[0].trim_rad == pytest.approx(afloat(one)[0].trim_rad, abs=1e-11)


@given(st.floats(10, 200), st.floats(0, 40), st.floats(0.1, 20))
def test_moving_a_load_up_never_raises_gm(mass: float, height: float, further: float) -> None:
    skin = frustum(90, 70, 110, 95, 25)
    low, high = (rest(skin, Weight(mass, (0.0, 0.0, z)), FRESH) for z in (height, height + further))
    assume(low.state == "floats" == high.state)
    assume((low.pose or Pose(0)).tilt_rad < 1e-9 > (high.pose or Pose(0)).tilt_rad)
    assert (high.gm_mm or 0.0) < (low.gm_mm or 0.0)


def test_a_load_that_is_too_heavy_floods_the_hull_over_the_nearest_corner() -> None:
    found = rest(box(100, 100, 25), Weight(400.0, (10.0, 10.0, 5.0)), FRESH)
    assert found.state == "floods"
    assert found.at == (50.0, 50.0, 25.0)
    assert [None] * 8 == [
        found.draft_mm, found.heel_rad, found.trim_rad, found.freeboard, found.displaced_mm3, found.kb_mm, found.bm_mm,
        found.gm_mm,
    ]  # fmt: skip


def test_a_load_far_off_the_middle_floods_a_hull_that_would_bear_it_in_the_middle() -> None:
    assert rest(box(100, 100, 25), Weight(120.0, (0.0, 0.0, 5.0)), FRESH).state == "floats"
    assert rest(box(100, 100, 25), Weight(120.0, (30.0, 0.0, 5.0)), FRESH).state == "floods"


def test_a_load_that_is_too_high_capsizes_a_hull_that_would_bear_it_low() -> None:
    assert rest(box(100, 100, 25), Weight(240.0, (0.0, 0.0, 5.0)), FRESH).state == "floats"
    assert rest(box(100, 100, 25), Weight(240.0, (0.0, 0.0, 60.0)), FRESH).state == "capsizes"


def test_the_state_changes_where_the_load_is_the_brim_load() -> None:
    assert rest(box(100, 100, 25), Weight(250_000 * FRESH.density_g_per_mm3 - 1e-6), FRESH).state == "floats"
    assert rest(box(100, 100, 25), Weight(250_000 * FRESH.density_g_per_mm3 + 1e-4), FRESH).state == "floods"


def test_a_sheet_without_walls_floods_and_one_of_lead_sinks_by_itself() -> None:
    flat = ring_hull([(100, 100, 0), (150, 150, 0)])
    assert rest(flat, Weight(1.0), FRESH).state == "floods"
    assert rest(box(100, 100, 25), Weight(1e6), FRESH).state == "floods"


def test_freeboard_is_known_along_the_whole_edge_line() -> None:
    skin = box(100, 100, 25)
    pose, _ = afloat(rest(skin, Weight(100.0, (5.0, 0.0, 8.0)), FRESH))
    along = spill_elevations((skin.vertices @ np.array(pose.up))[None], skin)[0, list(skin.edge_lines[0])] - pose.draft_mm
    heights = skin.vertices[4:] @ np.array(pose.up) - pose.draft_mm
    assert along == pytest.approx(heights)
    assert along.min() == pytest.approx(11.85, abs=5e-3)


def test_what_is_displaced_weighs_as_much_as_the_load() -> None:
    skin, weight = frustum(80, 60, 100, 90, 25), Weight(77.0, (3.0, -4.0, 6.0))
    pose, volume = afloat(rest(skin, weight, FRESH))
    assert volume * FRESH.density_g_per_mm3 == pytest.approx(77.0, rel=1e-12)
    below = np.array(displacement(skin, pose).centre_mm) - weight.centre_mm
    assert np.cross(below, pose.up) == pytest.approx(np.zeros(3), abs=1e-9)


def test_a_hull_that_weighs_nothing_is_refused() -> None:
    with pytest.raises(BadRequest, match="the hull must weigh something"):
        rest(box(10, 10, 5), Weight(0.0), FRESH)


def test_a_load_beside_the_floor_or_below_it_is_refused() -> None:
    skin = box(100, 100, 25)
    assert standing_on_floor(skin, Weight(5.0, (50.0, -50.0, 0.0))).mass_g == 5.0
    with pytest.raises(BadRequest, match=r"must stand on the floor \(found 51, 0 mm\)"):
        standing_on_floor(skin, Weight(5.0, (51.0, 0.0, 0.0)))
    with pytest.raises(BadRequest, match="below the floor"):
        standing_on_floor(skin, Weight(5.0, (0.0, 0.0, -1.0)))
