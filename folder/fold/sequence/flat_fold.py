"""Simple folds: the sheet lies flat on the table, and all beyond one line of it is folded over through all its layers.

table   the plane in which the sheet lies; places on it are mm, the face under `floor_at` stays where it is
up      toward the viewer while the inside of that face is up

The name is that of Arkin et al., When can you fold a map?, Comput. Geom. 29 (2004) 23 (there: the all-layers model). Such a fold
needs no plan of its own: if folding some creases on one line of the table leaves the sheet closed, hands can do it, through
all layers that have a crease there.
"""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct

from folder.fold.place import Folded, folded
from folder.fold.sequence.flaps import HALF_TURN_RAD
from folder.fold.vertex import fans_of, misfits
from folder.geometry.space import Bools, Floats, Ints, carry
from folder.pattern.faces.faces import Faces
from folder.units import TOLERANCES

_MISFIT_RAD = 0.1
"""A vertex that misses by less closes: rounding by hand makes 0.02, a fold that cannot be made makes a half turn."""
_SAME = 1e-3
"""Folds whose sizes differ by no more than this share are the same fold at another place."""
_LAP = 0.2
"""Hems that meet at a corner share less than this of their boxes; folds that share more lie on each other."""
_ON_LINE_MM = 2.0 * TOLERANCES.snap_mm


class TableFold(Struct, frozen=True, eq=False):
    """A fold along one line of the table."""

    edges: Ints
    """Those that are folded, through all layers."""
    moved_mm2: float
    """How much of the sheet it moves."""
    length_mm: float
    lands: Floats
    """(2, 2) mm: the box of what has moved, its lower left and its upper right corner."""

    def like(self, other: TableFold) -> bool:
        """Whether this is the same fold at another place."""
        sizes = ((self.moved_mm2, other.moved_mm2), (self.length_mm, other.length_mm))
        return all(abs(a - b) <= _SAME * max(a, b) for a, b in sizes)

    def lands_on(self, other: TableFold) -> bool:
        """Whether one comes to lie on the other, so that they cannot be made in any order."""
        common = np.minimum(self.lands[1], other.lands[1]) - np.maximum(self.lands[0], other.lands[0])
        size = float(np.prod(self.lands[1] - self.lands[0]))
        return bool((common > 0).all() and np.prod(common) > _LAP * size)


def table_folds(now: Folded, turn: Floats, wanted: Bools, *, up: bool) -> list[TableFold]:
    """The folds that can be made now, upward or downward, so that some edges (e,) get their turns (e,); the smallest first."""
    faces = now.faces
    half = np.abs(turn) > math.pi - HALF_TURN_RAD
    edge = np.nonzero(wanted & half & (np.abs(now.turn) < TOLERANCES.flat_rad))[0]
    if not len(edge):
        return []
    start, end = on_table(now, edge)
    left = (np.sign(turn[edge]) * np.sign(now.normals[faces.sides[edge, 0], 2]) > 0) == up
    found = []
    for k in range(len(edge)):
        if left[k]:
            along = (end[k] - start[k]) / np.hypot(*(end[k] - start[k]))
            on = left & in_line(start, end, start[k], along)
            left &= ~on
            after = folded_with(now, turn, edge[on])
            if after is None:
                continue
            moved = np.abs(after.motions - now.motions).max(axis=(1, 2)) > 1e-6
            if moved.any():
                corners = after.corners[moved[faces.triangle_face]].reshape(-1, 3)[:, :2]
                places = np.concatenate([(p[on] - start[k]) @ along for p in (start, end)])
                lands = np.array([corners.min(axis=0), corners.max(axis=0)])
                found.append(TableFold(edge[on], float(faces.areas[moved].sum()), float(np.ptp(places)), lands))
    return sorted(found, key=lambda fold: (fold.moved_mm2, fold.length_mm))


def folded_with(now: Folded, turn: Floats, edges: Ints) -> Folded | None:
    """The sheet with some edges brought to their turns (e,) too; None when it does not close."""
    turns = now.turn.copy()
    turns[edges] = turn[edges]
    if not closes(now.faces, turns):
        return None
    after = folded(now.faces, turns)
    # Round the end of a cut there is no inner vertex, and still the sheet must come back onto itself.
    opens = bool(now.faces.cut.any()) and after.closure_gap_mm > TOLERANCES.take_up_mm
    return None if opens else after


def closes(faces: Faces, turn: Floats) -> bool:
    """Whether every inner vertex closes at turns (e,) rad, as far as hands can tell."""
    fans = fans_of(faces)
    return bool(misfits(fans.turns(turn), fans.sector).max(initial=0.0) <= _MISFIT_RAD)


def on_table(now: Folded, edge: Ints) -> tuple[Floats, Floats]:
    """Where some edges start and end on the table: (n, 2) mm each."""
    faces = now.faces
    motions = now.motions[faces.sides[edge].max(axis=1)]
    start, end = (carry(motions, faces.vertices[faces.edges[edge, k]])[:, :2] for k in (0, 1))
    return start, end


def in_line(start: Floats, end: Floats, at: Floats, along: Floats) -> Bools:
    """(n,) whether stretches from start to end (n, 2) lie on the line through a place."""
    across = np.array([-along[1], along[0]])
    return np.maximum(np.abs((start - at) @ across), np.abs((end - at) @ across)) < _ON_LINE_MM
