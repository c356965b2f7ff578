"""How high what comes up is to stand: measured with a ruler set on the table, and drawn beside the picture of what it looks like then.

rim   the sheet's edge at the top of a wall: how steep the walls beside the floor stand is told by its height there
tip   of spare foil that hangs on its wall by one straight line alone and stands off: nothing else says how far it is turned
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

import numpy as np
from msgspec import Struct

from folder.draw.hull.view import View
from folder.draw.steps.ear import ears_of
from folder.draw.steps.standing import in_mid_side, stands_straight
from folder.findings import Point
from folder.fold.place import Folded
from folder.fold.sequence.flat_fold import on_table
from folder.fold.sequence.runs import distances_to_runs
from folder.fold.sequence.steps import FoldStep
from folder.geometry.space import Bools, Floats, Ints, carry

LEAST_MM = 3.0
"""What is lower is not asked of a child with a ruler."""
_ALIKE_RAD = 0.01
"""Walls stand up by as much, as far as a hand can tell."""
_MOST_RIMS = 3
"""More heights than this in one picture nobody could tell apart."""


class Height(Struct, frozen=True, eq=False):
    """A height above the table."""

    what: Literal["rim", "tip"]
    place: Point
    """On the sheet."""
    at: Floats
    """(3,) mm: where that is when the step is done."""

    @property
    def size_mm(self) -> float:
        """How high."""
        return float(self.at[2])

    @property
    def foot(self) -> Floats:
        """(3,) mm: the place on the table below."""
        return self.at * [1.0, 1.0, 0.0]


def heights_of(step: FoldStep, was: Folded, now: Folded, feet: Bools, view: View) -> tuple[Height, ...]:
    """How high the rim is to stand, once for all walls that stand up alike, and the tip of spare foil that could be turned at will.

    feet  (e,) where a wall meets the floor; the heights are taken where they are seen best from a `view`
    """
    edges = np.nonzero(feet & step.edges)[0]
    if step.kind != "raise" or not len(edges) or stands_straight(step):
        return ()
    if step.flaps and not in_mid_side(step, was):
        return ()  # the corners settle it
    return (*_rims(step, was, now, edges, view), *_tips(step, was, now, view))


def _rims(step: FoldStep, was: Folded, now: Folded, feet: Ints, view: View) -> Iterator[Height]:
    faces = was.faces
    spare = {face for ear in ears_of(step, was, now) for face in faces.sides[ear.crest].tolist()}
    border = np.nonzero(~faces.joined & (faces.sides >= 0).any(axis=1))[0].tolist()
    rim = {v: int(f) for e in border for f in [faces.sides[e].max()] if f not in spare for v in faces.edges[e].tolist()}
    vertex, face = np.array(list(rim)), np.array(list(rim.values()))
    at = carry(now.motions[face], faces.vertices[vertex])
    up = at[:, 2] >= LEAST_MM
    vertex, face, at = vertex[up], face[up], at[up]
    if not len(vertex):
        return
    lines = np.stack(on_table(was, feet), axis=1)
    wall = distances_to_runs(lines, carry(was.motions[face], faces.vertices[vertex])[:, :2]).round(3).argmin(axis=1)
    turns = np.abs(step.turn[feet])
    kinds: list[float] = []
    for turn in turns.tolist():
        if all(abs(turn - kind) > _ALIKE_RAD for kind in kinds):
            kinds.append(turn)
    if len(kinds) > _MOST_RIMS:
        return
    for kind in kinds:
        mine = np.nonzero(np.abs(turns[wall] - kind) <= _ALIKE_RAD)[0]
        if len(mine):
            best = int(mine[_aside(now, at[mine], view)])
            yield Height("rim", _place(faces.vertices[vertex[best]]), at[best])


def _tips(step: FoldStep, was: Folded, now: Folded, view: View) -> Iterator[Height]:
    """The tip of one piece of spare foil, where all that stand off could be turned at will."""
    faces = was.faces
    ears = [ear for ear in ears_of(step, was, now) if ear.free and not ear.lies]
    if not ears:
        return
    ends = [next(v for v in faces.edges[ear.crest].tolist() if not faces.inner[v]) for ear in ears]
    at = carry(now.motions[[faces.sides[ear.crest].max() for ear in ears]], faces.vertices[ends])
    best = _aside(now, at, view)
    if at[best, 2] >= LEAST_MM:
        yield Height("tip", _place(faces.vertices[ends[best]]), at[best])


def _aside(now: Folded, at: Floats, view: View) -> int:
    """Which of some places (n, 3) lies farthest aside in a picture, the nearest to the eye of those that lie as far."""
    across, _, near = view.project(now, at).T
    return int(np.lexsort((-across.round(3), -near.round(3), -np.abs(across).round(3)))[0])


def _place(at: Floats) -> Point:
    return (float(at[0]), float(at[1]))
