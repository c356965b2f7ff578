"""Flaps that hang on one straight line: in the finished hull they lie flat on a wall, before that they stand out.

hinge   a line in space; take away the creases on it, and the flap comes loose from the rest of the sheet
laid    as in the finished hull, flat on the face beside it
out     swung away from there, half way to the next face round the hinge: where the fingers hold it

A flap is rigid, so swinging it changes the turns of the creases on its hinge alone and everything else stays closed.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from folder.fold.place import Folded
from folder.geometry.space import Bools, Floats, Ints, carry, frozen
from folder.pattern.faces import Faces
from folder.units import TOLERANCES

HALF_TURN_RAD = 0.02
"""A crease within this of a half turn lies flat: 1 deg, what rounding by hand does."""


@dataclass(frozen=True, eq=False)
class Flap:
    """A part of the sheet that swings about a hinge. Arrays are read-only."""

    faces: Bools
    """(f,) what swings."""
    hinge: Bools
    """(e,) the creases it hangs on."""
    at: Floats
    """(3,) mm: a place on the hinge."""
    axis: Floats
    """(3,) unit: a right-handed turn about it swings the flap out."""
    swing_rad: float
    """From laid to out."""
    change: Floats
    """(e,) how much each turn changes when the flap turns about the axis by 1 rad."""
    away: Floats
    """(3,) unit: the side of the wall on which the flap lies."""


def flaps_of(shape: Folded, lines: Bools) -> list[Flap]:
    """The flaps that hang on some creases (e,) folded flat, those that are part of another one left out."""
    faces = shape.faces
    joined = np.nonzero(faces.joined & shape.placed[faces.sides].all(axis=1))[0]
    left = shape.motions[faces.sides[joined, 0]]
    start, end = (carry(left, faces.vertices[faces.edges[joined, k]]) for k in (0, 1))
    found: list[Flap] = []
    seen = np.zeros(len(faces.edges), dtype=np.bool_)
    for edge in np.nonzero(lines & faces.joined & (np.abs(shape.turn) > math.pi - HALF_TURN_RAD))[0].tolist():
        if seen[edge] or not shape.placed[faces.sides[edge]].all():
            continue
        row = int(np.searchsorted(joined, edge))
        at, along = start[row], end[row] - start[row]
        along = along / np.linalg.norm(along)
        off = np.maximum(*(np.linalg.norm(np.cross(p - at, along), axis=1) for p in (start, end)))
        on = joined[off < TOLERANCES.closed_mm]
        seen[on] = True
        found += _hanging(shape, on, at)
    return [f for f in found if not any(_within(f, other) for other in found)]


def swung(shape: Folded, flaps: Sequence[Flap], share: float) -> Floats:
    """Turns (e,) with flaps swung a share of the way from laid (0) to out (1)."""
    turn = shape.turn.copy()
    for flap in flaps:
        turn += share * flap.swing_rad * flap.change
    over = np.abs(turn) > math.pi + 1e-9
    turn[over] -= 2.0 * math.pi * np.sign(turn[over])
    return turn


def _within(flap: Flap, other: Flap) -> bool:
    smaller = flap.faces.sum() < other.faces.sum()
    return bool(smaller and (flap.faces <= other.faces).all())


def _hanging(shape: Folded, on: Ints, at: Floats) -> list[Flap]:
    """The parts of the sheet that come loose when the edges `on` a line let go."""
    faces = shape.faces
    held = faces.joined.copy()
    held[on] = False
    part = parts_of(faces, held)
    sides = part[faces.sides[on]]
    flaps = []
    for loose in np.unique(sides[sides != part[faces.root]]).tolist():
        edges = on[(sides == loose).any(axis=1) & (sides[:, 0] != sides[:, 1])]
        flat = edges[np.abs(shape.turn[edges]) > math.pi - HALF_TURN_RAD]
        if len(flat):
            nearest = flat[shape.level[faces.sides[flat]].min(axis=1).argmin()]
            flaps.append(_flap(shape, part == loose, edges, int(nearest), on, at))
    return flaps


def parts_of(faces: Faces, held: Bools) -> Ints:
    """(f,) the parts into which the sheet falls when it is held together at some edges (e,) only, named by a face of each."""
    a, b = faces.sides[held].T
    part = np.arange(faces.count)
    while True:
        least = np.minimum(part[a], part[b])
        lower = part.copy()
        np.minimum.at(lower, a, least)
        np.minimum.at(lower, b, least)
        lower = lower[lower]
        if np.array_equal(lower, part):
            return part
        part = lower


def _flap(shape: Folded, inside: Bools, hinge: Ints, flat: int, on: Ints, at: Floats) -> Flap:
    faces = shape.faces
    beside = faces.sides[flat]
    wall = int(beside[0] if inside[beside[1]] else beside[1])
    wall_into = _into(shape, np.array([flat]), np.array([wall]))[0]
    # The flap lies over the wall, on its inside for a valley; it swings away to that side.
    away = shape.normals[wall] * np.sign(shape.turn[flat])
    edges = np.repeat(on, 2)
    face = faces.sides[on].ravel()
    other = ~inside[face]
    into = _into(shape, edges[other], face[other])
    round_rad = np.arctan2(into @ away, into @ wall_into) % (2.0 * math.pi)
    in_the_way = round_rad[(round_rad > 0.1) & (round_rad < 2.0 * math.pi - 0.1)]
    axis = np.cross(wall_into, away)
    change = np.zeros(len(faces.edges))
    for edge in hinge.tolist():
        side = 0 if inside[faces.sides[edge, 0]] else 1
        ends = carry(np.repeat(shape.motions[faces.sides[edge, side]][None], 2, axis=0), faces.vertices[faces.edges[edge]])
        ahead = (ends[1] - ends[0]) / np.linalg.norm(ends[1] - ends[0])
        change[edge] = float(axis @ ahead) * (1.0 if side == 0 else -1.0)
    hinge_mask = np.zeros(len(faces.edges), dtype=np.bool_)
    hinge_mask[hinge] = True
    swing = float(in_the_way.min(initial=2.0 * math.pi)) / 2.0
    return Flap(frozen(inside), frozen(hinge_mask), frozen(at.copy()), frozen(axis), swing, frozen(change), frozen(away))


def _into(shape: Folded, edge: Ints, face: Ints) -> Floats:
    """(n, 3) unit directions in space, square to edges, into faces beside them."""
    faces = shape.faces
    ends = faces.vertices[faces.edges[edge]]
    ahead = ends[:, 1] - ends[:, 0]
    ahead = ahead / np.hypot(ahead[:, 0], ahead[:, 1])[:, None]
    left = np.where(faces.sides[edge, 0] == face, 1.0, -1.0)[:, None]
    turned = left * np.column_stack([-ahead[:, 1], ahead[:, 0]])
    into: Floats = np.einsum("nij,nj->ni", shape.motions[face][:, :3, :2], turned)
    return into
