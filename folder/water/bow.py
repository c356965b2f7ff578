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

import numpy as np
from msgspec import Struct

from folder.hull.rim import corners
from folder.hull.skin import Skin
from folder.units import FOIL_POISSON, FOIL_YOUNG_GPA, GRAVITY_M_PER_S2
from folder.water.density import Water

SOFT_FOIL_YIELD_MPA = 23.0
"""Where the softest kitchen foil starts to stretch for good: 23 to 57 MPa (alloy data sheets)."""

MUCH_BOW_MM = 1.0
"""A single wall that bows this far under a formula that flatters it will not stay up in small hands (judgement)."""

SHORT_MM = 10.0
"""Shorter stretches between two corners are part of the corner, not a wall."""


class Wall(Struct, frozen=True):
    """A stretch of wall between two corners of the rim."""

    span_mm: float
    height_mm: float
    layers: int
    middle: tuple[float, float]
    """Where it is, seen from above, mm."""


class Bow(Struct, frozen=True):
    """The estimate for one wall."""

    wall: Wall
    bow_mm: float
    pull_mpa: float
    lost_g: float
    """What the pushed-in wall takes from the brim load."""

    @property
    def warns(self) -> bool:
        """Whether the wall is too long and high for its layers."""
        return self.pull_mpa >= SOFT_FOIL_YIELD_MPA or (self.wall.layers < 2 and self.bow_mm >= MUCH_BOW_MM)


def bow(wall: Wall, thickness_um: float, water: Water) -> Bow:
    """The estimate for a wall of foil `thickness_um` thick with the water at its top."""
    kg_per_m3 = water.density_g_per_mm3 * 1e6
    push_pa = kg_per_m3 * GRAVITY_M_PER_S2 * wall.height_mm / 2000.0
    plane_pa = FOIL_YOUNG_GPA * 1e9 / (1.0 - FOIL_POISSON**2)
    span_m, thick_m = wall.span_mm / 1000.0, thickness_um * 1e-6 * wall.layers
    bow_m = (3.0 * push_pa * span_m**4 / (64.0 * plane_pa * thick_m)) ** (1.0 / 3.0)
    pull_pa = plane_pa * 8.0 / 3.0 * (bow_m / span_m) ** 2
    # An arc over the span holds two thirds of bow times span; it fades to nothing at the floor.
    lost_mm3 = bow_m * 1000.0 * wall.span_mm * 2.0 / 3.0 * wall.height_mm / 2.0
    return Bow(wall, bow_m * 1000.0, pull_pa / 1e6, lost_mm3 * water.density_g_per_mm3)


def walls(skin: Skin) -> tuple[Wall, ...]:
    """The walls between neighbouring corners of the rim, round the hull."""
    places = skin.vertices[list(corners(skin))]
    found = []
    for here, there in zip(places, np.roll(places, -1, axis=0), strict=True):
        span, middle = float(np.linalg.norm(there - here)), (here + there) / 2.0
        if span >= SHORT_MM and middle[2] > 0.0:
            wall = Wall(span, float(middle[2]), _layers(skin, middle), (float(middle[0]), float(middle[1])))
            found.append(wall)
    return tuple(found)


def _layers(skin: Skin, top: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> int:
    """Layers of the outermost stack that a level line from over the floor's middle goes through, half way up."""
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
