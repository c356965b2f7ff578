import numpy as np
import pytest

from folder.hull.skin import Skin
from folder.hull.weight import Weight, foil_weight
from folder.water.build_variation import BUILD_VARIATIONS, BuildDraws, draw_builds
from folder.water.displace import Triple
from folder.water.flooding.load import flooding_loads
from folder.water.flooding.table import SLACK_RAD, Fan, FloodTable
from folder.water.fluid import Water
from tests.skins import box, frustum

FRESH = Water.of(20.0)
HULLS = {"tray": box(100, 100, 25), "oblong": box(130, 60, 20), "leaning": frustum(80, 80, 117, 117, 29)}
BEST = (0.0, 0.0, 5.0)


def flood_table(skin: Skin, own: Weight, water: Water, best: Triple, draws: BuildDraws) -> FloodTable:
    """The table that covers the draws, as the working load makes it."""
    fan = Fan.over(best, draws)
    return fan.table(flooding_loads(skin, own, fan.places, water, fan.shifts, SLACK_RAD))


def usual(count: int = 200) -> BuildDraws:
    return draw_builds(BUILD_VARIATIONS["usual"], FRESH, 25.0, count, 1)[0]


@pytest.mark.parametrize("name", HULLS)
@pytest.mark.parametrize("hand", BUILD_VARIATIONS)
def test_the_percentiles_read_off_the_table_are_those_of_the_exact_loads(name: str, hand: str) -> None:
    skin = HULLS[name]
    own = foil_weight(skin, 16.0)
    draws = draw_builds(BUILD_VARIATIONS[hand], FRESH, 20.0, 400, 3)[0]
    inside = skin.over_floor(draws.eccentricity_mm)
    off, shift = draws.eccentricity_mm[inside], draws.shift_mm[inside]
    table = flood_table(skin, own, FRESH, BEST, BuildDraws(off, shift, draws.gauge[inside]))
    exact = flooding_loads(skin, own, np.column_stack([off, np.full(len(off), 5.0)]), FRESH, shift).load_g
    read = table.read(off, shift)[0]
    for percentile in (10, 50, 90):
        assert np.percentile(read, percentile) == pytest.approx(np.percentile(exact, percentile), rel=0.015)
    # Where the hull begins to go over instead of flooding, the load jumps, and a single reading may be off by more.
    assert np.percentile(np.abs(read - exact), 98) < 0.035 * exact.mean()


def test_at_its_nodes_the_table_gives_the_load_that_was_worked_out_there() -> None:
    """All nodes but those in the middle, which stand for one place."""
    skin, own = HULLS["oblong"], Weight(1.0, (0.0, 0.0, 6.0))
    fan = Fan.over(BEST, usual())
    off = fan.places[:, :2]
    aside = np.hypot(off[:, 0], off[:, 1]) > 0.1
    exact = flooding_loads(skin, own, fan.places, FRESH, fan.shifts).load_g
    read, over = flood_table(skin, own, FRESH, BEST, usual()).read(off, fan.shifts)
    assert read[aside] == pytest.approx(exact[aside], rel=1e-3)
    assert not over.any()


def test_just_beside_a_node_the_load_follows_its_slopes() -> None:
    skin, own = HULLS["leaning"], Weight(1.0, (0.0, 0.0, 6.0))
    fan, table = Fan.over(BEST, usual()), flood_table(skin, own, FRESH, BEST, usual())
    slopes = flooding_loads(skin, own, fan.places, FRESH, fan.shifts).slopes
    inside = (np.hypot(*fan.places[:, :2].T) > 0.1) & (np.hypot(*fan.places[:, :2].T) < 0.9 * fan.distances[-1])
    at, shift = fan.places[inside, :2], fan.shifts[inside]
    inward = np.where(shift > 0.0, -1.0, 1.0)
    beside = table.read(at * 1.002, shift)[0] - table.read(at, shift)[0]
    assert beside == pytest.approx(0.002 * (slopes[inside, :2] * at).sum(axis=1), rel=0.05)
    higher = table.read(at, shift + 0.02 * inward)[0] - table.read(at, shift)[0]
    assert higher == pytest.approx(0.02 * inward * slopes[inside, 3], rel=0.05)


def test_all_round_a_square_the_table_follows_the_load_into_its_kinks() -> None:
    """They are on the axes, in the middle between two directions of the fan: straight lines would miss them by 5 %."""
    skin, own = HULLS["tray"], Weight(1.0, (0.0, 0.0, 6.0))
    table = flood_table(skin, own, FRESH, BEST, usual())
    turns = np.linspace(0.0, 2.0 * np.pi, 97)
    off = 0.9 * table.distances_mm[-1] * np.column_stack([np.cos(turns), np.sin(turns)])
    exact = flooding_loads(skin, own, np.column_stack([off, np.full(97, 5.0)]), FRESH).load_g
    read = table.read(off, np.zeros(97))[0]
    assert read == pytest.approx(exact, rel=0.015)
    straight = (np.roll(read[:-1], 3) + np.roll(read[:-1], -3))[::24] / 2.0
    assert (straight < 0.95 * exact[:-1:24]).all()


def test_beyond_its_ends_the_table_holds_its_last_values() -> None:
    table = flood_table(HULLS["tray"], Weight(1.0, (0.0, 0.0, 6.0)), FRESH, BEST, usual())
    far, high = table.distances_mm[-1], table.shifts_mm[-1]
    ends, beyond = (np.array([[r * 0.6, r * 0.8]]) for r in (far, 2.0 * far))
    assert table.read(ends, np.array([high]))[0] == pytest.approx(table.read(beyond, np.array([high + 5.0]))[0], rel=1e-9)


def test_a_reading_is_capsizing_as_far_as_the_nodes_around_it_are() -> None:
    skin, own = box(40, 160, 40), Weight(0.5, (0.0, 0.0, 7.0))
    table = flood_table(skin, own, FRESH, (0.0, 0.0, 60.0), usual())
    assert table.capsizes.any()
    load, over = table.read(usual().eccentricity_mm, usual().shift_mm)
    assert ((over > -1e-9) & (over < 1.0 + 1e-9)).all()
    assert over.mean() > 0.5
    assert np.isfinite(load).all()


def test_a_table_cannot_be_written_to() -> None:
    table = flood_table(HULLS["tray"], Weight(1.0), FRESH, BEST, usual())
    for array in (table.distances_mm, table.shifts_mm, table.loads_g, table.capsizes):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 1.0
