"""The closing conditions of many vertices at once, and turns that meet them.

unknown   an edge whose turn is to be found
part      vertices that hang together through unknown edges: each part is solved on its own
row       one vertex that an unknown edge runs into: three conditions, the misfit as a vector
block     neighbouring rows; only rows of one block or of two successive ones share an unknown

The step of Levenberg and Marquardt, J'(J J' + damping)^-1 r, is taken in this form because J J' is then a chain of
blocks: the cost grows with the number of vertices, not with its cube. It is also the least change of the turns.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

import numpy as np
from msgspec import Struct

from folder.fold.vertex import Fans, fans_of, residual_and_jacobian
from folder.geometry.space import Bools, Floats, Ints, frozen
from folder.pattern.faces.faces import Faces

ROUNDS = 60
"""Steps after which a part that has not settled is given up: exact patterns need 4 to 15."""

MOST_NULL_DIRECTIONS = 64
"""Directions of the null space that are looked for: a drawing with more has hardly a turn settled."""

_BLOCK_ROWS = 12
_ONE_BLOCK_ROWS = 25
"""Fewer rows are solved in one go: there the blocks cost more than they save. Not many more, since the library would
then call in other processor cores, and waiting for them takes longer than the work where they are busy."""
_BLOCK_EFFORT = 5e5
_MOST_STEP_RAD = 0.7
_MET = 1e-13
"""A misfit vector below this is rounding."""
_FAR = 1e-3
"""A part whose misfits squared sum to more than this is far from closing: there slow progress is none."""
_LEAST_DAMPING = 1e-12


class Linkage(Struct, frozen=True, eq=False, dict=True):
    """Which vertices must close and which turns may change for it. All arrays are read-only."""

    rows: Fans
    """The vertices that an unknown runs into, in the order of the blocks."""
    unknown: Ints
    """(m,) edges, those that run into a row."""
    slot: Ints
    """(n, d) index into `unknown`, m where the turn is kept."""
    part: Ints
    """(n,) the part of each row."""
    unknown_part: Ints
    """(m,) the part of each unknown."""
    place: Ints
    """(n, 2) block of each row and its number in the block."""
    pairs: Ints
    """(q, 4) rows that share an unknown: row, its slot, other row (not in an earlier block), its slot."""
    weights: Floats
    """(m + 1,) how willingly each unknown moves: a weight on its column of the Jacobian; 0 at the end, for what is kept."""

    @property
    def parts(self) -> int:
        """How many parts there are."""
        return int(self.part.max(initial=-1)) + 1

    @property
    def effort(self) -> float:
        """Roughly how many multiplications one step takes; starting on a block takes as long as some of them."""
        sizes = 3.0 * np.bincount(self.place[:, 0])
        return 1.0 + float((4.0 * sizes**3 + _BLOCK_EFFORT).sum())

    @cached_property
    def _slot_weights(self) -> Floats:
        """(n, 1, d) the weight of the unknown at each slot of each row."""
        return self.weights[self.slot][:, None, :]

    def residual_and_jacobian(self, turn: Floats) -> tuple[Floats, Floats]:
        """The misfit vectors (n, 3) at turns (e,) rad, and their Jacobian with the turns (n, 3, d), 0 where it is kept."""
        residual, jacobian = residual_and_jacobian(self.rows.turns(turn), self.rows.sector)
        return residual, jacobian * self._slot_weights

    @cached_property
    def _shared(self) -> tuple[tuple[Ints, bool], tuple[Ints, bool]]:
        """The pairs (4, q) within one block, and those in two successive ones."""
        block = self.place[:, 0]
        within = block[self.pairs[:, 0]] == block[self.pairs[:, 2]]
        return (self.pairs[within].T, True), (self.pairs[~within].T, False)

    def normal_equations(self, jacobian: Floats, damping: Floats) -> tuple[Floats, Floats]:
        """J J' with damping (n,) on its diagonal: the blocks (b, k, k), and those below the diagonal (b - 1, k, k)."""
        count = int(self.place[:, 1].max(initial=0)) + 1
        blocks = int(self.place[:, 0].max(initial=-1)) + 1
        main = np.zeros((blocks, count, 3, count, 3))
        below = np.zeros((max(blocks - 1, 0), count, 3, count, 3))
        block, number = self.place.T
        main[block, number, :, number, :] = jacobian @ jacobian.transpose(0, 2, 1) + damping[:, None, None] * np.eye(3)
        for (row, i, other, j), within in self._shared:
            shared = jacobian[other, :, j][:, :, None] * jacobian[row, :, i][:, None, :]
            if within:
                main[block[row], number[other], :, number[row], :] = shared
                main[block[row], number[row], :, number[other], :] = shared.transpose(0, 2, 1)
            else:
                below[block[row], number[other], :, number[row], :] = shared
        return main.reshape(blocks, 3 * count, 3 * count), below.reshape(-1, 3 * count, 3 * count)

    def damped_solution(self, jacobian: Floats, damping: Floats, right: Floats) -> Floats:
        """J' (J J' + damping)^-1 applied to columns: (n, 3, c) -> (m, c)."""
        if len(jacobian) <= _ONE_BLOCK_ROWS:
            dense = np.zeros((len(jacobian), 3, len(self.weights)))
            dense[np.arange(len(jacobian))[:, None], :, self.slot] = jacobian.transpose(0, 2, 1)
            wide = dense.reshape(3 * len(jacobian), -1)
            square = wide @ wide.T
            square.flat[:: len(square) + 1] += damping.repeat(3)
            return (wide.T @ np.linalg.solve(square, right.reshape(len(wide), -1)))[:-1]
        block, number = self.place.T
        main, below = self.normal_equations(jacobian, damping)
        size, columns = main.shape[1], right.shape[2]
        layout = np.zeros((len(main), size // 3, 3, columns))
        layout[block, number] = right
        solved = layout.reshape(len(main), size, columns)
        used = 3 * np.bincount(block, minlength=len(main))
        ahead: list[Floats] = []
        for k, n in enumerate(used.tolist()):
            here, right_side = main[k, :n, :n], solved[k, :n]
            if k:
                link = below[k - 1, :n, : used[k - 1]]
                here -= link @ ahead[k - 1]
                right_side -= link @ solved[k - 1, : used[k - 1]]
            if k < len(below):
                both = np.linalg.solve(here, np.hstack([below[k, : used[k + 1], :n].T, right_side]))
                ahead.append(both[:, : used[k + 1]])
                right_side[:] = both[:, used[k + 1] :]
            else:
                right_side[:] = np.linalg.solve(here, right_side)
        for k in range(len(main) - 2, -1, -1):
            solved[k, : used[k]] -= ahead[k] @ solved[k + 1, : used[k + 1]]
        wanted = solved.reshape(len(main), size // 3, 3, columns)[block, number]
        return self._gathered(jacobian.transpose(0, 2, 1) @ wanted)

    def _gathered(self, layout: Floats) -> Floats:
        """What each unknown gets from the rows it runs into: (n, d, c) -> (m, c)."""
        out = np.zeros((len(self.unknown) + 1, layout.shape[2]))
        np.add.at(out, self.slot, layout)
        return out[:-1]

    def closed(self, start: Floats, rounds: int = ROUNDS) -> Floats:
        """Turns (e,) nearby that close every part, or come as near as they can; the unknowns start from `start` (e,)."""
        turn = start.copy()
        if not len(self.rows.vertex):
            return turn
        residual, jacobian = self.residual_and_jacobian(turn)
        cost = self._per_part((residual * residual).sum(axis=1))
        damping = np.full(self.parts, 0.01)
        resting = cost < _MET * _MET
        for _ in range(rounds):
            if resting.all():
                break
            held = (damping * cost + _LEAST_DAMPING)[self.part]
            step = -self.damped_solution(jacobian, held, residual[:, :, None])[:, 0] * self.weights[:-1]
            longest = np.zeros(self.parts)
            np.maximum.at(longest, self.unknown_part, np.abs(step))
            step *= (_MOST_STEP_RAD / np.maximum(longest, _MOST_STEP_RAD) * ~resting)[self.unknown_part]
            trial = turn.copy()
            trial[self.unknown] += step
            new_residual, new_jacobian = self.residual_and_jacobian(trial)
            new_cost = self._per_part((new_residual * new_residual).sum(axis=1))
            better = new_cost < cost
            # A part rests when it closes, when it hardly moves, or when no step helps it any more.
            little = np.where(new_cost > _FAR, 1e-4, 1e-9) * cost
            resting = np.where(better, (new_cost < _MET * _MET) | (cost - new_cost < little), resting | (damping > 1e8))
            resting |= longest < 1e-14
            damping = np.where(better, np.maximum(damping * 0.1, 1e-4), damping * 10.0)
            cost = np.where(better, new_cost, cost)
            if better.all():
                turn, residual, jacobian = trial, new_residual, new_jacobian
            else:
                moved = self.unknown[better[self.unknown_part]]
                turn[moved] = trial[moved]
                taken = better[self.part]
                residual[taken], jacobian[taken] = new_residual[taken], new_jacobian[taken]
        return turn

    def _per_part(self, amounts: Floats) -> Floats:
        """(p,) amounts (n,) of the rows, added up for each part."""
        return np.asarray(np.bincount(self.part, amounts, self.parts), dtype=np.float64)

    def null_space(self, turn: Floats) -> Floats:
        """Directions (m, p), orthonormal, in which the turns can change without opening any row, to first order.

        Random probes are freed of all that opens a row; what is left of them spans these directions. No more than
        MOST_NULL_DIRECTIONS are looked for.
        """
        m = len(self.unknown)
        if not m:
            return np.empty((0, 0))
        _, jacobian = self.residual_and_jacobian(turn)
        damping = np.full(len(jacobian), 1e-11)
        few, random = 16, np.random.default_rng(1)
        while True:
            probes = np.eye(m) if m <= 3 * few else np.linalg.qr(random.standard_normal((m, few)))[0]
            left = probes
            for _ in range(2):  # twice, because the damping leaves a trace of what opens a row
                opened = jacobian @ np.concatenate([left, np.zeros((1, left.shape[1]))])[self.slot]
                left = left - self.damped_solution(jacobian, damping, opened)
            squares, across = np.linalg.eigh(left.T @ left)
            found = squares > 1e-6
            if probes.shape[1] == m or found.sum() < few or few >= MOST_NULL_DIRECTIONS:
                return left @ (across[:, found] / np.sqrt(squares[found]))
            few *= 4


def linkage(faces: Faces, unknown: Bools, fans: Fans | None = None, weights: Floats | None = None) -> Linkage:
    """The linkage of a sheet with some edges unknown (e,); `weights` (e,) says how willingly each one moves, 1 by default."""
    fans = fans_of(faces) if fans is None else fans
    loose = fans.real & unknown[fans.edge]
    which = np.nonzero(loose.any(axis=1))[0]
    edge = np.where(loose[which], fans.edge[which], -1)
    order, part, level = _breadth_first(edge)
    edge, which = edge[order], which[order]
    used = np.flatnonzero(np.bincount(edge[edge >= 0]))  # np.unique would load masked arrays, a tenth of a check
    index = np.full(len(faces.edges), len(used))
    index[used] = np.arange(len(used))
    slot = np.where(edge >= 0, index[edge], len(used))

    row, i = np.nonzero(edge >= 0)
    by_edge = np.argsort(slot[row, i], kind="stable")
    row, i = row[by_edge], i[by_edge]
    twice = np.nonzero(slot[row[1:], i[1:]] == slot[row[:-1], i[:-1]])[0]
    pairs = np.column_stack([row[twice], i[twice], row[twice + 1], i[twice + 1]])
    unknown_part = np.zeros(len(used), dtype=np.int64)
    unknown_part[slot[row, i]] = part[row]
    moves = np.append(np.ones(len(used)) if weights is None else weights[used], 0.0)
    rows = Fans(frozen(fans.vertex[which]), frozen(fans.edge[which]), frozen(fans.sector[which]))
    arrays = (used, slot, part, unknown_part, _blocks(level), pairs, moves)
    return Linkage(rows, *(frozen(a) for a in arrays))


def _breadth_first(edge: Ints) -> tuple[Ints, Ints, Ints]:
    """Rows (n, d) of unknown edges, -1 for none, walked part by part, level by level.

    The order of the rows; and in that order the part of each, and its level, which goes on counting from part to part.
    """
    by_edge: dict[int, list[int]] = {}
    for row, edges in enumerate(edge.tolist()):
        for e in edges:
            if e >= 0:
                by_edge.setdefault(e, []).append(row)
    adjacent: list[set[int]] = [set() for _ in edge]
    for rows in by_edge.values():
        for row in rows:
            adjacent[row].update(rows)
    order: list[int] = []
    part: list[int] = []
    level: list[int] = []
    visited: set[int] = set()
    for first in range(len(edge)):
        if first in visited:
            continue
        number = part[-1] + 1 if part else 0
        # Walked twice: from anywhere to a far end, and from there, so that the levels are small.
        start = _levels([first], adjacent)[-1][-1]
        for ring in _levels([start], adjacent):
            base = level[-1] + 1 if level else 0
            order += ring
            part += [number] * len(ring)
            level += [base] * len(ring)
        visited.update(order[len(visited) :])
    return np.array(order, dtype=np.int64), np.array(part, dtype=np.int64), np.array(level, dtype=np.int64)


def _levels(start: Iterable[int], adjacent: list[set[int]]) -> list[list[int]]:
    """Rows by how many unknowns they lie away from the start."""
    rings = [list(start)]
    visited = set(rings[0])
    while True:
        ring = []
        for row in rings[-1]:
            new = adjacent[row] - visited
            visited |= new
            ring += sorted(new)
        if not ring:
            return rings
        rings.append(ring)


def _blocks(level: Ints) -> Ints:
    """Successive levels (n,) gathered to blocks of a good size: (n, 2) block and number in it."""
    sizes = np.bincount(level).tolist()
    block, number, out = 0, 0, []
    for size in sizes:
        if number and number + size > _BLOCK_ROWS:
            block, number = block + 1, 0
        out += [(block, number + k) for k in range(size)]
        number += size
    return np.array(out, dtype=np.int64).reshape(-1, 2)
