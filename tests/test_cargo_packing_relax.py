"""Discs that push each other apart, and the search on top of it."""

import numpy as np
import pytest

from folder.cargo.packing.floor import inside_floor, margin
from folder.cargo.packing.relax import _push, polish, relax
from folder.cargo.packing.search import fit, scatter
from tests.discs import widen

SQUARE = np.array([0, 1, 1 + 1j, 1j], dtype=complex)
BOOT = np.array([0, 4, 4 + 1j, 1.5 + 1.4j, 1.5 + 3j, 3j], dtype=complex)


@pytest.mark.parametrize("floor", [4 * SQUARE, BOOT])
def test_the_slope_is_the_derivative_of_the_energy(floor):
    """Central differences; the places lie inside, where the energy is smooth."""
    random = np.random.default_rng(1)
    z = scatter(random, floor, 2 * 9).reshape(2, 9)
    _, slope = _push(z, floor)
    step = 1e-6
    for disc in range(9):
        for way in (1.0, 1j):
            moved = np.zeros((2, 9), dtype=complex)
            moved[:, disc] = step * way
            change = (_push(z + moved, floor)[0] - _push(z - moved, floor)[0]) / (2 * step)
            assert change == pytest.approx((slope[:, disc] * np.conj(way)).real, rel=1e-4, abs=1e-4)


def test_relaxing_lowers_the_energy_of_every_start():
    starts = scatter(np.random.default_rng(2), SQUARE, 20 * 12).reshape(20, 12)
    before = _push(starts / 0.28, SQUARE / 0.28)[0]
    _, after = relax(starts, SQUARE, 0.14, 150)
    assert (after < before).all()


def test_discs_that_fit_come_to_rest_without_energy():
    starts = scatter(np.random.default_rng(3), SQUARE, 10 * 9).reshape(10, 9)
    places, energy = relax(starts, SQUARE, 0.12, 200)
    assert pytest.approx(0.0, abs=1e-12) == energy.min()
    assert margin(places[energy.argmin()], SQUARE) >= 0.12 * (1 - 1e-6)


@pytest.mark.parametrize("seed", range(5))
@pytest.mark.parametrize("floor", [SQUARE, BOOT])
def test_polishing_widens_the_discs_and_reports_their_true_margin(floor, seed):
    start = scatter(np.random.default_rng(seed), floor, 7)
    places, radius = polish(start, floor)
    assert radius >= margin(start, floor)
    assert radius == pytest.approx(margin(places, floor), rel=1e-9)


def test_polishing_two_discs_in_a_square_ends_in_opposite_corners():
    """Closed form: 1 / (2 + sqrt 2)."""
    assert 1 / (2 + np.sqrt(2)) == pytest.approx(polish(np.array([0.3 + 0.2j, 0.6 + 0.8j]), SQUARE)[1], rel=1e-9)


def test_a_start_with_a_disc_outside_comes_back_as_it_was():
    start = np.array([0.5 + 0.5j, 1.5 + 0.5j])
    places, radius = polish(start, SQUARE)
    assert 0.0 == radius
    assert start == pytest.approx(places)


def test_polishing_stops_at_a_radius_that_is_enough():
    _, radius = polish(np.array([0.3 + 0.2j, 0.6 + 0.8j]), SQUARE, enough_mm=0.26)
    assert 0.26 <= radius < 0.29


def test_a_fit_is_found_or_nothing_is_returned():
    """Five discs in a unit square: radius 0.2071 at best (Packomania, E. Specht)."""
    places = fit(SQUARE, 5, 0.2071, 3)
    assert places is not None
    assert margin(places, SQUARE) >= 0.2071 * (1 - 1e-9)
    assert fit(SQUARE, 5, 0.2072, 3) is None


def test_widening_never_loses_what_it_starts_from():
    start = (np.arange(4)[:, None] * 0.25 + np.arange(4) * 0.25j).ravel() + 0.125 + 0.125j
    _, radius = widen(SQUARE, start, 1)
    assert radius >= 0.125


def test_scattered_places_lie_on_the_floor():
    assert inside_floor(scatter(np.random.default_rng(0), BOOT, 500), BOOT).all()
