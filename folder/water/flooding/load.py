"""How much a hull takes at a given place before water comes in: the flooding load.

At the moment of flooding the water stands at the rim, so the tilt alone says how deep the hull lies, what it displaces
and, by weight, what the load is. What is left to find is the tilt at which everything balances: two equations in
two unknowns, solved by Newton's method for many loads at once.

The hull may turn over before that, under a high load or under a small one. Where the balance found is not stable, or the
hull may not stand under every load on the way there, the load is put on from empty, as a hand does; see `from_empty`.

The draft is that of the rim, T = z of its lowest vertex R + shift, so the volume V and the load P = V - W follow from the
tilt (W the hull's own weight, centres O of the hull and L of the load, letters else as in `equilibrium.many`):

balance   off = V xB - W xO - P xL = 0, and so for y
change    with a turn the draft grows as xR, the volume as `growth` A xR - S, S the first moments of the waterplane, and
          off as  S xR - I - xL growth - (V zB - W zO - P zL);  that matrix is inverted for Newton's step

The turned waterplane is that of Biran & Lopez-Pulido, Ship Hydrostatics and Stability, 2nd ed. (2014), ch. 2; the rim as a
bound on draft is ours.

shift     the water may stand this far above the rim (surface tension), or comes in this far below it (an uneven rim)
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from msgspec import Struct

from folder.geometry.space import Bools, Floats, Ints
from folder.hull.rim import corners, spill_elevations, spills
from folder.hull.skin import Skin
from folder.hull.weight import Weight
from folder.units import RAD_PER_DEG
from folder.water.displace import UPRIGHT, frames, pose_moments
from folder.water.equilibrium.many import CAPSIZE_UP, STEEPEST_UP, least_stiffness
from folder.water.flooding.load_continuation import Case, limit_loads, stands_throughout
from folder.water.fluid import Water

EXACT_RAD = 1e-9
"""A last step so small leaves nothing but rounding."""

_LARGEST_TURN_RAD = 0.15
_STEEPEST_START = 0.6
"""Slope beyond which a start is not believed."""
_LOWER_MM = 0.01
"""Where a step brings another corner of the rim lower than this below the one it reckoned with, one more is needed."""
_PLAIN_UP = math.cos(30.0 * RAD_PER_DEG)
"""A balance at a larger tilt may be one that the load would never bring the hull to: there it is put on from empty as well."""
_BESIDE = 2e-3
"""A balance at the rim is the one that ended it when it lies this near to where that was, as a share of the load."""
_STEPS = 24


class FloodingLoads(Struct, frozen=True, eq=False):
    """Flooding loads of `n` places. Arrays are read-only."""

    load_g: Floats
    """(n,): zero where the hull will not even bear itself."""
    slopes: Floats
    """(n, 4) g/mm: how much more it takes as the place moves along x, y and z, and as the shift grows.

    Zero where the hull turns over: there the load may jump.
    """
    ups: Floats
    """(n, 3): how the hull lies at that moment."""
    vertices: Ints
    """(n,): the vertex of the skin at which the rim is lowest then."""
    capsizes: Bools
    """(n,): the hull turns over before water comes in, or stands under no load at all."""


def flooding_loads(
    skin: Skin, own: Weight, centres: Floats, water: Water, shift_mm: Floats | float = 0.0, slack_rad: float = EXACT_RAD
) -> FloodingLoads:
    """Flooding loads with their centres at `centres (n, 3)` mm, for a hull with its `own` weight.

    Newton's method stops with a step of `slack_rad`, or one that changes what is displaced by that share. The step is
    counted in, so that what is left is about its square.
    """
    shift = np.broadcast_to(np.asarray(shift_mm, dtype=float), (len(centres),))
    own_mm3 = own.mass_g / water.density_g_per_mm3
    own_centre = np.array(own.centre_mm)
    case = Case(skin, own_mm3, own_centre, centres, shift)
    found = _at_the_rim(case, _start(case), slack_rad)
    found = found._replace(stable=found.stable & (found.ups[:, 2] >= CAPSIZE_UP))
    plain = found.stable & (found.ups[:, 2] >= _PLAIN_UP) & stands_throughout(case, found.load)
    capsizes, hard = ~plain, np.nonzero(~plain)[0]
    if len(hard):
        some = case.some(hard)
        expected = np.where(found.stable[hard], found.load[hard], np.nan)
        last = limit_loads(some, expected, found.ups[hard], slack_rad / 10.0)
        # Where it was the rim that ended it, the exact balance is near by.
        near = _at_the_rim(some, last.ups, slack_rad)
        slack = _BESIDE * last.load
        beside = (near.load >= last.load - slack) & (near.load <= last.above + slack) & (near.load > 0.0)
        good = near.stable & (near.ups[:, 2] >= CAPSIZE_UP) & beside
        over = _Found(
            last.ups,
            last.load,
            spills(last.ups @ skin.vertices.T, skin)[1],
            np.zeros((len(hard), 4)),
            np.zeros(len(hard), np.bool_),
        )
        for whole, one, other in zip(found, near, over, strict=True):
            other = np.where(good if one.ndim == 1 else good[:, None], one, other)
            whole[hard] = np.where(last.at_rim if one.ndim == 1 else last.at_rim[:, None], whole[hard], other)
        capsizes[hard] = ~found.stable[hard] & ((found.load[hard] > 0.0) | last.over)
    load, slopes = found.load * water.density_g_per_mm3, found.slopes * water.density_g_per_mm3
    for array in (load, slopes, found.ups, found.vertices, capsizes):
        array.flags.writeable = False
    return FloodingLoads(load, slopes, found.ups, found.vertices, capsizes)


class _Found(NamedTuple):
    """The balance of `n` loads at the rim."""

    ups: Floats
    load: Floats
    vertices: Ints
    slopes: Floats
    stable: Bools
    """A push comes back; False where there is no balance, too."""


def _at_the_rim(case: Case, start: Floats, slack_rad: float) -> _Found:
    """From tilts `(n, 3)` to where all balances; volumes in mm3."""
    n, rim_corners = len(start), case.skin.vertices[list(corners(case.skin))]
    done = _Found(np.tile(UPRIGHT, (n, 1)), np.zeros(n), np.zeros(n, dtype=np.int64), np.zeros((n, 4)), np.zeros(n, dtype=bool))
    left, ups = np.arange(n), start
    for _ in range(_STEPS):
        found, size = _step(case.some(left), ups)
        rim = case.skin.vertices[found.vertices]
        before, after = (u @ rim_corners.T - (u * rim).sum(axis=1)[:, None] for u in (ups, found.ups))
        takes_over = ((before >= 0.0) & (after < -_LOWER_MM)).any(axis=1)
        last = (size < slack_rad) & ~takes_over
        for whole, part in zip(done, found, strict=True):
            whole[left[last]] = part[last]
        on = ~last & (found.ups[:, 2] > STEEPEST_UP)
        left, ups = left[on], found.ups[on]
        if not len(left):
            break
    return done


def _step(case: Case, ups: Floats) -> tuple[_Found, Floats]:
    """One step of Newton's method from tilts `(n, 3)`, what it leads to, and how large it is, `(n,)`.

    As large as its turn in rad, or as the share of what is displaced that it changes, whichever is more.
    """
    skin = case.skin
    heights = ups @ skin.vertices.T
    elevations = spill_elevations(heights, skin)
    rims, vertices = spills(heights, skin, elevations)
    depth, axes = rims + case.shift, frames(ups)
    m = pose_moments(skin, ups, depth, axes, elevations)
    rim_points = (axes[:, :2] @ skin.vertices[vertices][:, :, None])[:, :, 0]
    load_points = (axes @ case.centres[:, :, None])[:, :, 0]
    own_points = axes @ case.own_centre
    volume, area, first, second = -m[:, 0, 3], m[:, 0, 0], m[:, 0, 1:3], m[:, 1:3, 1:3]
    load = volume - case.own_mm3
    off = -m[:, 1:3, 3] - case.own_mm3 * own_points[:, :2] - load[:, None] * load_points[:, :2]
    righting = depth * volume - m[:, 3, 3] / 2.0 - case.own_mm3 * own_points[:, 2] - load * load_points[:, 2]
    growth = area[:, None] * rim_points - first
    change = (
        first[:, :, None] * rim_points[:, None, :]
        - second
        - load_points[:, :2, None] * growth[:, None, :]
        - righting[:, None, None] * np.eye(2)
    )
    inverse, fine = _inverse(change)
    turn = -(inverse @ off[:, :, None])[:, :, 0]
    size = np.hypot(turn[:, 0], turn[:, 1])
    turn *= np.minimum(1.0, _LARGEST_TURN_RAD / np.maximum(size, _LARGEST_TURN_RAD))[:, None]
    answer = (growth[:, None, :] @ inverse)[:, 0]
    slopes = np.empty((len(ups), 4))
    slopes[:, :3] = load[:, None] * (answer[:, None, :] @ axes[:, :2])[:, 0]
    slopes[:, 3] = area - (answer * (first - area[:, None] * load_points[:, :2])).sum(axis=1)
    gained = (growth * turn).sum(axis=1)
    load = load + gained
    stable = fine & (load > 0.0) & (least_stiffness(m, righting) > 0.0)
    moved = ups + (turn[:, None, :] @ axes[:, :2])[:, 0]
    moved /= np.sqrt((moved * moved).sum(axis=1))[:, None]
    return _Found(moved, load, vertices, slopes, stable), np.maximum(size, np.abs(gained) / np.maximum(volume, 1e-9))


def _start(case: Case) -> Floats:
    """Tilts `(n, 3)` from which Newton's method has not far to go: its own first step from the level hull.

    Linear but for the rim: which of its corners will lie lowest is seen from which way the hull leans.
    """
    skin, own, centres, level = case.skin, case.own_mm3, case.centres, np.array([UPRIGHT])
    rim = float(spills(level @ skin.vertices.T, skin)[0][0])
    m = pose_moments(skin, level, np.array([rim]), frames(level))[0]
    area, first, second = float(m[0, 0]), m[0, 1:3], m[1:3, 1:3]
    rim_corners = skin.vertices[list(corners(skin))]

    def balance(deeper: Floats) -> tuple[Floats, Floats, Floats]:
        """The load, how far off balance it is, and minus its stiffness, with the level hull `(n,)` mm deeper than its rim."""
        load = area * deeper - m[0, 3] - own
        righting = -rim * m[0, 3] - m[3, 3] / 2.0 + area * rim * deeper - own * case.own_centre[2] - load * centres[:, 2]
        off = deeper[:, None] * first - m[1:3, 3] - own * case.own_centre[:2] - load[:, None] * centres[:, :2]
        return load, off, -second - righting[:, None, None] * np.eye(2)

    _, off, change = balance(case.shift)
    lean = -(_inverse(change)[0] @ off[:, :, None])[:, :, 0]
    lowest = rim_corners[np.argmin(lean @ rim_corners[:, :2].T + rim_corners[:, 2], axis=1)]
    load, off, change = balance(case.shift + lowest[:, 2] - rim)
    growth = area * lowest[:, :2] - first
    change += first[:, None] * lowest[:, None, :2] - centres[:, :2, None] * growth[:, None, :]
    inverse, fine = _inverse(change)
    turn = -(inverse @ off[:, :, None])[:, :, 0]
    steep = np.sqrt((turn * turn).sum(axis=1))
    fine &= (load + (growth * turn).sum(axis=1) > 0.0) & (steep < _STEEPEST_START)
    # Where that says nothing, it leans a little toward the load.
    apart = -centres[:, :2] - m[1:3, 3] / max(-float(m[0, 3]), 1e-9)
    small = 0.02 * abs(rim) / float(np.abs(skin.vertices).max()) / np.maximum(np.hypot(apart[:, 0], apart[:, 1]), 1e-3)
    ups = np.ones((len(centres), 3))
    ups[:, :2] = np.where(fine[:, None], turn, small[:, None] * apart)
    return ups / np.sqrt((ups * ups).sum(axis=1))[:, None]


def _inverse(a: Floats) -> tuple[Floats, Bools]:
    """The inverse of every 2 x 2 matrix `(n, 2, 2)`, and where there is one `(n,)`; zero where not."""
    det = a[..., 0, 0] * a[..., 1, 1] - a[..., 0, 1] * a[..., 1, 0]
    fine = np.abs(det) > 1e-12 * (a * a).sum(axis=(-2, -1))
    swapped = np.empty_like(a)
    swapped[..., 0, 0], swapped[..., 1, 1] = a[..., 1, 1], a[..., 0, 0]
    swapped[..., 0, 1], swapped[..., 1, 0] = -a[..., 0, 1], -a[..., 1, 0]
    return swapped / np.where(fine, det, np.inf)[..., None, None], fine
