"""Blocks laid in rows and pinwheels on a floor of any outline.

slab      a strip of the floor as high as one row; blocks lie lengthwise in it, or crosswise
pinwheel  four groups of blocks about a middle, lengthwise and crosswise in turn, each a quarter turn on from the last

At each of a number of rotations the best slabs are chosen by dynamic programming: what can still be laid above a height
does not depend on what lies below it (Bellman 1957). Each slab is filled by itself, so that its blocks are shifted along
it as the walls allow; slabs start on fine grids from either end, and at the walls' corners.
"""

from __future__ import annotations

import math
from itertools import product

import numpy as np
import shapely

from folder.cargo.packing.floor import Places, as_points, floor_centroid, polygon_area
from folder.cargo.packing.outline import widened
from folder.cargo.packing.rows import TOUCH, Rows, fill_gaps, gaps_between, in_rows, side_rotations
from folder.geometry.space import Floats

STARTS = 240
"""A slab may start at this many heights of a floor or some more, counted from either end, besides those that walls give."""

EVEN_ROTATIONS = 30
"""Turns tried besides those of the sides, evenly over a right angle: one long block may lie across."""

WHEELS = 12
"""So many pinwheels, those of the most blocks, are tried at each rotation."""

WHEELED = 120
"""Where rows hold more blocks than this no pinwheel is tried: what one could gain is a few of them, and there are too many kinds."""

BlockLayout = tuple[Places, Floats]
"""Middles (n,) complex mm and rotations (n,) rad."""


def block_rows(floor: Places, length_mm: float, width_mm: float, *, thorough: bool) -> Rows:
    """The rows that hold the most blocks along the floor's sides; thorough, or if none fits: at other rotations too.

    Thorough also tries pinwheels.
    The floor: corners (m,) complex mm.
    """
    most = math.floor(polygon_area(floor) / (length_mm * width_mm) + TOUCH)
    best = Rows(np.empty(0, dtype=np.complex128), np.empty(0), "rows")
    sides = side_rotations(floor)
    even = [
        rotation
        for rotation in (np.arange(2 * EVEN_ROTATIONS) * (math.pi / 2.0 / EVEN_ROTATIONS)).tolist()
        if not _near(rotation, sides)
    ]
    for k, rotation in enumerate(sides + even):
        if len(best.places) >= most or (k >= len(sides) and len(best.places) and not thorough):
            break
        walls = floor * np.exp(-1j * rotation)
        found = _slabs(walls, length_mm, width_mm, len(best.places))
        kind = "rows"
        beat = len(best.places if found is None else found[0])
        if thorough and beat <= WHEELED:
            wheel = _pinwheel(walls, length_mm, width_mm, beat)
            found, kind = (found, kind) if wheel is None else (wheel, "pinwheel")
        if found is not None:
            best = Rows(found[0] * np.exp(1j * rotation), rotation + found[1], kind)
    return best


def _near(rotation: float, others: list[float]) -> bool:
    return any(abs(math.remainder(rotation - other, math.pi)) < 1e-6 for other in others)


def _slabs(walls: Places, length: float, width: float, beat: int) -> BlockLayout | None:
    """The slabs on a rotated floor that together hold the most blocks; None unless more than `beat`.

    Walls (m,) complex mm; places and rotations (n,).
    """
    low, high = walls.imag.min(), walls.imag.max()
    if high - low < width * (1.0 - TOUCH):
        return None
    starts = _starts(walls, length, width)
    thick = np.repeat([width, length], len(starts))
    pitch = np.repeat([length, width], len(starts))
    bottom = np.tile(starts, 2)
    held = bottom + thick <= high + TOUCH * length
    gap_low, gap_high = _slab_gaps(walls, bottom, thick)
    first, count = fill_gaps(gap_low / pitch[:, None], gap_high / pitch[:, None] - 1.0, 1.0)
    totals = np.where(held, count.sum(axis=1), 0).reshape(2, -1)
    after = np.searchsorted(starts, np.stack([starts + width, starts + length]) - TOUCH * length)
    rows = _best_slabs(totals.tolist(), after.tolist())
    chosen = np.array([way * len(starts) + k for way, k in rows], dtype=int)
    if totals.ravel()[chosen].sum() <= beat:
        return None
    number = count[chosen].sum(axis=1)
    middles = in_rows(first[chosen] + 0.5, count[chosen], 1.0, (bottom + thick / 2.0)[chosen])
    crosswise = np.repeat(chosen >= len(starts), number)
    places: Places = middles.real * np.repeat(pitch[chosen], number) + 1j * middles.imag
    return places, np.where(crosswise, math.pi / 2.0, 0.0)


def _starts(walls: Places, length: float, width: float) -> Floats:
    """Heights at which a slab may start. Walls (m,) complex mm; heights (h,) mm."""
    low, high = float(walls.imag.min()), float(walls.imag.max())
    tall = high - low
    # Steps of which a row's height is a whole number, so that row upon row starts on one of them.
    grids = [low + high_ / steps * np.arange(int(tall / high_ * steps) + 1) for high_, steps in _steps(tall, width, length)]
    corners = walls.imag
    every = np.concatenate([*grids, *(low + high - grid for grid in grids), corners, corners - length, corners - width])
    starts: Floats = np.unique(every[(every >= low) & (every <= high - width * (1.0 - TOUCH))])
    return starts


def _steps(tall: float, *heights: float) -> list[tuple[float, int]]:
    """Each height, and into how many steps it is divided: STARTS of them, or some more, make up the floor."""
    return [(height, math.ceil(height * STARTS / tall)) for height in heights]


def _best_slabs(totals: list[list[int]], after: list[list[int]]) -> list[tuple[int, int]]:
    """Which slabs (way, start) hold the most together; of each start (2 ways) how many it holds, and the next start."""
    number = len(totals[0])
    best, step = [0] * (number + 1), [-1] * number
    for k in range(number - 1, -1, -1):
        best[k] = best[k + 1]
        for way in (0, 1):
            held = totals[way][k] + best[after[way][k]]
            if totals[way][k] and held > best[k]:
                best[k], step[k] = held, way
    rows, k = [], 0
    while k < number:
        if step[k] < 0:
            k += 1
        else:
            rows.append((step[k], k))
            k = after[step[k]][k]
    return rows


def _pinwheel(walls: Places, length: float, width: float, beat: int) -> BlockLayout | None:
    """The pinwheel about the floor's middle that holds the most blocks inside the walls; None unless more than `beat`.

    Walls (m,) complex mm; places and rotations (n,).
    """
    wide, tall = float(np.ptp(walls.real)), float(np.ptp(walls.imag))
    wheels: list[tuple[int, tuple[int, int, int, int]]] = []
    for along, rows in product(range(1, int(wide / length) + 1), range(1, int(tall / width) + 1)):
        for across, columns in product(
            range(1, int((wide - along * length) / width + 1e-9) + 1),
            range(1, int((tall - rows * width) / length + 1e-9) + 1),
        ):
            a, b, c, d = along * length, rows * width, across * width, columns * length
            number = 2 * (along * rows + across * columns)
            if number > beat and (c >= a or d >= b) and (a >= c or b >= d):
                wheels.append((number, (along, rows, across, columns)))
    wheels.sort(key=lambda wheel: -wheel[0])
    region = widened(shapely.Polygon(as_points(walls)), 10.0 * TOUCH * length)
    best, found = beat, None
    for number, wheel in wheels[:WHEELS]:
        if number <= best:
            break
        places, rotations = _wheel(*wheel, length, width)
        places = places + floor_centroid(walls)
        half = np.where(rotations > 0.0, width, length) / 2.0, np.where(rotations > 0.0, length, width) / 2.0
        boxes = shapely.box(places.real - half[0], places.imag - half[1], places.real + half[0], places.imag + half[1])
        inside = shapely.covers(region, boxes)
        if inside.sum() > best:
            best, found = int(inside.sum()), (places[inside], rotations[inside])
    return found


def _wheel(along: int, rows: int, across: int, columns: int, length: float, width: float) -> BlockLayout:
    """A pinwheel about 0: two groups of along x rows lengthwise, two of across x columns crosswise."""
    a, b, c, d = along * length, rows * width, across * width, columns * length
    flat = _grid(along, rows, length, width)
    upright = _grid(across, columns, width, length)
    middle = complex(a + c, b + d) / 2.0
    groups = [flat, upright + a, flat + complex(c, d), upright + 1j * b]
    rotated = np.repeat([0.0, math.pi / 2.0, 0.0, math.pi / 2.0], [len(group) for group in groups])
    return np.concatenate(groups) - middle, rotated


def _grid(columns: int, rows: int, wide: float, tall: float) -> Places:
    """Middles (columns * rows,) of cells, complex mm, from the lower left corner at 0."""
    x, y = np.meshgrid((np.arange(columns) + 0.5) * wide, (np.arange(rows) + 0.5) * tall)
    cells: Places = (x + 1j * y).ravel()
    return cells


def _slab_gaps(walls: Places, bottom: Floats, thick: Floats) -> tuple[Floats, Floats]:
    """Where a row of blocks from `bottom` (k,) up by `thick` (k,) is free of walls: gaps (k, m - 1)."""
    low_y, high_y = bottom + TOUCH * thick, bottom + thick * (1.0 - TOUCH)
    start, end = walls, np.roll(walls, -1)
    rise = np.where(start.imag == end.imag, 1.0, end.imag - start.imag)
    cut = [np.clip((y[:, None] - start.imag) / rise, 0.0, 1.0) for y in (low_y, high_y)]
    x = [start.real + part * (end.real - start.real) for part in cut]
    flat = start.imag == end.imag
    x = [np.where(flat, start.real, x[0]), np.where(flat, end.real, x[1])]
    enters = (np.maximum(start.imag, end.imag) > low_y[:, None]) & (np.minimum(start.imag, end.imag) < high_y[:, None])
    low = np.where(enters, np.minimum(*x), np.inf)
    high = np.where(enters, np.maximum(*x), -np.inf)
    return gaps_between(walls, low, high, bottom + thick / 2.0)
