import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from folder.hull.rim import spill
from folder.water.displace import drafts, volumes
from folder.water.equilibrium.many import find_equilibria
from folder.water.equilibrium.one import find_equilibrium, level_curve
from tests.skins import bowl, box, lopsided, ring_hull

LEVEL = np.array([[0.0, 0.0, 1.0]])


@settings(deadline=None)
@given(st.integers(0, 10_000))
def test_the_quick_way_and_the_patient_way_come_to_the_same_rest(seed: int) -> None:
    chance = np.random.default_rng(seed)
    skin, volume = lopsided(chance), chance.uniform(1e4, 8e4)
    x, y, z = chance.uniform([-12, -12, 0], [12, 12, 25]).tolist()
    quick = find_equilibrium(skin, volume, (x, y, z))
    if quick is None:
        return
    args = np.array([volume]), np.array([[x, y, z]]), LEVEL, drafts(skin, LEVEL, volume)
    patient = find_equilibria(skin, *args)
    assert patient.still[0]
    assert quick.up == pytest.approx(tuple(patient.ups[0]), abs=1e-8)
    assert quick.draft_mm == pytest.approx(patient.drafts_mm[0], abs=1e-6)


def test_an_ordinary_load_is_ordinary() -> None:
    """So that the test above cannot pass by never being asked."""
    chance = np.random.default_rng(1)
    found = [
        find_equilibrium(lopsided(chance), 3e4, (float(x), float(y), 5.0)) is not None for x, y in chance.uniform(-5, 5, (50, 2))
    ]
    assert sum(found) > 40


def test_what_is_out_of_the_ordinary_is_left_to_the_patient_way() -> None:
    tray = box(100, 100, 25)
    assert find_equilibrium(tray, 2.4e5, (0.0, 0.0, 60.0)) is None  # balanced, but it would fall at a touch
    assert find_equilibrium(tray, 9e5, (0.0, 0.0, 5.0)) is None  # it goes under
    hemmed = ring_hull([(90, 90, 0), (110, 110, 20), (105, 105, 4)])
    assert find_equilibrium(hemmed, 1e5, (0.0, 0.0, 5.0)) is None  # its hem hangs in the water


def test_the_level_curve_is_what_the_hull_displaces() -> None:
    skin = bowl(12, 3, 45.0, 20.0)
    levels, held = level_curve(skin)
    below = levels < spill(skin.vertices[:, 2], skin)[0]
    assert held[below] == pytest.approx(volumes(skin, levels[below]), rel=1e-12)
    assert (np.diff(held) >= 0).all()
