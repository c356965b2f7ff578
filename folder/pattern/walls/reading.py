"""A drawing read as a plan of walls, and a changed plan drawn in its place.

known     the plan gives back the very lines that are drawn; whatever else is drawn is kept as it is
rough     it does not, but every fold runs along a wall's line or from a corner of the floor: walls whose corners are not
          folded yet, or wrong. Drawing the plan folds them
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from folder.errors import BadRequest
from folder.findings import Point
from folder.geometry.plane import distances_to
from folder.geometry.space import Bools, Floats
from folder.pattern.corner import corner_fold
from folder.pattern.edit import lay, with_creases
from folder.pattern.faces.faces import Faces, faces_of
from folder.pattern.families.parameter import Drawing
from folder.pattern.families.prefold import SIDES
from folder.pattern.families.walls import unit
from folder.pattern.pattern import Crease, Pattern
from folder.pattern.walls.plan import WallLine, WallPlan, checked, laid

SAME_MM = 0.3
"""Lines this near are one: the tolerance to which a drawing closes."""
_SAME_RAD = math.radians(1.0)
_FLAT_RAD = math.radians(178.0)
_SAMPLES = np.linspace(0.02, 0.98, 7)


class PlanReading(Struct, frozen=True, eq=False):
    """A drawing with its plan."""

    pattern: Pattern
    plan: WallPlan
    drawing: Drawing
    """What the plan gives."""
    own: tuple[int | None, ...]
    """For each crease of the pattern the crease of the drawing it lies on, -1 where it goes when the plan is drawn; None: kept."""
    known: bool

    def redrawn(self, plan: WallPlan) -> Pattern:
        """The pattern with another plan in the place of its own. BadRequest where that leaves no floor."""
        plan = checked(plan)
        new = laid(plan)
        has_steps = any(c.step is not None for c in self.pattern.creases) or not self.pattern.creases
        made = [c if has_steps else replace(c, step=None) for c in new.creases]
        put: set[int] = set()
        same = len(made) == len(self.drawing.creases)
        creases = []
        for crease, own in zip(self.pattern.creases, self.own, strict=True):
            if own is None:
                creases.append(crease)
            elif same and own >= 0 and own not in put:
                put.add(own)
                creases.append(made[own])
        creases += [c for k, c in enumerate(made) if k not in put]
        kept = [p for p in self.pattern.crimps if all(math.dist(p, q) > 1.0 for q in self.drawing.crimps)]
        drawn = lay(with_creases(self.pattern, ()), creases)
        return replace(drawn, sheet=plan.sheet, floor_at=new.floor_at, crimps=(*kept, *new.crimps))

    def wall_at(self, place: Point, near_mm: float) -> int | None:
        """The wall whose line on the floor passes near a place."""
        corners, owners = self.plan.floor
        lines = np.array(list(zip(corners, (*corners[1:], *corners[:1]), strict=True)), dtype=float)
        gaps = distances_to(np.array([place]), lines)[0]
        near = sorted(
            (gap, owner) for gap, owner in zip(gaps.tolist(), owners, strict=True) if owner is not None and gap <= near_mm
        )
        return near[0][1] if near else None

    def wall_of(self, index: int) -> int | None:
        """The wall that a crease of the pattern is the line of."""
        crease = self.pattern.creases[index]
        middle = ((crease.start[0] + crease.end[0]) / 2.0, (crease.start[1] + crease.end[1]) / 2.0)
        wall = self.wall_at(middle, SAME_MM)
        if wall is None or max(abs(self.plan.walls[wall].beyond(p)) for p in (crease.start, crease.end)) > SAME_MM:
            return None
        return wall


def wall_crease(pattern: Pattern, wall: WallLine) -> int | None:
    """The crease that is the line of a wall of the floor; None where none lies there."""
    ends = [max(abs(wall.beyond(p)) for p in (c.start, c.end)) for c in pattern.creases]
    along = [i for i, gap in enumerate(ends) if gap < SAME_MM and _like(pattern.creases[i], wall.turn_rad)]
    return max(along, key=lambda i: pattern.creases[i].length_mm, default=None)


def _like(crease: Crease, turn_rad: float) -> bool:
    return crease.sense == "valley" and crease.turn_rad is not None and abs(crease.turn_rad - turn_rad) < _SAME_RAD


def read_plan(pattern: Pattern) -> PlanReading | None:
    """The plan of a drawing; None for one that is no floor with a ring of walls."""
    folds = [i for i, c in enumerate(pattern.creases) if c.sense in ("valley", "mountain") and c.turn_rad != 0.0]
    if any(c.sense == "cut" for c in pattern.creases):
        return None
    only = replace(pattern, creases=tuple(pattern.creases[i] for i in folds))
    try:
        faces = faces_of(only)
        plan = _plan_of(only, faces)
        drawing = laid(checked(plan)) if plan is not None else None
    except BadRequest:
        return None
    if plan is None or drawing is None:
        return None
    own, whole = _owned(only.creases, drawing.creases)
    rough = [k if k is not None else _loose(only, plan, i) for i, k in enumerate(own)]
    if not whole and None in rough:
        return None
    placed: list[int | None] = [None] * len(pattern.creases)
    for i, k in zip(folds, own if whole else rough, strict=True):
        placed[i] = k
    return PlanReading(pattern, plan, drawing, tuple(placed), whole)


def _plan_of(pattern: Pattern, faces: Faces) -> WallPlan | None:
    """The walls round the root face, and the hem they are made of."""
    depth, sides = _hem(pattern)
    plan = WallPlan(pattern.sheet, pattern.floor_at, (), depth, sides)
    if not pattern.creases:
        return plan
    if faces.root < 0:
        return None
    ring = faces.outer_ring(faces.root)
    places = faces.vertices[ring]
    between = {(int(a), int(b)): e for e, (a, b) in enumerate(faces.edges)}
    walls: list[WallLine] = []
    for k, vertex in enumerate(ring.tolist()):
        onward = int(ring[(k + 1) % len(ring)])
        edge = between.get((vertex, onward), between.get((onward, vertex), -1))
        index = int(faces.crease[edge])
        p, q = (tuple(map(float, places[j % len(ring)])) for j in (k, k + 1))
        start, end = (p[0], p[1]), (q[0], q[1])
        if index < 0:
            continue
        crease = pattern.creases[index]
        turn = crease.turn_rad
        if turn is None or crease.sense != "valley":
            return None
        if turn > _FLAT_RAD and _on_outline(plan.outline, start, end):
            continue
        if not 0.05 < turn < math.pi - 0.05:
            return None
        walls.append(WallLine(start, end, turn))
    plan = replace(plan, walls=tuple(_joined(walls)))
    return _with_flaps(plan, pattern)


def _joined(walls: Sequence[WallLine]) -> list[WallLine]:
    """Stretches of one wall that go straight on, made one."""
    whole: list[WallLine] = []
    for wall in walls:
        if whole and _goes_on(whole[-1], wall):
            whole[-1] = replace(whole[-1], end=wall.end)
        else:
            whole.append(wall)
    if len(whole) > 1 and _goes_on(whole[-1], whole[0]):
        whole[0] = replace(whole[0], start=whole.pop().start)
    return whole


def _goes_on(a: WallLine, b: WallLine) -> bool:
    """One wall goes straight on where the other ends."""
    off = max(abs(a.beyond(p)) for p in (b.start, b.end))
    return abs(a.turn_rad - b.turn_rad) < _SAME_RAD and math.dist(a.end, b.start) < SAME_MM and off < SAME_MM / 3


def _hem(pattern: Pattern) -> tuple[float, tuple[str, ...]]:
    """How deep the edges of the sheet are folded over, and which; 0 where none is."""
    width, height = pattern.sheet.width_mm, pattern.sheet.height_mm
    found: dict[str, float] = {}
    for crease in pattern.creases:
        (ax, ay), (bx, by) = crease.start, crease.end
        if crease.sense != "valley" or crease.turn_rad is None or crease.turn_rad < _FLAT_RAD:
            continue
        if abs(ay - by) < SAME_MM and abs(ax - bx) > width / 2.0:
            side, depth = ("lower", ay) if ay < height / 2.0 else ("upper", height - ay)
        elif abs(ax - bx) < SAME_MM and abs(ay - by) > height / 2.0:
            side, depth = ("left", ax) if ax < width / 2.0 else ("right", width - ax)
        else:
            continue
        found[side] = min(depth, found.get(side, math.inf))
    if not found:
        return 0.0, ()
    depth = round(min(found.values()), 6)
    return depth, tuple(side for side in SIDES if abs(found.get(side, math.inf) - depth) < SAME_MM)


def _on_outline(outline: Sequence[Point], start: Point, end: Point) -> bool:
    lines = np.array(list(zip(outline, (*outline[1:], *outline[:1]), strict=True)))
    return bool((distances_to(np.array([start, end]), lines).max(axis=0) < SAME_MM).any())


def _with_flaps(plan: WallPlan, pattern: Pattern) -> WallPlan:
    """The plan with each flap on the wall on which it is drawn; on the side walls where it is not drawn."""
    corners, owners = plan.floor
    walls = [replace(wall, flap_at_start=usual_flap(wall)) for wall in plan.walls]
    tucked = [c for c in pattern.creases if c.sense == "mountain" and c.turn_rad is not None and c.turn_rad > _FLAT_RAD]
    ends = np.array([(c.start, c.end) for c in tucked]).reshape(-1, 2, 2)
    for k, corner in enumerate(corners):
        after, before = owners[k], owners[k - 1]
        if after is None or before is None or not tucked:
            continue
        ahead, back = unit(corner, corners[(k + 1) % len(corners)]), unit(corner, corners[k - 1])
        fold = corner_fold(ahead, back, walls[after].turn_rad, walls[before].turn_rad)
        if fold is None:
            continue
        probes = np.array([(corner[0] + 1.5 * x, corner[1] + 1.5 * y) for x, y in (fold.first, fold.second)])
        near = distances_to(probes, ends).min(axis=1) < SAME_MM
        if near[0] != near[1]:
            walls[after] = replace(walls[after], flap_at_start=bool(near[0]))
    return replace(plan, walls=tuple(walls))


def usual_flap(wall: WallLine) -> bool:
    """Whether a flap lies on the wall that begins at its corner when nobody says so: on the walls at the sides."""
    return abs(wall.end[1] - wall.start[1]) > abs(wall.end[0] - wall.start[0])


def _owned(creases: Sequence[Crease], drawn: Sequence[Crease]) -> tuple[list[int | None], bool]:
    """For each crease the drawn one it lies on, alike; and whether every drawn one is covered by such creases."""
    if not creases or not drawn:
        return [None] * len(creases), not drawn
    ends, lines = _ends(creases), _ends(drawn)
    alike = np.array([[_alike(c, d) for d in drawn] for c in creases])
    on = (distances_to(ends.reshape(-1, 2), lines).reshape(len(creases), 2, -1).max(axis=1) < SAME_MM) & alike
    own = [int(row.argmax()) if row.any() else None for row in on]
    samples = lines[:, 0, None] + _SAMPLES[:, None] * (lines[:, 1] - lines[:, 0])[:, None]
    gaps = distances_to(samples.reshape(-1, 2), ends).reshape(len(drawn), len(_SAMPLES), -1)
    covered: Bools = ((gaps < SAME_MM) & on.T[:, None, :]).any(axis=2).all(axis=1)
    return own, bool(covered.all())


def _alike(a: Crease, b: Crease) -> bool:
    turns = a.turn_rad is None or b.turn_rad is None or abs(a.turn_rad - b.turn_rad) < _SAME_RAD
    return a.sense == b.sense and turns


def _loose(pattern: Pattern, plan: WallPlan, index: int) -> int | None:
    """-1 for a fold along a wall's line, or from a corner of the floor outward; None for another."""
    crease = pattern.creases[index]
    if any(max(abs(wall.beyond(p)) for p in (crease.start, crease.end)) < SAME_MM for wall in plan.walls):
        return -1
    corners, owners = plan.floor
    met = [p for k, p in enumerate(corners) if owners[k] is not None and owners[k - 1] is not None]
    if not met:
        return None
    gap = distances_to(np.array(met), _ends([crease]))[:, 0]
    outside = any(wall.beyond(crease.start) > -SAME_MM and wall.beyond(crease.end) > -SAME_MM for wall in plan.walls)
    return -1 if gap.min() < SAME_MM and outside else None


def _ends(creases: Sequence[Crease]) -> Floats:
    ends: Floats = np.array([(c.start, c.end) for c in creases], dtype=float).reshape(-1, 2, 2)
    return ends
