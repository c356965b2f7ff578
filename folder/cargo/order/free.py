"""A few heavy objects placed freely, near the place where a load keeps the hull level, not where the packing has them.

layout    places for all of them that do not overlap: a ring, a row, rows of blocks
shifted   a layout whose objects are moved about at random, pushed apart where they overlap, and kept where the hull rides
          higher at its worst moment; closer to the middle each time. The first may lie near the middle, others beside it
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from msgspec.structs import replace

from folder.cargo.item import Item
from folder.cargo.order.arrange import Lie
from folder.cargo.packing.packing import Packing
from folder.cargo.packing.room import Room
from folder.geometry.space import Bools, Floats

FREE = 5
"""Up to so many are placed freely."""

TURNS = 6
"""A ring or a row of round objects is tried at so many turns."""

STRIDES_MM = np.geomspace(12.0, 0.3, 22)
"""How far objects are moved about (standard deviation), round by round."""

KEPT, TRIED = 4, 10
"""The best layouts of each round, and how many are tried from each of them."""

PUSHES = 12
"""Rounds of pushing apart what overlaps."""

FALLEN_MM = -30.0
"""Stands for the freeboard of a hull that does not stand; less, the farther off its load is."""

SEED = 8
"""Every run tries the same."""

HAIR = 1.0 + 1e-6
"""What touches lies apart by this, so that rounding does not make it overlap."""


def free_layouts(room: Room, item: Item, first: Packing, count: int, at_mm: tuple[float, float]) -> Floats:
    """Layouts (m, count, 2) mm of up to `FREE` of what is packed in a first layer, balanced about a place, on the floor."""
    if not 1 <= count <= FREE or not first.count:
        return np.empty((0, count, 2))
    of_size = _of_discs(count, first.size_mm[0]) if len(first.size_mm) == 1 else _of_blocks(count, *first.size_mm)
    layouts = np.array([layout - layout.mean(axis=0) + np.array(at_mm) for layout in of_size])
    return np.asarray(layouts[_fit(layouts, room, item, first)])


def shifted(
    starts_mm: Floats, room: Room, item: Item, first: Packing, mass_each_g: float, lie: Lie, at_mm: tuple[float, float]
) -> Floats:
    """Layouts (m, n, 2) mm, each in loading order, moved about: the one that rides highest at its worst moment (n, 2)."""
    random, z = np.random.default_rng(SEED), item.extents_mm[2] / 2.0
    masses = mass_each_g * np.arange(1.0, starts_mm.shape[1] + 1.0)

    def rides(layouts: Floats) -> Floats:
        """The least freeboard under way (m,) mm."""
        centre = np.cumsum(layouts, axis=1) / np.arange(1.0, layouts.shape[1] + 1.0)[:, None]
        flat = np.column_stack([centre.reshape(-1, 2), np.full(centre.size // 2, z)])
        poses = lie(np.tile(masses, len(layouts)), flat)
        off = np.hypot(*(flat[:, :2] - at_mm).T)
        least = np.where(poses.stands, poses.least_mm, FALLEN_MM - off)
        return np.asarray(least.reshape(-1, layouts.shape[1]).min(axis=1))

    best, high = starts_mm, rides(starts_mm)
    for stride in STRIDES_MM.tolist():
        parents = best[np.argsort(-high)[:KEPT]]
        moved = np.repeat(parents, TRIED, axis=0)
        moved = _apart(moved + random.normal(0.0, stride, moved.shape), first)
        moved = moved[_fit(moved, room, item, first)]
        best, high = np.concatenate([best, moved]), np.concatenate([high, rides(moved)])
        kept = np.argsort(-high)[:KEPT]
        best, high = best[kept], high[kept]
    return np.asarray(best[0])


def _fit(layouts: Floats, room: Room, item: Item, first: Packing) -> Bools:
    """Which layouts (m, n, 2) lie wholly on the floor, with nothing overlapping."""
    m, n, _ = layouts.shape
    tall = item.extents_mm[2]
    outlines = room.clear_for_balls(tall / 2.0) if item.form.outline == "ball" else room.clear(0.0, tall)
    spots = replace(first, places_mm=layouts.reshape(-1, 2), rotations_rad=np.zeros(m * n))
    clear = _nearness(layouts, first)[1] >= 1.0
    clear[:, np.arange(n), np.arange(n)] = True
    return np.asarray(spots.lies_in(outlines).reshape(m, n).all(axis=1) & clear.all(axis=(1, 2)))


def _nearness(layouts: Floats, first: Packing) -> tuple[Floats, Floats]:
    """From each object to each other: the way (m, n, n, 2), and its length over that at which they touch (m, n, n)."""
    way = layouts[:, :, None] - layouts[:, None]
    if len(first.size_mm) == 1:
        return way, np.asarray(np.hypot(way[..., 0], way[..., 1]) / (2.0 * first.size_mm[0]))
    return way, np.asarray((abs(way) / np.array(first.size_mm)).max(axis=-1))


def _apart(layouts: Floats, first: Packing) -> Floats:
    """Layouts (m, n, 2) with objects that overlap pushed apart until they hardly do."""
    for _ in range(PUSHES):
        way, near = _nearness(layouts, first)
        near[:, np.arange(layouts.shape[1]), np.arange(layouts.shape[1])] = 1.0
        if (near >= 1.0).all():
            break
        if len(first.size_mm) == 2:  # blocks give way along the side on which they overlap least
            size = np.array(first.size_mm)
            least = (size - abs(way)).argmin(axis=-1)[..., None] == np.arange(2)
            push = np.where(least, np.copysign(size * HAIR - abs(way), way), 0.0)
        else:
            push = way / np.maximum(near, 1e-9)[..., None] * (HAIR - near)[..., None]
        layouts = layouts + (0.5 * push * (near < 1.0)[..., None]).sum(axis=2)
    return layouts


def _of_discs(count: int, radius: float) -> Iterator[Floats]:
    """A ring, a ring about one in the middle, and a row: (count, 2) mm."""
    for turn in np.exp(1j * math.pi * np.arange(TURNS) / TURNS):
        row = 2.0 * radius * np.arange(count)
        ring = radius / math.sin(math.pi / max(2, count)) * np.exp(2j * math.pi * np.arange(count) / count)
        about = 2.0 * radius * np.exp(2j * math.pi * np.arange(count - 1) / max(1, count - 1))
        for shape in (row.astype(complex), ring, np.append(about, 0j)):
            places = HAIR * shape * turn
            yield np.column_stack([places.real, places.imag])
        if count == 1:
            return


def _of_blocks(count: int, length: float, width: float) -> Iterator[Floats]:
    """Rows of so many side by side, the last one as many as are left, in its middle: (count, 2) mm. Unturned."""
    for across in range(1, count + 1):
        row, place = np.divmod(np.arange(count), across)
        in_row = np.bincount(row)[row]
        yield HAIR * np.column_stack([length * (place - (in_row - 1) / 2.0), width * row])
