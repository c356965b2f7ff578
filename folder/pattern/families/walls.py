"""A floor with a ring of walls: the creases of any hull with one bend between floor and rim.

outline   what the walls are made from: the sheet, or a smaller outline to which it was folded flat first
reach     how far a flap comes along the wall it is tucked on
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from folder.errors import BadRequest
from folder.findings import Point
from folder.geometry.plane import left_of
from folder.pattern.corner import CornerFold, Vector, corner_fold, to_outline
from folder.pattern.pattern import Crease


def unit(start: Point, end: Point) -> Vector:
    """The direction from one point to another."""
    length = math.dist(start, end)
    return ((end[0] - start[0]) / length, (end[1] - start[1]) / length)


def signed_crease(start: Point, end: Point, turn_rad: float, step: int | None = None) -> Crease:
    """A crease from a signed turn: valley positive."""
    return Crease(start, end, "valley" if turn_rad >= 0 else "mountain", abs(turn_rad), step)


def walled(
    outline: Sequence[Point],
    floor: Sequence[Point],
    turns_rad: Sequence[float | None],
    tuck_on_next: Sequence[bool],
    step: int = 1,
    *,
    strict: bool = True,
) -> tuple[tuple[Crease, ...], tuple[Point, ...]]:
    """The creases of a hull with a convex floor and a wall on each of its sides, or on some, and a crimp for each flap.

    outline       corners, counter-clockwise, mm; convex, around the floor
    floor         corners, counter-clockwise, mm
    turns_rad     the turn of the wall on the side from corner k to corner k + 1; None where that side has no wall
    tuck_on_next  for corner k: lay the flap on the wall that follows the corner (else on the one before)
    step          when the walls' lines are folded; then each corner's spare sheet is halved and laid on a wall
    strict        refuse flaps that get in each other's way or stand out over the rim; else they get no crimp
    """
    n = len(floor)
    folds = [_fold_at(floor, k, turns_rad) for k in range(n)]
    creases = [Crease(floor[k], floor[(k + 1) % n], "valley", turns_rad[k], step) for k in range(n) if turns_rad[k] is not None]
    crimps = []
    past = []
    for k, (here, fold) in enumerate(zip(floor, folds, strict=True)):
        if fold is None:
            past.append(False)
            continue
        # Seen from the corner the wall after it comes first: its side crease is `first`.
        ends = [to_outline(here, direction, outline) for direction in (fold.first, fold.diagonal, fold.second)]
        turns = fold.turns(tuck_on_next[k])
        creases += [signed_crease(here, end, turn, step + 1) for end, turn in zip(ends, turns, strict=True)]
        flap = _Flap(here, fold, tuck_on_next[k])
        crimp = flap.crimp(ends)
        out = any(left_of(crimp, p, q) < -1e-9 for p, q in zip(outline, (*outline[1:], outline[0]), strict=True))
        if out and strict:
            raise _stands_out(floor, k)
        if not out:
            crimps.append(crimp)
        other = folds[(k + 1) % n if tuck_on_next[k] else k - 1]
        if other is None:  # the wall runs on to the sheet's edge: no flap comes to meet this one
            past.append(False)
            continue
        far = other.second if tuck_on_next[k] else other.first
        past.append(flap.reaches_past(floor[(k + 1) % n if tuck_on_next[k] else k - 1], far, [*ends, *outline]))
    for k in range(n if strict else 0):
        if past[k] and past[(k + 1) % n] and tuck_on_next[k] and not tuck_on_next[(k + 1) % n]:
            raise flaps_too_long(k, math.dist(floor[k], floor[(k + 1) % n]))
    return tuple(creases), tuple(crimps)


def flaps_too_long(side: int, length_mm: float) -> BadRequest:
    """The error of a wall whose two flaps would each stick out past the other's hinge."""
    return BadRequest(
        "two flaps on one wall are both longer than the wall, so they cannot pass each other",
        where=f"floor side {side + 1}",
        found=f"a wall {length_mm:.1f} mm long",
        remedy="Make the walls lower, or tuck one flap on each wall all the way round",
    )


def _stands_out(floor: Sequence[Point], k: int) -> BadRequest:
    """The error of a flap whose tip comes out over the rim of its wall: there is nothing there to pinch it to."""
    ahead, back = unit(floor[k], floor[(k + 1) % len(floor)]), unit(floor[k], floor[k - 1])
    corner_deg = math.degrees(math.atan2(ahead[0] * back[1] - ahead[1] * back[0], ahead[0] * back[0] + ahead[1] * back[1]))
    return BadRequest(
        "the flap of this corner stands out over the rim of the wall it is laid on",
        where=f"floor corner {k + 1}",
        found=f"a corner of {corner_deg:.0f} deg",
        remedy="Make the corner squarer, or lay its flap on the other wall",
    )


class _Flap:
    """The spare sheet of one corner, and where it lies on its wall. Places are complex numbers from the corner."""

    def __init__(self, corner: Point, fold: CornerFold, tuck_on_first: bool) -> None:
        self.corner = complex(*corner)
        side, other = (fold.first, fold.second) if tuck_on_first else (fold.second, fold.first)
        self.side, self.diagonal, self.other = complex(*side), complex(*fold.diagonal), complex(*other)
        self.way = 1.0 if tuck_on_first else -1.0

    def on_wall(self, point: Point) -> complex | None:
        """Where a point of the spare sheet comes to lie in the plane of the wall; None for a point outside the flap."""
        at = complex(*point) - self.corner
        if _cross(at, self.side) * self.way < -1e-9 or _cross(self.other, at) * self.way < -1e-9:
            return None
        if _cross(at, self.diagonal) * self.way > 0:
            at = self.diagonal**2 * at.conjugate()
        return self.side**2 * at.conjugate()

    def crimp(self, ends: Sequence[Point]) -> Point:
        """A place on the wall well inside the flap that lies on it: near the rim, where fingers can pinch both."""
        side_end = ends[0] if self.way > 0 else ends[2]
        tip = self.on_wall(ends[1])
        assert tip is not None  # the diagonal bounds the flap
        at = self.corner + 0.4 * (complex(*side_end) - self.corner + tip)
        return (at.real, at.imag)

    def reaches_past(self, other_corner: Point, far_side: Vector, points: Sequence[Point]) -> bool:
        """The flap comes out beyond the far side of the wall it lies on."""
        far, line = complex(*other_corner), complex(*far_side)
        on_wall = (self.on_wall(p) for p in points)
        return any(at is not None and _cross(self.corner + at - far, line) * self.way < -1e-9 for at in on_wall)


def _cross(a: complex, b: complex) -> float:
    return (a.conjugate() * b).imag


def _fold_at(floor: Sequence[Point], k: int, turns_rad: Sequence[float | None]) -> CornerFold | None:
    """The fold of a corner; None where one of its two sides has no wall."""
    n, after, before = len(floor), turns_rad[k], turns_rad[k - 1]
    if after is None or before is None:
        return None
    fold = corner_fold(unit(floor[k], floor[(k + 1) % n]), unit(floor[k], floor[k - 1]), after, before)
    if fold is None:
        raise BadRequest(
            "the two walls at this corner leave no sheet to fold between them",
            where=f"floor corner {k + 1}",
            found=f"turns {math.degrees(before):.1f} and {math.degrees(after):.1f} deg",
            remedy="Turn the walls up further",
        )
    return fold
