"""The flood table: what a hull takes at any place near the best one, read off a few places that are worked out.

fan       the nodes of the table: directions round the best place, distances from it, and shifts of the rim
slopes    how much the load at a node changes with each of the three; they come with the load itself (see `flood`)

Over distance and shift the load is read off cubic curves through the nodes with their slopes (Hermite). Over direction it
is the least that any corner of the rim lets through, and bends where the next corner takes over.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from msgspec import Struct

from folder.geometry.space import Bools, Floats, Ints
from folder.water.build_variation import BuildDraws
from folder.water.displace import Triple
from folder.water.flooding.load import FloodingLoads

SLACK_RAD = 0.03
"""How exactly the nodes are worked out: a last step of this size leaves about a thousandth of the load."""

_DIRECTIONS = 16
"""The first is half a step off the x axis: most hulls have their kinks at even turns, and there a slope is one-sided."""
_DISTANCES = np.array([1e-4, 0.1, 0.25, 0.45, 0.7, 1.0])
"""Shares of the farthest; the first stands for the middle, where each direction has its own slope."""
_SHIFTS = 2


class FloodTable(Struct, frozen=True, eq=False):
    """Flooding loads over direction and distance from the best place, and rim shift. Arrays are read-only."""

    distances_mm: Floats
    """(r,)"""
    shifts_mm: Floats
    """(s,)"""
    loads_g: Floats
    """(4, d + 1, r, s): loads, and their slopes over direction (a step), distance and shift (a mm).

    The first direction comes again at the end.
    """
    capsizes: Bools
    """(d + 1, r, s)"""

    def read(self, eccentricity_mm: Floats, shift_mm: Floats) -> tuple[Floats, Floats]:
        """Loads `(n,)` g at offsets `(n, 2)` and shifts `(n,)`, and how much of each is capsizing, 0 to 1."""
        turn = np.arctan2(eccentricity_mm[:, 1], eccentricity_mm[:, 0]) / (2.0 * np.pi) * _DIRECTIONS - 0.5
        turn = np.where(turn < 0.0, turn + _DIRECTIONS, turn)
        i = np.minimum(turn.astype(np.int64), _DIRECTIONS - 1)
        j, y, far = _cell(self.distances_mm, np.hypot(eccentricity_mm[:, 0], eccentricity_mm[:, 1]))
        k, z, high = _cell(self.shifts_mm, shift_mm)
        _, r, s = self.capsizes.shape
        first = (i * r + j) * s + k + np.array([[0], [r * s]])  # both directions beside
        load, sideways, over = np.zeros((3, 2, len(turn)))
        jumps = bool(self.capsizes.any())
        for a, (line_y, value_y, slope_y) in enumerate(_hermite(y, far)):
            for b, (line_z, value_z, slope_z) in enumerate(_hermite(z, high)):
                at, line = first + (a * s + b), line_y * line_z
                value, side, outward, upward = (part.ravel()[at] for part in self.loads_g)
                load += value_y * (value_z * value + slope_z * upward) + slope_y * line_z * outward
                sideways += line * side
                if jumps:
                    over += line * self.capsizes.ravel()[at]
        x = turn - i
        return _between(load, sideways, x), over[0] + x * (over[1] - over[0])


class Fan(NamedTuple):
    """The nodes of a flood table."""

    around: Floats
    """(d, 2): unit vectors."""
    distances: Floats
    """(r,) mm"""
    rises: Floats
    """(s,) mm"""
    places: Floats
    """(d r s, 3) mm: where the load's centre is at each node."""
    shifts: Floats
    """(d r s,) mm"""

    @classmethod
    def over(cls, best: Triple, draws: BuildDraws) -> Fan:
        """The nodes that enclose the draws, with the load's centre `best` where it is best."""
        farthest = max(float(np.hypot(draws.eccentricity_mm[:, 0], draws.eccentricity_mm[:, 1]).max()), 1e-3)
        lowest, highest = min(0.0, float(draws.shift_mm.min())) - 1e-6, max(1.0, float(draws.shift_mm.max()))
        distances, rises = farthest * _DISTANCES, np.linspace(lowest, highest, _SHIFTS)
        turns = 2.0 * np.pi * (np.arange(_DIRECTIONS) + 0.5) / _DIRECTIONS
        around = np.stack([np.cos(turns), np.sin(turns)], axis=1)
        places = np.empty((_DIRECTIONS, len(distances), _SHIFTS, 3))
        places[..., :2] = np.array(best[:2]) + (around[:, None] * distances[:, None])[:, :, None]
        places[..., 2] = best[2]
        return cls(around, distances, rises, places.reshape(-1, 3), np.tile(rises, _DIRECTIONS * len(distances)))

    def table(self, found: FloodingLoads) -> FloodTable:
        """The table from the flooding loads of the nodes, which come first in `found`."""
        size, shape = len(self.shifts), (_DIRECTIONS, len(self.distances), _SHIFTS)
        load, over = found.load_g[:size].reshape(shape), found.capsizes[:size].reshape(shape)
        along_x, along_y, _, upward = found.slopes[:size].T.reshape(4, *shape)
        x, y = self.around.T[:, :, None, None]
        step = self.distances[:, None] * (2.0 * np.pi / _DIRECTIONS)
        loads = np.stack([load, (along_y * x - along_x * y) * step, along_x * x + along_y * y, upward])
        jumps = over | (load <= 0.0)
        if jumps.any():  # no slope is known there: that between the neighbours has to do
            ring = np.concatenate([load[-1:], load, load[:1]])
            loads[1, jumps] = ((ring[2:] - ring[:-2]) / 2.0)[jumps]
            loads[2, jumps] = np.gradient(load, self.distances, axis=1)[jumps]
            loads[3, jumps] = np.gradient(load, self.rises, axis=2)[jumps]
        loads, over = np.concatenate([loads, loads[:, :1]], axis=1), np.concatenate([over, over[:1]])
        for array in (self.distances, self.rises, loads, over):
            array.flags.writeable = False
        return FloodTable(self.distances, self.rises, loads, over)


def _cell(nodes: Floats, at: Floats) -> tuple[Ints, Floats, Floats]:
    """The node below each value `(n,)`, how far it is on its way to the next one, 0 to 1, and how far that is; ends hold beyond."""
    low = np.clip(np.searchsorted(nodes, at, side="right") - 1, 0, len(nodes) - 2)
    wide = (nodes[1:] - nodes[:-1])[low]
    return low, np.clip((at - nodes[low]) / wide, 0.0, 1.0), wide


def _hermite(x: Floats, wide: Floats) -> tuple[tuple[Floats, Floats, Floats], tuple[Floats, Floats, Floats]]:
    """How much each of two nodes `(n,)` counts: on a straight line; its value and its slope on a cubic curve."""
    y = 1.0 - x
    bow = x * y * wide
    return (y, y * y * (1.0 + 2.0 * x), y * bow), (x, x * x * (1.0 + 2.0 * y), -x * bow)


def _between(values: Floats, slopes: Floats, x: Floats) -> Floats:
    """What lies between two directions `(2, n)`, a part x `(n,)` of the way.

    Where the load bends down, another corner of the rim takes over: the lower of the two tangents. Where it bends up, the
    curve that both slopes bend. Straight where they do not agree on which it is.
    """
    rise = values[1] - values[0]
    first, last = slopes[0] - rise, slopes[1] - rise
    kink = np.minimum(first * x, last * (x - 1.0))
    curve = (first - last) * x * (1.0 - x) / 2.0
    above = np.where((first > 0.0) & (last < 0.0), kink, np.where((first < 0.0) & (last > 0.0), curve, 0.0))
    return values[0] + x * rise + above
