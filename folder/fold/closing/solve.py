"""Free turns, solved: turns that make every inner vertex close, the given ones kept.

free      a crease whose turn the drawing leaves open; its sense says to which side it should turn
try       one start of the search; where it ends depends on it, since a vertex may close in several ways
swings    a free edge that any turn suits within a range, together with others: a flap that nothing stops

Of several ways to close, the one that turns the creases to the side they were drawn for is taken, then one in which no
faces pass through each other, then the one with the most flaps lying flat.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from folder.fold.closing.linkage import ROUNDS, Linkage, linkage
from folder.fold.closing.opening import openings
from folder.fold.place import folded
from folder.fold.vertex import Fans, fans_of, misfits
from folder.geometry.space import Bools, Floats, frozen
from folder.pattern.faces.faces import Faces
from folder.pattern.pattern import Crease
from folder.units import TOLERANCES

_TRIES = 9
_MOST_EFFORT = 5e9
"""Multiplications after which the search ends with what it has: about a second."""
_MOST_PINS, _PIN_ROUNDS = 12, 20
_GIVEN_UP_EFFORT = 1e10
"""More than about a second: the search is left after so much, without a second try, and it is said that it was."""
_MOST_CLASH_LOOKS = 12
_MOST_FACES_LOOKED_AT = 4000
_MOST_FLIPS = 3
_LEAST_TURN_RAD = 1e-3
"""A free crease that turns less than this does not turn to the side it was drawn for."""


class Solution(Struct, frozen=True, eq=False):
    """Turns for every edge, and how well they close. All arrays are read-only."""

    turn: Floats
    """(e,) rad: the given turns, and the free ones as solved; -pi..pi."""
    fans: Fans
    """The inner vertices, row by row."""
    misfit: Floats
    """(n,) rad: how far each inner vertex is from closing."""
    gap_mm: Floats
    """(n,) how far each inner vertex opens the sheet."""
    swings: Bools
    """(e,) free edges that any angle suits within a range."""
    freedom: int
    """How many of the free turns could be chosen at will: 0 when the drawing settles them all."""
    given_up: bool = False
    """The search was left early, there being too much of it: what does not close here may close all the same."""

    @property
    def closed(self) -> bool:
        """Every inner vertex closes, to what a drawing's rounding does."""
        return bool((self.gap_mm <= TOLERANCES.closed_mm).all())


def edge_senses(faces: Faces, creases: Sequence[Crease]) -> Floats:
    """(e,) 1 for valley, -1 for mountain, 0 for all else."""
    by_crease = [{"valley": 1.0, "mountain": -1.0}.get(c.sense, 0.0) for c in creases]
    return np.array([*by_crease, 0.0, 0.0])[faces.crease]


def spokes(faces: Faces, fans: Fans) -> Floats:
    """(n,) mm: the longest edge of each vertex."""
    ends = faces.vertices[faces.edges]
    length = np.hypot(*(ends[:, 1] - ends[:, 0]).T)
    return np.where(fans.real, length[fans.edge], 0.0).max(axis=1, initial=0.0)


def solved(faces: Faces, creases: Sequence[Crease]) -> Solution:
    """The turns of a sheet, its free ones solved. Where no turns close, the nearest that were found."""
    fans = fans_of(faces)
    free = faces.free & faces.joined
    if not free.any():
        return _solution(faces, fans, faces.turn, np.zeros(len(free), dtype=np.bool_), 0)
    return _Search(faces, fans, edge_senses(faces, creases), free).solution()


def quick_solution(faces: Faces, creases: Sequence[Crease], initial: Floats, tries: int) -> Floats:
    """(e,) rad: the turns of a sheet after a few tries, the first from what is `initial` (e,): what `solved` comes to, as a rule.

    Neither the freedom that is left nor what passes through what is looked at.
    """
    free = faces.free & faces.joined
    if not free.any():
        return faces.turn
    return frozen(_Search(faces, fans_of(faces), edge_senses(faces, creases), free).after(initial, tries))


def _solution(faces: Faces, fans: Fans, turn: Floats, swings: Bools, freedom: int) -> Solution:
    """The solution at turns (e,) rad; `swings` (e,) are the ones that are not held."""
    misfit = misfits(fans.turns(turn), fans.sector)
    gap = openings(folded(faces, turn), fans, misfit)
    return Solution(frozen(turn), fans, frozen(misfit), frozen(gap), frozen(swings), freedom)


class _Search:
    """One search for free turns. `candidates` holds, for each part, what was found for it: score and turns, best first."""

    def __init__(self, faces: Faces, fans: Fans, sense: Floats, free: Bools) -> None:
        self.faces, self.fans, self.sense, self.free = faces, fans, sense, free
        self.link = linkage(faces, free, fans)
        self.members = [self.link.unknown[self.link.unknown_part == p] for p in range(self.link.parts)]
        self.spoke = spokes(faces, self.link.rows)
        self.rounds = max(12, min(ROUNDS, round(_MOST_EFFORT / (2.0 * self.link.effort))))
        self.tries = max(2, min(_TRIES, round(_MOST_EFFORT / (self.link.effort * self.rounds))))
        self.given_up = self.tries * self.rounds * self.link.effort > _GIVEN_UP_EFFORT
        if self.given_up:
            self.rounds, self.tries = min(self.rounds, int(_GIVEN_UP_EFFORT / self.link.effort)), 1
        self.on_floor = (faces.sides == faces.root).any(axis=1)
        self.candidates: list[list[tuple[tuple[float, ...], Floats]]] = [[] for _ in self.members]
        # A free crease that no vertex settles: a wall stands up, a flap lies flat.
        self.turn = np.where(free, sense * np.where(self.on_floor, math.pi / 2.0, math.pi), faces.turn)

    def solution(self) -> Solution:
        tries = self._tries()
        for start in tries:
            self._learn(self.link, start, self.rounds)
            self._take_best()
            if all(found[0][0][:2] == (0.0, 0.0) for found in self.candidates):
                break
        if self.given_up:
            found = _solution(self.faces, self.fans, self.turn, np.zeros(len(self.free), dtype=np.bool_), 0)
            return replace(found, given_up=True)
        swinging = self._motions()
        self._lay_flat(swinging)
        self._avoid_clashes(tries)
        lone = self.free & self.faces.joined
        lone[self.link.unknown] = False
        swings = lone.copy()
        swings[self.link.unknown] = swinging > 1e-6
        return _solution(self.faces, self.fans, self.turn, swings, int(lone.sum()) + round(float(swinging.sum())))

    def after(self, initial: Floats, tries: int) -> Floats:
        """(e,) the best turns after some tries, one from the turns `initial` (e,) among them."""
        for start in itertools.islice(itertools.chain([initial], self._tries()), tries):
            self._learn(self.link, np.where(self.free, start, self.turn), self.rounds)
            self._take_best()
            if all(found[0][0][0] == 0.0 for found in self.candidates):
                break
        return self.turn

    def _tries(self) -> Iterator[Floats]:
        """Starts (e,). The flat sheet is none: there the conditions do not say which way to go."""
        given = np.abs(np.where(self.free, 0.0, self.faces.turn))
        around = np.where(self.link.rows.real, given[self.link.rows.edge], 0.0)
        parts = self.link.parts
        sizes = np.bincount(self.link.part, around.sum(axis=1), parts)
        counts = np.bincount(self.link.part, (around > 0.0).sum(axis=1), parts)
        usual = np.full(len(self.free), math.pi / 2.0)
        usual[self.link.unknown] = np.where(counts > 0, sizes / np.maximum(counts, 1), math.pi / 2.0)[self.link.unknown_part]
        random = np.random.default_rng(1)
        for k in range(self.tries):
            if k < 4:
                size = (usual, np.full_like(usual, math.pi / 2.0), np.full_like(usual, 0.4), np.full_like(usual, 0.9 * math.pi))[
                    k
                ]
            else:
                size = random.uniform(0.05, 1.0, len(usual)) * math.pi
            side = self.sense if k < 7 else random.choice([-1.0, 1.0], len(usual))
            yield np.where(self.free, side * size, self.turn)

    def _learn(self, link: Linkage, start: Floats, rounds: int) -> None:
        """Close from a start (e,) rad, and note what each part came to."""
        turn = link.closed(start, rounds)
        turn = np.where(self.free, self._wrapped(turn), turn)
        residual, _ = self.link.residual_and_jacobian(turn)
        gap = np.sqrt((residual * residual).sum(axis=1)) * self.spoke
        worst = np.zeros(self.link.parts)
        np.maximum.at(worst, self.link.part, gap)
        opens = np.searchsorted([TOLERANCES.closed_mm, TOLERANCES.take_up_mm], worst)
        for part, edges in enumerate(self.members):
            flat = np.nonzero(np.abs(turn[edges]) > math.pi - TOLERANCES.flat_rad)[0]
            # Folded flat to the other side is the same place, but another order of layers.
            for sides in itertools.product((1.0, -1.0), repeat=min(len(flat), _MOST_FLIPS)):
                mine = turn[edges]
                mine[flat[: len(sides)]] *= sides
                wrong = float((mine * self.sense[edges] < _LEAST_TURN_RAD).sum())
                score = (float(opens[part]), wrong, -float(len(flat)), round(float(worst[part]), 6))
                if all(np.abs(mine - other).max() > 1e-4 for _, other in self.candidates[part]):
                    self.candidates[part].append((score, mine))
            self.candidates[part].sort(key=lambda found: found[0])

    def _wrapped(self, turn: Floats) -> Floats:
        """The same rotations (e,) rad in -pi..pi; a half turn to the side that the crease was drawn for."""
        round_turn = (turn + math.pi) % (2.0 * math.pi) - math.pi
        half = np.abs(np.abs(round_turn) - math.pi) < TOLERANCES.flat_rad
        return np.where(half & (self.sense != 0.0), self.sense * math.pi, round_turn)

    def _take_best(self) -> None:
        for edges, found in zip(self.members, self.candidates, strict=True):
            self.turn[edges] = found[0][1]

    def _motions(self) -> Floats:
        """(m,) how far each unknown takes part in motions that keep all closed; sums to the number of motions."""
        link = self.link
        basis = link.null_space(self.turn)
        if not basis.shape[1]:
            return np.zeros(len(link.unknown))
        # To first order a flat vertex moves in ways it cannot really go. Go a little way, close, and count there.
        nudged = self.turn.copy()
        nudged[link.unknown] += 0.2 * basis @ np.random.default_rng(2).choice([-1.0, 1.0], basis.shape[1])
        nudged = link.closed(nudged, self.rounds)
        residual, _ = link.residual_and_jacobian(nudged)
        shut = np.ones(link.parts, dtype=np.bool_)
        shut[link.part[np.abs(residual).max(axis=1) > TOLERANCES.vertex_rad]] = False
        moved = np.zeros(link.parts)
        np.maximum.at(moved, link.unknown_part, np.abs(nudged - self.turn)[link.unknown])
        here, there = ((b * b).sum(axis=1) for b in (basis, link.null_space(nudged)))
        fewer = np.bincount(link.unknown_part, there, link.parts) < np.bincount(link.unknown_part, here, link.parts)
        real = np.where(fewer[link.unknown_part], there, here)
        return np.where((shut & (moved > 0.02))[link.unknown_part], real, 0.0)

    def _lay_flat(self, swinging: Floats) -> None:
        """Where flaps swing, try each of their creases folded flat, and take what lies flattest. `swinging` (m,) by unknowns."""
        loose = np.bincount(self.link.unknown_part, swinging, self.link.parts) > 0.5
        wishes = []
        for part, edges in enumerate(self.members):
            mine = [] if not loose[part] else [e for e in edges.tolist() if not self.on_floor[e]]
            wishes.append(mine[: min(_MOST_PINS, 2 * self.tries)])
        for k in range(max((len(w) for w in wishes), default=0)):
            pinned = [w[k] for w in wishes if k < len(w)]
            left, start = self.free.copy(), self.turn.copy()
            left[pinned], start[pinned] = False, self.sense[pinned] * math.pi
            self._learn(linkage(self.faces, left, self.fans), start, min(_PIN_ROUNDS, self.rounds))
        self._take_best()

    def _avoid_clashes(self, tries: Iterator[Floats]) -> None:
        """Where faces pass through each other, take the next best way to close that has fewer of them. Tries (e,) rad each."""
        from folder.fold.layers.clash import clashing_faces  # a drawing without free turns never comes here

        hit = clashing_faces(self.faces, self.turn)
        if not len(hit):
            return
        for start in tries:
            self._learn(self.link, start, self.rounds)
        mine = [np.unique(self.faces.sides[edges]) for edges in self.members]
        count = [int(np.isin(hit, m).sum()) for m in mine]
        for k in range(1, max(2, min(_MOST_CLASH_LOOKS, _MOST_FACES_LOOKED_AT // self.faces.count))):
            trial = self.turn.copy()
            parts_tried = []
            for part, (edges, found) in enumerate(zip(self.members, self.candidates, strict=True)):
                # What does not close has no other way to close.
                if count[part] and k < len(found) and found[k][0][0] <= found[0][0][0] < 2.0:
                    trial[edges] = found[k][1]
                    parts_tried.append(part)
            hit = clashing_faces(self.faces, trial) if parts_tried else hit
            for part in parts_tried:
                fewer = int(np.isin(hit, mine[part]).sum())
                if fewer < count[part]:
                    self.turn[self.members[part]], count[part] = trial[self.members[part]], fewer
