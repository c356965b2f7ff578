"""Discs that push each other apart: from rough places to the largest radius near them.

relax   many starts at once: discs of one radius are soft and push each other and the walls until at rest
polish  one start: the radius grows, step by step, until the discs hold each other

Every bound of a disc is "so far from a point, or from a stretch of wall". Such a distance never falls below its
tangent (it is convex), so what a linear programme of the tangents allows is allowed in truth: each step of
`polish` keeps the discs apart and none is undone.
"""

from __future__ import annotations

import numpy as np

from folder.cargo.packing.floor import Places, as_points, clearance, floor_centroid, inside_floor, margin
from folder.cargo.packing.linear import Sparse, maximise
from folder.geometry.space import Floats

POLISH_ROUNDS = 40
FAITH = 0.1
"""A step that gains less than this part of what is missing will not be followed by enough of the like."""
GAIN = 1e-13
"""A programme that promises less gain than this, for a floor of size 1, has arrived."""


def relax(starts: Places, floor: Places, radius_mm: float, rounds: int) -> tuple[Places, Floats]:
    """Places (s, n) at rest and the energy left in each start (s,), 0 when all discs fit.

    Energy, in diameters: sum over pairs (1 - d^2)^2 / 2 while d < 1, over walls (1 - 2 w)^2 while w < 1/2.
    Steepest descent with the steps of Barzilai & Borwein, IMA J. Numerical Analysis 8 (1988) 141-148.
    """
    unit = 2.0 * radius_mm
    z, walls = starts / unit, floor / unit
    step = np.full(len(z), 0.1)
    energy, slope = _push(z, walls)
    for round_ in range(rounds):
        move = -step[:, None] * slope
        longest = abs(move).max(axis=1)
        move *= (0.25 / np.maximum(longest, 0.25))[:, None]  # at most half a radius a round
        z = z + move
        energy, after = _push(z, walls)
        change, slope = after - slope, after
        along = (np.conj(move) * change).real.sum(axis=1)
        ahead, across = (abs(move) ** 2).sum(axis=1), (abs(change) ** 2).sum(axis=1)
        bent = along > 0.0
        long, short = ahead / np.where(bent, along, 1.0), along / np.maximum(across, 1e-300)
        step = np.where(bent, long if round_ % 2 else short, 0.1)
        step = np.clip(step, 0.01, 1.0)
    return z * unit, energy


def _push(z: Places, walls: Places) -> tuple[Floats, Places]:
    """Energy (s,) of soft discs of diameter 1 and its slope (s, n)."""
    xy = as_points(z)
    square = (xy**2).sum(axis=2)
    near = 1.0 - square[:, :, None] - square[:, None, :] + 2.0 * (xy @ xy.transpose(0, 2, 1))
    np.maximum(near, 0.0, out=near)
    np.einsum("kii->ki", near)[...] = 0.0
    distance, away = clearance(z, walls)
    within = inside_floor(z, walls)
    touch = np.maximum(1.0 - 2.0 * distance, 0.0)
    if not within.all():
        # A disc outside is drawn back to the nearest wall alone.
        nearest = distance == distance.min(axis=2, keepdims=True)
        touch = np.where(within[:, :, None], touch, -(1.0 + 2.0 * distance) * nearest)
    slope = -2.0 * (near.sum(axis=2)[:, :, None] * xy - near @ xy)
    energy = (near**2).sum(axis=(1, 2)) / 4.0 + (touch**2).sum(axis=(1, 2))
    return energy, slope[:, :, 0] + 1j * slope[:, :, 1] - 4.0 * (touch * away).sum(axis=2)


def polish(start: Places, floor: Places, hope_mm: float = 0.0, enough_mm: float = np.inf) -> tuple[Places, float]:
    """Places (n,) and the largest radius mm that pushing from the start reaches.

    It stops early at a radius that is enough, or when the one hoped for is out of reach. The start has its discs inside
    the floor and no two in one place; otherwise it is handed back with radius 0.
    """
    middle, size = floor_centroid(floor), float(abs(floor - floor_centroid(floor)).max())
    z, walls = (start - middle) / size, (floor - middle) / size
    radius = margin(z, walls)
    reach = radius / 4.0  # how far a disc may go in one step, along x and along y
    rounds = POLISH_ROUNDS if radius > GAIN else 0
    for _ in range(rounds):
        move, promised = _step(z, walls, radius, reach)
        if promised < GAIN:
            break
        after = z + move
        gain = margin(after, walls) - radius
        if gain <= 0.0:  # only rounding is left
            break
        z, radius = after, radius + gain
        if radius * size >= enough_mm or gain < FAITH * (hope_mm / size - radius):
            break
        if gain < reach / 100.0:
            reach = max(reach / 4.0, 2.0 * gain)
    return middle + z * size, radius * size


def _step(z: Places, walls: Places, radius: float, reach: float) -> tuple[Places, float]:
    """The moves (n,) within `reach` that let the radius grow most along the tangents, and by how much."""
    n = len(z)
    distance, away = clearance(z, walls)
    disc, side = np.nonzero(distance < radius + 3.0 * reach)
    first, second = np.triu_indices(n, 1)
    apart = z[first] - z[second]
    close = abs(apart) < 2.0 * radius + 6.0 * reach
    first, second, apart = first[close], second[close], apart[close]
    along_wall, along_pair = away[disc, side], apart / abs(apart) / 2.0
    # Variables: x and y of every move, then the gain, in units of `reach`. A row says what is used up of the distance
    # to a wall, or of half that between two discs; the rest of the rows keep the moves within reach.
    one = np.ones(len(disc) + len(first))
    nothing = np.zeros(len(disc))
    moves = np.arange(2 * n)
    filled = [
        (np.concatenate([2 * disc, 2 * first]), -np.concatenate([along_wall.real, along_pair.real])),
        (np.concatenate([2 * disc + 1, 2 * first + 1]), -np.concatenate([along_wall.imag, along_pair.imag])),
        (np.concatenate([0 * disc, 2 * second]), np.concatenate([nothing, along_pair.real])),
        (np.concatenate([0 * disc, 2 * second + 1]), np.concatenate([nothing, along_pair.imag])),
        (np.full(len(one), 2 * n), one),
    ]
    columns = np.zeros((len(one) + 4 * n, 5), dtype=int)
    values = np.zeros(columns.shape)
    for k, (column, value) in enumerate(filled):
        columns[: len(one), k], values[: len(one), k] = column, value
    columns[len(one) :, 0], values[len(one) :, 0] = np.tile(moves, 2), np.repeat([1.0, -1.0], 2 * n)
    limits = np.concatenate([distance[disc, side] - radius, abs(apart) / 2.0 - radius, np.full(4 * n, reach)]) / reach
    gain = np.zeros(2 * n + 1)
    gain[-1] = 1.0
    v = reach * maximise(gain, Sparse(columns, values, 2 * n + 1), limits, -0.1 * gain)
    return v[0:-1:2] + 1j * v[1:-1:2], float(v[-1])
