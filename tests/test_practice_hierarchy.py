"""How builds vary, learned from trials. Each judgement written down in the module is held from both sides.

The builds are drawn here, so that what they are like is known: shares about 0.7 of the brim load, 12 % apart.
"""

import numpy as np
import pytest
from scipy import stats

from folder.practice.hierarchy import BuildSpread, HeldShares, posterior

MIDDLE, APART = 0.7, 0.12
NONE = HeldShares(*(np.empty(0) for _ in range(4)))


def model():
    return BuildSpread.of(MIDDLE * np.exp(np.random.default_rng(1).normal(0.0, APART, 2000)))


def held(shares, design=0, step=0.02):
    """Trials counted in objects of 2 % of the brim load each."""
    low = np.floor(np.asarray(shares) / step) * step
    return HeldShares(low, low + step, np.zeros(len(low)), np.full(len(low), float(design)))


def joined(*held):
    return HeldShares(*(np.concatenate(column) for column in zip(*held, strict=True)))


def builds(n, leaking, design, seed, apart=APART):
    """As many builds of a design; of those that leak, most take a good part of what a sound one does."""
    rng = np.random.default_rng(seed)
    shares = np.minimum(MIDDLE * np.exp(rng.normal(0.0, apart, n)), 0.99)
    leaks = rng.random(n) < leaking
    shares[leaks] = MIDDLE * (1.0 - rng.random(leaks.sum()) ** (1.0 / 1.5))
    return held(shares, design)


def leaks(own, others):
    """How likely the next build leaks."""
    return posterior([model()], 0, own, others).leaky.sum()


class TestBuildsOfOneHull:
    def test_no_two_are_more_alike_than_three_in_a_hundred(self):
        spread = BuildSpread.of(np.full(100, MIDDLE))
        logs = np.linspace(-0.5, 0.5, 4001)
        lower, upper = np.interp([0.1, 0.9], spread.below(np.log(MIDDLE) + logs), logs)
        assert 2.5 < 100.0 * (upper - lower) / (stats.norm.ppf(0.9) - stats.norm.ppf(0.1)) < 4.0

    def test_one_in_ten_varies_twice_as_widely(self):
        """Far out, where the model has no build left: the tail of a logistic distribution (scipy.stats)."""
        spread = model()
        deviation = np.std(np.random.default_rng(1).normal(0.0, APART, 2000))
        tail = stats.logistic(scale=2.0 * deviation * np.sqrt(3.0) / np.pi).sf(4.0 * deviation)
        assert 0.1 * tail == pytest.approx(1.0 - float(spread.below(np.array([spread.middle + 4.0 * deviation]))[0]), rel=0.01)


class TestLeaks:
    def test_about_one_in_ten_of_a_class_nobody_knows(self):
        assert leaks(NONE, NONE) == pytest.approx(0.1, abs=0.03)

    def test_twelve_builds_that_held_nothing_are_a_bad_hull_or_leaks_and_neither_is_sure(self):
        assert 0.2 < leaks(held(np.full(12, 0.01)), NONE) < 0.4

    def test_a_class_that_leaks_a_lot_says_much_of_a_new_hull_and_not_all(self):
        assert 0.23 < leaks(NONE, builds(200, 0.4, 0, 3)) < 0.29

    def test_a_clean_class_promises_a_new_hull_nearly_clean(self):
        assert 0.008 < leaks(NONE, builds(200, 0.0, 0, 3)) < 0.02

    def test_five_own_leaks_in_ten_weigh_against_a_clean_class(self):
        clean = joined(*(builds(60, 0.02, design, design) for design in range(3)))
        assert 0.12 < leaks(builds(10, 0.5, 0, 9), clean) < 0.26


def test_a_class_that_builds_twice_as_unevenly_says_so_of_a_new_hull_but_not_for_certain():
    wide = joined(*(builds(150, 0.0, design, design, apart=2.0 * APART) for design in range(3)))
    of_stretch = posterior([model()], 0, NONE, wide).sound.sum(axis=0)
    of_stretch /= of_stretch.sum()
    as_modelled_or_less, twice = of_stretch[:4].sum(), of_stretch[-1]
    assert as_modelled_or_less < 0.05
    assert 0.1 < twice < 0.6
