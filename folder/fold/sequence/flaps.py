"""Flaps as rigid bodies: parts of the sheet that one straight hinge joins to the rest, and how they swing about it.

hinge      a line in space; take away the creases on it, and the flap is a component of its own
flat       as in the finished hull, on the face beside it
out        swung away from there, half way to the next face round the hinge: where the fingers hold it

A flap is rigid, so swinging it changes the turns of the creases on its hinge alone and everything else stays closed.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property

import numpy as np
from msgspec import Struct

from folder.fold.place import Folded
from folder.geometry.graph import components
from folder.geometry.space import Bools, Floats, Ints, frozen
from folder.pattern.faces.faces import Faces
from folder.units import TOLERANCES

HALF_TURN_RAD = 0.02
"""A crease within this of a half turn lies flat: 1 deg, what rounding by hand does."""

_AT_ONCE = 32
"""Hinges looked for in one go: more take memory, fewer take time."""


class Flap(Struct, frozen=True, eq=False, dict=True):
    """A part of the sheet that swings about a hinge. Arrays are read-only."""

    shape: Folded
    """The finished hull, where the flap lies flat."""
    faces: Bools
    """(f,) what swings."""
    hinge: Bools
    """(e,) the creases it hangs on."""
    line: Ints
    """(n,) all joined edges along the hinge, those of other parts of the sheet included."""
    wall: int
    """The face it lies on, across a crease of the hinge."""
    at: Floats
    """(3,) mm: a place on the hinge."""
    axis: Floats
    """(3,) unit: a right-handed turn about it swings the flap out."""
    away: Floats
    """(3,) unit: the side of the wall on which the flap lies."""

    @cached_property
    def swing_rad(self) -> float:
        """From flat to out, rad."""
        sides = self.shape.faces.sides
        other = ~self.faces[sides[self.line]]
        into = into_face(self.shape, np.repeat(self.line, 2)[other.ravel()], sides[self.line][other])
        round_rad = np.arctan2(into @ self.away, into @ np.cross(self.away, self.axis)) % (2.0 * math.pi)
        in_the_way = round_rad[(round_rad > 0.1) & (round_rad < 2.0 * math.pi - 0.1)]
        return float(in_the_way.min(initial=2.0 * math.pi)) / 2.0

    @cached_property
    def change(self) -> Floats:
        """(e,) how much each turn changes when the flap turns about the axis by 1 rad."""
        change = np.zeros(len(self.hinge))
        for edge in np.nonzero(self.hinge)[0].tolist():
            left, right = self.shape.faces.sides[edge].tolist()
            mine, sign = (left, 1.0) if self.faces[left] else (right, -1.0)
            change[edge] = sign * float(self.axis @ _ahead(self.shape, edge, mine))
        return frozen(change)

    @cached_property
    def depth_mm(self) -> float:
        """How far it reaches from its hinge."""
        mine = self.faces.take(self.shape.faces.triangle_face)
        return float(self.reach(self.shape.corners.compress(mine, axis=0)).max(initial=0.0))

    def reach(self, places: Floats) -> Floats:
        """How far places in space (..., 3) lie from the line of the hinge, (...,) mm."""
        off = places - self.at
        off = off - (off @ self.axis)[..., None] * self.axis
        return np.sqrt(np.einsum("...i,...i", off, off))


def reach(places: Floats, at: Floats, axis: Floats) -> Floats:
    """How far places lie from lines, for many lines at once: places, places on the lines, unit axes, (..., 3) each -> (...,) mm."""
    off = places - at
    off -= np.einsum("...i,...i", off, axis)[..., None] * axis
    return np.sqrt(np.einsum("...i,...i", off, off))


def flaps_of(shape: Folded, lines: Bools) -> list[Flap]:
    """The flaps that hang on some creases (e,) folded flat, those that are part of another one left out."""
    flat = np.abs(shape.turn) > math.pi - HALF_TURN_RAD
    hinges = _hinges(shape, lines & flat)
    if not hinges:
        return []
    # What hangs together without any of the hinges is worked out once for all.
    any_hinge = np.zeros(len(shape.turn), dtype=np.bool_)
    for on, _ in hinges:
        any_hinge[on] = True
    firm = parts_of(shape.faces, shape.faces.joined & ~any_hinge)
    found: list[Flap] = []
    for on, at in hinges:
        held = any_hinge.copy()
        held[on] = False
        found += _hanging(shape, flat, parts_of(shape.faces, held, firm), on, at)
    return [flap for flap in found if not _within(flap, found)]


def _hinges(shape: Folded, lines: Bools) -> list[tuple[Ints, Floats]]:
    """The lines in space of some creases (e,): all joined edges on each (n,), and its place (3,) nearest to the floor's plane."""
    faces = shape.faces
    joined = shape.shared.nonzero()[0]
    ends = shape.ends.take(joined, axis=1)
    asked = lines.take(joined).nonzero()[0]
    found: list[tuple[Ints, Floats]] = []
    visited: set[int] = set()
    for some in (asked[k : k + _AT_ONCE] for k in range(0, len(asked), _AT_ONCE)):
        at = ends[0].take(some, axis=0)
        along = ends[1].take(some, axis=0) - at
        axis = along / np.sqrt((along * along).sum(axis=1))[:, None]
        off = reach(ends[:, None], at[:, None], axis[:, None])
        beside = np.maximum(off[0], off[1]) < TOLERANCES.closed_mm
        for k, row in enumerate(some.tolist()):
            if row in visited:
                continue
            on = beside[k].nonzero()[0]
            visited.update(on.tolist())
            # A crease alone lets nothing go while an end of it lies inside the sheet.
            if len(on) > 1 or not faces.inner[faces.edges[joined[row]]].any():
                there = ends[:, on].reshape(-1, 3)
                found.append((frozen(joined[on]), frozen(there[np.abs(there[:, 2]).round(6).argmin()])))
    return found


def swung(shape: Folded, flaps: Sequence[Flap], share: float) -> Floats:
    """Turns (e,) with flaps swung a share of the way from flat (0) to out (1)."""
    turn = shape.turn.copy()
    for flap in flaps:
        turn += share * flap.swing_rad * flap.change
    over = np.abs(turn) > math.pi + 1e-9
    turn[over] -= 2.0 * math.pi * np.sign(turn[over])
    return turn


def _within(flap: Flap, others: Sequence[Flap]) -> bool:
    """Whether a flap is part of a larger one."""
    one = int(flap.faces.argmax())
    return any(
        other is not flap and other.faces[one] and not (flap.faces & ~other.faces).any() and (other.faces & ~flap.faces).any()
        for other in others
    )


def _hanging(shape: Folded, flat: Bools, part: Ints, on: Ints, at: Floats) -> list[Flap]:
    """The flaps among the parts (f,) into which the sheet falls when the edges `on` a line let go; which edges are `flat` (e,)."""
    faces = shape.faces
    sides = part.take(faces.sides.take(on, axis=0))
    flaps = []
    for loose in sorted(set(sides.ravel().tolist()) - {int(part[faces.root])}):
        edges = on.compress((sides[:, 0] == loose) != (sides[:, 1] == loose))
        flat_edges = edges.compress(flat.take(edges))
        if len(flat_edges):
            nearest = flat_edges[shape.level.take(faces.sides.take(flat_edges, axis=0)).min(axis=1).argmin()]
            flaps.append(_flap(shape, part == loose, edges, int(nearest), on, at))
    return flaps


def parts_of(faces: Faces, held: Bools, firm: Ints | None = None) -> Ints:
    """(f,) the parts into which the sheet falls when it is held together at some edges (e,) only, named by the first face of each.

    And where it is held inside of `firm` parts (f,) named in the same way.
    """
    return components(faces.sides.compress(held, axis=0), faces.count, firm)


def _flap(shape: Folded, inside: Bools, hinge: Ints, flat: int, on: Ints, at: Floats) -> Flap:
    left, right = shape.faces.sides[flat].tolist()
    wall, sign = (left, 1.0) if inside[right] else (right, -1.0)
    # The flap lies over the wall, on its inside for a valley; it swings away to that side.
    over = 1.0 if shape.turn[flat] > 0.0 else -1.0
    axis = sign * over * _ahead(shape, flat, wall)
    hangs_on = np.zeros(len(shape.turn), dtype=np.bool_)
    hangs_on[hinge] = True
    return Flap(shape, frozen(inside), frozen(hangs_on), on, wall, at, frozen(axis), frozen(over * shape.normals[wall]))


def _ahead(shape: Folded, edge: int, face: int) -> Floats:
    """(3,) unit: along an edge in space, as a face beside it has it."""
    ends = shape.faces.vertices.take(shape.faces.edges[edge], axis=0)
    return shape.motions[face, :3, :2] @ (ends[1] - ends[0]) / math.dist(*ends.tolist())


def into_face(shape: Folded, edge: Ints, face: Ints) -> Floats:
    """(n, 3) unit directions in space, square to edges, into faces beside them."""
    faces = shape.faces
    ends = faces.vertices[faces.edges[edge]]
    ahead = ends[:, 1] - ends[:, 0]
    ahead = ahead / np.hypot(ahead[:, 0], ahead[:, 1])[:, None]
    left = np.where(faces.sides[edge, 0] == face, 1.0, -1.0)[:, None]
    turned = left * np.column_stack([-ahead[:, 1], ahead[:, 0]])
    return np.einsum("nij,nj->ni", shape.motions[face][:, :3, :2], turned)
