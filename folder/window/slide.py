"""A crease pushed sideways with its neighbours in tow, so that a hull stays a hull while a wall moves.

slide    move a crease along its normal; what ends on it follows
towed    a crease that ends where the moved one ends: one that runs to the sheet's edge keeps its direction, one that
         runs to another point is lengthened or shortened along itself
"""

from __future__ import annotations

import dataclasses
import math

from folder.findings import Point
from folder.pattern.corner import to_sheet_edge
from folder.pattern.construct import across
from folder.pattern.edit import SHORTEST_MM, with_creases
from folder.pattern.pattern import Crease, Pattern
from folder.units import TOLERANCES
from folder.window.mirror import Mirrors, twins
from folder.window.snap import foot, meeting

_SAME_MM = 2.0 * TOLERANCES.snap_mm


def slide(pattern: Pattern, index: int, by: Point, mirrors: Mirrors = "none") -> Pattern:
    """Push a crease, and its mirror images, sideways by as much of `by` as lies across it. Indices stay."""
    moved = pattern
    for twin, carry in twins(pattern, index, mirrors):
        here, there = carry((0.0, 0.0)), carry(by)
        moved = _slid(moved, twin, (there[0] - here[0], there[1] - here[1]))
    return moved


def hangs_together(pattern: Pattern, index: int) -> bool:
    """Whether an end of a crease lies on another crease or on the sheet's edge."""
    crease = pattern.creases[index]
    return any(_on_edge(pattern, end) or _towed(pattern, index, end) for end in (crease.start, crease.end))


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
    creases = list(pattern.creases)
    ends = []
    for end in (crease.start, crease.end):
        towed = _towed(pattern, index, end)
        to = _new_end(pattern, index, end, line, [i for i, _ in towed])
        ends.append(to)
        for i, at_start in towed:
            creases[i] = _followed(pattern, creases[i], at_start, to)
    creases[index] = dataclasses.replace(crease, start=ends[0], end=ends[1])
    for i, other in enumerate(pattern.creases):
        # What ended part of the way along the moved line goes on, or stops, where that is now.
        for at_start, end in ((True, other.start), (False, other.end)):
            inside = min(math.dist(end, crease.start), math.dist(end, crease.end)) > _SAME_MM
            if i != index and inside and math.dist(foot((crease.start, crease.end), end), end) < _SAME_MM:
                met = meeting((other.start, other.end), line, beyond=True)
                if met is not None:
                    creases[i] = dataclasses.replace(creases[i], **{"start" if at_start else "end": met})
    if any(c.length_mm < SHORTEST_MM for c in creases):
        return pattern
    return with_creases(pattern, creases)


def _towed(pattern: Pattern, index: int, end: Point) -> list[tuple[int, bool]]:
    """The other creases that end at a place, each with whether it is their start."""
    found = []
    for i, other in enumerate(pattern.creases):
        if i != index:
            for at_start, place in ((True, other.start), (False, other.end)):
                if math.dist(place, end) < _SAME_MM:
                    found.append((i, at_start))
    return found


def _new_end(pattern: Pattern, index: int, end: Point, line: tuple[Point, Point], towed: list[int]) -> Point:
    """Where an end of the moved line comes to lie."""
    ahead = (line[1][0] - line[0][0], line[1][1] - line[0][1])
    if _on_edge(pattern, end):
        whole = across(pattern.sheet, line[0], ahead)
        return min(whole, key=lambda p: math.dist(p, end)) if whole else end
    crease = pattern.creases[index]
    step = (line[0][0] - crease.start[0], line[0][1] - crease.start[1])
    rails = []
    for i, other in enumerate(pattern.creases):
        if i == index:
            continue
        inner = not (_on_edge(pattern, other.start) or _on_edge(pattern, other.end))
        through = i not in towed and math.dist(foot((other.start, other.end), end), end) < _SAME_MM
        if (i in towed and inner) or through:
            met = meeting((other.start, other.end), line, beyond=True)
            if met is not None:
                rails.append(met)
    plain = _plus(end, step)
    return min(rails, key=lambda p: math.dist(p, plain)) if rails else plain


def _followed(pattern: Pattern, crease: Crease, at_start: bool, to: Point) -> Crease:
    """A towed crease with its end at a new place."""
    near, far = (crease.start, crease.end) if at_start else (crease.end, crease.start)
    if _on_edge(pattern, far):
        ahead = (far[0] - near[0], far[1] - near[1])
        far = to_sheet_edge(to, ahead, pattern.sheet.width_mm, pattern.sheet.height_mm)
    start, end = (to, far) if at_start else (far, to)
    return dataclasses.replace(crease, start=start, end=end)


def _on_edge(pattern: Pattern, p: Point) -> bool:
    width, height = pattern.sheet.width_mm, pattern.sheet.height_mm
    return min(p[0], p[1], width - p[0], height - p[1]) < _SAME_MM


def _plus(p: Point, by: Point) -> Point:
    return (p[0] + by[0], p[1] + by[1])
