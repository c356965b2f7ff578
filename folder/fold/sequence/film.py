"""The folding as a film: what the sheet looks like at any moment of any step, never torn.

move    one thing the hands do; a step has one or several, one after another
state   the sheet at one moment. Its lengths are kept, to what the drawing itself is off by; where no such state is known the
        picture goes over from one true state to another, and the state says so (`fade`)
share   how far along, 0 at the start, 1 at the end

Folds on the table and flaps turn about straight lines, rigid to the last digit; walls are raised along `partway.path`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Literal

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from folder.fold.place import Folded, folded
from folder.fold.sequence.flaps import Flap, swung
from folder.fold.sequence.partway import Path, path
from folder.fold.sequence.runs import edges_in_line
from folder.fold.sequence.steps import FoldSequence, FoldStep
from folder.geometry.space import Floats, Ints, frozen

EXACT_MM = 1e-6
"""A state whose edges gape by more than this, besides what the drawing is off by, is not shown."""
BENT_RAD = 2.0
"""So far over a sheet is folded to make a crease, before it is unfolded."""
_PROBES = (0.25, 0.5, 0.75)
_ON_THE_WAY = 24
"""So many parts of a way are tried before it is trusted."""

Way = Literal["straight", "there and back", "swing", "path", "still"]
SECONDS: dict[Way, float] = {"straight": 1.2, "there and back": 1.4, "swing": 1.2, "path": 2.4, "still": 1.2}


class FilmState(Struct, frozen=True, eq=False):
    """The sheet at a moment."""

    shape: Folded
    rest: Folded
    """The sheet when it lies still again: what lies on what there lies so on the way too."""
    over: float = 0.0
    """How far the sheet is turned over like a page: 0 with its inside up, 1 with its outside up."""
    other: Folded | None = None
    """What the picture goes over to, where there is no way that keeps the sheet whole."""
    fade: float = 0.0
    """How much of the other is seen."""


class FilmMove(Struct, frozen=True, eq=False):
    """One thing the hands do."""

    way: Way
    start: Folded
    end: Folded
    over: tuple[float, float]
    aim: Floats
    """(e,) rad: the turns toward which it goes: those of the end, but of a fold that is undone again."""
    flaps: tuple[Flap, ...] = ()
    path: Path | None = None
    torn: tuple[float, float] = (1.0, 1.0)
    """Between these shares no way is known that keeps the sheet whole: the picture goes over from one to the other."""

    @property
    def seconds(self) -> float:
        """How long it takes in the film."""
        return SECONDS[self.way]

    def shape(self, share: float) -> Folded:
        """The sheet at a share of the way; at its start and its end just as the order has it."""
        if share <= 0.0 or self.way == "still":
            return self.start
        return self.end if share >= 1.0 else folded(self.start.faces, self._turn(share).copy())

    def _turn(self, share: float) -> Floats:
        if self.way == "swing":
            return swung(self.end, self.flaps, 1.0 - share)
        if self.path is not None:
            return self.path.at(share).turn
        part = math.sin(math.pi * share) if self.way == "there and back" else share
        turn: Floats = self.start.turn + part * (self.aim - self.start.turn)
        return turn


class Film(Struct, frozen=True, eq=False):
    """All moves of all steps."""

    order: FoldSequence
    steps: tuple[tuple[FilmMove, ...], ...]
    off_mm: float
    """By how much the drawing itself misses closing."""

    def seconds(self, step: int) -> float:
        """How long a step takes."""
        return sum(move.seconds for move in self.steps[step])

    def at(self, step: int, share: float) -> FilmState:
        """The sheet at a share of a step."""
        move, along = self._moment(step, share)
        over = move.over[0] + along * (move.over[1] - move.over[0])
        start, end = move.torn
        if not start < along < end:
            shape = move.shape(along)
            if keeps_lengths(shape, self.off_mm):
                return FilmState(shape, move.end, over)
            start, end = 0.0, 1.0
        return FilmState(move.shape(start), move.end, over, move.shape(end), (along - start) / (end - start))

    def _moment(self, step: int, share: float) -> tuple[FilmMove, float]:
        """The move at a share of a step, and how far along that is."""
        left = min(max(share, 0.0), 1.0) * self.seconds(step)
        for move in self.steps[step]:
            if left <= move.seconds:
                return move, left / move.seconds
            left -= move.seconds
        return self.steps[step][-1], 1.0


def keeps_lengths(shape: Folded, off_mm: float) -> bool:
    """Whether a state keeps all lengths of a sheet whose drawing is off by so much."""
    return shape.closure_gap_mm <= 1.5 * off_mm + EXACT_MM


def film_of(order: FoldSequence) -> Film:
    """The film of an order of folds."""
    shapes = [folded(order.faces, order.before(0).copy())]
    for step in order.steps:
        shapes.append(shapes[-1] if step.turn is shapes[-1].turn else folded(order.faces, step.turn.copy()))
    filming = _Filming(max(shape.closure_gap_mm for shape in shapes))
    before = [False, *(step.over for step in order.steps)]
    steps = [
        tuple(filming.moves(step, shapes[k], shapes[k + 1], (float(before[k]), float(step.over))))
        for k, step in enumerate(order.steps)
    ]
    return Film(order, tuple(steps), filming.off_mm)


class _Filming:
    """How the moves of a film are found."""

    def __init__(self, off_mm: float) -> None:
        self.off_mm = off_mm

    def moves(self, step: FoldStep, was: Folded, now: Folded, over: tuple[float, float]) -> Iterator[FilmMove]:
        """The moves of a step."""
        match step.kind:
            case "fold":
                yield from self.folds(step, was, now, over)
            case "turn over":
                yield FilmMove("straight", was, now, over, now.turn)
            case "crease":
                yield from self.creases(step, was, over)
            case "raise":
                way = path(was.faces, was.turn, now.turn)
                yield self.tried(FilmMove("path", was, now, over, now.turn, path=way))
            case "lay":
                yield self.tried(FilmMove("swing", was, now, over, now.turn, step.flaps))
            case "crimp" | "check":
                yield FilmMove("still", was, now, over, now.turn)

    def folds(self, step: FoldStep, was: Folded, now: Folded, over: tuple[float, float]) -> Iterator[FilmMove]:
        """The folds of a step, one after another, as many at once as keep the sheet whole on the way."""
        groups: list[Ints] = []
        start = was
        for part in step.parts:
            if groups and self.keeps(start, now.turn, both := np.concatenate([groups[-1], part])):
                groups[-1] = both
                continue
            if groups:
                start = _with(start, now.turn, groups[-1])
            groups.append(part)
        for k, group in enumerate(groups):
            end = _with(was, now.turn, group) if k < len(groups) - 1 else now
            yield self.tried(FilmMove("straight", was, end, over, end.turn))
            was = end

    def creases(self, step: FoldStep, was: Folded, over: tuple[float, float]) -> Iterator[FilmMove]:
        """Fold and unfold along every line that lets the sheet fold over; the others only light up."""
        up = np.sign(was.normals[was.faces.sides[:, 0], 2]) * (-1.0 if step.over else 1.0)
        bent = frozen(np.where(np.abs(was.turn) < math.pi / 2.0, was.turn + up * BENT_RAD, was.turn))
        loose = [line for line in edges_in_line(was, step.edges) if self.keeps(was, bent, line)]
        for group in self.apart(loose, was, bent):
            aim = was.turn.copy()
            aim[group] = bent[group]
            yield FilmMove("there and back", was, was, over, frozen(aim))
        if sum(map(len, loose)) < np.count_nonzero(step.edges):
            yield FilmMove("still", was, was, over, was.turn)

    def apart(self, lines: Sequence[Ints], was: Folded, bent: Floats) -> list[Ints]:
        """Lines, edges (k,) each, in as few groups as can be folded and unfolded at once."""
        groups: list[Ints] = []
        for line in lines:
            for n, group in enumerate(groups):
                both = np.concatenate([group, line])
                if self.keeps(was, bent, both):
                    groups[n] = both
                    break
            else:
                groups.append(line)
        return groups

    def keeps(self, was: Folded, aim: Floats, edges: Ints) -> bool:
        """Whether the sheet stays whole while some edges (k,) alone go straight to their turns of `aim` (e,)."""
        for share in _PROBES:
            turn = was.turn.copy()
            turn[edges] += share * (aim[edges] - turn[edges])
            if not keeps_lengths(folded(was.faces, turn), self.off_mm):
                return False
        return True

    def tried(self, move: FilmMove) -> FilmMove:
        """The move, with where its way would tear the sheet."""
        shares = [n / _ON_THE_WAY for n in range(_ON_THE_WAY + 1)]
        torn = [n for n in range(1, _ON_THE_WAY) if not keeps_lengths(move.shape(shares[n]), self.off_mm)]
        return replace(move, torn=(shares[torn[0] - 1], shares[torn[-1] + 1])) if torn else move


def _with(was: Folded, turn: Floats, edges: Ints) -> Folded:
    """The sheet with some edges (k,) brought to their turns of `turn` (e,)."""
    turns = was.turn.copy()
    turns[edges] = turn[edges]
    return folded(was.faces, turns)
