"""Ticks and step numbers round a sheet at its true size, so that foil laid on it can be creased without seeing the lines.

line   a fold on the sheet, in a style, with the number of its step
tick   the fold's line run on outside the sheet, where the fold ends at the edge
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

from msgspec import Struct

from folder.draw.clip import part_inside
from folder.draw.picture import Box, Line, Mark
from folder.draw.sheet.mark import BADGE_MM, badge_box, step_badge
from folder.draw.style import StyleName
from folder.findings import Point

TICK_MM = 5.0
"""How far outside the sheet a tick reaches."""
TICK_WEIGHT = 1.4
"""Ticks are a little wider than thin lines: they are looked for from above the foil."""
_LOW_SINE = 0.5
"""A tick of a line that leaves the sheet at a lower angle is cut short: it would run along the edge."""
SPEAKS_FOR_MM = 45.0
"""One number speaks for the folds of its step this near to it."""
_PROBE_MM = 0.4
_REACHES_MM = (6.0, 7.0, 8.5, 10.5)
"""How far from the end of a fold its number may stand."""
MOST_NUMBERS = 60

Inside = Callable[[Point], bool]


class Fold(Struct, frozen=True):
    """A fold on the sheet, mm."""

    start: Point
    end: Point
    style: StyleName
    step: int | None = None

    @property
    def line(self) -> Line:
        """It as a line."""
        return Line((self.start, self.end), self.style)

    @property
    def length_mm(self) -> float:
        """How long."""
        return math.dist(self.start, self.end)


def edge_ticks(folds: Sequence[Fold], inside: Inside) -> list[tuple[Fold, Line]]:
    """A tick for each end of a fold at the edge; those of several folds that end in one direction are one."""
    found: dict[tuple[float, ...], tuple[Fold, Line]] = {}
    for fold in folds:
        if fold.style == "guide":
            continue
        for (x, y), (fx, fy) in ((fold.end, fold.start), (fold.start, fold.end)):
            length = math.dist((x, y), (fx, fy)) or 1.0
            ux, uy = (x - fx) / length, (y - fy) / length
            if inside((x + _PROBE_MM * ux, y + _PROBE_MM * uy)):
                continue
            reach = TICK_MM / max(_sine((x, y), (ux, uy), inside), _LOW_SINE)
            key = (round(x, 1), round(y, 1), round(ux, 2), round(uy, 2), fold.step or 0)
            found.setdefault(key, (fold, Line(((x, y), (x + reach * ux, y + reach * uy)), "thin", weight=TICK_WEIGHT)))
    return list(found.values())


def _sine(at: Point, along: Point, inside: Inside) -> float:
    """The sine of the angle at which a direction leaves the sheet: how far off the edge it gets for its length."""
    for angle in range(0, 90, 5):
        for turn in (-1, 1):
            a = math.atan2(along[1], along[0]) + turn * math.radians(90 - angle)
            if not inside((at[0] + math.cos(a), at[1] + math.sin(a))):
                continue
            return math.cos(math.radians(max(angle - 5, 0)))
    return 1.0


def number_marks(folds: Sequence[Fold], inside: Inside, room: Box, taken: Sequence[Box] = ()) -> Iterator[Mark]:
    """The step numbers, and a thin line to its fold for each that stands away from it."""
    for number, at, to in _placed(folds, inside, room, taken):
        if to is not None:
            yield Line((badge_box(number, at).nearest(to), to), "thin")
        yield from step_badge(number, at)


def _placed(folds: Sequence[Fold], inside: Inside, room: Box, taken: Sequence[Box]) -> list[tuple[int, Point, Point | None]]:
    boxes = list(taken)
    numbered = [fold for fold in folds if fold.step is not None and fold.style != "guide"]
    strokes = [(fold.start, fold.end) for fold in folds] + [line.points for _, line in edge_ticks(folds, inside)]
    placed: list[tuple[int, Point, Point | None]] = []

    def free(box: Box, own: Fold) -> bool:
        if not (room.holds((box.left, box.bottom)) and room.holds((box.right, box.top))) or any(box.touches(b) for b in boxes):
            return False
        mine = (own.start, own.end)
        return not any(part_inside(a, b, box.corners) for a, b in strokes if (a, b) != mine)

    def put(fold: Fold, *, must: bool) -> None:
        assert fold.step is not None
        for at in (*_beside_ticks(fold, inside), *_on_line(fold)):
            if any(n == fold.step and math.dist(at, p) < SPEAKS_FOR_MM for n, p, _ in placed):
                return
            box = badge_box(fold.step, at)
            if free(box, fold):
                boxes.append(box)
                placed.append((fold.step, at, None))
                return
        if must and (away := _away(fold, free)):
            at, to = away
            boxes.append(badge_box(fold.step, at))
            strokes.append((at, to))
            placed.append((fold.step, at, to))

    by_step: dict[int, list[Fold]] = {}
    # Foil laid on the sheet hides what stands on it: folds with a tick outside come first.
    for fold in sorted(numbered, key=lambda fold: (not edge_ticks([fold], inside), -round(fold.length_mm, 3))):
        by_step.setdefault(fold.step or 0, []).append(fold)
    # The step with the least to show comes first: it has the fewest places to choose from.
    for step in sorted(by_step, key=lambda step: round(sum(fold.length_mm for fold in by_step[step]), 3)):
        for fold in by_step[step]:
            put(fold, must=False)
            if any(n == step for n, _, _ in placed):
                break
        else:
            put(by_step[step][0], must=True)
    for step in sorted(by_step):
        for fold in by_step[step]:
            if len(placed) < MOST_NUMBERS:
                put(fold, must=False)
    return placed


def _beside_ticks(fold: Fold, inside: Inside) -> Iterator[Point]:
    """Places outside the sheet round the ticks of a fold, the nearest first, and those ahead before those behind."""
    half = BADGE_MM / 2 + 0.4
    for _, tick in edge_ticks([fold], inside):
        (x, y), (tx, ty) = tick.points
        ahead = math.atan2(ty - y, tx - x)
        for reach in _REACHES_MM:
            for k in (2, -2, 3, -3, 1, -1, 4, -4, 5, -5, 0):
                turn = ahead + k * math.pi / 8
                at = (x + reach * math.cos(turn), y + reach * math.sin(turn))
                if not any(inside((at[0] + dx, at[1] + dy)) for dx in (-half, 0.0, half) for dy in (-half, 0.0, half)):
                    yield at


def _on_line(fold: Fold) -> Iterator[Point]:
    if fold.length_mm < 1.6 * BADGE_MM:
        return
    for t in (0.5, 0.35, 0.65, 0.25, 0.75):
        yield (fold.start[0] + t * (fold.end[0] - fold.start[0]), fold.start[1] + t * (fold.end[1] - fold.start[1]))


def _away(fold: Fold, free: Callable[[Box, Fold], bool]) -> tuple[Point, Point] | None:
    """The nearest free place round the middle of a fold for its number, and the middle."""
    assert fold.step is not None
    x, y = (fold.start[0] + fold.end[0]) / 2, (fold.start[1] + fold.end[1]) / 2
    for reach in range(7, 60, 2):
        for k in range(24):
            turn = 2 * math.pi * k / 24
            at = (x + reach * math.cos(turn), y + reach * math.sin(turn))
            if free(badge_box(fold.step, at), fold):
                return at, (x, y)
    return None
