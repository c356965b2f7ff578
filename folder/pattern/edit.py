"""Edits: functions Pattern -> Pattern.

An edit drops the family a pattern came from, since it no longer describes it. Undo is a list of patterns.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import get_args

from msgspec.structs import replace

from folder.errors import BadRequest
from folder.findings import Point, Remedy
from folder.pattern.faces.faces import Faces, faces_of
from folder.pattern.flap import flap_at
from folder.pattern.pattern import MOST_CREASES, Crease, Pattern, Sense

SHORTEST_MM = 0.1
"""A line shorter than this is a slip of the hand: two points that would be snapped to one."""


def with_creases(pattern: Pattern, creases: Iterable[Crease]) -> Pattern:
    """The pattern with other creases."""
    return replace(pattern, creases=tuple(creases), family=None)


def lay(pattern: Pattern, creases: Iterable[Crease]) -> Pattern:
    """Lay creases on the sheet. BadRequest when one has no length or there is no more room."""
    added = tuple(creases)
    for crease in added:
        if not SHORTEST_MM <= crease.length_mm < math.inf:  # also refuses not-a-number
            raise BadRequest("a line needs two different ends", found=f"{crease.length_mm:.2f} mm", remedy="Drag further")
    if len(pattern.creases) + len(added) > MOST_CREASES:
        raise BadRequest("the sheet is full", found=f"{len(pattern.creases)} lines", remedy="Take some lines away first")
    return with_creases(pattern, pattern.creases + added)


def drop(pattern: Pattern, indices: Iterable[int]) -> Pattern:
    """Take creases away."""
    gone = set(indices)
    return with_creases(pattern, (c for i, c in enumerate(pattern.creases) if i not in gone))


def change(
    pattern: Pattern,
    indices: Iterable[int],
    *,
    sense: Sense | None = None,
    turn_rad: float | None = None,
    free: bool = False,
    step: int | None = None,
) -> Pattern:
    """Give creases another sense, turn or step; `free` leaves their turn to be solved."""
    if turn_rad is not None and not 0.0 <= turn_rad <= math.pi:
        raise BadRequest("a turn lies between 0 and 180 degrees", found=f"{math.degrees(turn_rad):g}", remedy="Try 90")
    chosen = set(indices)

    def changed(c: Crease) -> Crease:
        turn = None if free else c.turn_rad if turn_rad is None else turn_rad
        return replace(c, sense=sense or c.sense, turn_rad=turn, step=c.step if step is None else step)

    return with_creases(pattern, (changed(c) if i in chosen else c for i, c in enumerate(pattern.creases)))


def move_creases(pattern: Pattern, indices: Iterable[int], by: Point) -> Pattern:
    """Shift creases, mm."""
    if not math.isfinite(by[0] + by[1]):
        raise BadRequest("a shift needs two numbers", found=f"{by[0]:g}, {by[1]:g}", remedy="Drag again")
    chosen = set(indices)

    def moved(p: Point) -> Point:
        return (p[0] + by[0], p[1] + by[1])

    return with_creases(
        pattern,
        (replace(c, start=moved(c.start), end=moved(c.end)) if i in chosen else c for i, c in enumerate(pattern.creases)),
    )


def stretch_crease(pattern: Pattern, ends: Iterable[tuple[int, bool]], to: Point) -> Pattern:
    """Drag ends of creases, each as (index, is it the start), to one place, mm."""
    chosen = set(ends)
    creases = list(pattern.creases)
    for index, at_start in chosen:
        was = creases[index]
        creases[index] = replace(was, start=to if at_start else was.start, end=was.end if at_start else to)
        if not SHORTEST_MM <= creases[index].length_mm < math.inf:
            raise BadRequest("a line needs two different ends", remedy="Drag the other way, or take the line away")
    return with_creases(pattern, creases)


def alike(pattern: Pattern, index: int) -> tuple[int, ...]:
    """All creases with the sense, the turn and the length of one."""
    model = pattern.creases[index]
    return tuple(
        i
        for i, c in enumerate(pattern.creases)
        if (c.sense, c.turn_rad) == (model.sense, model.turn_rad) and abs(c.length_mm - model.length_mm) < SHORTEST_MM
    )


def name_floor(pattern: Pattern, at: Point) -> Pattern:
    """Say where the floor is. The family, which has a floor of its own, is dropped."""
    width, height = pattern.sheet.width_mm, pattern.sheet.height_mm
    if not (0.0 <= at[0] <= width and 0.0 <= at[1] <= height):
        raise BadRequest("the floor must lie on the sheet", found=f"({at[0]:.1f}, {at[1]:.1f}) mm", remedy="Press on the sheet")
    return replace(pattern, floor_at=at, family=None)


def add_crimp(pattern: Pattern, at: Point) -> Pattern:
    """Mark a pinch that holds layers together."""
    return replace(pattern, crimps=(*pattern.crimps, at))


def drop_crimp(pattern: Pattern, index: int) -> Pattern:
    """Take a crimp mark away."""
    return replace(pattern, crimps=pattern.crimps[:index] + pattern.crimps[index + 1 :])


def fold_corner(pattern: Pattern, at: Point, *, tuck_on_first: bool = True, faces: Faces | None = None) -> Pattern:
    """Fold the corner of the floor nearest to a place to a flap, laid on one of the two walls that meet there.

    BadRequest where no two walls of the floor meet. `faces` saves noding the pattern again.
    """
    faces = faces_of(pattern) if faces is None else faces
    corners = floor_corners(faces)
    if not corners:
        raise BadRequest("no two walls meet here", remedy="Lay the lines of two walls first: valley folds that cross")
    vertex = min(corners, key=lambda v: math.dist(faces.vertices[v], at))
    remedy = flap_at(pattern, faces, vertex, faces.root, tuck_on_first)
    if remedy is None:
        raise BadRequest("the walls here cannot share a flap", remedy="Both walls fold toward you, by less than 180 degrees")
    return apply_remedy(pattern, remedy)


def floor_corners(faces: Faces) -> list[int]:
    """The vertices of the root face that the sheet surrounds and where its border bends."""
    if faces.root < 0:
        return []
    ring = faces.outer_ring(faces.root)
    x, y = faces.vertices[ring].T
    corners = []
    for k, vertex in enumerate(ring.tolist()):
        ahead = (x[(k + 1) % len(ring)] - x[k], y[(k + 1) % len(ring)] - y[k])
        back = (x[k] - x[k - 1], y[k] - y[k - 1])
        bend = back[0] * ahead[1] - back[1] * ahead[0]
        if faces.inner[vertex] and bend > 1e-6 * math.hypot(*ahead) * math.hypot(*back):
            corners.append(int(vertex))
    return corners


def apply_remedy(pattern: Pattern, remedy: Remedy) -> Pattern:
    """Carry out a remedy: drop its creases, add its strokes and crimps."""
    steps = {pattern.creases[i].step for i in remedy.drop}
    step = steps.pop() if len(steps) == 1 else None
    gone = set(remedy.drop)
    kept = [c for i, c in enumerate(pattern.creases) if i not in gone]
    added = [Crease(s.start, s.end, _sense(s.sense), s.turn_rad, step if s.step is None else s.step) for s in remedy.add]
    edited = with_creases(pattern, [*kept, *added]) if gone or added else pattern
    crimps = tuple(p for p in pattern.crimps if p not in remedy.lost_crimps)
    return replace(edited, crimps=crimps + remedy.crimps)


def _sense(name: str) -> Sense:
    for sense in get_args(Sense):
        if sense == name:
            return sense
    raise ValueError(f"not a sense: {name!r}")
