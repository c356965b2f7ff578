"""The plan of a hull with one ring of walls: where they stand, how far they turn up, how deep the edge is hemmed.

outline   the sheet's edge, or where it lies once hems are folded over; corners counter-clockwise, mm
line      where a wall leaves the floor, directed so that the floor lies on its left
width     how much of the sheet a wall has, from its line to the farthest place of the outline beyond it, mm
corner    where two walls meet: the spare sheet between them is folded to a flap that lies on one of the two
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from contextlib import suppress

from msgspec import Struct
from msgspec.structs import replace

from folder.errors import BadRequest
from folder.findings import Point
from folder.geometry.plane import left_of
from folder.pattern.families.flat_stack import FlatStack
from folder.pattern.families.parameter import Drawing
from folder.pattern.families.prefold import SIDES, hemmed
from folder.pattern.families.trays import LEAST_FLOOR_MM, LEAST_WALL_MM, sheet_middle
from folder.pattern.families.walls import walled
from folder.pattern.pattern import Sheet

SQUARE_RAD = math.pi / 2.0
_ON_MM = 1e-7
"""A place this near to a line lies on it: above rounding, far below any fold."""


class WallLine(Struct, frozen=True):
    """One wall: its line on the floor, its turn, and whether the flap at the line's start lies on it."""

    start: Point
    end: Point
    turn_rad: float = SQUARE_RAD
    flap_at_start: bool = False

    @property
    def outward(self) -> Point:
        """The unit vector across the line, away from the floor."""
        length = math.dist(self.start, self.end)
        return ((self.end[1] - self.start[1]) / length, (self.start[0] - self.end[0]) / length)

    def shifted(self, outward_mm: float) -> WallLine:
        """The wall with its line moved away from the floor."""
        x, y = self.outward
        (ax, ay), (bx, by) = self.start, self.end
        return replace(self, start=(ax + x * outward_mm, ay + y * outward_mm), end=(bx + x * outward_mm, by + y * outward_mm))

    def beyond(self, place: Point) -> float:
        """How far a place lies away from the floor, mm from the line."""
        x, y = self.outward
        return (place[0] - self.start[0]) * x + (place[1] - self.start[1]) * y


class WallPlan(Struct, frozen=True):
    """All walls, and the hem."""

    sheet: Sheet
    floor_at: Point
    walls: tuple[WallLine, ...] = ()
    hem_mm: float = 0.0
    hem_sides: tuple[str, ...] = ()
    """Which edges have a hem, of `prefold.SIDES`."""

    @property
    def folded_over(self) -> tuple[FlatStack, tuple[Point, ...]] | None:
        """The sheet with its hems folded, and its outline then; None without a hem."""
        return hemmed(self.sheet, self.hem_mm, self.hem_sides) if self.hem_mm > 0.0 and self.hem_sides else None

    @property
    def outline(self) -> tuple[Point, ...]:
        """Corners of what the walls are made of."""
        deep = [self.hem_mm if side in self.hem_sides else 0.0 for side in SIDES]
        right, top = self.sheet.width_mm - deep[1], self.sheet.height_mm - deep[2]
        return ((deep[3], deep[0]), (right, deep[0]), (right, top), (deep[3], top))

    @property
    def floor(self) -> tuple[tuple[Point, ...], tuple[int | None, ...]]:
        """The floor's corners, counter-clockwise, and for the side from each to the next its wall; None for an open side."""
        corners, owners = list(self.outline), [None] * 4
        sides: list[tuple[Point, int | None]] = list(zip(corners, owners, strict=True))
        for k, wall in enumerate(self.walls):
            sides = _clipped(sides, wall, k)
        return tuple(p for p, _ in sides), tuple(owner for _, owner in sides)

    def width_mm(self, k: int) -> float:
        """How much sheet wall k has."""
        return max(self.walls[k].beyond(p) for p in self.outline)

    def oriented(self, start: Point, end: Point) -> tuple[Point, Point]:
        """A line, so directed that the floor lies on its left."""
        return (start, end) if left_of(self.floor_at, start, end) >= 0.0 else (end, start)


def _clipped(sides: Sequence[tuple[Point, int | None]], wall: WallLine, k: int) -> list[tuple[Point, int | None]]:
    """What is left of a convex floor on the left of a wall's line (Sutherland & Hodgman, Comm. ACM 17 (1974) 32)."""
    kept: list[tuple[Point, int | None]] = []
    for (p, owner), (q, _) in zip(sides, (*sides[1:], *sides[:1]), strict=True):
        here, there = wall.beyond(p), wall.beyond(q)
        crossing = (
            (p[0] + (q[0] - p[0]) * here / (here - there), p[1] + (q[1] - p[1]) * here / (here - there)) if here != there else p
        )
        if here <= _ON_MM:
            kept.append((p, k if here >= -_ON_MM and there > _ON_MM else owner))
        if here < -_ON_MM and there > _ON_MM:
            kept.append((_tidy(crossing), k))
        elif here > _ON_MM and there < -_ON_MM:
            kept.append((_tidy(crossing), owner))
    return kept


def _tidy(p: Point) -> Point:
    return (round(p[0], 9) + 0.0, round(p[1], 9) + 0.0)


def checked(plan: WallPlan) -> WallPlan:
    """The plan itself; BadRequest where the walls leave no floor, or a hem is deeper than its wall."""
    corners, owners = plan.floor
    used = {owner for owner in owners if owner is not None}
    plan = replace(plan, walls=tuple(wall for k, wall in enumerate(plan.walls) if k in used)) if corners else plan
    if len(corners) < 3 or min(_spans(corners)) < LEAST_FLOOR_MM:
        raise BadRequest("the walls leave no floor", remedy="Make them lower")
    for k in range(len(plan.walls)):
        least = max(LEAST_WALL_MM, plan.hem_mm if plan.hem_sides else 0.0)
        if plan.width_mm(k) < least - _ON_MM:
            raise BadRequest(
                "a wall this low cannot be folded" if least == LEAST_WALL_MM else "the hem is deeper than the wall",
                found=f"{max(plan.width_mm(k), 0.0):.1f} mm", remedy=f"Give it {least:g} mm or more",
            )  # fmt: skip
    return plan


def _spans(corners: Sequence[Point]) -> list[float]:
    """How wide the floor is across each of its sides."""
    spans = []
    for p, q in zip(corners, (*corners[1:], *corners[:1]), strict=True):
        length = math.dist(p, q)
        if length > _ON_MM:
            spans.append(max(left_of(r, p, q) for r in corners) / length)
    return spans or [0.0]


def laid(plan: WallPlan) -> Drawing:
    """The creases and crimps of a plan, the walls' lines first.

    Flaps lie as the plan has them; where they would be in each other's way, all lie the same way round. BadRequest where two
    walls leave no sheet to fold between them.
    """
    folded_over = plan.folded_over
    step = 1 if folded_over is None else 1 + max(c.step or 0 for c in folded_over[0].creases)
    corners, owners = plan.floor
    turns = [None if owner is None else plan.walls[owner].turn_rad for owner in owners]
    wished = [owner is not None and plan.walls[owner].flap_at_start for owner in owners]
    made = None
    for tuck in (wished, [True] * len(corners), [False] * len(corners)):
        with suppress(BadRequest):
            made = walled(plan.outline, corners, turns, tuck, step)
            break
    creases, crimps = made if made is not None else walled(plan.outline, corners, turns, wished, step, strict=False)
    at = plan.floor_at if _holds(corners, plan.floor_at) else sheet_middle(corners)
    crimps = tuple((round(x, 2), round(y, 2)) for x, y in crimps)
    if folded_over is None:
        return Drawing(creases, at, crimps)
    stack = folded_over[0]
    return Drawing(stack.marked(creases), at, tuple(stack.on_sheet(p) for p in crimps))


def _holds(corners: Sequence[Point], at: Point) -> bool:
    return all(left_of(at, p, q) > math.dist(p, q) for p, q in zip(corners, (*corners[1:], *corners[:1]), strict=True))
