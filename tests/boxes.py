"""Hulls folded from patterns, for the rows of the ship stability textbooks."""

from __future__ import annotations

import math
from functools import cache

from folder.hull.hull import Hull
from folder.pattern.families.catalogue import make
from folder.pattern.pattern import Crease, Pattern, Sheet
from folder.studies import study
from folder.water.fluid import Water

SEA = Water(1.025e-3, 73.0)
"""Sea water as the textbooks have it: 1.025 t/m3. At any size; here a metre of theirs is a millimetre, a tonne a gram."""

TONNE_G = 1e-3
"""One tonne of a ship, scaled: 1 m3 -> 1 mm3, so 1 t -> 1 mg."""


def hull(pattern: Pattern) -> Hull:
    """The folded hull of a pattern that folds."""
    done = study(pattern)
    assert done.folds
    assert done.hull is not None
    return done.hull


@cache
def folded_box(length: float, breadth: float, wall: float) -> Hull:
    """A box folded from one sheet: `length` along x, `breadth` along y."""
    return hull(make("square-tray", {"wall": wall}, sheet=Sheet(length + 2 * wall, breadth + 2 * wall)))


@cache
def folded_frustum(floor: float, mouth: float, height: float) -> Hull:
    """A tray whose walls lean out."""
    run = (mouth - floor) / 2
    wall = math.hypot(run, height)
    turn = math.degrees(math.atan2(height, run))
    return hull(make("leaning-tray", {"wall": wall, "turn": turn}, sheet=Sheet(floor + 2 * wall, floor + 2 * wall)))


@cache
def folded_keel(length: float, half_angle_rad: float, height: float) -> Hull:
    """A V-shaped trough with upright ends, folded about a keel crease along x.

    `floor_at` lies on the side y < keel, so that side is the plane z = 0 of the hull's frame. At each end of the keel
    the spare sheet lies as a flap on one half of the end; the strip is wide enough to keep the flap's tip out of the water.
    """
    slant, end = height / math.cos(half_angle_rad), height / math.sin(half_angle_rad)
    sheet = Sheet(length + 2 * end, 2 * slant)
    left, right, keel = end, end + length, slant
    spare = math.pi - 2 * half_angle_rad
    right_angle = math.pi / 2
    creases = [Crease((left, keel), (right, keel), "valley", spare)]
    for x, out in ((left, -1.0), (right, 1.0)):
        creases += [
            Crease((x, 0.0), (x, keel), "valley", right_angle),
            Crease((x, keel), (x, 2 * slant), "valley", right_angle),
        ]
        for angle, sense in ((half_angle_rad, "mountain"), (half_angle_rad + spare / 2, "valley")):
            reach = min(end / math.sin(angle), slant / abs(math.cos(angle)) if math.cos(angle) else math.inf)
            tip = (x + out * reach * math.sin(angle), keel - reach * math.cos(angle))
            creases.append(Crease((x, keel), tip, sense, math.pi))
    return hull(Pattern("Keel", "", sheet, (left + length / 2, keel / 2), tuple(creases)))
