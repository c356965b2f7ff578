"""What the hands do in a picture of a step, as data: arrows and pinch marks with the places where they act.

fold, raise   an arrow over the line, from the side that moves
crease        fold and unfold: an arrow there and back
pinch         two marks that face each other, one on each side of what is pinched
lay           an arrow along the way of a flap
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import Literal

import numpy as np
from msgspec import Struct

from folder.draw.hull.scene import Scene
from folder.draw.picture import Box, Mark
from folder.draw.sheet.mark import crimp_mark
from folder.draw.steps.arrow import HEAD_MM, along_arrow, there_and_back, valley_arrow
from folder.draw.steps.ear import crests_at_once
from folder.findings import Point
from folder.fold.sequence.flaps import HALF_TURN_RAD, Flap
from folder.fold.sequence.flat_fold import on_table
from folder.fold.sequence.steps import FoldStep
from folder.fold.sequence.table_line import TableLine
from folder.geometry.space import Floats

ActKind = Literal["fold", "crease", "raise", "pinch", "lay"]

ARROW_MM = (5.5, 17.0)
"""Shortest and longest reach of an arrow to each side of its fold."""
LEAST_INWARD_MM = 2.5
FEW, SHORT_TAIL_MM, SMALL_PINCH_MM, SMALL_HEAD_MM = 4, 3.0, 2.3, 3.0
LEAST_ARROW_MM = 6.5
"""Where more than so many walls come up, arrows begin nearer, their heads and pinch marks are smaller: else they would run together."""
APART_MM = 8.0
"""Arrows nearer to each other than this would be read as one."""
SLIDES = (0.5, 0.36, 0.64, 0.25, 0.75, 0.43, 0.57, 0.15, 0.85)
"""Where along its line an arrow may stand, the best first."""
PINCH_GAP_MM, PINCH_MM = 0.8, 3.2
"""How far a pinch mark's wedges keep from what they press on, and how long they are."""
TAIL_CLEAR_MM, CLEAR_MM = 3.2, 5.8
"""Nearer to the dot than this an arrow's tail, or a pinch mark, would cover it."""
LEAST_WEDGE_MM = 1.8
PINCH_SHARES = (0.5, 0.4, 0.3, 0.2, 0.6, 0.7)
"""Where along its line, from its end near the floor, a pinch mark may stand, the best first."""
LEAST_PINCH_MM = 3.0
"""Pinch marks whose places are nearer to each other would be read as one."""


class Act(Struct, frozen=True):
    """One thing for the hands, in a picture."""

    kind: ActKind
    start: Point
    """Where the arrow starts, or the tip of one wedge."""
    end: Point
    """Its tip, or the tip of the other wedge."""
    at: Point
    """The place on the line that it is about."""
    marks: tuple[Mark, ...]


def folding_acts(
    scene: Scene, lines: Sequence[TableLine], kind: Literal["fold", "crease", "raise"], dot: Point | None = None
) -> Iterator[Act]:
    """An arrow over each line, so placed that each can be told from the next, and none covers the dot."""
    placed: list[Point] = []
    middle = scene.on_table([scene.folded.faces.floor_at])[0]
    longest = ARROW_MM[1] if len(lines) == 1 else 0.2 * max(scene.whole.width, scene.whole.height)
    for line in lines:
        out = (line.middle[0] + line.beyond[0], line.middle[1] + line.beyond[1])
        (mx, my), (bx, by) = scene.on_table([line.middle, out])
        bx, by = (bx - mx) / scene.scale, (by - my) / scene.scale
        reach = line.reach_mm if kind == "fold" else min(line.reach_mm, line.length_mm / 2)
        half = max(min(reach * scene.scale, longest), ARROW_MM[0])
        at = _foot(scene, line, placed, (half * bx, half * by), dot)
        placed.append(at)
        x, y = at
        inward = half if len(lines) == 1 else max(min(half, 0.6 * math.dist((x, y), middle)), ARROW_MM[0])
        if kind == "raise":  # so that arrows from all round do not meet in the middle
            inward = max(min(half, 0.45 * math.dist((x, y), middle)), LEAST_INWARD_MM)
        outward = min(half, max(SHORT_TAIL_MM, LEAST_ARROW_MM - inward)) if kind == "raise" and len(lines) > FEW else half
        if kind == "fold":  # an arrow keeps to its own picture
            inward = max(min(inward, _way_to_edge(scene.picture.box, (x, y), (-bx, -by))), ARROW_MM[0])
        start, end = (x + outward * bx, y + outward * by), (x - inward * bx, y - inward * by)
        drawn = there_and_back if kind == "crease" else valley_arrow
        yield Act(kind, start, end, at, drawn(start, end, head_mm=HEAD_MM if len(lines) <= FEW else SMALL_HEAD_MM))


def _way_to_edge(box: Box, at: Point, along: Point) -> float:
    """How far it is from a place in a box to its edge, in a direction of length 1."""
    ends = ((box.right - at[0], at[0] - box.left, along[0]), (box.top - at[1], at[1] - box.bottom, along[1]))
    return min((after if step > 0 else before) / abs(step) for after, before, step in ends if abs(step) > 1e-9)


def _foot(scene: Scene, line: TableLine, placed: Sequence[Point], tail: Point, dot: Point | None) -> Point:
    """Where the arrow of a line crosses it in the picture: away from the arrows there are, with its tail away from the dot."""
    along = (line.end[0] - line.start[0], line.end[1] - line.start[1])
    shares: tuple[float, ...] = SLIDES
    if line.corner:
        t = sum((c - s) * a for c, s, a in zip(line.corner, line.start, along, strict=True)) / line.length_mm**2
        shares = (t, *SLIDES)
    feet = [(line.start[0] + t * along[0], line.start[1] + t * along[1]) for t in shares]
    places = scene.on_table(feet)

    def apart(at: Point) -> float:
        return min((math.dist(at, other) for other in placed), default=math.inf)

    clear = [at for at in places if dot is None or math.dist((at[0] + tail[0], at[1] + tail[1]), dot) >= TAIL_CLEAR_MM] or places
    return next((at for at in clear if apart(at) >= APART_MM), max(clear, key=apart))


def pinching_acts(scene: Scene, lines: Sequence[tuple[Point, Point]], dot: Point | None = None) -> Iterator[Act]:
    """Two facing marks, one on each side of each line on the table: as near to its middle as is clear of the others and of the dot."""
    middle = scene.on_table([scene.folded.faces.floor_at])[0]
    ends = [sorted(scene.on_table(line), key=lambda p: round(math.dist(p, middle), 3)) for line in lines]
    most = PINCH_MM if len(lines) <= FEW else SMALL_PINCH_MM

    def along(share: float) -> list[Point]:
        return [((1 - share) * ax + share * bx, (1 - share) * ay + share * by) for (ax, ay), (bx, by) in ends]

    def apart(at: Sequence[Point]) -> float:
        gaps = (math.dist(a, b) for a, b in combinations(at, 2))
        return min((gap for gap in gaps if gap >= LEAST_PINCH_MM), default=math.inf)

    clear = 2.0 * (PINCH_GAP_MM + most) + 0.5
    best = max(PINCH_SHARES, key=lambda share: min(round(apart(along(share)), 3), clear))
    room = apart(along(best)) / 2.0 - PINCH_GAP_MM
    placed: list[Point] = []
    for at, ((ax, ay), (bx, by)) in zip(along(best), ends, strict=True):
        x, y = at
        if dot is not None and math.dist(at, dot) < CLEAR_MM:
            places = [at, *((ax + t * (bx - ax), ay + t * (by - ay)) for t in PINCH_SHARES)]
            x, y = max(places, key=lambda p: min(round(math.dist(p, dot), 3), CLEAR_MM))
        if any(math.dist((x, y), other) < LEAST_PINCH_MM for other in placed):
            continue
        placed.append((x, y))
        size = min(most, max(min(0.4 * math.dist((ax, ay), (bx, by)), room), LEAST_WEDGE_MM))
        yield facing_marks((x, y), math.atan2(by - ay, bx - ax) + math.pi / 2, size_mm=size)


def facing_marks(at: Point, across_rad: float, gap_mm: float = PINCH_GAP_MM, size_mm: float = PINCH_MM) -> Act:
    """Two marks that press on a place from both sides."""
    c, s = gap_mm * math.cos(across_rad), gap_mm * math.sin(across_rad)
    mark = crimp_mark(at, across_rad, gap_mm, size_mm)
    return Act("pinch", (at[0] - c, at[1] - s), (at[0] + c, at[1] + s), at, (mark,))


def crests(scene: Scene, step: FoldStep) -> list[tuple[Point, Point]]:
    """Where the spare foil of each corner is pinched: the fold in the middle of each flap, on the table."""
    was, found = scene.folded, []
    flat = np.abs(step.turn) > math.pi - HALF_TURN_RAD
    for flap in step.flaps:
        inside = was.faces.joined & flap.faces[was.faces.sides].all(axis=1) & flat & step.edges
        edges = np.nonzero(inside)[0]
        if not len(edges):
            continue
        start, end = on_table(was, edges)
        k = int(np.linalg.norm(end - start, axis=1).round(6).argmax())
        found.append(((float(start[k, 0]), float(start[k, 1])), (float(end[k, 0]), float(end[k, 1]))))
    start, end = on_table(was, crests_at_once(step, was))
    found += [((ax, ay), (bx, by)) for (ax, ay), (bx, by) in zip(start.tolist(), end.tolist(), strict=True)]
    return found


def laying_act(scene: Scene, flap: Flap, tip: Floats) -> Act:
    """An arrow along the way of a flap's tip (3,), from where it stands out to where it lies flat."""
    angles = np.linspace(0.0, -flap.swing_rad, 13)
    off = tip - flap.at
    along = (off @ flap.axis) * flap.axis
    across, up = off - along, np.cross(flap.axis, off)
    way = flap.at + along + np.cos(angles)[:, None] * across + np.sin(angles)[:, None] * up
    path = tuple(scene.at(way))
    return Act("lay", path[0], path[-1], path[len(path) // 2], along_arrow(path))
