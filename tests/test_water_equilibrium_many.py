import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from folder.hull.rim import spill
from folder.hull.skin import Skin
from folder.water.displace import Pose, drafts, frames
from folder.water.equilibrium.many import EnergyDerivatives, energy_derivatives, find_equilibria, least_stiffness
from tests.skins import box, lopsided

SEEDS = st.integers(0, 10_000)
LEVEL = np.array([[0.0, 0.0, 1.0]])


def a_case(seed: int) -> tuple[np.random.Generator, Skin, np.ndarray, np.ndarray]:
    """A hull, the volume that it must displace, and its centre of mass."""
    chance = np.random.default_rng(seed)
    skin = lopsided(chance)
    return chance, skin, chance.uniform(2e4, 5e4, 1), chance.uniform([-4, -4, 2], [4, 4, 12], (1, 3))


@given(SEEDS)
def test_at_rest_the_energy_is_least_among_small_changes(seed: int) -> None:
    chance, skin, volume, centre = a_case(seed)
    found = find_equilibria(skin, volume, centre, LEVEL, drafts(skin, LEVEL, float(volume[0])))
    assume(found.still[0] and spill(skin.vertices @ found.ups[0], skin)[0] > found.drafts_mm[0] + 1.0)
    lowest = energy_derivatives(skin, volume, centre, found.ups, found.drafts_mm).energy[0]
    assume(energy_derivatives(skin, volume, centre, found.ups, found.drafts_mm).least_stiffness[0] > 0)
    for change in chance.normal(size=(20, 3)) * [0.01, 0.01, 0.3]:
        up = found.ups[0] + np.array([change[0], change[1], 0.0])
        up /= np.linalg.norm(up)
        assert energy_derivatives(skin, volume, centre, up[None], found.drafts_mm + change[2]).energy[0] > lowest


@given(SEEDS)
def test_slope_and_stiffness_are_the_derivatives_of_the_energy(seed: int) -> None:
    """Central differences; the stiffness is that along poses which displace the same volume."""
    _, skin, volume, centre = a_case(seed)
    up = np.array(Pose.tilted(0.0, 0.04, -0.03).up)
    axes = frames(up[None])[0]
    assume(spill(skin.vertices @ up, skin)[0] > float(drafts(skin, up[None], float(volume[0]))[0]) + 1.0)

    def lie(x: float, y: float, sink: float = 0.0) -> EnergyDerivatives:
        leaning = up + x * axes[0] + y * axes[1]
        leaning /= np.linalg.norm(leaning)
        return energy_derivatives(skin, volume, centre, leaning[None], drafts(skin, leaning[None], float(volume[0])) + sink)

    h = 1e-3
    sunk = (lie(0, 0, 0.5 + h).energy - lie(0, 0, 0.5 - h).energy) / (2 * h)
    assert lie(0, 0, 0.5).volume_residual == pytest.approx(-sunk, rel=1e-5)
    steps = ((h, 0.0), (0.0, h))
    slope = [(lie(x, y).energy[0] - lie(-x, -y).energy[0]) / (2 * h) for x, y in steps]
    assert lie(0, 0).gradient[0] == pytest.approx(slope, rel=1e-3, abs=2.0)
    change = [(lie(x, y).gradient[0] - lie(-x, -y).gradient[0]) / (2 * h) for x, y in steps]
    stiffness = lie(0, 0).principal[0] @ np.diag(lie(0, 0).stiffness[0]) @ lie(0, 0).principal[0].T
    assert stiffness == pytest.approx(np.array(change), abs=0.01 * np.trace(stiffness))


@given(SEEDS)
def test_many_hulls_settle_as_each_does_alone(seed: int) -> None:
    chance, skin, _, _ = a_case(seed)
    volumes, centres = chance.uniform(2e4, 6e4, 5), chance.uniform([-10, -10, 2], [10, 10, 20], (5, 3))
    ups, depths = np.tile(LEVEL, (5, 1)), np.full(5, 6.0)
    together = find_equilibria(skin, volumes, centres, ups, depths)
    for i in range(5):
        alone = find_equilibria(skin, volumes[i : i + 1], centres[i : i + 1], LEVEL, depths[:1])
        assert alone.still[0] == together.still[i]
        assert alone.ups[0] == pytest.approx(together.ups[i], abs=1e-8)
        assert alone.drafts_mm[0] == pytest.approx(together.drafts_mm[i], abs=1e-7)


@given(SEEDS)
def test_the_softest_way_to_tilt_is_the_least_stiffness_of_a_hull_at_rest(seed: int) -> None:
    _, skin, volume, centre = a_case(seed)
    found = find_equilibria(skin, volume, centre, LEVEL, drafts(skin, LEVEL, float(volume[0])))
    assume(found.still[0])
    lie = energy_derivatives(skin, volume, centre, found.ups, found.drafts_mm)
    m, height = lie.moments, (lie.axes[0] @ centre[0])[2]
    lever = found.drafts_mm * -m[:, 0, 3] - m[:, 3, 3] / 2.0 - volume * height
    assert least_stiffness(m, lever) == pytest.approx(lie.least_stiffness, rel=1e-9, abs=1.0)


def test_settling_leaves_what_it_was_given_alone() -> None:
    ups, depths = LEVEL.copy(), np.array([3.0])
    find_equilibria(box(100, 100, 25), np.array([5e4]), np.array([[5.0, 0.0, 5.0]]), ups, depths)
    assert (ups.tolist(), depths.tolist()) == (LEVEL.tolist(), [3.0])


def test_a_hull_thrown_on_its_side_with_a_high_weight_goes_over() -> None:
    up = np.array([Pose.tilted(0.0, 1.2).up])
    found = find_equilibria(box(100, 100, 25), np.array([1e5]), np.array([[0.0, 0.0, 200.0]]), up, np.array([10.0]))
    assert found.still.tolist() == [False]


def test_balanced_on_a_point_from_which_any_push_leads_on_it_lies_still_without_stiffness() -> None:
    volume, centre = np.array([2e5]), np.array([[0.0, 0.0, 80.0]])
    found = find_equilibria(box(100, 100, 25), volume, centre, LEVEL, np.array([10.0]))
    assert found.still.tolist() == [True]
    assert energy_derivatives(box(100, 100, 25), volume, centre, found.ups, found.drafts_mm).least_stiffness[0] < 0
