"""How a hull lies at rest with a weight: draft, heel, trim, and how far the edge line is above the water.

`one.find_equilibrium` or, for what is out of the ordinary, `many.find_equilibria` finds the pose; here stands what it means.

floats     it lies still with all of the edge line above the water
floods     water comes in over the edge line first
capsizes   it will not stand upright under this weight, and finds no other rest before water comes in; or it comes to
           rest on its side
"""

from __future__ import annotations

from typing import Literal

import numpy as np
from msgspec import Struct

from folder.errors import BadRequest
from folder.geometry.space import Floats
from folder.hull.rim import corners, lowest_of, rim_at, spill_elevations
from folder.hull.skin import Skin
from folder.hull.weight import Weight
from folder.water.displace import UPRIGHT, Pose, Triple, displacement, drafts
from folder.water.equilibrium.many import CAPSIZE_UP, Equilibria, energy_derivatives, find_equilibria
from folder.water.equilibrium.one import find_equilibrium
from folder.water.fluid import Water

State = Literal["floats", "floods", "capsizes"]

_NUDGE_RAD = 0.02
"""How far a hull that is balanced, but would fall at a touch, is pushed to see where it goes."""
_NUDGES = 3


class EdgePlace(Struct, frozen=True):
    """A place on the rim and how far it is above the water."""

    at: Triple
    freeboard_mm: float


class Freeboard(Struct, frozen=True):
    """How far water would have to rise to come in: the least, where, and at every corner of the rim."""

    least_mm: float
    at: Triple
    corners: tuple[EdgePlace, ...]


class Rest(Struct, frozen=True):
    """How a hull lies with a weight. What has no value when it does not float is None."""

    state: State
    weight: Weight
    at: Triple
    """Where the rim is nearest to the water; where water comes in if it does. Hull frame, mm."""
    pose: Pose | None = None
    freeboard: Freeboard | None = None
    displaced_mm3: float | None = None
    kb_mm: float | None = None
    """Centre of buoyancy above the floor's middle, straight up from the water's view; so are the next three."""
    bm_mm: float | None = None
    """Second moment of the waterplane over displaced volume, for the way the hull is easiest to tilt."""
    km_mm: float | None = None
    gm_mm: float | None = None

    @property
    def draft_mm(self) -> float | None:
        """Depth of the floor's middle."""
        return None if self.pose is None else self.pose.draft_mm

    @property
    def heel_rad(self) -> float | None:
        """How far the x axis dips."""
        return None if self.pose is None else self.pose.heel_rad

    @property
    def trim_rad(self) -> float | None:
        """How far the y axis dips."""
        return None if self.pose is None else self.pose.trim_rad


def rest(skin: Skin, weight: Weight, water: Water) -> Rest:
    """How the hull lies with `weight`, the hull's own and the load's together."""
    if weight.mass_g <= 0.0:
        raise BadRequest("the hull must weigh something", found=f"{weight.mass_g:g} g", remedy="Give the foil's mass.")
    volume = weight.mass_g / water.density_g_per_mm3
    pose = find_equilibrium(skin, volume, weight.centre_mm)
    if pose is not None and pose.up[2] >= CAPSIZE_UP:
        floating = _floating(skin, weight, pose)
        if floating is not None:
            return floating
    return _patient_rest(skin, weight, volume)


def _patient_rest(skin: Skin, weight: Weight, volume_mm3: float) -> Rest:
    """The rest of any hull, or what becomes of it."""
    volume, centre, level = np.array([volume_mm3]), np.array([weight.centre_mm]), np.array([UPRIGHT])
    draft = drafts(skin, level, volume)
    level_rim, vertex = rim_at(skin.vertices[:, 2], skin)
    found = stable_rest(skin, volume, centre, level, draft)
    if found is not None and found.ups[0, 2] < CAPSIZE_UP:
        return Rest("capsizes", weight, place_of(skin, vertex))
    if found is not None:
        x, y, z = found.ups[0].tolist()
        floating = _floating(skin, weight, Pose(float(found.drafts_mm[0]), (x, y, z)))
        if floating is not None:
            return floating
        vertex = rim_at(skin.vertices @ found.ups[0], skin)[1]
    too_heavy = draft[0] > level_rim
    tips = not too_heavy and (found is None or energy_derivatives(skin, volume, centre, level, draft).least_stiffness[0] <= 0.0)
    return Rest("capsizes" if tips else "floods", weight, place_of(skin, vertex))


def pose_at_the_rim(skin: Skin, weight: Weight, water: Water) -> Pose:
    """The pose at which the water reaches the rim of a hull that does not float with `weight`: tilted as it would come to rest if its
    walls went on upward; level where it finds no rest."""
    volume, level = np.array([weight.mass_g / water.density_g_per_mm3]), np.array([UPRIGHT])
    found = stable_rest(skin, volume, np.array([weight.centre_mm]), level, drafts(skin, level, volume))
    x, y, z = UPRIGHT if found is None or found.ups[0, 2] < CAPSIZE_UP else found.ups[0].tolist()
    return Pose(rim_at(skin.vertices @ np.array([x, y, z]), skin)[0], (x, y, z))


def standing_on_floor(skin: Skin, load: Weight) -> Weight:
    """The load again, if its centre is over the floor and not below it; else the reason why it cannot stand there."""
    x, y, z = load.centre_mm
    if not skin.over_floor(np.array([[x, y]]))[0]:
        raise BadRequest("the load must stand on the floor", found=f"{x:g}, {y:g} mm", remedy="0, 0 is the middle of the floor.")
    if z < 0.0:
        raise BadRequest("the load's centre lies below the floor", found=f"{z:g} mm", remedy="Give 0 or more.")
    return load


def place_of(skin: Skin, vertex: int) -> Triple:
    """Where a vertex is, as plain numbers."""
    x, y, z = skin.vertices[vertex].tolist()
    return (x, y, z)


def stable_rest(skin: Skin, volume: Floats, centre: Floats, ups: Floats, draft: Floats) -> Equilibria | None:
    """The rest downhill from one pose: volume `(1,)` mm3, centre and up `(1, 3)`, draft `(1,)` mm; None when the hull goes over."""
    slack = 1e-9 * float(volume[0]) * float(np.abs(skin.vertices).max())
    for _ in range(_NUDGES):
        found = find_equilibria(skin, volume, centre, ups, draft)
        if not found.still[0]:
            return None
        if found.least_stiffness[0] >= -slack:
            break
        derivatives = energy_derivatives(skin, volume, centre, found.ups, found.drafts_mm)
        nudged = found.ups[0] + _NUDGE_RAD * derivatives.principal[0, :, 0] @ derivatives.axes[0, :2]
        ups, draft = nudged[None] / np.linalg.norm(nudged), found.drafts_mm
    return found


def _floating(skin: Skin, weight: Weight, pose: Pose) -> Rest | None:
    """What there is to know of a hull at rest; None when it does not float like that because water comes in."""
    up = np.array(pose.up)
    heights = skin.vertices @ up
    elevations = spill_elevations(heights[None], skin)[0]
    rim, vertex = lowest_of(elevations, heights, skin)
    least = rim - pose.draft_mm
    if least < -1e-9:
        return None
    around = list(corners(skin))
    places, freeboard = skin.vertices[around].tolist(), (elevations[around] - pose.draft_mm).tolist()
    edge = Freeboard(
        max(0.0, least),
        place_of(skin, vertex),
        tuple(EdgePlace((x, y, z), f) for (x, y, z), f in zip(places, freeboard, strict=True)),
    )
    afloat = displacement(skin, pose)
    kb = float(up @ afloat.centre_mm)
    bm = afloat.least_moment_mm4 / afloat.volume_mm3
    gm = kb + bm - float(up @ weight.centre_mm)
    return Rest("floats", weight, edge.at, pose, edge, afloat.volume_mm3, kb, bm, kb + bm, gm)
