"""Under which loads a hull stands, put on at one place, the empty hull first.

stands    it lies still, comes back from a push, leans by no more than `CAPSIZE_RAD` and has its rim above the water
held      a hull that turns over when empty is kept upright by hand until it stands

Under every load the hull is let go level, as in `rest`, and looked at where it comes to rest.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from msgspec import Struct

from folder.findings import Finding, Point
from folder.geometry.space import Bools, Floats
from folder.hull.rim import level_rim, spill, spills
from folder.hull.skin import Skin
from folder.hull.weight import Weight
from folder.units import TOLERANCES, rounded_up
from folder.water.displace import UPRIGHT, Pose, Triple, drafts, frames, pose_moments, volumes
from folder.water.equilibrium.many import CAPSIZE_UP, find_equilibria, least_stiffness
from folder.water.equilibrium.one import find_equilibrium
from folder.water.equilibrium.rest import State, rest, stable_rest
from folder.water.fluid import Water

_FINE = 64
"""In how many portions the load is put on to find from which on a hull stands: a shorter stand is missed."""
_PARTS, _ROUNDS = 16, 2
"""The portion in which it begins is cut into so many, and that again."""


class StandingPose(Struct, frozen=True, eq=False):
    """How `n` loads leave the hull."""

    still: Bools
    """(n,): it lies still, comes back from a push and has not gone over."""
    ups: Floats
    """(n, 3)"""
    freeboard_mm: Floats
    """(n,)"""

    @property
    def stands(self) -> Bools:
        """(n,): and keeps the water out."""
        return self.still & (self.freeboard_mm >= 0.0)


def standing(skin: Skin, own_mm3: float, own_centre: Floats, loads_mm3: Floats, centres: Floats) -> StandingPose:
    """The hull let go level under loads `(n,)` with their centres at `(n, 3)`; weights as the volumes they displace."""
    total = own_mm3 + loads_mm3
    both = (own_mm3 * own_centre + loads_mm3[:, None] * centres) / total[:, None]
    ups = np.tile(np.array(UPRIGHT), (len(total), 1))
    found = find_equilibria(skin, total, both, ups, drafts(skin, ups, total, 0.1))
    freeboard = spills(found.ups @ skin.vertices.T, skin)[0] - found.drafts_mm
    still = found.still & (found.least_stiffness > 0.0) & (found.ups[:, 2] >= CAPSIZE_UP)
    return StandingPose(still, found.ups, freeboard)


@lru_cache(maxsize=12)
def empty_state(skin: Skin, own: Weight, water: Water) -> State:
    """What becomes of the hull when it is set on the water empty: the state that `rest` finds.

    Every pattern is asked this. Nearly every hull lies about as deep as its floor alone would; from there it takes a step
    or two, a fifth of what `rest` takes to tell all about the pose.
    """
    volume, floor_mm2 = own.mass_g / water.density_g_per_mm3, skin.floor_area_mm2
    if volume > 0.0 and floor_mm2 > TOLERANCES.waterplane_mm2:
        as_floor = volume / floor_mm2
        pose = find_equilibrium(skin, volume, own.centre_mm, as_floor) or _stable_pose(skin, volume, own.centre_mm, as_floor)
        if pose and pose.up[2] >= CAPSIZE_UP and spill(skin.vertices @ np.array(pose.up), skin)[0] > pose.draft_mm:
            return "floats"
    return rest(skin, own, water).state


def _stable_pose(skin: Skin, volume_mm3: float, centre: Triple, near_mm: float) -> Pose | None:
    """As `stable_rest` from the level pose, about as deep as told."""
    level, volume = np.array([UPRIGHT]), np.array([volume_mm3])
    depth = drafts(skin, level, volume, 0.1, np.array([near_mm]))
    found = stable_rest(skin, volume, np.array([centre]), level, depth)
    if found is None:
        return None
    x, y, z = found.ups[0].tolist()
    return Pose(float(found.drafts_mm[0]), (x, y, z))


@lru_cache(maxsize=12)
def stands_from(skin: Skin, own: Weight, water: Water, place: Triple) -> float | None:
    """The load at `place`, g, from which the hull stands: 0.0 when it stands empty, None when it never does up to its brim.

    A hull that turns over when empty stands from where its metacentre, the floor held level, is over its weight.
    """
    empty = empty_state(skin, own, water)
    if empty != "capsizes":
        return 0.0 if empty == "floats" else None
    own_mm3, own_centre = own.mass_g / water.density_g_per_mm3, np.array(own.centre_mm)

    def upright(loads: Floats) -> Bools:
        """(n,) whether the hull stands level under each load (n,) mm3."""
        centres = np.tile(np.array(place), (len(loads), 1))
        level = np.tile(np.array(UPRIGHT), (len(loads), 1))
        depth = drafts(skin, level, own_mm3 + loads)
        m = pose_moments(skin, level, depth, frames(level))
        righting = -depth * m[:, 0, 3] - m[:, 3, 3] / 2.0 - own_mm3 * own_centre[2] - loads * place[2]
        return (least_stiffness(m, righting) > 0.0) & standing(skin, own_mm3, own_centre, loads, centres).stands

    low, high, parts = 0.0, float(volumes(skin, np.array([level_rim(skin)[0]]))[0]) - own_mm3, _FINE
    if high <= 0.0:  # it sinks by its own weight
        return None
    for _ in range(1 + _ROUNDS):
        loads = np.linspace(low, high, parts + 1)
        stands = upright(loads)
        if not stands.any():
            return None
        first = int(np.argmax(stands))
        low, high, parts = float(loads[max(0, first - 1)]), float(loads[first]), _PARTS
    return high * water.density_g_per_mm3


def stand_findings(stands_from_g: float | None, brim_g: float, at: Point | None) -> list[Finding]:
    """What a pupil must know of a hull that does not stand when it is empty; `at` is where its floor is on the sheet."""
    if brim_g <= 0.0:
        text = "It sinks with nothing in it, so it carries nothing. Make the floor wider or the walls higher."
        return [Finding("tips-over", "stop", at, text, "The foil weighs as much as the water it keeps out, or more.")]
    if stands_from_g == 0.0:
        return []
    if stands_from_g is None:
        text = "It turns over, empty or full, so it carries nothing. Make the floor wider or the walls lower."
        return [Finding("tips-over", "stop", at, text, f"It stands under no load up to its brim of {brim_g:.1f} g.")]
    grams = rounded_up(stands_from_g)
    text = f"Empty it turns over. Hold it with a hand until {grams} g stand in it: from then on it stands by itself."
    detail = f"Its metacentre comes over its weight at {stands_from_g:.2f} g, loaded in the middle; brim {brim_g:.1f} g."
    return [Finding("tips-empty", "warn", at, text, detail)]
