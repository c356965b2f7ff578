"""How much a hull takes at a given place before water comes in: the flooding load.

At the moment of flooding the water stands at the rim, so the tilt alone says how deep the hull lies, what it displaces
and, by weight, what the load is. What is left to find is the tilt at which everything balances: two equations in
two unknowns, solved by Newton's method for many loads at once.

A high load can turn the hull over before that. Where the balance found is not stable, or lies far over, the load is put
on step by step, as a hand does, and the hull followed until it finds no rest any more.

shift     the water may stand this far above the rim (surface tension), or comes in this far below it (an uneven rim)
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from folder.geometry.space import Bools, Floats, Ints
from folder.hull.rim import spills
from folder.hull.skin import Skin
from folder.hull.weight import Weight
from folder.water.density import Water
from folder.water.displace import UPRIGHT, drafts, frames, pose_moments
from folder.water.settle import STEEPEST_UP, lies, settle

_LARGEST_TURN_RAD = 0.15
_PORTIONS = 10
"""In how many portions the load is put on when a hull is followed; the last one is then halved again and again."""
_HALVINGS = 8
_REACH_RAD = 0.8
"""A hull that leans over by this much more for one more portion throws its load off."""
_PLAIN_UP = float(np.cos(np.radians(30.0)))
"""A balance at a larger tilt may be one that the load would never bring the hull to: there it is followed as well."""
_STEPS = 40


class Floods(Struct, frozen=True, eq=False):
    """Flooding loads of `n` places. Arrays are read-only."""

    load_g: Floats
    """(n,): zero where the hull will not even bear itself."""
    ups: Floats
    """(n, 3): how the hull lies at that moment."""
    vertices: Ints
    """(n,): the vertex of the skin at which the rim is lowest then."""
    capsizes: Bools
    """(n,): the hull turns over before water comes in."""


def floods(skin: Skin, own: Weight, centres: Floats, water: Water, shift_mm: Floats | float = 0.0) -> Floods:
    """Flooding loads with their centres at `centres (n, 3)` mm, for a hull with its `own` weight."""
    shift = np.broadcast_to(np.asarray(shift_mm, dtype=float), (len(centres),))
    own_mm3 = own.mass_g / water.density_g_per_mm3
    own_centre = np.array(own.centre_mm)
    ups, load, stable = _at_the_rim(skin, own_mm3, own_centre, centres, shift, _leaning_to(skin, centres))
    capsizes = ~stable | (ups[:, 2] < _PLAIN_UP)
    hard = np.nonzero(capsizes)[0]
    if len(hard):
        load[hard], ups[hard] = _followed(skin, own_mm3, own_centre, centres[hard], shift[hard])
        # Where it was the rim that ended it, the exact balance is near by.
        near = _at_the_rim(skin, own_mm3, own_centre, centres[hard], shift[hard], ups[hard])
        good = near[2] & (np.abs(near[1] - load[hard]) <= 0.01 * load[hard])
        ups[hard[good]], load[hard[good]], capsizes[hard[good]] = near[0][good], near[1][good], False
        capsizes &= load > 0.0
    vertices = spills(ups @ skin.vertices.T, skin)[1]
    load *= water.density_g_per_mm3
    for array in (load, ups, vertices, capsizes):
        array.flags.writeable = False
    return Floods(load, ups, vertices, capsizes)


def _at_the_rim(
    skin: Skin, own_mm3: float, own_centre: Floats, centres: Floats, shift: Floats, start: Floats
) -> tuple[Floats, Floats, Bools]:
    """From tilts `(n, 3)` to where all balances: tilts, load volumes `(n,)` mm3 and whether a push comes back."""
    n = len(centres)
    ups, held, depths, found = start.copy(), np.zeros(n), np.zeros(n), np.zeros(n, dtype=bool)
    left = np.arange(n)
    for _ in range(_STEPS):
        rims, vertices = spills(ups[left] @ skin.vertices.T, skin)
        depth = rims + shift[left]
        axes = frames(ups[left])
        m = pose_moments(skin, ups[left], depth, axes)
        rim_points = (axes[:, :2] @ skin.vertices[vertices][:, :, None])[:, :, 0]
        load_points = (axes @ centres[left][:, :, None])[:, :, 0]
        own_points = axes @ own_centre
        volume, area, first, second = -m[:, 0, 3], m[:, 0, 0], m[:, 0, 1:3], m[:, 1:3, 1:3]
        load = volume - own_mm3
        off = -m[:, 1:3, 3] - own_mm3 * own_points[:, :2] - load[:, None] * load_points[:, :2]
        righting = depth * volume - m[:, 3, 3] / 2.0 - own_mm3 * own_points[:, 2] - load * load_points[:, 2]
        change = (
            first[:, :, None] * rim_points[:, None, :]
            - second
            - load_points[:, :2, None] * (area[:, None] * rim_points - first)[:, None, :]
            - righting[:, None, None] * np.eye(2)
        )
        turn, fine = _solved(change, -off)
        size = np.hypot(turn[:, 0], turn[:, 1])
        turn *= np.minimum(1.0, _LARGEST_TURN_RAD / np.maximum(size, _LARGEST_TURN_RAD))[:, None]
        held[left], depths[left], found[left] = np.maximum(load, 0.0), depth, fine & (size < 1e-9) & (load > 0.0)
        moved = ups[left] + (turn[:, None, :] @ axes[:, :2])[:, 0]
        ups[left] = moved / np.linalg.norm(moved, axis=1)[:, None]
        left = left[(size > 1e-11) & (ups[left, 2] > STEEPEST_UP)]
        if not len(left):
            break
    ups[~found] = UPRIGHT
    total, both = _together(own_mm3, own_centre, held, centres)
    return ups, held, found & (lies(skin, total, both, ups, depths).least_stiffness > 0.0)


def _together(own_mm3: float, own_centre: Floats, load: Floats, centres: Floats) -> tuple[Floats, Floats]:
    """Hull and loads `(n,)` mm3 as one weight each, and its centre `(n, 3)`."""
    total = own_mm3 + load
    return total, (own_mm3 * own_centre + load[:, None] * centres) / total[:, None]


def _leaning_to(skin: Skin, centres: Floats) -> Floats:
    """Ups `(n, 3)` of a hull that leans a little toward each load: which side of the rim will be lowest."""
    level = np.array([UPRIGHT])
    rim = spills(level @ skin.vertices.T, skin)[0]
    m = pose_moments(skin, level, rim, frames(level))[0]
    off = centres[:, :2] + m[1:3, 3] / max(-float(m[0, 3]), 1e-9)
    far = np.hypot(off[:, 0], off[:, 1])
    lean = 0.02 * abs(float(rim[0])) / float(np.abs(skin.vertices).max()) / np.maximum(far, 1e-3)
    ups = np.column_stack([-lean[:, None] * off, np.ones(len(centres))])
    return np.asarray(ups / np.linalg.norm(ups, axis=1)[:, None])


def _followed(skin: Skin, own_mm3: float, own_centre: Floats, centres: Floats, shift: Floats) -> tuple[Floats, Floats]:
    """The largest load volumes `(n,)` mm3 and their tilts `(n, 3)`, the load put on step by step."""
    n = len(centres)
    level = np.array([UPRIGHT])
    rim = float(spills(level @ skin.vertices.T, skin)[0][0])
    most = -float(pose_moments(skin, level, np.array([rim + max(0.0, shift.max())]), frames(level))[0, 0, 3])
    empty = settle(skin, np.array([own_mm3]), own_centre[None], level, drafts(skin, level, own_mm3))
    load, portion = np.zeros(n), np.full(n, most / _PORTIONS)
    ups, failed = np.repeat(empty.ups, n, axis=0), np.zeros(n, dtype=bool)
    bears = empty.still & (spills(empty.ups @ skin.vertices.T, skin)[0] + shift >= empty.drafts_mm)
    left = np.nonzero(bears)[0]
    for _ in range(_PORTIONS + _HALVINGS if len(left) else 0):
        trying = load[left] + portion[left]
        total, both = _together(own_mm3, own_centre, trying, centres[left])
        start = drafts(skin, ups[left], total, slack_mm=0.1)
        found = settle(skin, total, both, ups[left], start, _REACH_RAD)
        freeboard = spills(found.ups @ skin.vertices.T, skin)[0] + shift[left] - found.drafts_mm
        good = found.still & (found.least_stiffness > 0.0) & (freeboard >= 0.0)
        kept = left[good]
        load[kept], ups[kept] = trying[good], found.ups[good]
        failed[left[~good]] = True
        portion[failed] /= 2.0
    return load, ups


def _solved(a: Floats, b: Floats) -> tuple[Floats, Bools]:
    """Solutions `(n, 2)` of two equations in two unknowns, and where there is one; zero where not."""
    det = a[:, 0, 0] * a[:, 1, 1] - a[:, 0, 1] * a[:, 1, 0]
    fine = np.abs(det) > 1e-12 * (a**2).sum(axis=(1, 2))
    det = np.where(fine, det, np.inf)
    x = (b[:, 0] * a[:, 1, 1] - b[:, 1] * a[:, 0, 1]) / det
    y = (b[:, 1] * a[:, 0, 0] - b[:, 0] * a[:, 1, 0]) / det
    return np.column_stack([x, y]), fine
