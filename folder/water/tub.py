"""The tub the hull floats in: does it ground, how far does the water rise, does it run over."""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct
from msgspec.structs import asdict

from folder.errors import BadRequest
from folder.hull.skin import Skin
from folder.water.displace import Pose, displacement

LARGEST_MM = 20_000.0
"""A swimming pool; more is a slip of the keyboard."""


class Tub(Struct, frozen=True):
    """Inner size of an upright-walled tub, and how deep the water stands in it before the hull is set down."""

    length_mm: float
    width_mm: float
    wall_mm: float
    """How high the tub's own walls are."""
    depth_mm: float

    def __post_init__(self) -> None:
        for name, size in asdict(self).items():
            if not (math.isfinite(size) and 0.0 < size <= LARGEST_MM):
                what = name.removesuffix("_mm")
                raise BadRequest(
                    f"the tub's {what} must be more than 0 and at most {LARGEST_MM:.0f} mm",
                    found=f"{size:g} mm",
                    remedy="Measure it inside.",
                )
        if self.depth_mm > self.wall_mm:
            raise BadRequest(
                "the water stands higher than the tub's walls",
                found=f"{self.depth_mm:g} mm of water, {self.wall_mm:g} mm of wall",
                remedy="Give the water's depth and the wall's height.",
            )


class InTub(Struct, frozen=True):
    """What happens in the tub."""

    rise_mm: float
    """How far the level rises; less if the tub runs over."""
    under_keel_mm: float
    """Water left under the hull's lowest point; less than nothing means that it would have to sink into the bottom."""
    grounds: bool
    spill_mm3: float
    """How much water runs over the tub's wall."""
    fits: bool
    """Whether the hull has room between the walls, either way round."""


def in_tub(skin: Skin, pose: Pose, tub: Tub) -> InTub:
    """What a hull that floats in `pose` does in the tub. A hull that grounds rests on the bottom and displaces less."""
    area = tub.length_mm * tub.width_mm
    volume = displacement(skin, pose).volume_mm3
    rise = min(volume / area, tub.wall_mm - tub.depth_mm)
    reach = pose.draft_mm - float((skin.vertices @ np.array(pose.up)).min())
    under_keel = tub.depth_mm + rise - reach
    size = np.sort(np.ptp(skin.vertices[:, :2], axis=0))
    room = np.sort([tub.length_mm, tub.width_mm])
    return InTub(rise, under_keel, under_keel <= 0.0, max(0.0, volume - rise * area), bool((size < room).all()))
