"""What a hull carries before water comes in.

brim load       the load, spread so that the floor stays level, at which the water reaches the rim
standing        how far the water stands above the rim before it runs over it (surface tension)
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from folder.hull.rim import level_moments, level_rim
from folder.hull.skin import Skin
from folder.hull.weight import Weight
from folder.units import TOLERANCES
from folder.water.displace import Triple
from folder.water.equilibrium.rest import place_of
from folder.water.fluid import CONTACT_RAD, Water


class BrimLoad(Struct, frozen=True):
    """The brim load of a hull and where water comes in."""

    load_g: float
    """Zero when the hull's own weight already sinks it."""
    volume_mm3: float
    """What the hull displaces at the rim, its floor level."""
    rim_mm: float
    waterplane_mm2: float
    at: Triple
    """A place where the rim is lowest, hull frame, mm."""
    level_at: tuple[float, float]
    """Where the load's centre must be for the floor to stay level, mm; the floor's middle when nothing is carried."""
    surface_tension_g: float
    """The total load held when the water stands above the rim as high as at the usual contact angle."""


def brim_load(skin: Skin, own: Weight, water: Water) -> BrimLoad:
    """The brim load of a hull with its `own` weight.

    Water that stands above the rim presses as if upright walls stood on it; the pull of its skin on the rim, about a
    tenth of that, is left out: a load that is not promised.
    """
    rim, vertex = level_rim(skin)
    even = np.nonzero(skin.on_edge & (np.abs(skin.vertices[:, 2] - rim) < TOLERANCES.level_mm))[0]
    if len(even):  # where much of the rim is as low, a corner is named
        vertex = int(even[np.hypot(*skin.vertices[even, :2].T).argmax()])
    moments = level_moments(skin, rim)
    area, volume = float(moments[0, 0]), float(rim * moments[0, 0] - moments[0, 3])
    held = water.density_g_per_mm3 * volume
    load = max(0.0, held - own.mass_g)
    above = water.density_g_per_mm3 * area * water.standing_mm(CONTACT_RAD)
    # The centre of what is displaced, times its mass: over each bit of skin stands a column up to the rim.
    x, y = (
        (water.density_g_per_mm3 * float(rim * moments[0, k] - moments[k, 3]) - own.mass_g * g) / load if load > 0.0 else 0.0
        for k, g in ((1, own.centre_mm[0]), (2, own.centre_mm[1]))
    )
    return BrimLoad(
        load,
        volume,
        rim,
        area,
        place_of(skin, vertex),
        (x, y),
        max(0.0, held + above - own.mass_g),
    )
