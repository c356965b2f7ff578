"""How a hull lies in the world of the tub, and the ways from one such attitude to the next.

world    x and y along the water, z up from it, mm; the middle of the hull's floor stays over the origin
toward   the direction, in the hull's frame, of the side that dips
"""

from __future__ import annotations

import math
from functools import cached_property

import numpy as np
from msgspec import Struct

from folder.geometry.space import Floats
from folder.water.displace import Pose


class Attitude(Struct, frozen=True, dict=True):
    """A tilt toward a side, and how deep the middle of the floor lies under the water."""

    tilt_rad: float = 0.0
    toward_rad: float = 0.0
    draft_mm: float = 0.0

    @classmethod
    def of(cls, pose: Pose, lifted_mm: float = 0.0) -> Attitude:
        """The attitude of a pose at rest; `lifted_mm` by the bottom of the tub."""
        x, y, z = pose.up
        return cls(math.atan2(math.hypot(x, y), z), math.atan2(-y, -x) if x or y else 0.0, pose.draft_mm - lifted_mm)

    @cached_property
    def turn(self) -> Floats:
        """(3, 3): from the hull's frame to the world's axes."""
        c, s = math.cos(self.toward_rad), math.sin(self.toward_rad)
        ahead, aside, up = np.array([c, s, 0.0]), np.array([-s, c, 0.0]), np.array([0.0, 0.0, 1.0])
        ct, st = math.cos(self.tilt_rad), math.sin(self.tilt_rad)
        turned: Floats = np.outer(ct * ahead - st * up, ahead) + np.outer(aside, aside) + np.outer(st * ahead + ct * up, up)
        return turned

    def world(self, points: Floats) -> Floats:
        """Places (..., 3) mm of the hull's frame in the world; z is the height over the water."""
        placed: Floats = points @ self.turn.T
        placed[..., 2] -= self.draft_mm
        return placed

    def toward(self, other: Attitude, share: float) -> Attitude:
        """Part of the way to another attitude, the tilt taken as an arrow over the floor."""
        a, b = (one.tilt_rad * np.array([math.cos(one.toward_rad), math.sin(one.toward_rad)]) for one in (self, other))
        x, y = (a + share * (b - a)).tolist()
        tilt = math.hypot(x, y)
        # Close to level the arrow has no direction: that of where it goes.
        side = math.atan2(y, x) if tilt > 1e-9 else other.toward_rad
        return Attitude(tilt, side, self.draft_mm + share * (other.draft_mm - self.draft_mm))
