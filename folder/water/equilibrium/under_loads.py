"""How one hull lies under many loads: all poses at rest at once, each reached from level.

What `balance` finds for one weight, without what only one is asked for: here it is the freeboard at every corner of the
rim, the tilt, and whether the hull stands. The water may stand above the rim (a film holds it, or more hull is wanted):
then the freeboard is less than 0, as if upright walls went on from the edge line.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from folder.geometry.space import Bools, Floats
from folder.hull.rim import corners, level_rim, spill_elevations, spills
from folder.hull.skin import Skin
from folder.hull.weight import Weight
from folder.water.displace import UPRIGHT, drafts, volumes
from folder.water.equilibrium.many import CAPSIZE_UP, Equilibria, energy_derivatives, find_equilibria
from folder.water.equilibrium.one import level_curve
from folder.water.fluid import Water

_NUDGE_RAD = 0.02
"""How far a hull that is balanced, but would fall at a touch, is pushed to see where it goes."""
_NUDGES = 2
_SAME_MM = 1e-9
"""So little below the water is rounding."""
_HEIGHTS_AT_ONCE = 500_000
"""Loads times vertices that are looked at in one go: 4 MB for each array of them, where thousands of vertices would take hundreds."""


class LadenPoses(Struct, frozen=True, eq=False):
    """How a hull lies under `n` loads. Arrays are read-only."""

    corners_mm: Floats
    """(n, c): how far the water would have to rise to come in over each corner of the rim."""
    least_mm: Floats
    """(n,): over the lowest place of the rim. Below 0: water comes in. Means nothing where the hull does not stand."""
    tilt_rad: Floats
    """(n,): how far the floor is from level, whichever way."""
    stands: Bools
    """(n,): it lies still, a push comes back, and it does not lie on its side."""
    tips: Bools
    """(n,): it does not float, though level it would: it turns over or will not lie level."""

    def __post_init__(self) -> None:
        for array in (self.corners_mm, self.least_mm, self.tilt_rad, self.stands, self.tips):
            array.flags.writeable = False

    @property
    def floats(self) -> Bools:
        """(n,): it stands, and no water comes in."""
        return self.stands & (self.least_mm >= 0.0)


def laden(skin: Skin, own: Weight, masses_g: Floats, centres_mm: Floats, water: Water, stands_from_g: float = 0.0) -> LadenPoses:
    """How a hull with its `own` weight lies under loads `(n,)` g with their centres `(n, 3)` mm.

    Under less than `stands_from_g` a hand holds it level.
    """
    if not len(masses_g):
        nothing, none = np.zeros(0), np.zeros(0, dtype=bool)
        return LadenPoses(np.zeros((0, len(corners(skin)))), nothing, nothing.copy(), none, none.copy())
    some = max(_HEIGHTS_AT_ONCE // len(skin.vertices), 1)
    if len(masses_g) > some:
        parts = [
            laden(skin, own, masses_g[k : k + some], centres_mm[k : k + some], water, stands_from_g)
            for k in range(0, len(masses_g), some)
        ]
        return LadenPoses(*(np.concatenate([getattr(part, name) for part in parts]) for name in LadenPoses.__struct_fields__))
    total = masses_g + own.mass_g
    centres = (masses_g[:, None] * centres_mm + own.mass_g * np.array(own.centre_mm)) / total[:, None]
    volume = total / water.density_g_per_mm3
    levels, held = level_curve(skin)
    level, level_draft = np.tile(UPRIGHT, (len(total), 1)), np.interp(volume, held, levels)
    found = _at_rest(skin, volume, centres, level, level_draft)
    by_hand = masses_g < stands_from_g
    if by_hand.any():
        found.ups[by_hand], found.still[by_hand], found.least_stiffness[by_hand] = UPRIGHT, True, np.inf
        found.drafts_mm[by_hand] = drafts(skin, level[by_hand], volume[by_hand])
    heights = found.ups @ skin.vertices.T
    elevations = spill_elevations(heights, skin)
    least = spills(heights, skin, elevations)[0] - found.drafts_mm
    least[abs(least) < _SAME_MM] = 0.0
    stiff = found.least_stiffness >= -_slack(skin, volume)
    stands = found.still & stiff & (found.ups[:, 2] >= CAPSIZE_UP)
    sunk = np.nonzero(~(stands & (least >= 0.0)))[0]
    tips = np.zeros(len(total), dtype=bool)
    if len(sunk):
        light = volume[sunk] <= volumes(skin, np.array([level_rim(skin)[0]]))[0]
        upright = energy_derivatives(skin, volume[sunk], centres[sunk], level[sunk], level_draft[sunk]).least_stiffness > 0.0
        tips[sunk] = light & ~(stands[sunk] & upright)
    around = elevations[:, list(corners(skin))] - found.drafts_mm[:, None]
    tilt = np.arctan2(np.hypot(found.ups[:, 0], found.ups[:, 1]), found.ups[:, 2])
    return LadenPoses(around, least, tilt, stands, tips)


def _at_rest(skin: Skin, volume: Floats, centres: Floats, ups: Floats, drafts_mm: Floats) -> Equilibria:
    """The rests downhill from poses, ups `(n, 3)` and drafts `(n,)` mm.

    What balances there and would fall at a touch is pushed, to see where it goes."""
    found = find_equilibria(skin, volume, centres, ups, drafts_mm)
    for _ in range(_NUDGES):
        rows = np.nonzero(found.still & (found.least_stiffness < -_slack(skin, volume)))[0]
        if not len(rows):
            break
        ups, depth = found.ups[rows], found.drafts_mm[rows]
        derivatives = energy_derivatives(skin, volume[rows], centres[rows], ups, depth)
        pushed = ups + _NUDGE_RAD * (derivatives.principal[:, None, :, 0] @ derivatives.axes[:, :2])[:, 0]
        pushed /= np.linalg.norm(pushed, axis=1)[:, None]
        again = find_equilibria(skin, volume[rows], centres[rows], pushed, depth)
        for whole, part in (
            (found.ups, again.ups),
            (found.drafts_mm, again.drafts_mm),
            (found.still, again.still),
            (found.least_stiffness, again.least_stiffness),
        ):
            whole[rows] = part
    return found


def _slack(skin: Skin, volume: Floats) -> Floats:
    """Stiffness (n,) mm4 that is nothing but rounding."""
    return 1e-9 * volume * float(np.abs(skin.vertices).max())
