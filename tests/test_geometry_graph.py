"""Components and reach, against scipy's graphs."""

import numpy as np
import pytest
import scipy.sparse
import scipy.sparse.csgraph

from folder.geometry.graph import components, reached, steps_from
from folder.geometry.space import Ints

RNG = np.random.default_rng(3)
CASES = [(1, 0), (10, 0), (10, 5), (50, 30), (50, 200), (400, 380)]


def random_pairs(count: int, pairs: int) -> Ints:
    return RNG.integers(0, count, (pairs, 2))


def as_matrix(pairs: Ints, count: int) -> scipy.sparse.coo_matrix:
    return scipy.sparse.coo_matrix((np.ones(len(pairs)), (pairs[:, 0], pairs[:, 1])), (count, count))


@pytest.mark.parametrize(("count", "many"), CASES)
def test_components_are_those_of_scipy(count: int, many: int) -> None:
    pairs = random_pairs(count, many)
    label = scipy.sparse.csgraph.connected_components(as_matrix(pairs, count), directed=False)[1]
    lowest = np.array([np.flatnonzero(label == k)[0] for k in label])
    assert lowest.tolist() == components(pairs, count).tolist()


@pytest.mark.parametrize(("count", "many"), CASES)
def test_components_go_on_from_components_of_a_part_of_the_pairs(count: int, many: int) -> None:
    pairs = random_pairs(count, many)
    some = components(pairs[::2], count)
    assert components(pairs, count).tolist() == components(pairs[1::2], count, some).tolist()


def test_a_chain_of_a_thousand_in_any_order_is_one_component() -> None:
    order = RNG.permutation(1000)
    assert not components(np.column_stack([order[1:], order[:-1]]), 1000).any()


@pytest.mark.parametrize(("count", "many"), CASES)
def test_steps_are_those_of_scipys_search(count: int, many: int) -> None:
    pairs = random_pairs(count, many)
    seeds = np.zeros(count, dtype=np.bool_)
    seeds[RNG.integers(0, count, 2)] = True
    far = scipy.sparse.csgraph.dijkstra(as_matrix(pairs, count), directed=False, indices=np.flatnonzero(seeds), unweighted=True)
    far = np.atleast_2d(far).min(axis=0)
    assert np.where(np.isfinite(far), far, -1).tolist() == steps_from(seeds, pairs).tolist()
    assert np.isfinite(far).tolist() == reached(seeds, pairs).tolist()
