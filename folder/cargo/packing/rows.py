"""Rows: equal objects laid in straight rows on a floor, the best over rotations and shifts.

square rows     each row straight behind the last
staggered rows  each row in the hollows of the last: half a pitch aside
stretched rows  staggered rows drawn out lengthwise, which lets them move closer together
gap             a stretch of a row line on which the middle of a disc may lie

What the walls forbid on a row line is worked out exactly; only the rotations and the shifts across the rows are sampled.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Literal

import numpy as np
from msgspec import Struct

from folder.cargo.packing.floor import Places, inside_floor
from folder.geometry.space import Floats, Ints

RowKind = Literal["square rows", "staggered rows", "stretched rows"]
ROW_KINDS: tuple[RowKind, ...] = ("square rows", "staggered rows", "stretched rows")

TOUCH = 1e-9
"""Objects and walls may enter each other by this part of a radius: what fits exactly, fits despite rounding."""

SIDES = 5
"""Rows run along this many of the floor's longest sides of different direction, and square to them."""

SHIFTS = 8
"""Rows start at this many places across their pitch, and flush with the far end."""

PHASES = 24
"""Staggered rows are slid to touch the wall in this many of their gaps, at most."""


class Rows(Struct, frozen=True, eq=False):
    """A layout: middles (n,) complex mm, the rotation of each (n,) rad, and the kind of rows."""

    places: Places
    rotations_rad: Floats
    kind: str


def disc_rows(floor: Places, radius_mm: float, kinds: tuple[RowKind, ...] = ROW_KINDS) -> Rows:
    """The rows that hold the most discs; among equals the first kind wins. Floor (m,) complex mm."""
    best = Rows(np.empty(0, dtype=np.complex128), np.empty(0), kinds[0])
    for kind in kinds:
        for rotation in side_rotations(floor):
            walls = floor * np.exp(-1j * rotation)
            if min(np.ptp(walls.real), np.ptp(walls.imag)) < 2.0 * radius_mm * (1.0 - TOUCH):
                continue
            for pitch, height in _spacings(walls, radius_mm, kind):
                lay = _square if kind == "square rows" else _staggered
                found = lay(walls, radius_mm, pitch, height, len(best.places))
                if found is not None:
                    best = Rows(found * np.exp(1j * rotation), np.zeros(len(found)), kind)
    return best


def side_rotations(floor: Places) -> list[float]:
    """Directions of rows, rad: along the longest sides, and square to them. Floor (m,) complex mm."""
    side = np.roll(floor, -1) - floor
    rotations: list[float] = []
    for angle in np.angle(side[np.argsort(-abs(side).round(6), kind="stable")]) % (math.pi / 2.0):
        if not any(abs(math.remainder(angle - other, math.pi / 2.0)) < 1e-6 for other in rotations):
            rotations.append(float(angle))
    return [rotation + quarter for quarter in (0.0, math.pi / 2.0) for rotation in rotations[:SIDES]]


def _spacings(walls: Places, radius: float, kind: RowKind) -> Iterator[tuple[float, float]]:
    """Pitch along the rows and height from row to row, mm. Walls (m,) complex mm."""
    if kind == "square rows":
        yield 2.0 * radius, 2.0 * radius
    elif kind == "staggered rows":
        yield 2.0 * radius, math.sqrt(3.0) * radius
    else:
        span = float(np.ptp(walls.real)) - 2.0 * radius
        steps = math.floor(span / (2.0 * radius) + TOUCH)
        # Full rows of steps + 1 and of steps in turn; rows of steps in both; or the least stretch that adds a row.
        pitches = [span / steps, span / (steps - 0.5)] if steps > 0 else []
        rise = max(0.0, float(np.ptp(walls.imag)) - 2.0 * radius)
        height = rise / (math.floor(rise / (math.sqrt(3.0) * radius)) + 1.0)
        pitches.append(2.0 * math.sqrt(max(0.0, 4.0 * radius**2 - height**2)))
        for pitch in pitches:
            if 2.0 * radius < pitch <= 2.0 * math.sqrt(3.0) * radius:  # beyond, every other row would meet
                yield pitch, math.sqrt(4.0 * radius**2 - pitch**2 / 4.0)


def _lines(walls: Places, radius: float, height: float) -> Floats:
    """Row lines (shifts, rows): y mm, from the lowest disc up."""
    low, high = walls.imag.min() + radius, walls.imag.max() - radius
    rows = math.floor(max(0.0, high - low) / height + TOUCH) + 1
    flush = high - height * (rows - 1)
    starts = np.append(low + height * np.arange(SHIFTS) / SHIFTS, flush)
    return starts[:, None] + height * np.arange(rows)


def _square(walls: Places, radius: float, pitch: float, height: float, beat: int) -> Places | None:
    """Square rows on a rotated floor, each filled by itself; None unless there are more than `beat`.

    Walls (m,) and middles (n,) complex mm.
    """
    lines = _lines(walls, radius, height)
    low, high = _disc_gaps(walls, lines.ravel(), radius)
    first, count = fill_gaps(low, high, pitch)
    totals = count.reshape(*lines.shape, -1).sum(axis=(1, 2))
    best = int(totals.argmax())
    if totals[best] <= beat:
        return None
    rows = slice(best * lines.shape[1], (best + 1) * lines.shape[1])
    return in_rows(first[rows], count[rows], pitch, lines[best])


def _staggered(walls: Places, radius: float, pitch: float, height: float, beat: int) -> Places | None:
    """Staggered rows on a rotated floor, slid together until one touches a wall; None unless more than `beat`.

    Walls (m,) and middles (n,) complex mm.
    """
    lines = _lines(walls, radius, height)
    low, high = _disc_gaps(walls, lines.ravel(), radius)
    aside = np.tile(np.arange(lines.shape[1]) % 2 * pitch / 2.0, len(lines))[:, None]
    low, high = ((edge - aside).reshape(len(lines), -1) for edge in (low, high))
    best, found = beat, None
    for shift, (starts, ends) in enumerate(zip(low, high, strict=True)):
        open_ = starts <= ends
        starts, ends = starts[open_], ends[open_]
        phases = starts[:: max(1, len(starts) // PHASES)]
        begin = np.ceil((starts - phases[:, None]) / pitch - TOUCH)
        count = np.maximum(np.floor((ends - phases[:, None]) / pitch + TOUCH) - begin + 1.0, 0.0)
        totals = count.sum(axis=1)
        if totals.size and totals.max() > best:
            k = int(totals.argmax())
            best, row = int(totals[k]), np.nonzero(open_)[0] // (low.shape[1] // lines.shape[1])
            first = phases[k] + pitch * begin[k] + row % 2 * pitch / 2.0
            found = in_rows(first[:, None], count[k].astype(int)[:, None], pitch, lines[shift][row])
    return found


def in_rows(first: Floats, count: Ints, pitch: float, heights: Floats) -> Places:
    """Middles of `count` discs (rows, gaps) from `first` on, row by row."""
    number = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count.ravel(), count.ravel())
    x = np.repeat(first.ravel(), count.ravel()) + pitch * number
    return x + 1j * np.repeat(heights, count.sum(axis=1))


def fill_gaps(low: Floats, high: Floats, pitch: float) -> tuple[Floats, Ints]:
    """First middle and count in each gap (rows, gaps), from the left; a row with one open gap is filled to its middle."""
    first, count = np.zeros_like(low), np.zeros(low.shape, dtype=int)
    after = np.full(len(low), -np.inf)  # discs in neighbouring gaps keep their distance too
    for gap in range(low.shape[1]):
        start = np.maximum(low[:, gap], after)
        room = np.where(start <= high[:, gap] + TOUCH * pitch, high[:, gap] - start, -pitch)
        count[:, gap] = np.floor(room / pitch + TOUCH) + 1
        first[:, gap] = np.where(count[:, gap] > 0, start, 0.0)
        after = np.where(count[:, gap] > 0, start + pitch * count[:, gap], after)
    alone = (count > 0).sum(axis=1, keepdims=True) == 1
    spare = np.where(alone & (count > 0), high - first - pitch * (count - 1), 0.0)
    return first + spare / 2.0, count


def _disc_gaps(walls: Places, heights: Floats, radius: float) -> tuple[Floats, Floats]:
    """Where the middle of a disc may lie on each line y = height (k,): gaps from low to high (k, m - 1), empty if low > high."""
    reach = radius * (1.0 - TOUCH)
    side = np.roll(walls, -1) - walls
    length = np.abs(side)
    along = side / length
    start_x, start_y = walls.real, heights[:, None] - walls.imag
    # A side forbids what is nearer than `reach`: a disc about each end, and a band between, which the line enters
    # where its way along the side is 0 to length, and its way to the left of it within reach.
    at_start = np.sqrt(np.maximum(reach**2 - start_y**2, -1.0), where=abs(start_y) < reach, out=np.full(start_y.shape, -np.inf))
    enter, leave = _slab(along.real, start_y * along.imag, 0.0, length)
    left_in, left_out = _slab(-along.imag, start_y * along.real, -reach, reach)
    enter, leave = np.maximum(enter, left_in) + start_x, np.minimum(leave, left_out) + start_x
    empty = enter > leave
    enter, leave = np.where(empty, np.inf, enter), np.where(empty, -np.inf, leave)
    low = np.minimum.reduce([enter, start_x - at_start, np.roll(start_x - at_start, -1, axis=1)])
    high = np.maximum.reduce([leave, start_x + at_start, np.roll(start_x + at_start, -1, axis=1)])
    return gaps_between(walls, low, high, heights)


def _slab(rate: Floats, value: Floats, low: float, high: Floats | float) -> tuple[Floats, Floats]:
    """From where to where `low < value + rate * x < high`, for x along the last axis; nowhere is inf to -inf.

    All arrays (..., n), mm but for the rate.
    """
    flat = abs(rate) < 1e-15
    by = np.where(flat, 1.0, rate)
    one, two = (low - value) / by, (high - value) / by
    held = (low < value) & (value < high)
    return (
        np.where(flat, np.where(held, -np.inf, np.inf), np.minimum(one, two)),
        np.where(flat, np.where(held, np.inf, -np.inf), np.maximum(one, two)),
    )


def gaps_between(walls: Places, low: Floats, high: Floats, heights: Floats) -> tuple[Floats, Floats]:
    """The gaps (k, m - 1) that forbidden stretches (k, m) leave inside the floor; the others come back as inf to -inf."""
    order = low.argsort(axis=1)
    low = np.take_along_axis(low, order, axis=1)
    high = np.maximum.accumulate(np.take_along_axis(high, order, axis=1), axis=1)
    starts, ends = high[:, :-1], low[:, 1:]
    free = np.isfinite(starts) & np.isfinite(ends) & (starts <= ends)
    middle = (starts[free] + ends[free]) / 2.0 + 1j * heights[np.nonzero(free)[0]]
    free[free] = inside_floor(middle, walls)
    return np.where(free, starts, np.inf), np.where(free, ends, -np.inf)
