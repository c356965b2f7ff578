"""Water: how heavy, and how high it stands above an edge it wets, by temperature and salt."""

from __future__ import annotations

import math

from msgspec import Struct

from folder.errors import BadRequest
from folder.units import GRAVITY_M_PER_S2, RAD_PER_DEG

COLDEST_C, WARMEST_C = 0.0, 40.0
"""The range of the density formula."""

SALTIEST_G_PER_KG = 42.0
"""The range of the sea water formula."""

CONTACT_RAD = 60.0 * RAD_PER_DEG
"""Contact angle of water on the foil's edge where none is known (judgement)."""

CONTACT_BAND_RAD = (30.0 * RAD_PER_DEG, 90.0 * RAD_PER_DEG)
"""What kitchen foil may have: it is not known better (judgement)."""


class Water(Struct, frozen=True):
    """Water in the tub. `of` works the values out; give them directly only for water that is known otherwise."""

    density_g_per_mm3: float
    surface_tension_mn_per_m: float

    @classmethod
    def of(cls, temp_c: float = 20.0, salt_g_per_kg: float = 0.0) -> Water:
        """Fresh by default. Salt changes the density; its one or two per cent on the surface tension are left out."""
        density = density_kg_per_m3(temp_c, salt_g_per_kg)
        return cls(density * 1e-6, surface_tension_mn_per_m(temp_c))

    @property
    def capillary_mm(self) -> float:
        """The capillary length, sqrt(sigma / (rho g)), mm."""
        newton_per_m, kg_per_m3 = self.surface_tension_mn_per_m / 1000.0, self.density_g_per_mm3 * 1e6
        return 1000.0 * math.sqrt(newton_per_m / (kg_per_m3 * GRAVITY_M_PER_S2))

    def standing_mm(self, contact_rad: float = CONTACT_RAD) -> float:
        """How far still water can stand above an edge before it runs over, 2 l sin(q / 2), mm.

        de Gennes, Brochard-Wyart, Quere, Capillarity and Wetting Phenomena, 2004.
        """
        return 2.0 * self.capillary_mm * math.sin(contact_rad / 2.0)


def density_kg_per_m3(temp_c: float, salt_g_per_kg: float = 0.0) -> float:
    """Density at one atmosphere. Fresh: Tanaka et al., Metrologia 38 (2001) 301-309. Salt is added to it as in EOS-80.

    EOS-80 (Millero & Poisson 1981; UNESCO technical paper 44) gives what practical salinity adds; the salt of sea water
    in g/kg is taken for it (they differ by half a per cent of the salt). Its coefficients are from memory and are held
    against that paper's printed values in the tests.
    """
    t, s = _in_range(temp_c), salt_g_per_kg
    if not 0.0 <= s <= SALTIEST_G_PER_KG:
        raise BadRequest(
            f"salt must be from 0 to {SALTIEST_G_PER_KG:g} g in a kg of water",
            found=f"{s:g} g",
            remedy="Sea water has 35 g.",
        )
    fresh = 999.974950 * (1.0 - (t - 3.983035) ** 2 * (t + 301.797) / (522528.9 * (t + 69.34881)))
    first = 8.24493e-1 + t * (-4.0899e-3 + t * (7.6438e-5 + t * (-8.2467e-7 + t * 5.3875e-9)))
    half = -5.72466e-3 + t * (1.0227e-4 - t * 1.6546e-6)
    return fresh + first * s + half * s * math.sqrt(s) + 4.8314e-4 * s * s


def surface_tension_mn_per_m(temp_c: float) -> float:
    """Surface tension of pure water, IAPWS R1-76(2014), mN/m. Soap lowers it to 25 to 35."""
    tau = 1.0 - (_in_range(temp_c) + 273.15) / 647.096
    return float(235.8 * tau**1.256 * (1.0 - 0.625 * tau))


def _in_range(temp_c: float) -> float:
    """The temperature, if the tub can have it."""
    if not COLDEST_C <= temp_c <= WARMEST_C:
        raise BadRequest(
            f"the water must be from {COLDEST_C:g} to {WARMEST_C:g} °C",
            found=f"{temp_c:g} °C",
            remedy="Room-warm water has about 20 °C.",
        )
    return temp_c
