"""What makes a hull keep an event's rules: walls moved in for the footprint, lowered or hemmed for their height.

Only of a ring of walls can it be said what to change. The changed drawing is folded before it is offered: it keeps the rules
of size, or nothing is offered.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from msgspec.structs import replace

from folder.errors import BadRequest
from folder.event.rules import Rules
from folder.findings import Remedy, Stroke
from folder.fold.place import folded
from folder.hull.footprint import outline_of, over_by_mm
from folder.hull.hull import Hull, hull_of
from folder.pattern.faces.faces import faces_of
from folder.pattern.families.prefold import SIDES
from folder.pattern.pattern import Crease, Pattern
from folder.pattern.walls.change import with_width
from folder.pattern.walls.plan import WallPlan
from folder.pattern.walls.reading import read_plan

SLACK_MM = 0.05
"""What no ruler at an event shows (common practice)."""
OUTWARD = {"lower": (0.0, -1.0), "right": (1.0, 0.0), "upper": (0.0, 1.0), "left": (-1.0, 0.0)}
"""Where the wall of each edge of the sheet faces."""
assert tuple(OUTWARD) == SIDES


def rule_remedy(rules: Rules, pattern: Pattern) -> Remedy | None:
    """The edit after which the hull keeps the rules of size; None where none is known."""
    reading = read_plan(pattern)
    if reading is None or not reading.known or not reading.plan.walls:
        return None
    moved, by = _moved_in(rules, reading.plan)
    words = [f"move the walls in by {by:.4g} mm"] if by else []
    for plan, more in _of_height(rules, moved):
        try:
            changed = reading.redrawn(plan)
        except BadRequest:
            continue
        text = " and ".join([*words, *more])
        if text and changed.floor_at == pattern.floor_at and keeps_sizes(rules, _folded(changed)):
            return _edit(f"{text[0].upper()}{text[1:]}.", pattern, changed)
    return None


def keeps_sizes(rules: Rules, hull: Hull | None) -> bool:
    """Whether a folded hull keeps footprint and height of walls."""
    if hull is None:
        return False
    if rules.footprint_mm is not None and over_by_mm(outline_of(hull), rules.footprint_mm) > SLACK_MM:
        return False
    return rules.wall_most_mm is None or float(hull.wall_heights.max(initial=0.0)) <= rules.wall_most_mm + SLACK_MM


def _folded(pattern: Pattern) -> Hull | None:
    return hull_of(folded(faces_of(pattern)), pattern.sheet.thickness_um)


def _side(plan: WallPlan, k: int) -> str:
    """The edge of the sheet that a wall faces; "" for a wall askew."""
    x, y = plan.walls[k].outward
    return next((side for side, (u, v) in OUTWARD.items() if x * u + y * v > 1.0 - 1e-9), "")


def _moved_in(rules: Rules, plan: WallPlan) -> tuple[WallPlan, float]:
    """The walls moved in until the hull fits the footprint, and how far at most; as they are where that cannot be told."""
    sides = [_side(plan, k) for k in range(len(plan.walls))]
    if rules.footprint_mm is None or sorted(sides) != sorted(SIDES):
        return plan, 0.0
    corners = plan.floor[0]
    spans = [max(p[axis] for p in corners) - min(p[axis] for p in corners) for axis in (0, 1)]
    pairs = [[k for k, side in enumerate(sides) if side in both] for both in (("left", "right"), ("lower", "upper"))]
    wide = [span + sum(_reach(plan, k) for k in pair) for span, pair in zip(spans, pairs, strict=True)]
    short, long = sorted(rules.footprint_mm)
    room = (short, long) if wide[0] < wide[1] or (wide[0] == wide[1] and short == rules.footprint_mm[0]) else (long, short)
    most = 0.0
    for over, pair in zip((w - r for w, r in zip(wide, room, strict=True)), pairs, strict=True):
        if over <= SLACK_MM:
            continue
        gain = sum(1.0 - math.cos(plan.walls[k].turn_rad) for k in pair)
        for k in pair:
            plan = with_width(plan, k, plan.width_mm(k) + over / gain)
        most = max(most, over / gain)
    return plan, most


def _reach(plan: WallPlan, k: int) -> float:
    """How far a wall that leans out stands out over the floor's edge."""
    return plan.width_mm(k) * math.cos(plan.walls[k].turn_rad)


def _of_height(rules: Rules, plan: WallPlan) -> Iterator[tuple[WallPlan, list[str]]]:
    """The plan with walls no higher than allowed, and in words what that takes: lowered, which widens the floor; or hemmed."""
    if rules.wall_most_mm is None:
        yield plan, []
        return
    most = [rules.wall_most_mm / math.sin(wall.turn_rad) for wall in plan.walls]
    over = {k: over for k in range(len(plan.walls)) if (over := plan.width_mm(k) - most[k]) > SLACK_MM}
    if not over:
        yield plan, []
        return
    lowered = plan
    for k in over:
        lowered = with_width(lowered, k, most[k])
    yield lowered, [f"lower the wall{'s' if len(over) > 1 else ''} to {rules.wall_most_mm:g} mm"]
    sides = {_side(plan, k) for k in over}
    if "" in sides:
        return
    deep = plan.hem_mm + max(over.values())
    hemmed = replace(plan, hem_mm=deep, hem_sides=tuple(side for side in SIDES if side in {*plan.hem_sides, *sides}))
    yield hemmed, [f"fold a hem of {deep:.4g} mm, so that no wall is higher than {rules.wall_most_mm:g} mm"]


def _edit(text: str, before: Pattern, after: Pattern) -> Remedy:
    """What turns one drawing into the other, as a remedy."""
    kept = set(after.creases)
    drop = tuple(i for i, crease in enumerate(before.creases) if crease not in kept)
    left = {before.creases[i] for i in range(len(before.creases)) if i not in drop}
    add = tuple(_stroke(crease) for crease in after.creases if crease not in left)
    crimps = tuple(p for p in after.crimps if p not in before.crimps)
    return Remedy(text, drop, add, crimps, tuple(p for p in before.crimps if p not in after.crimps))


def _stroke(crease: Crease) -> Stroke:
    return Stroke(crease.start, crease.end, crease.sense, crease.turn_rad, crease.step)
