"""A search for places and rotations of blocks that rows do not find: soft blocks push each other and the walls until at rest.

depth   how far two blocks enter each other: the least of their overlaps along the four directions of their sides. Two
        rectangles are apart when along one of these they are (the separating axis, Gottschalk, Lin & Manocha 1996)

Random starts, and the best places so far with one block more, are relaxed many at once. The random numbers are seeded by
the number of blocks: the same question always has the same answer.
"""

from __future__ import annotations

import numpy as np

from folder.cargo.packing.floor import Places, clearance, inside_floor
from folder.cargo.packing.rows import TOUCH, Rows, side_rotations
from folder.cargo.packing.search import scatter
from folder.geometry.space import Floats

BLOCKS = 20
"""Above so many blocks only rows and pinwheels are laid."""

STARTS, ROUNDS = 24, 140
"""Starts of a round, and for how many steps they are relaxed."""

PRESS = 1.004
"""Blocks are relaxed a little too large, so that those of the right size come to rest clear of each other."""

CORNERS = np.array([-1 - 1j, 1 - 1j, 1 + 1j, -1 + 1j]) / 2.0


def fit_blocks(floor: Places, rows: Rows, size_mm: tuple[float, float], rounds: int) -> Rows | None:
    """Places for one block more than the rows have, or None when `rounds` rounds found none. Size: length and width.

    The floor: corners (m,) complex mm.
    """
    count = len(rows.places) + 1
    random = np.random.default_rng(count)
    unit = size_mm[0]
    walls, side = floor / unit, size_mm[1] / unit
    rotations = np.array(side_rotations(floor))
    for _ in range(rounds):
        z = scatter(random, walls, STARTS * count).reshape(STARTS, count)
        rotation = random.choice(rotations, (STARTS, count)) + random.normal(0.0, 0.1, (STARTS, count))
        rotation[1::3] = random.uniform(0.0, np.pi, rotation[1::3].shape)
        half = STARTS // 2
        shaken = random.normal(0.0, 0.1, (2, half, count - 1))
        z[:half, :-1] = rows.places / unit + shaken[0] + 1j * shaken[1]
        rotation[:half, :-1] = rows.rotations_rad + random.normal(0.0, 0.1, (half, count - 1))
        z, rotation = relax_blocks(z, rotation, walls, PRESS, PRESS * side)
        energy = push_blocks(z, rotation, walls, 1.0, side)[0]
        best = int(energy.argmin())
        if energy[best] <= (TOUCH * side) ** 2:
            return Rows(z[best] * unit, rotation[best], "improved")
    return None


def relax_blocks(z: Places, rotation: Floats, walls: Places, length: float, width: float) -> tuple[Places, Floats]:
    """Places (s, n) and rotations (s, n) at rest. Steps of Barzilai & Borwein, IMA J. Numerical Analysis 8 (1988) 141-148."""
    arm = length / 3.0  # a rotation counts as what it moves, so that both have steps of one size
    step = np.full(len(z), 0.15)
    _, slope, twist = push_blocks(z, rotation, walls, length, width)
    for round_ in range(ROUNDS):
        move, swing = -step[:, None] * slope, -step[:, None] * twist / arm
        longest = np.maximum(abs(move), abs(swing)).max(axis=1)
        short = (0.2 * length / np.maximum(longest, 0.2 * length))[:, None]
        move, swing = move * short, swing * short
        z, rotation = z + move, rotation + swing / arm
        energy, after, twisted = push_blocks(z, rotation, walls, length, width)
        if not energy.min():
            break
        bend, bent = after - slope, (twisted - twist) / arm
        slope, twist = after, twisted
        along = (np.conj(move) * bend).real.sum(axis=1) + (swing * bent).sum(axis=1)
        ahead = (abs(move) ** 2).sum(axis=1) + (swing**2).sum(axis=1)
        across = (abs(bend) ** 2).sum(axis=1) + (bent**2).sum(axis=1)
        steep = along > 1e-300
        long_, short_ = ahead / np.where(steep, along, 1.0), along / np.maximum(across, 1e-300)
        step = np.clip(np.where(steep, long_ if round_ % 2 else short_, 0.15), 0.02, 0.6)
    return z, rotation


def push_blocks(z: Places, rotation: Floats, walls: Places, length: float, width: float) -> tuple[Floats, Places, Floats]:
    """Energy (s,) of soft blocks, the sum of depths squared, and its slopes: by place (s, n) and by rotation (s, n)."""
    depth, push, own, other = _depths(z, rotation, length, width)
    energy = (depth**2).sum(axis=(1, 2))
    force = 2.0 * depth * push
    slope = force.sum(axis=2) - force.sum(axis=1)
    twist = (2.0 * depth * own).sum(axis=2) + (2.0 * depth * other).sum(axis=1)
    ahead = np.exp(1j * rotation)
    arms = ahead[..., None] * (CORNERS.real * length + 1j * CORNERS.imag * width)
    corners = z[..., None] + arms
    distance, away = clearance(corners, walls)
    nearest = distance.argmin(axis=-1)[..., None]
    out = np.where(inside_floor(corners, walls), 0.0, np.take_along_axis(distance, nearest, -1)[..., 0])
    force = 2.0 * out * np.take_along_axis(away, nearest, -1)[..., 0]
    # Corners of the walls that point inward enter a block between its own corners.
    notch = walls[_points_inward(walls)]
    local = (notch - z[..., None]) * np.conj(ahead)[..., None]
    gap = np.stack([length / 2.0 - abs(local.real), width / 2.0 - abs(local.imag)])
    deep = np.maximum(gap.min(axis=0), 0.0)
    sideways = gap[0] < gap[1]
    direction = np.where(sideways, np.sign(local.real), 1j * np.sign(local.imag))
    pressed = 2.0 * deep * direction * ahead[..., None]  # the block gives way to the side the notch is on
    energy += (out**2).sum(axis=(1, 2)) + (deep**2).sum(axis=(1, 2))
    slope = slope + force.sum(axis=2) + pressed.sum(axis=2)
    twist = twist + (np.conj(force) * 1j * arms).real.sum(axis=2)
    twist = twist + (np.conj(pressed) * 1j * (notch - z[..., None])).real.sum(axis=2)
    return energy, slope, twist


def _points_inward(walls: Places) -> np.ndarray:
    """Which corners of the walls (m,) complex mm point into the floor: (m,)."""
    ahead, behind = np.roll(walls, -1) - walls, walls - np.roll(walls, 1)
    return np.asarray((np.conj(behind) * ahead).imag < 0.0)


def _depths(z: Places, rotation: Floats, length: float, width: float) -> tuple[Floats, Places, Floats, Floats]:
    """Depth of each pair (s, n, n), once, where the direction is the first one's own; its slopes by the first one's place
    (the second's is the opposite), by the first one's rotation and by the second's."""
    apart = z[:, None, :] - z[:, :, None]
    lean = rotation[:, None, :] - rotation[:, :, None]
    cos, sin = np.cos(lean), np.sin(lean)
    best = None
    for quarter, own_half in ((1.0 + 0j, length / 2.0), (1j, width / 2.0)):
        axis = (quarter * np.exp(1j * rotation))[:, :, None]
        along = apart * np.conj(axis)
        c, s = (cos, sin) if quarter == 1.0 else (sin, -cos)  # the other's direction seen from this one
        reach = length / 2.0 * abs(c) + width / 2.0 * abs(s)
        grows = -length / 2.0 * np.sign(c) * s + width / 2.0 * np.sign(s) * c
        sign = np.where(along.real < 0.0, -1.0, 1.0)
        depth = own_half + reach - abs(along.real)
        one = (depth, sign * axis, -grows - sign * along.imag, grows)
        best = one if best is None else tuple(np.where(one[0] < best[0], a, b) for a, b in zip(one, best, strict=True))
    assert best is not None
    depth, push, own, other = best
    mirrored = depth.transpose(0, 2, 1)
    upper = np.triu(np.ones(depth.shape[1:], dtype=bool), 1)
    counted = (depth < mirrored) | ((depth == mirrored) & upper)
    counted &= ~np.eye(depth.shape[1], dtype=bool)
    return np.where(counted, np.maximum(np.minimum(depth, mirrored), 0.0), 0.0), push, own, other
