import numpy as np
import pytest
from scipy.special import ndtri
from scipy.stats import qmc

from folder.errors import BadRequest
from folder.water.build_variation import (
    _GOLDEN,
    BUILD_VARIATIONS,
    CLASS_SHARES,
    draw_builds,
    first_try_text,
    normal,
    percentiles,
    shares,
    variation_named,
)
from folder.water.fluid import Water

FRESH = Water.of(20.0)


def test_draws_of_one_seed_are_the_same_and_of_another_are_not() -> None:
    one, again, other = (draw_builds(BUILD_VARIATIONS["usual"], FRESH, 25.0, 500, seed)[0] for seed in (1, 1, 2))
    assert one.eccentricity_mm.tolist() == again.eccentricity_mm.tolist()
    assert one.shift_mm.tolist() == again.shift_mm.tolist()
    assert one.eccentricity_mm.tolist() != other.eccentricity_mm.tolist()


def test_the_golden_ratio_is_the_one_for_eight_numbers() -> None:
    assert _GOLDEN**9 == pytest.approx(_GOLDEN + 1.0, rel=1e-14)


@pytest.mark.parametrize("seed", [1, 2, 7, 1000])
def test_2000_builds_are_drawn_more_evenly_than_dice_would(seed: int) -> None:
    """Any two of their numbers: the discrepancy of dice, by scipy's measure, is ten times as large."""
    drawn, dice = shares(2000, seed), np.random.default_rng(seed).random((5, 2000))
    assert ((drawn >= 0.0) & (drawn < 1.0)).all()
    assert drawn.mean(axis=1) == pytest.approx([0.5] * 5, abs=2e-3)
    for i in range(5):
        for j in range(i):
            uneven, diced = (qmc.discrepancy(part[[i, j]].T) for part in (drawn, dice))
            assert uneven < 0.1 * diced


@pytest.mark.parametrize("seed", [1, 2, 7, 1000])
def test_no_two_numbers_of_a_build_hang_together(seed: int) -> None:
    """Less than those of dice do by chance: 0.022 for 2,000 builds, one over the root. Their extremes neither."""
    drawn = shares(2000, seed)
    assert np.abs(np.corrcoef(drawn) - np.eye(5)).max() < 0.02
    assert np.abs(np.corrcoef(np.abs(drawn - 0.5)) - np.eye(5)).max() < 0.005


def test_normal_values_are_those_scipy_finds() -> None:
    share = np.linspace(1e-6, 1.0 - 1e-6, 10_001)
    assert normal(share) == pytest.approx(ndtri(share), abs=3e-4)
    assert normal(np.array([0.0, 1.0])).tolist() == [-6.0, 6.0]


@pytest.mark.parametrize("count", [1, 2, 13, 2000])
def test_percentiles_are_those_numpy_finds(count: int) -> None:
    values = np.random.default_rng(count).normal(size=count)
    assert percentiles(values, 0, 10, 50, 90, 100) == pytest.approx(np.percentile(values, (0, 10, 50, 90, 100)).tolist())


@pytest.mark.parametrize("name", BUILD_VARIATIONS)
def test_the_load_is_off_as_far_as_the_table_says(name: str) -> None:
    off = draw_builds(BUILD_VARIATIONS[name], FRESH, 25.0, 20_000, 1)[0].eccentricity_mm
    assert off.std(axis=0) == pytest.approx([BUILD_VARIATIONS[name].eccentricity_mm] * 2, rel=0.03)
    assert off.mean(axis=0) == pytest.approx([0, 0], abs=0.03 * BUILD_VARIATIONS[name].eccentricity_mm)


@pytest.mark.parametrize("name", BUILD_VARIATIONS)
def test_the_lowest_of_four_corners_dips_by_1_03_standard_deviations_on_average(name: str) -> None:
    """The mean of the largest of four normal values is 1.0294 (tables of order statistics; from memory)."""
    only_hand = draw_builds(BUILD_VARIATIONS[name], FRESH, 1000.0, 20_000, 1)[2]
    standing = BUILD_VARIATIONS[name].meniscus * FRESH.standing_mm()
    # A dip below nothing does not count: a hair more than the mean.
    assert (standing - only_hand.shift_mm).mean() / BUILD_VARIATIONS[name].uneven_mm == pytest.approx(1.04, abs=0.03)


def test_a_dip_is_never_deeper_than_the_wall() -> None:
    assert draw_builds(BUILD_VARIATIONS["hurried"], FRESH, 3.0, 5000, 1)[0].shift_mm.min() >= -2.7


def test_only_foil_and_water_vary_in_the_second_set_and_only_the_hand_in_the_third() -> None:
    _, physics, by_hand = draw_builds(BUILD_VARIATIONS["usual"], FRESH, 25.0, 500, 1)
    assert np.ptp(physics.eccentricity_mm, axis=0).tolist() == [0.0, 0.0]
    assert np.ptp(physics.gauge) > 0 < np.ptp(physics.shift_mm)
    assert np.ptp(by_hand.gauge) == 0.0
    assert np.ptp(by_hand.eccentricity_mm) > 0 < np.ptp(by_hand.shift_mm)


def test_each_hand_is_worse_than_the_one_before() -> None:
    careful, usual, hurried = BUILD_VARIATIONS.values()
    assert careful.uneven_mm < usual.uneven_mm < hurried.uneven_mm
    assert careful.eccentricity_mm < usual.eccentricity_mm < hurried.eccentricity_mm
    assert careful.meniscus > usual.meniscus > hurried.meniscus


def test_a_first_try_is_told_what_a_real_class_reached() -> None:
    """One class: 6 to 65 cents of 2.5 g on 15 cm squares, the best tray's brim load being 248.6 g."""
    assert CLASS_SHARES == (pytest.approx(6 * 2.5 / 248.6, abs=5e-3), pytest.approx(65 * 2.5 / 248.6, abs=5e-3))
    assert "held 6 to 65 % of what the best tray can: here that would be 15 to 162 g." in first_try_text(248.6)


def test_an_unknown_hand_is_refused_with_the_ones_there_are() -> None:
    with pytest.raises(BadRequest, match="Choose one of careful, usual, hurried"):
        variation_named("sloppy")
