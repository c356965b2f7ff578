"""How a hull lies with the objects in it, as `folder water` and `folder cargo` say it. No pygame.

by hand   a hull that turns over when empty is held level until it stands
lifted    by the bottom of the tub, where the water is too shallow
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Literal

import numpy as np
from msgspec import Struct

from folder.cargo.spot import Spot, centre_of
from folder.draw.tub.attitude import Attitude
from folder.findings import Point
from folder.hull.hull import Hull
from folder.hull.rim import rim_at
from folder.hull.weight import Weight
from folder.studies import Study
from folder.water.displace import UPRIGHT, Pose, Triple, drafts
from folder.water.equilibrium.rest import Rest, place_of, pose_at_the_rim, rest
from folder.water.fluid import Water
from folder.water.tub import InTub, Tub, in_tub

LyingState = Literal["floats", "held", "floods", "capsizes"]
LEANS_RAD = math.radians(1.0)
"""Less tilt than this no eye sees."""


class TubPose(Struct, frozen=True, eq=False):
    """How it lies."""

    state: LyingState
    mass_g: float
    pose: Pose
    """Afloat, or held; or the pose at which the water reaches the rim."""
    at: Triple
    """Where the rim is nearest to the water, or where the water comes in, mm in the hull's frame."""
    least_mm: float
    """Freeboard there; 0 where water comes in."""
    tub: InTub
    rest: Rest | None = None
    """All that is known of a hull that floats by itself."""

    @property
    def lifted_mm(self) -> float:
        """How far the bottom of the tub holds it up."""
        return max(0.0, -self.tub.under_keel_mm)

    @property
    def attitude(self) -> Attitude:
        """As it is drawn."""
        return Attitude.of(self.pose, self.lifted_mm)

    @property
    def tilt_rad(self) -> float:
        """How far the floor is from level."""
        x, y, z = self.pose.up
        return math.atan2(math.hypot(x, y), z)

    @property
    def low_side(self) -> Point | None:
        """The direction of the side that dips, in the hull's frame; None where it lies level."""
        x, y, _ = self.pose.up
        return (-x, -y) if self.tilt_rad >= LEANS_RAD else None

    @property
    def afloat(self) -> bool:
        """No water comes in."""
        return self.state in ("floats", "held")


def lying_of(study: Study, spots: tuple[Spot, ...], each_g: float, tub: Tub) -> TubPose:
    """How the hull of a study lies with objects on these spots."""
    assert study.hull is not None
    return _lying(study.hull, study.water, study.stands_from_g or 0.0, spots, each_g, tub)


@lru_cache(maxsize=128)
def _lying(hull: Hull, water: Water, stands_from_g: float, spots: tuple[Spot, ...], each_g: float, tub: Tub) -> TubPose:
    mass = len(spots) * each_g
    weight = hull.weight + Weight(mass, centre_of(spots)) if spots else hull.weight
    if mass < stands_from_g - 1e-9:
        level = np.array([UPRIGHT])
        draft = float(drafts(hull.skin, level, np.array([weight.mass_g / water.density_g_per_mm3]))[0])
        rim, vertex = rim_at(hull.skin.vertices[:, 2], hull.skin)
        pose = Pose(draft, UPRIGHT)
        return TubPose("held", mass, pose, place_of(hull.skin, vertex), max(rim - draft, 0.0), in_tub(hull.skin, pose, tub))
    found = rest(hull.skin, weight, water)
    if found.pose is not None and found.freeboard is not None:
        afloat = in_tub(hull.skin, found.pose, tub)
        return TubPose("floats", mass, found.pose, found.freeboard.at, found.freeboard.least_mm, afloat, found)
    pose = pose_at_the_rim(hull.skin, weight, water)
    state: LyingState = "capsizes" if found.state == "capsizes" else "floods"
    return TubPose(state, mass, pose, found.at, 0.0, in_tub(hull.skin, pose, tub), found)


def side_words(direction: Point, right: Point) -> str:
    """A direction of the hull's frame as whoever looks sees it; `right` is the picture's right in that frame."""
    across = direction[0] * right[0] + direction[1] * right[1]
    away = direction[1] * right[0] - direction[0] * right[1]
    if abs(across) > 2.0 * abs(away):
        return "right" if across > 0 else "left"
    if abs(away) > 2.0 * abs(across):
        return "back" if away > 0 else "front"
    return f"{'back' if away > 0 else 'front'} {'right' if across > 0 else 'left'}"


OPPOSITE = {"right": "left", "left": "right", "back": "front", "front": "back"}


def opposite(side: str) -> str:
    """The side across."""
    return " ".join(OPPOSITE[word] for word in side.split())
