"""Weight: a mass and where its centre is. What the water knows of foil and cargo alike."""

from __future__ import annotations

import math

from msgspec import Struct

from folder.errors import BadRequest
from folder.geometry.soup import surface
from folder.hull.skin import Skin
from folder.units import FOIL_DENSITY_G_PER_CM3, MM3_PER_CM3

HEAVIEST_G = 1e6
"""A tonne: more is a slip of the keyboard."""

FARTHEST_MM = 1e4
"""Ten metres, ten times the largest sheet: a centre farther out is a slip too."""


class Weight(Struct, frozen=True):
    """`mass_g` with its centre `centre_mm` (x, y, z) in the hull's frame. Weights add."""

    mass_g: float
    centre_mm: tuple[float, float, float] = (0.0, 0.0, 0.0)

    def __post_init__(self) -> None:
        if not 0.0 <= self.mass_g <= HEAVIEST_G:  # also false for not-a-number
            raise BadRequest(f"a mass must be from 0 to {HEAVIEST_G:.0f} g", found=f"{self.mass_g:g} g", remedy="Weigh it again.")
        if not all(math.isfinite(c) and abs(c) <= FARTHEST_MM for c in self.centre_mm):
            raise BadRequest(
                f"a centre of mass must lie within {FARTHEST_MM:.0f} mm of the floor's middle",
                found=", ".join(f"{c:g}" for c in self.centre_mm),
                remedy="Give x, y and z in mm.",
            )

    def __add__(self, other: Weight) -> Weight:
        mass = self.mass_g + other.mass_g
        if mass == 0.0:
            return self
        x, y, z = ((self.mass_g * a + other.mass_g * b) / mass for a, b in zip(self.centre_mm, other.centre_mm, strict=True))
        return Weight(mass, (x, y, z))


def foil_mass_g(area_mm2: float, thickness_um: float, density_g_per_cm3: float = FOIL_DENSITY_G_PER_CM3) -> float:
    """What foil of an area weighs."""
    return area_mm2 * thickness_um / 1000.0 * density_g_per_cm3 / MM3_PER_CM3


def foil_weight(skin: Skin, thickness_um: float, density_g_per_cm3: float = FOIL_DENSITY_G_PER_CM3) -> Weight:
    """The hull's own weight: every layer of the skin weighs."""
    area, centroid = surface(skin.vertices[skin.triangles])
    x, y, z = centroid.tolist()
    return Weight(foil_mass_g(area, thickness_um, density_g_per_cm3), (x, y, z))
