"""The hull as the cargo sees it: a floor, walls, a load it can carry, and how it lies with one."""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct

from folder.cargo.order import Settle
from folder.errors import BadRequest
from folder.geometry.space import Floats
from folder.hull.hull import Hull
from folder.water import working
from folder.water.balance import rest
from folder.water.density import Water

FOLDED_FLAT_RAD = math.radians(175.0)
"""What turns further at the floor's edge is a layer on the floor, not a wall."""


class Vessel(Struct, frozen=True, eq=False):
    """Floor (n, 2) mm, walls, the load it carries and what limits that, where the load must be, and how it lies."""

    floor_mm: Floats
    wall_height_mm: float
    wall_turn_rad: float
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
    """The vessel that a hull makes of the load it carries. Where walls lean differently, the steepest counts all round."""
    if not math.isfinite(hull.rim_height_mm) or hull.rim_height_mm <= 0.0:
        raise BadRequest(
            "the hull has no walls to load between", where="hull", remedy="Fold walls up all round the floor"
        )
    own = hull.weight
    return Vessel(
        np.array(hull.cover.outline),
        hull.rim_height_mm,
        _wall_turn_rad(hull),
        (load.low_g, load.likely_g, load.high_g),
        load.limited_by,
        load.at_brim.level_at,
        hull.cover.layers_least,
        lambda cargo: rest(hull.skin, own + cargo, water),
    )


def _wall_turn_rad(hull: Hull) -> float:
    """How far the sheet turns at the floor's edge: the largest turn of any wall, which leaves the least room."""
    faces = hull.folded.faces
    on_floor = np.where(faces.sides >= 0, hull.floor_faces[faces.sides], False)
    border = faces.joined & (on_floor[:, 0] != on_floor[:, 1])
    walls = faces.sides[border][~on_floor[border]]
    turns = np.arccos(np.clip(hull.folded.normals[walls, 2], -1.0, 1.0))
    return float(turns[turns < FOLDED_FLAT_RAD].max(initial=0.0)) or math.pi / 2.0
