"""The Corner tool: a corner folded to a flap, and a flap laid on the other wall. No pygame."""

from __future__ import annotations

import math
from functools import lru_cache

from folder.errors import BadRequest
from folder.findings import Point
from folder.pattern import edit
from folder.pattern.faces.faces import Faces, faces_of
from folder.pattern.pattern import Crease, Pattern, Sheet
from folder.pattern.walls.change import with_flap
from folder.pattern.walls.reading import PlanReading
from folder.window.tools.mirror import Mirrors, maps
from folder.window.tools.snap import foot
from folder.window.tools.tool import (
    SLIP_MM,
    Preview,
    SheetPointer,
    Tool,
    ToolContext,
    ToolResult,
)
from folder.window.tools.walls.plans import kept_plan

CORNER_NEAR_MM = 25.0
"""A press this near to a corner of the floor means that corner: a finger's breadth."""
SAME_MM = 0.05


def corner_preview(context: ToolContext, pointer: SheetPointer) -> Preview:
    """The creases that a press here would fold a corner with."""
    pattern = context.pattern
    try:
        folded, at = corners_folded(pattern, pointer.at, context.setting.mirrors)
    except BadRequest:
        return Preview(pointer.at, "no two walls meet here")
    if at is None:
        return Preview(pointer.at, "press near a corner of the floor")
    new = _new_creases(pattern, folded)
    return Preview(at, "fold this corner" if new else "this corner is folded", True, new)


def _new_creases(pattern: Pattern, folded: Pattern) -> tuple[Crease, ...]:
    return tuple(c for c in folded.creases if not _drawn_already(pattern, c))


def _drawn_already(pattern: Pattern, crease: Crease) -> bool:
    """Whether a crease lies on one that folds alike."""
    return any(
        (c.sense, c.turn_rad) == (crease.sense, crease.turn_rad)
        and max(math.dist(foot((c.start, c.end), p), p) for p in (crease.start, crease.end)) < SLIP_MM
        for c in pattern.creases
    )


def fold_corners(tool: Tool, context: ToolContext, pointer: SheetPointer) -> ToolResult:
    """The corner that is pressed, folded to a flap."""
    folded, at = corners_folded(context.pattern, pointer.at, context.setting.mirrors)
    message = "" if at is not None else "Press near a corner where two walls meet."
    if at is not None and len(folded.creases) == len(context.pattern.creases) and not _new_creases(context.pattern, folded):
        folded = context.pattern
        message = "This corner is folded. Press nearer to the other wall, and the flap lies there."
    return ToolResult(tool, folded, context.picked if at is None else frozenset(), message)


def corners_folded(pattern: Pattern, at: Point, mirrors: Mirrors) -> tuple[Pattern, Point | None]:
    """The floor's corner near a place folded to a flap, and its mirror images; the corner's place, None for none near.

    The flap lies on the wall on whose side of the corner the place is. In a drawing whose plan is known it is laid anew.
    """
    reading = kept_plan(pattern)
    if reading is not None and reading.known and len(reading.plan.walls) > 1:
        return _flaps_laid(reading, at, mirrors)
    faces = kept_faces(pattern)
    corners = edit.floor_corners(faces)
    if not corners:
        raise BadRequest("no two walls meet here", remedy="Lay the lines of two walls first")
    vertex = min(corners, key=lambda v: math.dist(faces.vertices[v], at))
    x, y = faces.vertices[vertex].tolist()
    if math.dist((x, y), at) > CORNER_NEAR_MM:
        return pattern, None
    done: list[Point] = []
    folded = pattern
    for carry in maps(pattern.sheet, mirrors):
        corner, pointer = carry((x, y)), carry(at)
        if any(math.dist(corner, other) < 0.1 for other in done):
            continue
        now = kept_faces(folded)
        here = [v for v in edit.floor_corners(now) if math.dist(now.vertices[v], corner) < 0.1]
        if here:
            folded = edit.fold_corner(folded, corner, tuck_on_first=_on_first(now, here[0], pointer), faces=now)
            done.append(corner)
    return folded, (x, y)


def _flaps_laid(reading: PlanReading, at: Point, mirrors: Mirrors) -> tuple[Pattern, Point | None]:
    """The flaps near a place and its mirror images laid on the walls that the places are nearer to."""
    plan = reading.plan
    corners, owners = plan.floor
    met = [k for k in range(len(corners)) if owners[k] is not None and owners[k - 1] is not None]
    if not met:
        raise BadRequest("no two walls meet here", remedy="Raise a wall on the next side first")
    nearest = corners[min(met, key=lambda k: math.dist(corners[k], at))]
    if math.dist(nearest, at) > CORNER_NEAR_MM:
        return reading.pattern, None
    for carry in maps(plan.sheet, mirrors):
        corner, place = carry(nearest), carry(at)
        here = [k for k in met if math.dist(corners[k], corner) < SAME_MM]
        for k in here:
            after, before = owners[k], owners[k - 1]
            if after is not None and before is not None:
                out = {w: plan.walls[w].beyond(place) for w in (after, before)}
                plan = with_flap(plan, corner, max(out, key=lambda w: out[w]))
    return reading.redrawn(plan), nearest


def _on_first(faces: Faces, vertex: int, at: Point) -> bool:
    """Whether a place lies on the side of the first wall, counter-clockwise as seen from the floor."""
    ring = faces.outer_ring(faces.root).tolist()
    k = ring.index(vertex)
    here = faces.vertices[vertex]
    ahead, back = faces.vertices[ring[(k + 1) % len(ring)]] - here, faces.vertices[ring[k - 1]] - here
    out = -(ahead / math.hypot(*ahead) + back / math.hypot(*back))
    return bool(out[0] * (at[1] - here[1]) - out[1] * (at[0] - here[0]) >= 0.0)


@lru_cache(maxsize=12)
def _faces(sheet: Sheet, floor_at: Point, creases: tuple[Crease, ...]) -> Faces:
    return faces_of(Pattern(sheet=sheet, floor_at=floor_at, creases=creases))


def kept_faces(pattern: Pattern) -> Faces:
    """The faces of a pattern, worked out once."""
    return _faces(pattern.sheet, pattern.floor_at, pattern.creases)
