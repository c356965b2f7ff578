"""The hull as the cargo sees it: a floor, walls, a load it can carry, and how it lies with one."""

from __future__ import annotations

from msgspec import Struct

from folder.cargo.order import Settle
from folder.cargo.room import Room, room_of
from folder.geometry.space import Floats
from folder.hull.hull import Hull
from folder.water import working
from folder.water.balance import rest
from folder.water.density import Water


class Vessel(Struct, frozen=True, eq=False):
    """Floor (n, 2) mm, walls, the room between them, the load it carries and what limits that, where the load must be, and how it lies."""

    floor_mm: Floats
    wall_height_mm: float
    room: Room
    loads_g: tuple[float, float, float]
    """Low, likely and high."""
    load_limit: working.Limit
    level_at_mm: tuple[float, float]
    """Where the load's centre must be for the hull to lie level."""
    floor_layers: int
    """Layers of foil at the floor's thinnest place."""
    settle: Settle

    def __post_init__(self) -> None:
        self.floor_mm.flags.writeable = False


def vessel_of(hull: Hull, water: Water, load: working.Load) -> Vessel:
    """The vessel that a hull makes of the load it carries."""
    room = room_of(hull)
    own = hull.weight
    return Vessel(
        room.floor_mm,
        room.rim_mm,
        room,
        (load.low_g, load.likely_g, load.high_g),
        load.limited_by,
        load.at_brim.level_at,
        hull.cover.layers_least,
        lambda cargo: rest(hull.skin, own + cargo, water),
    )
