"""The order of folds: from the flat sheet to the finished hull, one thing for the hands at a time.

step        what is done in one go, and the turns of all edges once it is done
fold        fold flat on the table; what is already folded goes along as layers
turn over   the other side of the sheet comes up
crease      fold and unfold: the sheet lies as before, but the line is there
raise       the walls come up, with the spare sheet of each corner pinched between them
lay         the flaps are laid flat
crimp       layers are pinched together
check       nothing is left to pinch, and the rim is looked along

A fold on the table needs no plan of its own: if folding some creases on one line of the table leaves the sheet closed,
hands can do it, through all layers that have a crease there.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import Literal

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from folder.fold.place import Folded, folded
from folder.fold.sequence.flaps import HALF_TURN_RAD, Flap, flaps_of, swung
from folder.fold.sequence.flat_fold import TableFold, closes, folded_with, in_line, on_table, table_folds
from folder.geometry.space import Bools, Floats, Ints, carry, frozen
from folder.pattern.faces.faces import Faces
from folder.pattern.pattern import Pattern
from folder.units import TOLERANCES

Kind = Literal["fold", "turn over", "crease", "raise", "lay", "crimp", "check"]

LEAST_FLAP_MM = 4.0
"""What reaches less far from its hinge no fingers can hold: it is pressed down as the walls come up."""
MOST_HALF_TURNS = 600
"""More edges folded flat than this are not ordered: nobody folds that from a square of foil."""


class FoldStep(Struct, frozen=True, eq=False):
    """One step. Arrays are read-only."""

    kind: Kind
    edges: Bools
    """(e,) the creases that are folded, creased or raised."""
    turn: Floats
    """(e,) rad: the state of the sheet when the step is done."""
    numbers: tuple[int, ...] = ()
    """The step numbers that these creases have in the pattern."""
    over: bool = False
    """The outside of the sheet is up when the step is done."""
    flaps: tuple[Flap, ...] = ()
    """What is pinched or laid."""
    parts: tuple[Ints, ...] = ()
    """(k,) edges each: of a step that makes several folds, one after another."""


class FoldSequence(Struct, frozen=True, eq=False):
    """The steps in order; none when there is no order, and `note` then says why."""

    faces: Faces
    steps: tuple[FoldStep, ...]
    note: str = ""

    @property
    def found(self) -> bool:
        """The steps lead to the finished hull."""
        return bool(self.steps)

    def before(self, k: int) -> Floats:
        """(e,) rad: the turns before step k."""
        return self.steps[k - 1].turn if k else frozen(np.zeros(len(self.faces.edges)))

    def creased(self, k: int) -> Bools:
        """(e,) the edges that were folded or creased before step k."""
        done = np.zeros(len(self.faces.edges), dtype=np.bool_)
        for step in self.steps[:k]:
            done |= step.edges
        return done


def fold_sequence(pattern: Pattern, shape: Folded) -> FoldSequence:
    """The order of folds of a sheet: by the step numbers of its creases, and worked out where they say nothing."""
    faces = shape.faces
    if faces.root < 0:
        return FoldSequence(faces, (), "There is no floor to start from, so the order of folds is not known.")
    if not closes(faces, shape.turn) or shape.closure_gap_mm > TOLERANCES.take_up_mm:
        return FoldSequence(faces, (), "The folds do not come together, so there is no order in which they can be made.")
    if int((np.abs(shape.turn) > math.pi - HALF_TURN_RAD).sum()) > MOST_HALF_TURNS:
        return FoldSequence(faces, (), "There are too many folds here to work out an order.")
    if not (shape.shared & (np.abs(shape.turn) > TOLERANCES.flat_rad)).any():
        return FoldSequence(faces, (), "Nothing is folded here yet.")
    return _Making(pattern, shape).order()


def step_numbers(pattern: Pattern, order: FoldSequence) -> tuple[int | None, ...]:
    """For each crease the step in which it is first folded or creased, counted from 1: the numbers on paper and on screen."""
    first: dict[int, int] = {}
    for number, step in enumerate(order.steps, 1):
        for crease in np.unique(order.faces.crease[step.edges]).tolist():
            first.setdefault(crease, number)
    return tuple(first.get(i) for i in range(len(pattern.creases)))


def numbered_steps(pattern: Pattern, order: FoldSequence) -> Pattern:
    """The pattern with each crease numbered by `step_numbers`."""
    return with_numbers(pattern, step_numbers(pattern, order))


def with_numbers(pattern: Pattern, numbers: Sequence[int | None]) -> Pattern:
    """The pattern with the step of each crease set, one after another."""
    return replace(pattern, creases=tuple(replace(c, step=n) for c, n in zip(pattern.creases, numbers, strict=True)))


class _Making:
    """The sheet while its order is worked out."""

    def __init__(self, pattern: Pattern, shape: Folded) -> None:
        self.pattern, self.shape, self.faces = pattern, shape, shape.faces
        # BORDER and FLAT, -1 and -2, take the two entries at the end.
        numbers = np.array([-1 if c.step is None else c.step for c in pattern.creases] + [-1, -1])
        self.number: Ints = numbers[self.faces.crease]
        self.bends: Bools = shape.shared & (np.abs(shape.turn) > TOLERANCES.flat_rad)
        self.now = folded(self.faces, np.zeros(len(shape.turn)))
        self.creased = np.zeros(len(shape.turn), dtype=np.bool_)
        self.over = False
        self.steps: list[FoldStep] = []

    def order(self) -> FoldSequence:
        for number in np.unique(self.number[self.bends & (self.number >= 0)]).tolist():
            mine = self.bends & (self.number == number)
            self.fold_flat(mine, together=True)
            self.crease(mine & ~self.creased)
        self.fold_flat(self.bends, together=False)
        self.turn_to(over=False)
        for group in self.crease_groups():
            self.crease(group)
        self.raise_walls()
        crimped = any(self.faces.face_at(crimp) >= 0 for crimp in self.pattern.crimps)
        if crimped or any(step.kind == "raise" for step in self.steps):
            self.add("crimp" if crimped else "check", np.zeros_like(self.creased))
        return FoldSequence(self.faces, tuple(self.steps))

    def add(self, kind: Kind, edges: Bools, flaps: Iterable[Flap] = (), parts: Iterable[Ints] = ()) -> None:
        numbers = np.unique(self.number[edges & (self.number >= 0)])
        self.creased |= edges
        self.steps.append(
            FoldStep(kind, frozen(edges), self.now.turn, tuple(numbers.tolist()), self.over, tuple(flaps), tuple(parts))
        )

    def turn_to(self, *, over: bool) -> None:
        if self.over != over:
            self.over = over
            self.add("turn over", np.zeros_like(self.creased))

    # Folds on the table.

    def fold_flat(self, wanted: Bools, *, together: bool) -> None:
        """Make all folds on the table that some edges (e,) allow; like ones, or all there are if `together`, in one step."""
        while True:
            found = table_folds(self.now, self.shape.turn, wanted, up=not self.over)
            if not found:
                found = table_folds(self.now, self.shape.turn, wanted, up=self.over)
                if not found:
                    return
                self.turn_to(over=not self.over)
            done = np.zeros_like(self.creased)
            made: list[TableFold] = []
            for fold in found:
                at_once = together or (fold.like(found[0]) and not any(fold.lands_on(other) for other in made))
                after = folded_with(self.now, self.shape.turn, fold.edges) if at_once else None
                if after:
                    done[fold.edges] = True
                    made.append(fold)
                    self.now = after
            self.add("fold", done, parts=[fold.edges for fold in made])

    # Creases made before they are folded.

    def crease_groups(self) -> Iterator[Bools]:
        """What is left to crease (e,): the floor's border first, then the rest."""
        level = (np.abs(self.shape.normals[:, 2]) > math.cos(0.01)) & (np.abs(self.shape.motions[:, 2, 3]) < TOLERANCES.closed_mm)
        on_floor = np.where(self.faces.sides >= 0, level[self.faces.sides], False)
        yield self.bends & (on_floor[:, 0] != on_floor[:, 1]) & ~self.creased
        yield self.bends & ~self.creased

    def crease(self, edges: Bools) -> None:
        """Fold and unfold some edges (e,), and whatever lies in line with them on the table."""
        if not edges.any():
            return
        rest = np.nonzero(self.bends & ~self.creased)[0]
        start, end = on_table(self.now, rest)
        whole = edges.copy()
        for k in np.nonzero(edges[rest])[0].tolist():
            along = (end[k] - start[k]) / np.hypot(*(end[k] - start[k]))
            whole[rest[in_line(start, end, start[k], along)]] = True
        self.add("crease", whole)

    # Off the table.

    def raise_walls(self) -> None:
        """Bring up what is left, with the flaps of the corners standing out; then lay the flaps."""
        left = self.bends & (np.abs(self.now.turn - self.shape.turn) > TOLERANCES.flat_rad)
        if not left.any():
            return
        flaps = [flap for flap in flaps_of(self.shape, left) if self.on_floor(flap)]
        if max((flap.depth_mm for flap in flaps), default=0.0) < LEAST_FLAP_MM:
            flaps = []
        if flaps:
            self.now = folded(self.faces, swung(self.shape, flaps, 1.0))
            self.add("raise", left, flaps)
            self.now = self.shape
            self.add("lay", np.logical_or.reduce([flap.hinge for flap in flaps]), flaps)
        else:
            self.now = self.shape
            self.add("raise", left)

    def on_floor(self, flap: Flap) -> bool:
        """Whether the hinge of a flap starts at the floor, as that of a corner's spare sheet does."""
        edges = np.nonzero(flap.hinge)[0]
        motions = self.shape.motions[self.faces.sides[edges, 0]]
        heights = [carry(motions, self.faces.vertices[self.faces.edges[edges, k]])[:, 2] for k in (0, 1)]
        return bool(np.abs(heights).min() < TOLERANCES.closed_mm)
