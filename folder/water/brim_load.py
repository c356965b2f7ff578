"""What a hull carries before water comes in.

brim load       the load, spread so that the floor stays level, at which the water reaches the rim
standing        how far the water stands above the rim before it runs over it (surface tension)
flooding load   the load at one place, off the middle or high, at which water comes in or the hull turns over
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from folder.hull.rim import level_moments, level_rim
from folder.hull.skin import Skin
from folder.hull.weight import Weight
from folder.units import TOLERANCES
from folder.water.displace import Pose, Triple
from folder.water.equilibrium.rest import place_of, standing_on_floor
from folder.water.flooding.load import FloodingLoads, flooding_loads
from folder.water.fluid import CONTACT_BAND_RAD, CONTACT_RAD, Water


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
    surface_tension_band_g: tuple[float, float]
    """The same at the ends of the band of contact angles."""


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

    def standing(contact_rad: float) -> float:
        extra = water.density_g_per_mm3 * area * water.standing_mm(contact_rad)
        return max(0.0, held + extra - own.mass_g)

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
        standing(CONTACT_RAD),
        (standing(CONTACT_BAND_RAD[0]), standing(CONTACT_BAND_RAD[1])),
    )


class FloodingLoad(Struct, frozen=True):
    """What the hull takes at one place on its floor."""

    load_g: float
    """The load at which it goes down; zero when the hull does not even bear itself."""
    capsizes: bool
    """It turns over before water comes in. A load exactly in the middle counts as lost when the hull starts to loll."""
    at: Triple
    """Where the rim is lowest then, hull frame, mm."""
    heel_rad: float
    trim_rad: float


def flooding_load(skin: Skin, own: Weight, place: Triple, water: Water) -> FloodingLoad:
    """The load with its centre at `place` (x, y over the floor, z above it, mm) at which the hull goes down."""
    standing_on_floor(skin, Weight(0.0, place))
    found = flooding_loads(skin, own, np.array([place]), water)
    x, y, z = found.ups[0].tolist()
    pose = Pose(0.0, (x, y, z))
    return FloodingLoad(
        float(found.load_g[0]),
        bool(found.capsizes[0]),
        place_of(skin, int(found.vertices[0])),
        pose.heel_rad,
        pose.trim_rad,
    )


def flooding_round(
    skin: Skin, own: Weight, water: Water, off_mm: float, height_mm: float = 0.0, count: int = 36
) -> FloodingLoads:
    """Flooding loads of `count` places round the floor's middle, `off_mm` from it, the first on the x axis."""
    turns = 2.0 * np.pi * np.arange(count) / count
    places = np.column_stack([off_mm * np.cos(turns), off_mm * np.sin(turns), np.full(count, height_mm)])
    for place in places[~skin.over_floor(places[:, :2])][:1]:
        x, y, z = place.tolist()
        standing_on_floor(skin, Weight(0.0, (x, y, z)))
    return flooding_loads(skin, own, places, water)
