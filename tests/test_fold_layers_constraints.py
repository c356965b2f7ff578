"""The order of layers as questions and answers: against trying all answers and all orders."""

from itertools import permutations, product

import numpy as np
import pytest

from folder.fold.layers.constraints import (
    TWO_WINGS,
    CellOrder,
    ConstraintRows,
    ParityUnionFind,
    constraint_table,
    decide_order,
    propagate,
)

RNG = np.random.default_rng(17)


@pytest.mark.parametrize("seed", range(20))
def test_the_parity_union_find_refuses_just_what_no_answers_fit(seed: int) -> None:
    """Against all answers of five questions, tried one by one."""
    random = np.random.default_rng(seed)
    known, left = ParityUnionFind(5), list(product((1, -1), repeat=5))
    for _ in range(8):
        a, b = (int(k) for k in random.integers(0, 5, 2))
        s, t = (int(k) for k in random.choice([1, -1], 2))
        if random.random() < 0.3:
            fits, accepted = [x for x in left if x[a] * s == t], known.assign((a, s), t)
        else:
            fits, accepted = [x for x in left if x[a] * s == x[b] * t], known.union((a, s), (b, t))
        assert bool(fits) == accepted
        left = fits or left
    root, sign = known.roots()
    for k in range(5):
        value = known.value[root[k]] * sign[k]
        assert {value} == {x[k] for x in left} if value else 2 == len({x[k] for x in left})


def orders_that_do_not_cross(ranks: tuple[int, ...]) -> set[tuple[int, ...]]:
    """Answers to the ties of four wings: over all ways round in which the two creases do not alternate."""
    found = set()
    for way in permutations(range(4)):
        at = [way.index(wing) for wing in range(4)]
        kinds = [wing // 2 for wing in way]
        if any(ranks[way[n]] > ranks[way[n + 1]] for n in range(3)) or kinds[0] == kinds[2]:
            continue  # 0 1 0 1: they cross
        found.add(tuple(1 if at[y] > at[x] else -1 for x, y in TWO_WINGS if ranks[x] == ranks[y]))
    return found


@pytest.mark.parametrize(
    "ranks", [(0, 0, 0, 0), (0, 1, 0, 1), (0, 0, 1, 1), (0, 1, 1, 1), (0, 2, 1, 3), (0, 1, 2, 3), (0, 0, 0, 1)]
)
def test_a_table_allows_just_the_orders_that_do_not_cross(ranks: tuple[int, ...]) -> None:
    table, allowed = constraint_table(ranks), orders_that_do_not_cross(ranks)
    for partial in product((-1, 0, 1), repeat=len(table.pairs)):
        code = int((np.array(partial, dtype=np.int64) + 1) @ table.digits)
        fits = [a for a in allowed if all(p in (0, x) for p, x in zip(partial, a, strict=True))]
        assert bool(fits) == table.possible[code]
        if fits:
            shared = [x[0] if len(set(x)) == 1 else 0 for x in zip(*fits, strict=True)]
            assert shared == table.forced[code].tolist()


def test_four_layers_of_two_creases_have_16_orders_of_24() -> None:
    assert 16 == len(orders_that_do_not_cross((0, 0, 0, 0)))
    assert constraint_table((0, 0, 0, 0)).binds


def cell(size: int) -> CellOrder:
    """Faces that all overlap, with a question for each pair."""
    number, which, sign = 0, np.full((1, size, size), -1), np.ones((1, size, size), dtype=np.int64)
    for a in range(size):
        for b in range(a + 1, size):
            which[0, a, b] = which[0, b, a] = number
            sign[0, b, a] = -1
            number += 1
    return CellOrder(which, sign, np.arange(size)[None])


def test_above_is_transitive_in_a_cell() -> None:
    """Four faces, each above the one before: all six answers follow. Going round in a ring contradicts."""
    order, value = cell(4), np.zeros(6, dtype=np.int8)
    value[[0, 3, 5]] = 1  # 0 under 1, 1 under 2, 2 under 3
    assert [] == propagate(value, [order])
    assert [1] * 6 == value.tolist()
    ring = np.array([1, -1, 1], dtype=np.int8)  # 0 under 1, 1 under 2, and 2 under 0
    assert [(0, 1)] == propagate(ring, [cell(3)])


@pytest.mark.parametrize("seed", range(60))
def test_an_order_is_found_just_when_there_is_one(seed: int) -> None:
    """Five faces in one cell with non-crossing creases among them, some answers given, against all 120 orders."""
    random = np.random.default_rng(seed)
    order, table = cell(5), constraint_table((0, 0, 0, 0))
    wings = [random.permutation(5)[:4] for _ in range(3)]
    which = np.array([[order.which[0, w[x], w[y]] for x, y in TWO_WINGS] for w in wings])
    sign = np.array([[order.sign[0, w[x], w[y]] for x, y in TWO_WINGS] for w in wings])
    value = np.where(random.random(10) < 0.35, random.choice([-1, 1], 10), 0).astype(np.int8)
    given = value.copy()
    possible = []
    for way in permutations(range(5)):
        above = np.array([1 if way.index(b) > way.index(a) else -1 for a in range(5) for b in range(a + 1, 5)])
        fits = ((given == 0) | (given == above)).all()
        for w in wings:
            kinds = [w.tolist().index(face) // 2 for face in way if face in w]
            fits &= kinds[0] != kinds[2]
        if fits:
            possible.append(above.tolist())
    rows = ConstraintRows(which, sign, table, np.zeros((3, 2), dtype=np.int64))
    cyclic, unknown = decide_order(value, [order, rows], np.arange(10), dict)
    assert not unknown
    assert bool(possible) != bool(cyclic)
    if possible:
        assert value.tolist() in possible
