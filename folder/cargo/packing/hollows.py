"""Balls on balls: where one more comes to rest, on three of the layer below or on two and a wall that leans out."""

from __future__ import annotations

import math

import numpy as np

from folder.cargo.packing.room import Room
from folder.geometry.space import Bools, Floats

CLOSE = 1e-6
"""Balls may enter each other and the walls by this part of a radius: what touches, touches despite rounding."""

NO_WALLS: Floats = np.empty((0, 4))


def hollows(first_mm: Floats, radius: float, room: Room, enough: int) -> list[Floats]:
    """Layers (m, 3) mm of balls, the first one (n, 2) on the floor; the walls hold a ball whose middle is below the rim.

    No further layer is laid once there are `enough`.
    """
    upper = np.column_stack([first_mm, np.full(len(first_mm), radius)])
    layers = [upper]
    walls = room.leaning_walls()
    while len(upper) and sum(map(len, layers)) < enough:
        upper = settled_balls(upper, np.concatenate(layers), radius, room, walls)
        if len(upper):
            layers.append(upper)
    return layers


def settled_balls(below: Floats, all_below: Floats, radius: float, room: Room | None = None, walls: Floats = NO_WALLS) -> Floats:
    """Balls (m, 3) that rest on three of the layer below (n, 3), or on two and a wall, and touch no other.

    With a room they also keep clear of its foil, their middles below the rim. `walls` are planes (w, 4): the unit normal
    to the inside, and how far the plane is along it.
    """
    touching = 2.0 * radius * (1.0 - CLOSE)
    found = over_three(below, 2.0 * radius)
    if room is not None:
        leaning, touched = over_two(below, radius, walls)
        leaning = leaning[room.distance_mm(touched) <= radius * CLOSE]  # a wall ends somewhere
        found = np.concatenate([found, leaning])
        held = (found[:, 2] <= room.rim_mm) & (room.distance_mm(found) >= radius * (1.0 - CLOSE))
        found = found[held]
    found = found[_apart(found, all_below).min(axis=1, initial=np.inf) >= touching]
    clash = _apart(found, found) < touching
    best: list[int] = []
    for x, y in ((1.0, 1e-3), (-1e-3, 1.0), (0.5, 0.866), (-0.5, 0.866)):  # laid from one side, or from another
        order = np.lexsort([np.round(found[:, 0] * x + found[:, 1] * y, 6), np.round(found[:, 2], 6)])
        taken, free = [], np.ones(len(found), dtype=bool)
        for k in order:
            if free[k]:
                taken.append(int(k))
                free &= ~clash[k]
        best = taken if len(taken) > len(best) else best
    chosen: Floats = found[best]
    return chosen


def over_two(points: Floats, radius: float, walls: Floats) -> tuple[Floats, Floats]:
    """All balls (m, 3) above that touch two of the balls (n, 3) and a wall's plane (w, 4), held up by the three; and where
    they touch the plane (m, 3).

    The middles that touch two balls lie on a circle about the middle of the two; the wall's plane, moved in by a radius,
    cuts it in two places.
    """
    one, two = np.nonzero(np.triu(_apart(points, points) < 4.0 * radius, 1))
    pair, wall = np.divmod(np.arange(len(one) * len(walls)), max(1, len(walls)))
    a, b, normal = points[one[pair]], points[two[pair]], walls[wall, :3]
    middle, half = (a + b) / 2.0, (b - a) / 2.0
    wide = np.sqrt(np.maximum(4.0 * radius**2 - (half * half).sum(axis=1), 0.0))
    axis = half / np.linalg.norm(half, axis=1, keepdims=True)
    across = normal - (normal * axis).sum(axis=1, keepdims=True) * axis
    rise = np.linalg.norm(across, axis=1)
    reach = (walls[wall, 3] + radius - (normal * middle).sum(axis=1)) / np.maximum(rise, 1e-12)
    meets = (abs(reach) < wide) & (rise > 1e-9)
    middle, axis, across, a, b, normal = (array[meets] for array in (middle, axis, across, a, b, normal))
    reach, wide, across = reach[meets], wide[meets], across / np.maximum(rise, 1e-12)[meets, None]
    aside = np.cross(axis, across)
    off = np.sqrt(wide**2 - reach**2)
    found, touched = [], []
    for way in (off, -off):
        ball = middle + reach[:, None] * across + way[:, None] * aside
        held = held_up(np.stack([ball - a, ball - b, normal], axis=2))
        found.append(ball[held])
        touched.append(found[-1] - radius * normal[held])
    return np.concatenate(found), np.concatenate(touched)


def over_three(points: Floats, distance: float) -> Floats:
    """All points (m, 3) above and at one distance from three of the points (n, 3), and held up by them."""
    apart = _apart(points, points)
    near = (apart < math.sqrt(3.0) * distance) & (apart > 0.0)  # farther apart, three let the fourth fall through
    one, two = np.nonzero(np.triu(near))
    pair, three = np.nonzero(near[one] & near[two] & (np.arange(len(points)) > two[:, None]))
    one, two = one[pair], two[pair]
    a, b, c = apart[two, three] ** 2, apart[one, three] ** 2, apart[one, two] ** 2
    # The middle of the circle through three corners, by their weights.
    weight = np.stack([a * (b + c - a), b * (c + a - b), c * (a + b - c)], axis=1)
    sixteen_areas = weight.sum(axis=1)
    good = sixteen_areas > 1e-6 * distance**4
    good[good] = (distance**2 - a * b * c / np.where(good, sixteen_areas, 1.0))[good] > 0.0
    corners = points[np.stack([one, two, three], axis=1)[good]]
    weight, radius2 = weight[good] / sixteen_areas[good, None], (a * b * c)[good] / sixteen_areas[good]
    up = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    up *= np.sign(up[:, 2:]) / np.linalg.norm(up, axis=1, keepdims=True)
    above = np.einsum("mk,mkc->mc", weight, corners) + np.sqrt(distance**2 - radius2)[:, None] * up
    held: Floats = above[held_up((above[:, None] - corners).transpose(0, 2, 1))]
    return held


def held_up(pushes: Floats) -> Bools:
    """Whether three pushes (m, 3, 3), one a column, can hold a ball up: some of each adds up to straight up, none pulls."""
    held = abs(np.linalg.det(pushes)) > CLOSE * np.linalg.norm(pushes, axis=1).prod(axis=1)
    up = np.tile([[0.0], [0.0], [1.0]], (int(held.sum()), 1, 1))
    held[held] = np.linalg.solve(pushes[held], up)[:, :, 0].min(axis=1, initial=np.inf) > -CLOSE
    return np.asarray(held)


def _apart(some: Floats, others: Floats) -> Floats:
    """Distances (n, m) between points (n, 3) and (m, 3)."""
    apart: Floats = np.linalg.norm(some[:, None] - others, axis=2)
    return apart
