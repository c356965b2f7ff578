"""Where an object comes to lie that is let go over a place in the hull, on the floor or on others.

carrier    an object under it that reaches as high as the lowest it can get there
stable     it lies on the floor, or its centre is over a carrier, or between carriers
reach      half the way across an object

What would topple or lies in a wall is pushed to the nearest place where it lies still; a ball rolls down to where nothing lower is
near. Places are mm in the hull's frame.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from folder.cargo.item import Item
from folder.cargo.packing.room import Room
from folder.cargo.packing.stack import SLENDER
from folder.cargo.spot import Spot
from folder.geometry.plane import convex_hull, inside
from folder.geometry.space import Bools, Floats

TOUCH_MM = 0.05
"""What overlaps by less lies side by side."""
LEVEL_MM = 0.3
"""Tops that differ by less carry together: foil and coins give that much."""
ROUND = 24
"""Corners of the outline of what is round."""
RINGS, SIDES = 36, 16
"""How finely the neighbourhood is searched for a place where it lies still."""
LEAST_STEP_MM = 0.02
PAIRS = 4000
"""So many pairs of outlines are held against each other at a time."""


def settled(room: Room, item: Item, lying: Sequence[Spot], x_mm: float, y_mm: float, rotation_rad: float = 0.0) -> Spot | None:
    """The spot at which an object let go there comes to lie; None where there is no room for it anywhere near."""
    if item.form.outline == "ball":
        return _rolled(room, item.size_mm[0] / 2.0, lying, x_mm, y_mm)
    reach, tops = max(item.footprint_mm), _tops(lying)
    for ring in range(RINGS + 1):
        far = ring * max(0.5, reach / 12.0)
        for side in range(SIDES if ring else 1):
            turn = 2.0 * math.pi * side / SIDES
            spot = _laid(room, item, tops, x_mm + far * math.cos(turn), y_mm + far * math.sin(turn), rotation_rad)
            if spot is not None:
                return spot
    return None


def _tops(lying: Sequence[Spot]) -> list[Spot]:
    """The uppermost of each column: what lies below them carries nothing else."""
    found: dict[tuple[float, float], Spot] = {}
    for spot in lying:
        at = (round(spot.x_mm, 2), round(spot.y_mm, 2))
        if at not in found or found[at].z_mm < spot.z_mm:
            found[at] = spot
    return list(found.values())


def free_of(item: Item, wanted: Sequence[Spot], lying: Sequence[Spot]) -> Bools:
    """Which of the spots that are wanted (n,) are free of all that lies there."""
    free = np.ones(len(wanted), dtype=bool)
    if not wanted or not lying:
        return free
    (one, half), (other, others_half) = ((_centres(spots), np.array([s.half_mm for s in spots])) for spots in (wanted, lying))
    away = np.abs(one[:, None] - other[None])
    beside = np.hypot(away[..., 0], away[..., 1])
    if item.form.outline == "ball":
        return np.asarray((np.hypot(beside, away[..., 2]) >= item.size_mm[0] - 2.0 * TOUCH_MM).all(axis=1))
    near = (away[..., 2] <= half[:, None] + others_half - TOUCH_MM) & (beside <= _across_mm(item))
    if item.nests and item.nest_step_mm is not None:
        inside_it = beside < TOUCH_MM
        free &= ~(near & inside_it & (away[..., 2] < item.nest_step_mm - TOUCH_MM)).any(axis=1)
        near &= ~inside_it
    rows, columns = np.nonzero(near & free[:, None])
    mine, theirs = (np.array([outline_at(item, spot) for spot in spots]) for spots in (wanted, lying))
    for start in range(0, len(rows), PAIRS):
        row, column = rows[start : start + PAIRS], columns[start : start + PAIRS]
        free[row[_overlaps(mine[row], theirs[column])]] = False
    return free


def _centres(spots: Sequence[Spot]) -> Floats:
    return np.array([spot.centre for spot in spots])


def outline_at(item: Item, spot: Spot) -> Floats:
    """What an object covers, seen from above: corners (n, 2) mm, counter-clockwise."""
    return _shape(item.footprint_mm, spot.rotation_rad) + np.array([spot.x_mm, spot.y_mm])


def _across_mm(item: Item) -> float:
    """The farthest across its outline: two whose middles are farther apart do not meet."""
    return 2.0 * item.footprint_mm[0] if len(item.footprint_mm) == 1 else math.hypot(*item.footprint_mm)


@lru_cache(maxsize=256)
def _shape(size_mm: tuple[float, ...], rotation_rad: float) -> Floats:
    if len(size_mm) == 1:
        turns = 2.0 * np.pi * np.arange(ROUND) / ROUND
        return size_mm[0] * np.column_stack([np.cos(turns), np.sin(turns)])
    c, s = math.cos(rotation_rad), math.sin(rotation_rad)
    half = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * np.array(size_mm) / 2.0
    return np.asarray(half @ np.array([[c, s], [-s, c]]))


def _laid(room: Room, item: Item, lying: Sequence[Spot], x: float, y: float, rotation_rad: float) -> Spot | None:
    """It there, flat on what carries it; None where it would not lie still or is in a wall."""
    height = item.extents_mm[2]
    near = [spot for spot in lying if math.hypot(spot.x_mm - x, spot.y_mm - y) < _across_mm(item)]
    mine = _shape(item.footprint_mm, rotation_rad) + np.array([x, y])
    under = [spot for spot in near if _overlap(mine, outline_at(item, spot))]
    low, layer = 0.0, 0
    if under:
        nested = item.nest_step_mm is not None
        tops = [spot.z_mm + spot.half_mm for spot in under]
        low = max(tops)
        carriers = [spot for spot, top in zip(under, tops, strict=True) if top > low - LEVEL_MM]
        layer = 1 + max(spot.layer for spot in carriers)
        if nested and math.hypot(carriers[0].x_mm - x, carriers[0].y_mm - y) < item.footprint_mm[0] / 3.0:
            x, y, low = carriers[0].x_mm, carriers[0].y_mm, low - height + (item.nest_step_mm or 0.0)
            mine = _shape(item.footprint_mm, rotation_rad) + np.array([x, y])
        elif not _balanced(np.array([x, y]), [outline_at(item, spot) for spot in carriers]):
            return None
    if layer and low + height > SLENDER["column"] * min(item.extents_mm[:2]):
        return None
    if not any(bool(inside(_drawn_in(mine), outline).all()) for outline in room.clear(low, low + height)):
        return None
    return Spot(x, y, low + height / 2.0, height / 2.0, rotation_rad, layer)


def _drawn_in(corners: Floats) -> Floats:
    """An outline a touch smaller: what touches a wall lies inside."""
    middle = corners.mean(axis=0)
    away = corners - middle
    size = np.linalg.norm(away, axis=1)
    return middle + away * (1.0 - 2.0 * TOUCH_MM / size)[:, None]


def _balanced(centre: Floats, carriers: list[Floats]) -> bool:
    """Whether a centre (2,) is over a carrier's outline, or between the places where carriers come nearest to it."""
    nearest = []
    for corners in carriers:
        if inside(centre[None], corners)[0]:
            return True
        ahead = np.roll(corners, -1, axis=0) - corners
        along = ((centre - corners) * ahead).sum(axis=1) / (ahead * ahead).sum(axis=1)
        places = corners + np.clip(along, 0.0, 1.0)[:, None] * ahead - centre
        nearest.append(places[np.linalg.norm(places, axis=1).argmin()])
    turns = np.sort([math.atan2(y, x) for x, y in nearest])
    gaps = np.diff(np.concatenate([turns, turns[:1] + 2.0 * np.pi]))
    return bool(gaps.max() < np.pi + 0.1)


def _overlap(one: Floats, other: Floats) -> bool:
    """Whether two convex outlines, counter-clockwise, share more than a touch."""
    return bool(_overlaps(one[None], other[None])[0])


def _overlaps(ones: Floats, others: Floats) -> Bools:
    """The same of pairs (p, c, 2): no side of either parts them (Gottschalk 1996)."""
    both = np.ones(len(ones), dtype=bool)
    for a, b in ((ones, others), (others, ones)):
        ahead = np.roll(a, -1, axis=1) - a
        out = np.stack([ahead[..., 1], -ahead[..., 0]], axis=-1) / np.linalg.norm(ahead, axis=-1, keepdims=True)
        parted = (out @ b.swapaxes(1, 2)).min(axis=2) - (a * out).sum(axis=2)
        both &= parted.max(axis=1) <= -2.0 * TOUCH_MM
    return both


def _rolled(room: Room, radius: float, lying: Sequence[Spot], x: float, y: float) -> Spot | None:
    """A ball let go there: it rolls downhill by ever shorter steps, over balls and between the walls."""
    others = np.array([spot.centre for spot in lying]).reshape(-1, 3)
    turns = 2.0 * np.pi * np.arange(16) / 16
    ways = np.column_stack([np.cos(turns), np.sin(turns)])
    middle = convex_hull(room.floor_mm).mean(axis=0)
    at = np.array([x, y])
    for share in np.linspace(0.0, 1.0, 41):  # out of a wall, toward the middle
        tried = at + share * (middle - at)
        height = _ball_heights(tried[None], radius, others)
        if _free(room, tried[None], height, radius)[0]:
            at = tried
            break
    else:
        return None
    low, step = float(height[0]), radius / 8.0
    while step > LEAST_STEP_MM:
        tried = at + step * ways
        heights = _ball_heights(tried, radius, others)
        heights[~_free(room, tried, heights, radius)] = np.inf
        best = int(heights.argmin())
        if heights[best] < low - 1e-3 * step:
            at, low = tried[best], float(heights[best])
        else:
            step /= 2.0
    under = [
        spot for spot in lying if math.dist((*at, low), spot.centre) < 2.0 * radius + LEVEL_MM and spot.z_mm < low - TOUCH_MM
    ]
    return Spot(float(at[0]), float(at[1]), low, radius, 0.0, 1 + max((spot.layer for spot in under), default=-1))


def _ball_heights(at: Floats, radius: float, others: Floats) -> Floats:
    """How high the middle of a ball is that lies at places (n, 2), on the floor or on balls (m, 3): (n,) mm."""
    beside = ((at[:, None] - others[None, :, :2]) ** 2).sum(axis=2)
    rise = np.sqrt(np.maximum(4.0 * radius**2 - beside, 0.0))
    over = np.where(beside < 4.0 * radius**2, others[None, :, 2] + rise, radius)
    found: Floats = np.maximum(over.max(axis=1, initial=radius), radius)
    return found


def _free(room: Room, at: Floats, heights: Floats, radius: float) -> Bools:
    """Which of the balls (n,) are inside, clear of the walls; above the rim nothing holds them."""
    middles = np.column_stack([at, np.minimum(heights, max(room.rim_mm, radius))])
    outlines = room.clear(0.0, 0.0) if room.rim_mm <= radius else room.clear(min(radius, room.rim_mm * 0.999), radius)
    within = np.zeros(len(at), dtype=bool)
    for outline in outlines:
        within |= inside(at, outline)
    clear = room.distance_mm(middles) >= radius - 4.0 * TOUCH_MM
    return np.asarray(within & clear & (heights <= max(room.rim_mm, radius)))
