"""What can be counted on: Student's bound against tables and scipy, and the smallest of n where that says nothing."""

from __future__ import annotations

import math

import numpy as np
import pytest
import scipy.stats
from hypothesis import given
from hypothesis import strategies as st

from folder.practice.bound import CONFIDENCE, SERIES_FREEDOM, bound, lower_prediction, t_quantile


def grams(value: float) -> str:
    return f"{value:.1f} g"


@pytest.mark.parametrize("probability", [0.6, 0.75, 0.9, 0.95, 0.975, 0.99, 0.999, 0.9999])
@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 5, 7, 10, 21, 50, 99, 100, 499, 500, 501, 502, 1000, 99_999])
def test_students_t_is_right_to_nine_figures(probability: float, freedom: int) -> None:
    """scipy.stats.t.ppf."""
    assert pytest.approx(scipy.stats.t.ppf(probability, freedom), rel=1e-9) == t_quantile(probability, freedom)


@given(st.floats(0.501, 0.9999), st.integers(1, 3000))
def test_students_t_is_right_for_any_probability_and_freedom(probability: float, freedom: int) -> None:
    """scipy.stats.t.cdf, the way back."""
    assert pytest.approx(probability, abs=1e-9) == scipy.stats.t.cdf(t_quantile(probability, freedom), freedom)


def test_students_t_of_one_and_two_degrees_has_a_closed_form() -> None:
    """One degree is Cauchy: tan(pi (p - 1/2)); two: (2p - 1) / sqrt(2 p (1 - p)). Both exact."""
    for p in (0.55, 0.9, 0.95, 0.995):
        assert pytest.approx(math.tan(math.pi * (p - 0.5)), rel=1e-12) == t_quantile(p, 1)
        assert pytest.approx((2 * p - 1) / math.sqrt(2 * p * (1 - p)), rel=1e-12) == t_quantile(p, 2)


def test_students_t_is_odd_about_one_half() -> None:
    assert 0.0 == pytest.approx(t_quantile(0.5, 7), abs=1e-15)
    assert -t_quantile(0.75, 7) == t_quantile(0.25, 7)


def test_the_sum_and_the_series_meet_where_one_takes_over() -> None:
    below, above = t_quantile(0.95, SERIES_FREEDOM), t_quantile(0.95, SERIES_FREEDOM + 1)
    assert 0 < below - above < 1e-5


@pytest.mark.parametrize(("probability", "freedom"), [(0.0, 5), (1.0, 5), (-1.0, 5), (math.nan, 5), (0.95, 0)])
def test_there_is_no_t_for_a_probability_of_nought_or_one(probability: float, freedom: int) -> None:
    with pytest.raises(ValueError, match="no t quantile"):
        t_quantile(probability, freedom)


@pytest.mark.parametrize(("n", "factor"), [(3, 3.372), (4, 2.631), (5, 2.335), (8, 2.010), (10, 1.923)])
def test_the_bound_lies_so_many_deviations_below_the_mean(n: int, factor: float) -> None:
    """t(.95) sqrt(1 + 1/n), CHECKS section 9, computed from the formula."""
    assert factor == round(-lower_prediction(0.0, 1.0, n), 3)


def test_the_textbook_example_of_a_prediction_interval() -> None:
    """Montgomery & Runger, Ex. 8-8: n 22, mean 13.71, s 3.55: 6.16 to 21.26; one-sided lower 7.464 (computed)."""
    assert 7.464 == round(lower_prediction(13.71, 3.55, 22), 3)
    reach = t_quantile(0.975, 21) * 3.55 * math.sqrt(1 + 1 / 22)
    assert (6.16, 21.26) == (round(13.71 - reach, 2), round(13.71 + reach, 2))


def test_without_trials_nothing_is_known() -> None:
    found = bound(0, math.nan, math.nan, math.nan, grams)
    assert (None, 0, "none") == (found.value, found.n, found.ground)
    assert "No trials yet" in found.text


@pytest.mark.parametrize(("n", "chances"), [(1, "1 chance in 2"), (2, "2 chances in 3"), (3, "3 chances in 4")])
def test_up_to_three_trials_only_their_smallest_can_be_counted_on(n: int, chances: str) -> None:
    """The smallest of n is reached by the next with probability n / (n + 1)."""
    found = bound(n, 60.0, 1.0 if n > 1 else math.nan, 50.0, grams)
    assert (50.0, n, "smallest", n / (n + 1)) == (found.value, found.n, found.ground, found.chance)
    assert f"reaches 50.0 g with {chances}." in found.text
    assert "cannot show how much builds vary" in found.text


def test_from_four_trials_on_their_spread_gives_the_bound() -> None:
    found = bound(4, 60.0, 4.0, 55.0, grams)
    assert pytest.approx(60 - 2.631 * 4, abs=0.01) == found.value
    assert (4, "student", CONFIDENCE) == (found.n, found.ground, found.chance)
    assert "4 trials, 60.0 g on average: count on 49.5 g. The next build reaches that with 95 chances in 100." == found.text


def test_a_bound_that_would_be_negative_is_never_given() -> None:
    """The class of CHECKS section 8, 15 cm: US cents of 2.5 g."""
    held_g = 2.5 * np.array([20, 12, 45, 6, 15, 11, 23, 65])
    mean_g, deviation_g = held_g.mean(), held_g.std(ddof=1)
    assert lower_prediction(mean_g, deviation_g, 8) < 0
    found = bound(8, mean_g, deviation_g, held_g.min(), grams)
    assert (15.0, "smallest", 8 / 9) == (found.value, found.ground, found.chance)
    assert "vary too much" in found.text
    assert "8 chances in 9" in found.text


@given(st.lists(st.floats(0, 1e4), min_size=1, max_size=30))
def test_no_bound_is_ever_negative_or_without_its_n(values: list[float]) -> None:
    deviation = float(np.std(values, ddof=1)) if len(values) > 1 else math.nan
    found = bound(len(values), float(np.mean(values)), deviation, min(values), grams)
    assert found.value is not None
    assert found.value >= 0
    assert found.text.startswith(f"{len(values)} trial")


@pytest.mark.parametrize("n", [1, 3, 4, 10])
def test_the_next_build_reaches_the_bound_as_often_as_is_said(n: int) -> None:
    """20,000 draws of n + 1 bell-curved builds, seeded; the chance within four standard errors."""
    draws = np.random.default_rng(7).normal(100.0, 5.0, (20_000, n + 1))
    reached = []
    for *trials, following in draws:
        deviation = float(np.std(trials, ddof=1)) if n > 1 else math.nan
        found = bound(n, float(np.mean(trials)), deviation, min(trials), grams)
        assert found.value is not None
        reached.append(following >= found.value)
    error = math.sqrt(found.chance * (1 - found.chance) / len(draws))
    assert pytest.approx(found.chance, abs=4 * error) == np.mean(reached)
