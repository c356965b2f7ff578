import math
import subprocess
import sys

import numpy as np
import pytest
from msgspec import Struct
from msgspec.structs import fields

from folder.errors import BadRequest
from folder.hull.skin import Skin
from folder.hull.weight import Weight, foil_weight
from folder.water.brim_load import brim_load
from folder.water.build_variation import BUILD_VARIATIONS, GAUGE_SPREAD
from folder.water.flooding.load import flooding_loads
from folder.water.fluid import CONTACT_BAND_RAD, Water
from folder.water.working_load import working_load
from tests.skins import box, frustum, ring_hull

FRESH = Water.of(20.0)
HULLS = {"tray": box(100, 100, 25), "oblong": box(130, 60, 20), "leaning": frustum(80, 80, 117, 117, 29)}


def numbers(value: object) -> list[float]:
    """Every number in a result, however deep."""
    if isinstance(value, Struct):
        return [n for f in fields(value) for n in numbers(getattr(value, f.name))]
    if isinstance(value, tuple):
        return [n for part in value for n in numbers(part)]
    return [value] if isinstance(value, (int, float)) else []


@pytest.mark.parametrize("skin", HULLS.values(), ids=list(HULLS))
def test_the_spread_is_in_order_and_below_the_brim(skin: Skin) -> None:
    own = foil_weight(skin, 16.0)
    careful, usual, hurried = (working_load(skin, own, FRESH, hand) for hand in BUILD_VARIATIONS)
    for found in (careful, usual, hurried):
        assert 0 < found.low_g < found.likely_g < found.high_g <= found.brim_g
    assert careful.likely_g > usual.likely_g > hurried.likely_g


def test_the_same_seed_gives_the_same_load_and_another_nearly_the_same() -> None:
    skin, own = HULLS["tray"], Weight(0.972, (0.0, 0.0, 7.0))
    assert working_load(skin, own, FRESH, seed=5) == working_load(skin, own, FRESH, seed=5)
    one, other = working_load(skin, own, FRESH, seed=5), working_load(skin, own, FRESH, seed=6)
    for was, now in ((one.low_g, other.low_g), (one.likely_g, other.likely_g), (one.high_g, other.high_g)):
        assert was != now
        assert was == pytest.approx(now, rel=0.01)


def test_a_brim_load_that_is_known_need_not_be_worked_out_again() -> None:
    skin, own = HULLS["leaning"], Weight(0.972, (0.0, 0.0, 7.0))
    assert working_load(skin, own, FRESH, top=brim_load(skin, own, FRESH)) == working_load(skin, own, FRESH)


def test_the_working_load_loads_neither_dice_nor_masked_arrays() -> None:
    """Together they would take longer than the working load itself."""
    asked = (
        "import sys; from folder import read_pattern, study; from folder.places import PATTERNS; "
        "study(read_pattern(PATTERNS / 'plain-tray.json')).working; print(*sorted(sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    loaded = set(done.stdout.split())
    assert "folder.water.working_load" in loaded
    assert set() == {"numpy.random", "numpy.ma", "numpy.fft", "numpy.polynomial"} & loaded


@pytest.mark.parametrize("hand", BUILD_VARIATIONS)
def test_the_spread_is_that_of_a_thousand_exact_loads_for_builds_drawn_by_dice(hand: str) -> None:
    """Each from its own throw: nothing of the even draws or of the table. A thousand dice leave 2 % to chance."""
    skin, own, dice = HULLS["leaning"], foil_weight(HULLS["leaning"], 16.0), np.random.default_rng(4)
    held = BUILD_VARIATIONS[hand]
    off = held.eccentricity_mm * dice.standard_normal((1000, 2))
    while (outside := ~skin.over_floor(off)).any():
        off[outside] /= 2.0
    dip = np.clip(held.uneven_mm * dice.standard_normal((1000, 4)).max(axis=1), 0.0, 0.9 * 29.0)
    film = held.meniscus * 2.0 * FRESH.capillary_mm * np.sin(dice.uniform(*CONTACT_BAND_RAD, 1000) / 2.0)
    load = flooding_loads(skin, own, np.column_stack([off, np.full(1000, 5.0)]), FRESH, film - dip).load_g
    load = load + own.mass_g * GAUGE_SPREAD * dice.standard_normal(1000)
    found = working_load(skin, own, FRESH, hand)
    expected = np.percentile(np.minimum(load, found.brim_g), (10, 50, 90))
    assert [found.low_g, found.likely_g, found.high_g] == pytest.approx(expected.tolist(), rel=0.035)


def test_most_of_the_spread_is_the_hand() -> None:
    found = working_load(HULLS["tray"], Weight(0.972, (0.0, 0.0, 7.0)), FRESH)
    physics, hand = (high - low for low, high in (found.physics_g, found.hand_g))
    assert 0 < physics < 0.2 * hand
    assert f"foil and water make {math.floor(10 * physics) / 10:g} g of that span, the hands {math.floor(hand)} g" == found.shares
    assert hand == pytest.approx(found.high_g - found.low_g, rel=0.1)


def test_what_a_change_would_win_is_what_the_exact_loads_say() -> None:
    """Largest first; a millimetre of wall on a square tray wins at most a millimetre of water over its floor."""
    found = working_load(HULLS["tray"], Weight(0.972, (0.0, 0.0, 7.0)), FRESH)
    gains = [win.gain_g for win in found.wins]
    assert gains == sorted(gains, reverse=True)
    by_name = {win.change: win.gain_g for win in found.wins}
    assert 0 < by_name["rim 1 mm higher all round"] <= 10_000 * FRESH.density_g_per_mm3 + 1e-9
    assert found.wins[0].change == "load 2 mm closer to the middle"
    assert found.limited_by == "tilt"


def test_a_rim_that_dips_more_than_the_load_is_off_limits_by_the_rim() -> None:
    """A wide low hull with a small floor: the load has nowhere to go off to, and each millimetre of rim counts."""
    found = working_load(frustum(12, 12, 140, 140, 10), Weight(0.5, (0.0, 0.0, 7.0)), FRESH, "usual")
    assert found.limited_by == "rim"


def test_a_high_stack_is_limited_by_stability() -> None:
    found = working_load(box(40, 160, 40), Weight(0.5, (0.0, 0.0, 7.0)), FRESH, "careful", height_mm=60.0)
    assert found.limited_by == "stability"
    assert found.likely_g < 0.5 * found.brim_g


@pytest.mark.parametrize(
    "skin",
    [
        *HULLS.values(),
        ring_hull([(100, 100, 0), (150, 150, 0)]),
        ring_hull([(90, 90, 0), (110, 110, 20), (105, 105, 10)]),
        box(3, 3, 0.5),
    ],
)
@pytest.mark.parametrize("own_g", [0.1, 50.0, 1e5])
def test_no_result_holds_anything_but_finite_numbers(skin: Skin, own_g: float) -> None:
    found = working_load(skin, Weight(own_g, (1.0, 0.0, 1.0)), FRESH, "hurried", count=100)
    assert all(math.isfinite(n) for n in numbers(found))
    assert 0.0 <= found.low_g <= found.likely_g <= found.high_g <= found.brim_g


def test_an_unknown_hand_is_refused() -> None:
    with pytest.raises(BadRequest, match="no such hand"):
        working_load(HULLS["tray"], Weight(1.0), FRESH, "clumsy")
