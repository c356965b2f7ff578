"""A crease pushed sideways with its neighbours in tow, so that a hull stays a hull while a wall moves.

slide    move a crease along its normal; what ends on it follows, and crimps follow their flaps
towed    a crease that ends where the moved one ends: one that runs to the sheet's edge keeps its direction, one that
         runs to another point is lengthened or shortened along itself
rail     a line along which an end of the moved crease glides
"""

from __future__ import annotations

import math

import numpy as np
from msgspec.structs import replace
from numpy.typing import NDArray

from folder.findings import Point
from folder.geometry.space import Bools, Floats, Ints
from folder.pattern.construct import SheetLine, across
from folder.pattern.corner import to_sheet_edge
from folder.pattern.edit import SHORTEST_MM, with_creases
from folder.pattern.flap import pinch
from folder.pattern.pattern import Crease, Pattern
from folder.units import TOLERANCES
from folder.window.tools.mirror import Mirrors, twins
from folder.window.tools.snap import ends_of, gaps, meeting

_SAME_MM = 2.0 * TOLERANCES.snap_mm


def slide(pattern: Pattern, index: int, by: Point, mirrors: Mirrors = "none") -> Pattern:
    """Push a crease, and its mirror images, sideways by as much of `by` as lies across it. Indices stay."""
    moved = pattern
    for twin, carry in twins(pattern, index, mirrors):
        here, there = carry((0.0, 0.0)), carry(by)
        moved = _slid(moved, twin, (there[0] - here[0], there[1] - here[1]))
    return replace(moved, crimps=_crimps_after(pattern, moved.creases)) if moved is not pattern else pattern


def hangs_together(pattern: Pattern, index: int) -> bool:
    """Whether an end of a crease lies on another crease or on the sheet's edge."""
    crease = pattern.creases[index]
    ends = ends_of(pattern.creases)
    return any(_on_edge(pattern, end) or _towed(ends, index, end).any() for end in (crease.start, crease.end))


def _slid(pattern: Pattern, index: int, by: Point) -> Pattern:
    crease = pattern.creases[index]
    length = crease.length_mm
    if length < SHORTEST_MM:
        return pattern
    nx, ny = (crease.start[1] - crease.end[1]) / length, (crease.end[0] - crease.start[0]) / length
    far = by[0] * nx + by[1] * ny
    if abs(far) < 1e-9:
        return pattern
    step = (far * nx, far * ny)
    line = (_plus(crease.start, step), _plus(crease.end, step))
    ends, creases = ends_of(pattern.creases), list(pattern.creases)
    new_ends = []
    for end in (crease.start, crease.end):
        towed = _towed(ends, index, end)
        to = _new_end(pattern, ends, index, end, step, line, towed)
        new_ends.append(to)
        for i, side in zip(*(k.tolist() for k in np.nonzero(towed)), strict=True):
            creases[i] = _moved_with(pattern, creases[i], side == 0, to)
    creases[index] = replace(crease, start=new_ends[0], end=new_ends[1])
    for i, side in _abutting(ends, index):
        # What ended part of the way along the moved line goes on, or stops, where that is now.
        other = pattern.creases[i]
        met = meeting((other.start, other.end), line, beyond=True)
        if met is not None:
            now = creases[i]
            creases[i] = replace(now, start=met) if side == 0 else replace(now, end=met)
    if any(c.length_mm < SHORTEST_MM for c, was in zip(creases, pattern.creases, strict=True) if c is not was):
        return pattern
    return with_creases(pattern, creases)


def _crimps_after(pattern: Pattern, creases: tuple[Crease, ...]) -> tuple[Point, ...]:
    """The crimps when creases have moved: one that pinches a corner's flap is where it pinches it now."""
    if not pattern.crimps:
        return ()
    was, now = _spokes(pattern.creases), _spokes(creases)
    # Only about a point that a changed crease runs to can a pinch be told anew.
    hubs = np.unique(was[(was != now).any(axis=1), 0])
    about = np.unique(_same_place(hubs, was[:, 0])[1])
    was, now = was[about], now[about]
    side, tip = _same_place(was[:, 0], was[:, 0])
    before, after = (s[side, 0] + pinch(s[side, 1] - s[side, 0], s[tip, 1] - s[tip, 0]) for s in (was, now))
    moved = []
    for x, y in pattern.crimps:
        apart = np.abs(before - complex(x, y))
        nearest = int(apart.argmin()) if apart.size else -1
        place = complex(after[nearest]) if apart.size and apart[nearest] < _SAME_MM else complex(x, y)
        moved.append((place.real, place.imag))
    return tuple(moved)


def _spokes(creases: tuple[Crease, ...]) -> NDArray[np.complex128]:
    """Every crease from each of its ends: (2n, 2) complex mm."""
    ends = ends_of(creases)
    points = ends[..., 0] + 1j * ends[..., 1]
    spokes: NDArray[np.complex128] = np.concatenate([points, points[:, ::-1]])
    return spokes


def _same_place(points: NDArray[np.complex128], others: NDArray[np.complex128]) -> tuple[Ints, Ints]:
    """Which points (n,) complex mm lie at the place of which others (m,): two rows of indices, by the first and then by the second.

    Only those are held against each other that lie equally far across: of some thousands not every pair.
    """
    order = np.argsort(others.real, kind="stable")
    across = others.real[order]
    first = np.searchsorted(across, points.real - _SAME_MM)
    count = np.searchsorted(across, points.real + _SAME_MM) - first
    one = np.repeat(np.arange(len(points)), count)
    other = order[np.arange(len(one)) - np.repeat(np.cumsum(count) - count - first, count)]
    near = np.abs(points[one] - others[other]) < _SAME_MM
    one, other = one[near], other[near]
    rows = np.lexsort((other, one))
    return one[rows], other[rows]


def _towed(ends: Floats, index: int, end: Point) -> Bools:
    """(n, 2) the ends of other creases that lie at a place."""
    near: Bools = np.hypot(ends[..., 0] - end[0], ends[..., 1] - end[1]) < _SAME_MM
    near[index] = False
    return near


def _abutting(ends: Floats, index: int) -> list[tuple[int, int]]:
    """Ends of other creases, as crease and 0 for its start or 1, that lie part of the way along one."""
    start, end = ends[index]
    on = np.stack([gaps(np.stack([start, end])[None], ends[:, side]) < _SAME_MM for side in (0, 1)], axis=1)
    for tip in (start, end):
        on &= np.hypot(ends[..., 0] - tip[0], ends[..., 1] - tip[1]) > _SAME_MM
    on[index] = False
    return [(int(i), int(side)) for i, side in np.argwhere(on)]


def _new_end(pattern: Pattern, ends: Floats, index: int, end: Point, step: Point, line: SheetLine, towed: Bools) -> Point:
    """Where an end of the moved line comes to lie."""
    if _on_edge(pattern, end):
        whole = across(pattern.sheet, line[0], (line[1][0] - line[0][0], line[1][1] - line[0][1]))
        return min(whole, key=lambda p: math.dist(p, end)) if whole else end
    through = gaps(ends, np.array(end)) < _SAME_MM
    through[index] = False
    rails = []
    for i in np.nonzero(through)[0].tolist():
        other = pattern.creases[i]
        inner = not (_on_edge(pattern, other.start) or _on_edge(pattern, other.end))
        if inner or not towed[i].any():
            met = meeting((other.start, other.end), line, beyond=True)
            if met is not None:
                rails.append(met)
    plain = _plus(end, step)
    return min(rails, key=lambda p: math.dist(p, plain)) if rails else plain


def _moved_with(pattern: Pattern, crease: Crease, at_start: bool, to: Point) -> Crease:
    """A towed crease with its end at a new place."""
    near, far = (crease.start, crease.end) if at_start else (crease.end, crease.start)
    if _on_edge(pattern, far):
        ahead = (far[0] - near[0], far[1] - near[1])
        far = to_sheet_edge(to, ahead, pattern.sheet.width_mm, pattern.sheet.height_mm)
    start, end = (to, far) if at_start else (far, to)
    return replace(crease, start=start, end=end)


def _on_edge(pattern: Pattern, p: Point) -> bool:
    width, height = pattern.sheet.width_mm, pattern.sheet.height_mm
    return min(p[0], p[1], width - p[0], height - p[1]) < _SAME_MM


def _plus(p: Point, by: Point) -> Point:
    return (p[0] + by[0], p[1] + by[1])
