"""A fold carried through the layers of a sheet that is folded flat.

table    the plane in which the folded sheet lies; the layer that was never turned over lies on it as on the sheet
layer    a convex part of the sheet between folds, with the motion that put it on the table
up       a layer whose inside faces up; on a layer turned over, a crease has the other sense
stack    all layers, from the lowest to the highest, and the creases folded so far

A crease drawn on the table marks every layer beneath it. Laid back on the sheet by the layer's motion it gives the
lines that make the same shape from the flat sheet.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from msgspec import Struct
from msgspec.structs import replace

from folder.errors import BadRequest
from folder.findings import Point
from folder.geometry.plane import left_of
from folder.pattern.families.weld import welded
from folder.pattern.pattern import Crease, Sense, Sheet

_EPS_MM = 1e-9
"""Two places nearer than this are one: far above rounding, far below any fold."""

_OTHER: dict[Sense, Sense] = {"valley": "mountain", "mountain": "valley", "cut": "cut", "guide": "guide"}
"""The sense of a crease seen from the other side of the sheet."""


class Motion(Struct, frozen=True):
    """A motion of the plane: turned by the unit number `turn` (after a flip about the x axis if `flip`), then shifted."""

    turn: complex = 1.0 + 0.0j
    shift: complex = 0.0j
    flip: bool = False

    def __call__(self, point: Point) -> Point:
        """The point moved."""
        at = complex(*point)
        moved = self.turn * (at.conjugate() if self.flip else at) + self.shift
        return (moved.real, moved.imag)

    def back(self, point: Point) -> Point:
        """The point that is moved here."""
        at = self.turn.conjugate() * (complex(*point) - self.shift)
        return (at.real, -at.imag if self.flip else at.imag)

    def mirrored(self, start: Point, end: Point) -> Motion:
        """This motion, then turned over about a line."""
        along = complex(*end) - complex(*start)
        mirror = along * along / (along * along.conjugate()).real
        shift = complex(*start) - mirror * complex(*start).conjugate()
        return Motion(mirror * self.turn.conjugate(), mirror * self.shift.conjugate() + shift, not self.flip)


class FoldedLayer(Struct, frozen=True):
    """A convex part of the sheet, its corners counter-clockwise in mm, and the motion from the sheet to the table."""

    outline: tuple[Point, ...]
    motion: Motion = Motion()

    @property
    def up(self) -> bool:
        """The inside faces up."""
        return not self.motion.flip

    @property
    def on_table(self) -> tuple[Point, ...]:
        """The corners on the table."""
        return tuple(self.motion(p) for p in self.outline)

    def split(self, start: Point, end: Point) -> tuple[FoldedLayer | None, FoldedLayer | None, tuple[Point, Point] | None]:
        """What lies left and right of a line on the table, and the stretch of it inside the layer, on the sheet."""
        away = [_left_of(p, start, end) for p in self.on_table]
        halves: tuple[list[Point], list[Point]] = ([], [])
        met = []
        for k, (p, d) in enumerate(zip(self.outline, away, strict=True)):
            q, e = self.outline[k - 1], away[k - 1]
            if (d > _EPS_MM and e < -_EPS_MM) or (d < -_EPS_MM and e > _EPS_MM):
                between = (q[0] + (p[0] - q[0]) * e / (e - d), q[1] + (p[1] - q[1]) * e / (e - d))
                met.append(between)
                halves[0].append(between)
                halves[1].append(between)
            if abs(d) <= _EPS_MM:
                met.append(p)
            if d >= -_EPS_MM:
                halves[0].append(p)
            if d <= _EPS_MM:
                halves[1].append(p)
        left = replace(self, outline=tuple(halves[0])) if max(away) > _EPS_MM else None
        right = replace(self, outline=tuple(halves[1])) if min(away) < -_EPS_MM else None
        stretch = (met[0], met[1]) if left and right else None
        return left, right, stretch

    def holds(self, point: Point) -> bool:
        """The layer lies under a point of the table."""
        at = self.motion.back(point)
        return all(_left_of(at, p, q) >= -_EPS_MM for p, q in _sides(self.outline))

    def marked(self, crease: Crease) -> Crease | None:
        """A crease on the table laid back on this layer; None where it does not run through the layer's inside."""
        start, end = self.motion.back(crease.start), self.motion.back(crease.end)
        low, high = 0.0, 1.0
        for p, q in _sides(self.outline):
            a, b = _left_of(start, p, q), _left_of(end, p, q)
            if a <= _EPS_MM and b <= _EPS_MM:
                return None
            if a < -_EPS_MM:
                low = max(low, a / (a - b))
            elif b < -_EPS_MM:
                high = min(high, a / (a - b))
        if (high - low) * math.dist(start, end) <= _EPS_MM:
            return None
        return replace(
            crease,
            start=start if low == 0.0 else _along(start, end, low),
            end=end if high == 1.0 else _along(start, end, high),
            sense=crease.sense if self.up else _OTHER[crease.sense],
        )


class FlatStack(Struct, frozen=True):
    """A sheet folded flat: its layers, the lowest first, and the creases that fold it so."""

    layers: tuple[FoldedLayer, ...]
    creases: tuple[Crease, ...] = ()

    @classmethod
    def of(cls, sheet: Sheet) -> FlatStack:
        """A sheet not yet folded."""
        return cls((FoldedLayer(sheet.corners),))

    def fold(
        self, start: Point, end: Point, step: int | None = None, *, under: bool = False, most: int | None = None
    ) -> FlatStack:
        """Fold what lies right of a line over to its left (`under`: beneath it). The sheet left of the line stays.

        `most` folds only so many layers along the line, counted from the top (`under`: from the bottom); BadRequest
        when these hang together with layers that stay, or lie under them.
        """
        kept, moved, creases = [], [], []
        lifted = self._lifted(start, end, most, under)
        for layer, lift in zip(self.layers, lifted, strict=True):
            if not lift:
                kept.append(layer)
                continue
            left, right, stretch = layer.split(start, end)
            if left:
                kept.append(left)
            if right:
                moved.append(replace(right, motion=right.motion.mirrored(start, end)))
            if stretch:
                creases.append(Crease(*stretch, "valley" if layer.up != under else "mountain", math.pi, step))
        moved.reverse()
        layers = (*moved, *kept) if under else (*kept, *moved)
        return FlatStack(layers, (*self.creases, *creases))

    def _lifted(self, start: Point, end: Point, most: int | None, under: bool) -> list[bool]:
        """For each layer: does its part right of the line move."""
        right = [layer.split(start, end)[1] for layer in self.layers]
        if most is None:
            return [part is not None for part in right]
        order = range(len(right)) if under else range(len(right) - 1, -1, -1)
        lifted = [False] * len(right)
        above: list[tuple[float, float]] = []
        for k in order:
            reach = _reach(self.layers[k], start, end)
            if reach:
                lifted[k] = sum(a < reach[1] - _EPS_MM and reach[0] < b - _EPS_MM for a, b in above) < most
                above.append(reach)
        # Whatever hangs together with a moving part moves with it.
        todo = [k for k in order if lifted[k]]
        for k in todo:
            for j, part in enumerate(right):
                if part and not lifted[j] and _hang_together(right[k], part):
                    lifted[j] = True
                    todo.append(j)
                    if _reach(self.layers[j], start, end):
                        raise BadRequest("these layers hang together", where="a fold of some layers", remedy="Fold more layers")
        still: list[FoldedLayer] = []
        for k in order:
            part = right[k]
            if part and lifted[k] and any(_overlap(part.on_table, other.on_table) for other in still):
                raise BadRequest("a layer lies in the way", where="a fold of some layers", remedy="Fold more layers")
            if part and not lifted[k]:
                still.append(part)
        return lifted

    def lowest_at(self, point: Point) -> FoldedLayer | None:
        """The lowest layer under a point of the table."""
        return next((layer for layer in self.layers if layer.holds(point)), None)

    def on_sheet(self, point: Point) -> Point:
        """A point of the table on the lowest layer there, laid back on the sheet; as it is where nothing lies."""
        layer = self.lowest_at(point)
        return layer.motion.back(point) if layer else point

    def marked(self, creases: Iterable[Crease]) -> tuple[Crease, ...]:
        """All creases of the flat sheet: those that fold the stack, and these, drawn on the table, through every layer."""
        marks = (layer.marked(crease) for crease in creases for layer in self.layers)
        return welded([*self.creases, *(mark for mark in marks if mark)])


def _sides(outline: Sequence[Point]) -> Iterable[tuple[Point, Point]]:
    return zip(outline, (*outline[1:], outline[0]), strict=True)


def _left_of(point: Point, start: Point, end: Point) -> float:
    """How far a point lies left of a line, mm."""
    return left_of(point, start, end) / math.hypot(end[0] - start[0], end[1] - start[1])


def _along(start: Point, end: Point, share: float) -> Point:
    return (start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share)


def _place_on(point: Point, start: Point, end: Point) -> float:
    """How far along a line a point lies, mm."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    return ((point[0] - start[0]) * dx + (point[1] - start[1]) * dy) / math.hypot(dx, dy)


def _reach(layer: FoldedLayer, start: Point, end: Point) -> tuple[float, float] | None:
    """From where to where along a line on the table a layer is crossed by it."""
    stretch = layer.split(start, end)[2]
    if stretch is None:
        return None
    a, b = (_place_on(layer.motion(p), start, end) for p in stretch)
    return (min(a, b), max(a, b))


def _hang_together(a: FoldedLayer | None, b: FoldedLayer) -> bool:
    """Two parts share a stretch of a side on the sheet."""
    for p, q in _sides(a.outline if a else ()):
        for r, s in _sides(b.outline):
            if max(abs(_left_of(x, p, q)) for x in (r, s)) <= _EPS_MM:
                low, high = sorted((_place_on(r, p, q), _place_on(s, p, q)))
                if min(high, math.dist(p, q)) - max(low, 0.0) > _EPS_MM:
                    return True
    return False


def _overlap(a: Sequence[Point], b: Sequence[Point]) -> bool:
    """Two convex outlines share more than a side: no side of either keeps them apart."""
    for first, second in ((a, b), (b, a)):
        for p, q in _sides(first):
            inner = [_left_of(x, p, q) for x in first]
            outer = [_left_of(x, p, q) for x in second]
            # A layer turned over has its outline clockwise on the table.
            if (sum(inner) > 0 and max(outer) <= _EPS_MM) or (sum(inner) < 0 and min(outer) >= -_EPS_MM):
                return False
    return True
