"""Questions of above and below that have to do with each other, and their answers.

question          does the second face of a pair of layers lie above the first: 1 yes, -1 no, 0 not known
literal           a question with a sign: the same, asked from the other side
constraint table  a few literals of which only some combinations of answers are allowed
cell order        the faces of a cell against each other: above is transitive there
parity union-find questions that have the same or the opposite answer, gathered under one (Tarjan & van Leeuwen, J. ACM 31 (1984) 245)

What follows is propagated; what is left is answered by backtracking: a question with hints first, its likely answer first.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache
from itertools import pairwise, permutations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from folder.geometry.graph import components
from folder.geometry.space import Bools, Ints, distinct

OrderAnswers = NDArray[np.int8]

MOST_WRONG = 400
"""Wrong guesses after which an order is left open, and said to be: no stack that a hand folds needs more than a few."""

TWO_WINGS = ((0, 1), (0, 2), (0, 3), (1, 2), (1, 3), (2, 3))
"""The pairs of four wings round a line: 0 and 1 belong to one crease, 2 and 3 to another."""

Literal = tuple[int, int]
"""Number of a question, and 1 or -1."""


class ParityUnionFind:
    """Answers while the questions come in, and which questions have the same one."""

    def __init__(self, count: int) -> None:
        self.parent, self.parity = list(range(count)), [1] * count
        self.value = [0] * count

    def roots(self) -> tuple[Ints, Ints]:
        """For each question the one that stands for it (q,), and the sign between them (q,)."""
        found = np.array([self.find(k) for k in range(len(self.parent))], dtype=np.int64).reshape(-1, 2)
        return found[:, 0], found[:, 1]

    def assign(self, literal: Literal, holds: int) -> bool:
        """Note that a literal is true (1) or false (-1); False when the opposite is known."""
        root, sign = self.find(literal[0])
        assigned = holds * literal[1] * sign
        if self.value[root] == -assigned:
            return False
        self.value[root] = assigned
        return True

    def find(self, k: int) -> Literal:
        """The question that stands for all that have the same answer, and the sign between them."""
        path = []
        while self.parent[k] != k:
            path.append(k)
            k = self.parent[k]
        sign = 1
        for step in reversed(path):
            sign *= self.parity[step]
            self.parent[step], self.parity[step] = k, sign
        return k, sign

    def union(self, one: Literal, other: Literal) -> bool:
        """Note that two literals have the same answer; False when that cannot be."""
        (a, s), (b, t) = self.find(one[0]), self.find(other[0])
        s, t = s * one[1], t * other[1]
        if a == b:
            return s == t
        if self.value[a] and self.value[b] and self.value[a] * s != self.value[b] * t:
            return False
        self.value[b] = self.value[b] or self.value[a] * s * t
        self.parent[a], self.parity[a] = b, s * t
        return True


class ConstraintTable(Struct, frozen=True, eq=False):
    """The combinations that a table allows. A combination of known answers is looked up as a number to base 3."""

    pairs: tuple[int, ...]
    """Which pairs of wings are layers: numbers into `TWO_WINGS`, one for each literal."""
    digits: Ints
    """(t,) what an answer counts in the number."""
    binds: bool
    """Something is forbidden that transitivity alone allows."""
    possible: Bools
    """(3^t,) whether known answers can be completed."""
    forced: OrderAnswers
    """(3^t, t) the answers that all completions share, 0 where they differ."""


@lru_cache(maxsize=256)
def constraint_table(ranks: tuple[int, ...]) -> ConstraintTable:
    """Four wings round a line, numbered round by direction: in which orders of layers do the two creases not cross.

    A literal is 1 where the second wing of a tie lies farther round than the first.
    """
    ties = tuple(t for t, (x, y) in enumerate(TWO_WINGS) if ranks[x] == ranks[y])
    allowed, every = set(), set()
    for round_order in permutations(range(4)):
        if any(ranks[x] > ranks[y] for x, y in pairwise(round_order)):
            continue
        place = {wing: n for n, wing in enumerate(round_order)}
        answers = tuple(1 if place[TWO_WINGS[t][1]] > place[TWO_WINGS[t][0]] else -1 for t in ties)
        every.add(answers)
        low, high = sorted((place[0], place[1]))
        if (low < place[2] < high) == (low < place[3] < high):
            allowed.add(answers)
    orders = np.array(sorted(allowed), dtype=np.int8).reshape(len(allowed), len(ties))
    assigned = np.array(np.meshgrid(*[(-1, 0, 1)] * len(ties), indexing="ij"), dtype=np.int8).reshape(len(ties), 3 ** len(ties)).T
    fits = ((assigned[:, None] == 0) | (assigned[:, None] == orders)).all(axis=2)
    most = np.where(fits[..., None], orders, -1).max(axis=1, initial=-1)
    least = np.where(fits[..., None], orders, 1).min(axis=1, initial=1)
    digits = 3 ** np.arange(len(ties))[::-1]
    return ConstraintTable(ties, digits, allowed != every, fits.any(axis=1), np.where(most == least, most, 0).astype(np.int8))


class ConstraintRows(Struct, frozen=True, eq=False):
    """Rows of literals that are bound in the same way."""

    which: Ints
    """(r, t) questions."""
    sign: Ints
    """(r, t)"""
    table: ConstraintTable
    faces: Ints
    """(r, 2) two of the faces, to name the place."""

    def only(self, rows: Ints) -> ConstraintRows:
        """The same for some `rows` (k,) alone."""
        return ConstraintRows(self.which[rows], self.sign[rows], self.table, self.faces[rows])

    def follow(self, value: OrderAnswers) -> Bools:
        """Note in `value` what follows; which rows (r,) contradict."""
        assigned = value.take(self.which) * self.sign
        code = (assigned + 1) @ self.table.digits
        forced = self.table.forced.take(code, axis=0)
        new = (assigned == 0) & (forced != 0)
        if np.count_nonzero(new):
            value[self.which[new]] = forced[new] * self.sign[new]
        return ~self.table.possible.take(code)


class CellOrder(Struct, frozen=True, eq=False):
    """Cells of as many faces each."""

    which: Ints
    """(c, k, k) the question whether the second face lies above the first, -1 for none."""
    sign: Ints
    """(c, k, k)"""
    faces: Ints
    """(c, k)"""

    def only(self, rows: Ints) -> CellOrder:
        """The same for some cells, `rows` (k,), alone."""
        return CellOrder(self.which[rows], self.sign[rows], self.faces[rows])

    def above(self, value: OrderAnswers) -> Bools:
        """(c, k, k) known: the second lies above the first."""
        return (value.take(self.which) * self.sign == 1) & (self.which >= 0)

    def follow(self, value: OrderAnswers) -> Bools:
        """Note in `value` what follows; which cells (c,) contradict."""
        above = self.above(value)
        implied = above
        for _ in range(above.shape[1].bit_length()):
            more = implied | (implied @ implied)
            if not np.count_nonzero(more != implied):
                break
            implied = more
        new = implied & (value.take(self.which) == 0) & (self.which >= 0)
        if np.count_nonzero(new):
            value[self.which[new]] = self.sign[new]
        both = implied & implied.transpose(0, 2, 1)
        return np.logical_or.reduce(both, axis=(1, 2))


Rule = ConstraintRows | CellOrder


def propagate(value: OrderAnswers, rules: Sequence[Rule]) -> list[tuple[int, int]]:
    """Note in the answers `value` (q,) all that follows from what they hold. Pairs of faces where that contradicts itself."""
    while True:
        before, contradictions = value.copy(), []
        for rule in rules:
            contradicts = rule.follow(value)
            if np.count_nonzero(contradicts):
                contradictions += [(int(f[0]), int(f[1])) for f in rule.faces[contradicts]]
        if contradictions or not np.count_nonzero(value != before):
            return contradictions


Hints = dict[int, list[Literal]]
"""For a question the others, with a sign, that are likely to have the same answer."""

FacePair = tuple[int, int]


def decide_order(
    value: OrderAnswers, rules: Sequence[Rule], asked: Ints, hints_of: Callable[[], Hints]
) -> tuple[list[FacePair], list[FacePair]]:
    """Answer the questions `asked` (a,) in `value` (q,): first what follows, then by backtracking.

    Pairs of faces that have no order, and those for which it could not be found out.
    """
    contradictions = propagate(value, rules)
    unknown: list[FacePair] = []
    if contradictions or value[asked].all():
        return contradictions, unknown
    hints = hints_of()
    for part, own in _parts(value, rules, asked):
        fits = _backtrack(value, own, part, hints)
        if not fits:
            pair = (int(own[0].faces[0, 0]), int(own[0].faces[0, 1]))
            (unknown if fits is None else contradictions).append(pair)
    return contradictions, unknown


def _parts(value: OrderAnswers, rules: Sequence[Rule], asked: Ints) -> list[tuple[Ints, list[Rule]]]:
    """Open questions (m,), of those `asked` (a,), that have to do with each other, and the rows of the rules that speak of them."""
    left = asked[value[asked] == 0]
    index = np.full(len(value), -1)
    index[left] = np.arange(len(left))
    # The open questions of each row, by their places in `left`, -1 for others; and the first of them.
    spoken = [np.where(w >= 0, index[w], -1) for w in (rule.which.reshape(len(rule.which), -1) for rule in rules)]
    first = [s[np.arange(len(s)), (s >= 0).argmax(axis=1)] for s in spoken]
    pairs = [np.column_stack([f.repeat(s.shape[1]), s.ravel()])[s.ravel() >= 0] for f, s in zip(first, spoken, strict=True)]
    name = components(np.concatenate(pairs or [np.empty((0, 2), dtype=np.int64)]), len(left))
    own: dict[int, list[Rule]] = {k: [] for k in distinct(name).tolist()}
    for rule, lead in zip(rules, first, strict=True):
        part = np.where(lead >= 0, name[lead], -1)
        for k in distinct(part[part >= 0]).tolist():
            own[k].append(rule.only(np.nonzero(part == k)[0]))
    return [(left[name == k], mine) for k, mine in own.items()]


def _guess(value: OrderAnswers, open_ones: Ints, hints: Hints) -> tuple[int, int]:
    """The question, of those open (m,), to try next and its likely answer: one that has hints, if there is any."""
    for k in open_ones.tolist():
        vote = sum(int(value[other]) * sign for other, sign in hints.get(k, ()))
        if vote:
            return k, 1 if vote > 0 else -1
    return int(open_ones[0]), 1


def _backtrack(value: OrderAnswers, rules: Sequence[Rule], asked: Ints, hints: Hints) -> bool | None:
    """Answer questions `asked` (m,) by trying; False when every way contradicts itself. None, and left open, when it takes too long."""
    trail: list[tuple[int, int, OrderAnswers, bool]] = []
    wrong = 0
    while True:
        if not propagate(value, rules):
            open_ones = asked[value[asked] == 0]
            if not len(open_ones):
                return True
            k, answer = _guess(value, open_ones, hints)
            trail.append((k, answer, value[asked], False))
            value[k] = answer
            continue
        wrong += 1
        if wrong > MOST_WRONG:
            value[asked] = trail[0][2] if trail else value[asked]
            return None
        while trail:
            k, answer, before, second = trail.pop()
            value[asked] = before
            if not second:
                value[k] = -answer
                trail.append((k, -answer, before, True))
                break
        else:
            return False
