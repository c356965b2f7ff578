"""How far a foil wall bows in under the water's push: an estimate.

bow       how far the middle of a wall's top edge is pushed in from the line between its corners
layers    how many layers of foil the wall has at half its height; they share the push, sliding on each other

A foil wall has no stiffness to speak of as a plate: it stands by its corners and hangs between them like a sheet. So it
is taken as strips held at both ends and stretched by the water's mean push, with the water at the wall's top:
bow^3 = 3 q L^4 (1 - nu^2) / (64 E t), and a pull in the foil of E / (1 - nu^2) * 8/3 (bow / L)^2 (the large-deflection
formula for a long strip; from memory). Its limits: corners that stay where they are, foil without wrinkles, no creep.
A crumpled wall, or one whose corners give, leans in several times as far.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from msgspec import Struct

from folder.geometry.graph import reached
from folder.geometry.space import Bools, Floats
from folder.hull.skin import Skin
from folder.units import FOIL_POISSON, FOIL_YOUNG_GPA, GRAVITY_M_PER_S2, RAD_PER_DEG
from folder.water.fluid import Water

SOFT_FOIL_YIELD_MPA = 23.0
"""Where the softest kitchen foil starts to stretch for good: 23 to 57 MPa (alloy data sheets)."""

MUCH_BOW_MM = 1.0
"""A single wall that bows this far under a formula that flatters it will not stay up in small hands (judgement)."""

SHORT_MM = 10.0
"""Shorter stretches between two corners are part of the corner, not a wall."""

LOW_MM = 0.5
"""What rises by less is no wall."""

_SAME_WAY = math.cos(10.0 * RAD_PER_DEG)
_BESIDE_MM = 1.0
"""Stretches that face the same way, and lie no farther beside each other, are one wall."""


class WallSpan(Struct, frozen=True):
    """A wall, from corner to corner where it is widest."""

    span_mm: float
    height_mm: float
    layers: int
    middle: tuple[float, float]
    """Where it is, seen from above, mm."""


class WallDeflection(Struct, frozen=True):
    """The estimate for one wall."""

    wall: WallSpan
    bow_mm: float
    pull_mpa: float
    lost_g: float
    """What the pushed-in wall takes from the brim load."""

    @property
    def warns(self) -> bool:
        """Whether the wall is too long and high for its layers."""
        return self.pull_mpa >= SOFT_FOIL_YIELD_MPA or (self.wall.layers < 2 and self.bow_mm >= MUCH_BOW_MM)


def wall_deflection(wall: WallSpan, thickness_um: float, water: Water) -> WallDeflection:
    """The estimate for a wall of foil `thickness_um` thick with the water at its top."""
    kg_per_m3 = water.density_g_per_mm3 * 1e6
    push_pa = kg_per_m3 * GRAVITY_M_PER_S2 * wall.height_mm / 2000.0
    plane_pa = FOIL_YOUNG_GPA * 1e9 / (1.0 - FOIL_POISSON**2)
    span_m, thick_m = wall.span_mm / 1000.0, thickness_um * 1e-6 * wall.layers
    bow_m = (3.0 * push_pa * span_m**4 / (64.0 * plane_pa * thick_m)) ** (1.0 / 3.0)
    pull_pa = plane_pa * 8.0 / 3.0 * (bow_m / span_m) ** 2
    # An arc over the span holds two thirds of bow times span; it fades to nothing at the floor.
    lost_mm3 = bow_m * 1000.0 * wall.span_mm * 2.0 / 3.0 * wall.height_mm / 2.0
    return WallDeflection(wall, bow_m * 1000.0, pull_pa / 1e6, lost_mm3 * water.density_g_per_mm3)


def wall_spans(skin: Skin) -> tuple[WallSpan, ...]:
    """The walls that rise from the floor's sides, each as wide as its faces, round the hull.

    A wall goes on over creases along it, and where a pleat breaks it: what faces the same way over the same line is one.
    """
    corners = skin.vertices[skin.triangles]
    towards = _towards(skin.soup.area_vectors)
    floor = np.zeros(len(corners), dtype=bool)
    floor[skin.floor] = True
    found: list[_Piece] = []
    for triangle in skin.floor.tolist():
        for side, wall in enumerate(skin.neighbours[triangle].tolist()):
            if wall < 0 or floor[wall] or not towards[wall].any():
                continue
            start, end = corners[triangle, side], corners[triangle, (side + 1) % 3]
            piece = _Piece.of(start, end, corners[_face(skin, wall, towards, floor)].reshape(-1, 3))
            for other in [p for p in found if piece.goes_on(p)]:
                piece = piece.joined(other)
            found = [*(p for p in found if not piece.goes_on(p)), piece]
    made = [p.wall(skin) for p in found if p.span_mm >= SHORT_MM and p.top_mm > LOW_MM]
    return tuple(sorted(made, key=lambda w: float(np.arctan2(w.middle[1], w.middle[0]))))


class _Piece(NamedTuple):
    """A stretch of wall over a stretch of the floor's border."""

    along: Floats
    """(2,) unit vector: the floor on its left."""
    offset_mm: float
    """How far to the right of the middle the border runs."""
    low_mm: float
    """From here along the border"""
    high_mm: float
    """to there, at its widest."""
    top_mm: float
    reach_mm: float
    """How far to the right of the middle its top is."""

    @classmethod
    def of(cls, start: Floats, end: Floats, points: Floats) -> _Piece:
        """Over the border from `start` to `end`, with its faces' corners `(n, 3)`."""
        along = (end - start)[:2] / np.hypot(*(end - start)[:2])
        right = np.array([along[1], -along[0]])
        ways, top = points[:, :2] @ along, points[:, 2].max()
        reach = points[points[:, 2] > top - LOW_MM, :2] @ right
        return cls(along, float(start[:2] @ right), float(ways.min()), float(ways.max()), float(top), float(reach.mean()))

    @property
    def span_mm(self) -> float:
        """From end to end."""
        return self.high_mm - self.low_mm

    def goes_on(self, other: _Piece) -> bool:
        """Whether both are one wall."""
        same_line = self.along @ other.along > _SAME_WAY and abs(self.offset_mm - other.offset_mm) < _BESIDE_MM
        return bool(same_line and max(self.low_mm, other.low_mm) < min(self.high_mm, other.high_mm) + _BESIDE_MM)

    def joined(self, other: _Piece) -> _Piece:
        """Both as one; where it lies, the longer one says."""
        longer = max(self, other, key=lambda p: p.span_mm)
        return longer._replace(
            low_mm=min(self.low_mm, other.low_mm),
            high_mm=max(self.high_mm, other.high_mm),
            top_mm=max(self.top_mm, other.top_mm),
        )

    def wall(self, skin: Skin) -> WallSpan:
        """As a span of wall."""
        right = np.array([self.along[1], -self.along[0]])
        x, y = ((self.low_mm + self.high_mm) / 2.0 * self.along + self.reach_mm * right).tolist()
        return WallSpan(self.span_mm, self.top_mm, _layers(skin, np.array([x, y, self.top_mm])), (x, y))


def _towards(vectors: Floats) -> Floats:
    """(m, 2): where triangles with these area vectors face, seen from above; zero for those that lie level."""
    flat = np.hypot(vectors[:, 0], vectors[:, 1])
    upright = flat > 0.05 * np.linalg.norm(vectors, axis=1)
    return np.where(upright, 1.0, 0.0)[:, None] * vectors[:, :2] / np.maximum(flat, 1e-12)[:, None]


def _face(skin: Skin, first: int, towards: Floats, floor: Bools) -> list[int]:
    """The triangles of the wall that begins with `first`, by where all face, `(m, 2)`.

    On over every crease as long as they face the same way."""
    alike = ~floor & (towards @ towards[first] > _SAME_WAY)
    start = np.arange(len(alike)) == first
    one, side = np.nonzero((skin.neighbours >= 0) & (alike | start)[:, None])
    pairs = np.column_stack([one, skin.neighbours[one, side]])
    face: list[int] = np.nonzero(reached(start, pairs[alike[pairs[:, 1]]]))[0].tolist()
    return face


def _layers(skin: Skin, top: Floats) -> int:
    """Layers, at the height of a place `(3,)` mm, of the outermost stack.

    That which a level line from over the floor's middle goes through, half way up."""
    # A little off the exact middle, so that the line does not run into a crease.
    start = np.array([0.0, 0.0, top[2] * 0.4937])
    ahead = np.array([top[0] + 0.0137, top[1] - 0.0171, 0.0])
    ahead /= max(float(np.linalg.norm(ahead)), 1e-9)
    apart = skin.vertices[skin.triangles] - start
    turns = np.cross(apart, np.roll(apart, -1, axis=1)) @ ahead
    struck = (turns > 0.0).all(axis=1) | (turns < 0.0).all(axis=1)
    normals = skin.soup.area_vectors[struck]
    reach = np.einsum("ij,ij->i", apart[struck, 0], normals) / (normals @ ahead)
    reach = reach[reach > 0.0]
    return max(1, int((reach > reach.max() - 1.0).sum())) if len(reach) else 1
