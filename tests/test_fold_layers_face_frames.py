"""Places seen square to faces, and the small tools for rows of numbers, against loops and closed forms."""

import numpy as np
import pytest

from folder.fold.layers.face_frames import (
    among,
    from_face,
    holding,
    pair_keys,
    pairs_between,
    raised,
    ranges,
    run_ends,
    to_local,
)
from folder.fold.place import Folded, folded
from folder.pattern.faces.faces import faces_of
from tests.folds import strip

RNG = np.random.default_rng(11)


def corner() -> Folded:
    """A floor 40 mm wide from x = 0 and a wall of 30 mm upright on its far side, both 20 mm deep."""
    return folded(faces_of(strip([40.0, 30.0], [90.0])))


def test_ranges_are_those_of_a_loop() -> None:
    first, count = np.array([7, 0, 3, 3]), np.array([2, 0, 3, 1])
    rows = [(owner, row) for owner, (f, c) in enumerate(zip(first, count, strict=True)) for row in range(f, f + c)]
    assert rows == list(zip(*(a.tolist() for a in ranges(first, count)), strict=True))


def test_a_pair_has_one_key_whichever_comes_first_and_no_two_pairs_share_one() -> None:
    keys = {(a, b): int(pair_keys(np.array([a]), np.array([b]), 9)[0]) for a in range(9) for b in range(9)}
    assert all(key == keys[b, a] for (a, b), key in keys.items())
    assert 45 == len(set(keys.values()))
    assert [[1, 4], [2, 3]] == pairs_between(np.array([1, 2]), np.array([4, 3])).tolist()


def test_run_ends_are_the_last_of_each_value_and_of_nothing_none() -> None:
    assert [False, True, True, False, False, True] == run_ends(np.array([1, 1, 2, 5, 5, 5])).tolist()
    assert [] == run_ends(np.empty(0, dtype=np.int64)).tolist()


def test_among_is_numpys_isin() -> None:
    keys, some = np.unique(RNG.integers(0, 50, 20)), RNG.integers(-5, 60, 40)
    assert np.isin(some, keys).tolist() == among(keys, some).tolist()
    assert not among(keys[:0], some).any()


def test_an_upright_wall_is_seen_from_its_inside() -> None:
    """The wall stands at x = 40, its inside to the floor: 5 mm in over the floor is 5 mm high, 12 mm up is 12 mm beyond the crease."""
    shape = corner()
    wall = int(shape.faces.face_at((55.0, 10.0)))
    at = np.array([[[35.0]], [[8.0]], [[12.0]]])
    assert [52.0, 8.0, 5.0] == pytest.approx(to_local(shape, np.array([wall]), at).ravel().tolist(), abs=1e-12)
    assert [[52.0, 8.0]] == [pytest.approx(p) for p in from_face(shape, np.array([wall]), at[:, 0].T).tolist()]
    assert [40.0, 8.0, 12.0] == pytest.approx(
        raised(shape.motions[[wall]], np.array([[[52.0, 8.0]]])).ravel().tolist(), abs=1e-12
    )


def test_a_face_holds_what_lies_on_it_or_straight_over_it() -> None:
    shape = corner()
    floor, wall = (int(shape.faces.face_at((x, 10.0))) for x in (20.0, 55.0))
    points = np.array([[20.0, 10.0, 0.0], [20.0, 10.0, 9.0], [45.0, 10.0, 0.0], [40.0, 10.0, 15.0], [40.0, 10.0, 31.0]])
    assert [True, True, False, True, True] == holding(shape, np.full(5, floor), points).tolist()  # at x = 40 on its very edge
    assert [True, False, True] == holding(shape, np.full(3, wall), points[[1, 4, 3]]).tolist()
