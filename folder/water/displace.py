"""What a hull displaces in a pose: volume, its centre, and the waterplane.

pose        how the hull lies: `up` (the water's up, in the hull frame) and `draft_mm` (depth of the floor's middle)
heel        how far the hull's x axis dips: positive, the +x side is lower; it turns about the y axis
trim        how far the hull's y axis dips: positive, the +y side is lower; it turns about the x axis
waterplane  what the hull cuts out of the water's surface

The outside is wet below the surface; over each wet bit of skin stands a column up to the surface, counted positive
where the inside faces up. Layers folded flat on each other cancel by themselves.
"""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct

from folder.geometry.soup import moments_below
from folder.geometry.space import Floats
from folder.hull.rim import wet_triangles
from folder.hull.skin import Skin
from folder.units import TOLERANCES

Triple = tuple[float, float, float]

UPRIGHT: Triple = (0.0, 0.0, 1.0)

_STEPS = 100
_DEEPEST_MM = 1e6


class Pose(Struct, frozen=True):
    """How the hull lies in the water."""

    draft_mm: float
    up: Triple = UPRIGHT

    @classmethod
    def tilted(cls, draft_mm: float, heel_rad: float = 0.0, trim_rad: float = 0.0) -> Pose:
        """A pose from heel and trim. Both together must leave the floor facing up."""
        x, y = -math.sin(heel_rad), -math.sin(trim_rad)
        if x * x + y * y >= 1.0:
            raise ValueError("heel and trim together turn the hull over")
        return cls(draft_mm, (x, y, math.sqrt(1.0 - x * x - y * y)))

    @property
    def heel_rad(self) -> float:
        """How far the x axis dips."""
        return 0.0 - math.asin(max(-1.0, min(1.0, self.up[0])))

    @property
    def trim_rad(self) -> float:
        """How far the y axis dips."""
        return 0.0 - math.asin(max(-1.0, min(1.0, self.up[1])))

    @property
    def tilt_rad(self) -> float:
        """How far the floor is from level, whichever way."""
        return math.atan2(math.hypot(self.up[0], self.up[1]), self.up[2])


class Displacement(Struct, frozen=True):
    """What the hull displaces. Places are in the hull frame; second moments are about the waterplane's own centre."""

    volume_mm3: float
    centre_mm: Triple
    """Centre of buoyancy; the floor's middle where nothing is displaced."""
    waterplane_mm2: float
    least_moment_mm4: float
    """The smallest second moment of the waterplane, over all axes in it: the way the hull is easiest to tilt."""


def displacement(skin: Skin, pose: Pose) -> Displacement:
    """What the hull displaces in one pose. Means what it says while the water is below the rim."""
    ups, depth = np.array([pose.up]), np.array([pose.draft_mm])
    axes = frames(ups)
    m = pose_moments(skin, ups, depth, axes)[0]
    volume, area = -float(m[0, 3]), float(m[0, 0])
    centre = np.zeros(3)
    if volume != 0.0:
        centre = axes[0].T @ (m[3, 1:] * (1.0, 1.0, 0.5) / -volume) + pose.draft_mm * ups[0]
    x, y, z = centre.tolist()
    return Displacement(volume, (x, y, z), area, least_moment(m) if area > TOLERANCES.waterplane_mm2 else 0.0)


def volumes(skin: Skin, drafts_mm: Floats, up: Triple = UPRIGHT) -> Floats:
    """Displaced volume `(k,)` mm3 at each draft `(k,)` of a hull held at one tilt."""
    depth = np.asarray(drafts_mm, dtype=float)
    return _volumes_and_areas(skin, np.broadcast_to(np.array(up), (len(depth), 3)), depth)[0]


def drafts(skin: Skin, ups: Floats, volume_mm3: Floats | float, slack_mm: float = 1e-10, near_mm: Floats | None = None) -> Floats:
    """The draft `(k,)` mm at which a hull held at each tilt `(k, 3)` displaces a volume: one for all, or `(k,)`.

    Where that is more than the rim allows, as if its walls went on upward. A hull that can displace nothing, however
    deep, gives the deepest draft looked at. Newton's method on the waterplane, kept inside the bracket found so far, until
    the next step would be less than `slack_mm`; from drafts `near_mm (k,)` if there are some.
    """
    heights = ups @ skin.vertices.T
    low, high = heights.min(axis=1), np.full(len(ups), np.inf)
    draft = (low + heights.max(axis=1)) / 2.0 if near_mm is None else near_mm
    for _ in range(_STEPS):
        volume, area = _volumes_and_areas(skin, ups, draft)
        residual = volume_mm3 - volume
        unsettled = (np.abs(residual) > slack_mm * area) & (draft < _DEEPEST_MM)
        if not unsettled.any():
            break
        low, high = np.where(residual > 0.0, draft, low), np.where(residual > 0.0, high, draft)
        afloat = area > TOLERANCES.waterplane_mm2
        newton = draft + residual / np.where(afloat, area, np.inf)
        between = np.where(np.isfinite(high), (low + high) / 2.0, 2.0 * draft - low + 1.0)
        bracketed = afloat & (low <= newton) & (newton <= high)
        draft = np.where(unsettled, np.where(bracketed, newton, between), draft)
    return np.minimum(draft, _DEEPEST_MM)


def _volumes_and_areas(skin: Skin, ups: Floats, drafts_mm: Floats) -> tuple[Floats, Floats]:
    """Displaced volume mm3 and waterplane mm2, each `(k,)`."""
    moments = moments_below(skin.soup, ups, drafts_mm, wet_triangles(ups @ skin.vertices.T, drafts_mm, skin))
    area = moments[:, 0, 0]
    return np.asarray(drafts_mm * area - np.einsum("kj,kj->k", ups, moments[:, 0, 1:])), area


def frames(ups: Floats) -> Floats:
    """Axes `(k, 3, 3)` of the water for ups `(k, 3)`: two level rows and the up, turned no more than need be."""
    upright = np.array(UPRIGHT)
    axes = np.empty((len(ups), 3, 3))
    axes[:, :2] = np.eye(2, 3) - ups[:, :2, None] * (ups + upright)[:, None] / (1.0 + ups[:, 2, None, None])
    axes[:, 2] = ups
    return axes


def pose_moments(skin: Skin, ups: Floats, drafts_mm: Floats, axes: Floats, elevations: Floats | None = None) -> Floats:
    """Moments `(k, 4, 4)` of the wet skin in the water's own axes: c = (1, e1.p, e2.p, height above the water).

    So `m[0, 0]` is the waterplane's area, `m[0, 1:3]` its first and `m[1:3, 1:3]` its second moments about the floor's
    middle, `-m[0, 3]` the displaced volume, `-m[1:3, 3]` the volume's first moments and `-m[3, 3] / 2` that of height.
    `elevations` `(k, v)` mm are the spill elevations, when they are at hand.
    """
    turn = np.zeros((len(ups), 4, 4))
    turn[:, 0, 0] = 1.0
    turn[:, 1:, 1:] = axes
    turn[:, 3, 0] = -drafts_mm
    own = moments_below(skin.soup, ups, drafts_mm, wet_triangles(ups @ skin.vertices.T, drafts_mm, skin, elevations))
    return turn @ own @ turn.transpose(0, 2, 1)


def least_moment(m: Floats) -> float:
    """The smallest second moment mm4 of a waterplane about an axis through its own centre; from moments `(4, 4)`."""
    area = float(m[0, 0])
    xx = float(m[1, 1] - m[0, 1] ** 2 / area)
    yy = float(m[2, 2] - m[0, 2] ** 2 / area)
    xy = float(m[1, 2] - m[0, 1] * m[0, 2] / area)
    return (xx + yy) / 2.0 - math.hypot((xx - yy) / 2.0, xy)
