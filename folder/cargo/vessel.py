"""The hull as the cargo sees it: a floor, walls, a load it can carry, how it lies with one, and what hands do to it."""

from __future__ import annotations

from msgspec import Struct

from folder.cargo.order.arrange import Lie
from folder.cargo.packing.room import Room, room_of
from folder.geometry.space import Floats, frozen
from folder.hull.hull import Hull
from folder.hull.skin import Skin
from folder.hull.weight import Weight
from folder.water import working_load
from folder.water.build_variation import BuildDraws, draw_builds, variation_named
from folder.water.equilibrium.under_loads import laden
from folder.water.fluid import Water

BUILDS = 500
"""So many builds are loaded object by object: drawn evenly, their percentiles settle within half a percent of the builds."""


class Vessel(Struct, frozen=True, eq=False):
    """Floor (n, 2) mm, walls, the room between them, the load it carries and what limits that, where the load must be, and how it lies."""

    floor_mm: Floats
    wall_height_mm: float
    room: Room
    loads_g: tuple[float, float, float]
    """Low, likely and high."""
    load_limit: working_load.Limit
    level_at_mm: tuple[float, float]
    """Where the load's centre must be for the hull to lie level."""
    floor_layers: int
    """Layers of foil at the floor's thinnest place."""
    lie: Lie
    """A hull that turns over when empty is held level by hand until it stands."""
    builds: BuildDraws
    """What hands do to builds of it: the load's middle off the best place, how far above the rim the water may stand."""
    brim_g: float
    stands_from_g: float | None = 0.0
    """From this load on it stands by itself: 0.0 when it stands empty, None when it never does."""

    def __post_init__(self) -> None:
        self.floor_mm.flags.writeable = False


def vessel_of(hull: Hull, water: Water, load: working_load.WorkingLoad) -> Vessel:
    """The vessel that a hull makes of the load it carries."""
    room = room_of(hull)
    own, begins = hull.weight, load.stands_from_g or 0.0
    return Vessel(
        room.floor_mm,
        room.rim_mm,
        room,
        (load.low_g, load.likely_g, load.high_g),
        load.limited_by,
        load.at_brim.level_at,
        hull.cover.layers_least,
        lambda masses_g, centres_mm: laden(hull.skin, own, masses_g, centres_mm, water, begins),
        builds_of(hull.skin, own, water, load),
        load.brim_g,
        load.stands_from_g,
    )


def builds_of(skin: Skin, own: Weight, water: Water, load: working_load.WorkingLoad) -> BuildDraws:
    """The builds whose loads make the working load, so that loads and counts speak of the same hands.

    Foil thicker or thinner than the packet says weighs more or less: spread over the waterplane, that shifts the rim.
    """
    every = draw_builds(variation_named(load.hand), water, load.at_brim.rim_mm, BUILDS, working_load.SEED)[0]
    off = working_load.kept_on_floor(skin, working_load.level_place(skin, load.at_brim), every.eccentricity_mm)
    sunk = own.mass_g * (every.gauge - 1.0) / water.density_g_per_mm3 / load.at_brim.waterplane_mm2
    return BuildDraws(off, frozen(every.shift_mm - sunk), every.gauge)
