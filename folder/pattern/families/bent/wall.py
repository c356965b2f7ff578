"""A wall in strips, and what its corner is made of: the strips' sides and the ear between two such walls.

strip     a part of a wall between two lines along it, the lowest first
turn      of a strip: how far it stands up from level
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from msgspec import Struct

from folder.errors import BadRequest
from folder.findings import Point
from folder.pattern.families.bent.ear import Ear, Ears
from folder.pattern.families.parameter import Drawing
from folder.pattern.families.trays import sheet_middle
from folder.pattern.families.walls import flaps_too_long, signed_crease
from folder.pattern.pattern import Crease

_FLOOR, _BEND, _EAR, _KINK = 1, 2, 3, 4
"""Order of folds."""

_LEAST_KINK_MM = 1.0
"""Ends of kinks are at least so far apart on the fold they meet: nearer, no hand tells one from the next (judgement)."""

_MARK_AT = ((0.2, 0.4, 0.4), (0.5, 0.3, 0.2))
"""Where on a wall of one strip, and of two, its ear is pinched: shares of the strip's lower corner, upper corner and the ear's tip."""


class BentWall(Struct, frozen=True):
    """What all walls of one tray share, seen from a floor corner: along the wall the ear lies on, along the other."""

    turns_rad: tuple[float, ...]
    points: tuple[Point, ...]
    """Where the own wall's side meets floor, bends and rim."""
    ear: Ear

    @property
    def tip(self) -> float:
        """The sheet's corner, along both walls."""
        return self.points[-1][1]

    def kink_ends(self) -> list[float]:
        """Where the kinks meet the diagonal, along both walls; nowhere (-inf), if one runs away from it."""
        ends = []
        for k, kink in enumerate(self.ear.kinks):
            x, y = self.points[k + 1]
            toward = math.pi / 2.0 - _lean(self.turns_rad[k]) + kink.along_rad
            nearing = math.sin(toward) - math.cos(toward)
            ends.append(x + (x - y) * math.cos(toward) / nearing if nearing > 1e-9 else -math.inf)
        return ends

    def is_sound(self) -> bool:
        """The kinks end one after another on the diagonal, and the ear's top stays above the rim."""
        down = [0.0, *self.kink_ends(), self.tip]
        ordered = all(upper - lower > _LEAST_KINK_MM for upper, lower in pairwise(down))
        return ordered and math.cos(self.ear.angles_rad[-1]) <= math.sin(self.turns_rad[-1]) / math.sqrt(2.0) + 1e-12

    def tip_on_wall(self) -> Point:
        """Where the sheet's corner comes to lie on the plane of the own wall's last strip."""
        (x0, y0), lean = self.points[-2], 2.0 * _lean(self.turns_rad[-1])
        x, y = self.tip - x0, self.tip - y0
        return (x0 - x * math.cos(lean) + y * math.sin(lean), y0 + x * math.sin(lean) + y * math.cos(lean))

    def reach_mm(self) -> float:
        """How far the ear comes along its wall, at most."""
        kinks = (x + math.dist((x, y), (end, end)) for (x, y), end in zip(self.points[1:], self.kink_ends(), strict=False))
        return max(self.tip_on_wall()[0], *kinks, 0.0)


class _Corner(Struct, frozen=True):
    """A floor corner: `u` along the wall the ear lies on, `v` along the other, as unit numbers."""

    at: complex
    u: complex
    v: complex
    wall: BentWall

    def place(self, along_own: float, along_other: float) -> Point:
        """A point of the sheet from its distances along the two walls."""
        point = self.at + along_own * self.u + along_other * self.v
        return (point.real, point.imag)

    def own(self, k: int) -> Point:
        """A point of the own wall's side: floor, bends, rim."""
        return self.place(*self.wall.points[k])

    def other(self, k: int) -> Point:
        """The same point of the other wall's side."""
        return self.place(*reversed(self.wall.points[k]))

    def creases(self) -> Iterator[Crease]:
        """The sides of both walls, the fold that halves the ear, and its kinks."""
        ear = self.wall.ear
        for k, (own, other) in enumerate(zip(ear.own_turns, ear.other_turns, strict=True)):
            yield signed_crease(self.own(k), self.own(k + 1), own, _EAR)
            yield signed_crease(self.other(k), self.other(k + 1), other, _EAR)
        yield signed_crease(self.own(0), self.place(self.wall.tip, self.wall.tip), ear.fold_turn, _EAR)
        for k, (end, kink) in enumerate(zip(self.wall.kink_ends(), ear.kinks, strict=True), start=1):
            # The other half of the ear faces the other way.
            yield signed_crease(self.own(k), self.place(end, end), -kink.turn_rad, _KINK)
            yield signed_crease(self.other(k), self.place(end, end), kink.turn_rad, _KINK)

    def crimp(self) -> Point:
        """A place well inside the last strip's ear, where fingers can pinch all layers."""
        points = self.wall.points
        if len(points) <= 3:  # the ear lies on its wall: marked on the wall
            corners = zip(_MARK_AT[len(points) - 2], (points[-2], points[-1], self.wall.tip_on_wall()), strict=True)
        else:  # it stands out
            end, tip = self.wall.kink_ends()[-1], self.wall.tip
            corners = zip((0.4, 0.2, 0.4), (points[-1], (end, end), (tip, tip)), strict=True)
        x, y = map(sum, zip(*((share * p[0], share * p[1]) for share, p in corners), strict=True))
        at = self.place(x, y)
        return (round(at[0], 2), round(at[1], 2))


def _lean(turn_rad: float) -> float:
    """How far the side of a strip that stands up so far leans from square on the sheet."""
    return math.atan(math.cos(turn_rad)) if abs(turn_rad - math.pi / 2.0) > 1e-12 else 0.0


def bent_wall(strips_mm: Sequence[float], turns_deg: Sequence[float], family: str) -> BentWall:
    """A wall of strips of these widths, mm, and turns, deg. BadRequest where its corner has no ear."""
    turns = [math.radians(turn) for turn in turns_deg]
    points = [(0.0, 0.0)]
    for width, lean in zip(strips_mm, map(_lean, turns), strict=True):
        x, y = points[-1]
        points.append((x - width * math.tan(lean), y - width))
    # On the sheet a less leaning side turns to the right; the sides of both walls meet in a plane that cuts them at 45 deg.
    ears = Ears(
        tuple(-_lean(turn) for turn in turns),
        tuple(math.atan2(math.sin(turn), math.sqrt(2.0) * math.cos(turn)) for turn in turns),
        tuple((math.pi + math.acos(math.cos(turn) ** 2)) / 2.0 for turn in turns),
    )
    made = ears.farthest(lambda ear: BentWall(tuple(turns), tuple(points), ear).is_sound())
    if made is None:
        raise BadRequest(
            "the spare sheet of a corner cannot follow these bends",
            where=f"{family}, the turns of the strips",
            found=", ".join(f"{turn:g}" for turn in turns_deg) + " deg",
            remedy="Spread the turns evenly, the lowest strip about 20 deg up for three strips, the top one about 75 deg",
        )
    return BentWall(tuple(turns), tuple(points), made)


def walls_in_strips(floor: Sequence[Point], wall: BentWall, tuck_on_next: Sequence[bool]) -> Drawing:
    """Four such walls round a square or oblong floor; for each corner, whether its ear goes with the wall that follows."""
    corners = []
    for k, here in enumerate(floor):
        u, v = (1j**k, 1j ** (k + 1)) if tuck_on_next[k] else (1j ** (k + 1), 1j**k)
        corners.append(_Corner(complex(*here), u, v, wall))
    creases: list[Crease] = []
    for k, corner in enumerate(corners):
        after = corners[(k + 1) % 4]
        from_own, to_other = tuck_on_next[k], tuck_on_next[(k + 1) % 4]
        below = 0.0
        for bend, turn in enumerate(wall.turns_rad):
            start = corner.own(bend) if from_own else corner.other(bend)
            end = after.other(bend) if to_other else after.own(bend)
            creases.append(signed_crease(start, end, turn - below, _BEND if bend else _FLOOR))
            below = turn
        length = math.dist(floor[k], floor[(k + 1) % 4])
        if from_own and not to_other and wall.reach_mm() > length:
            raise flaps_too_long(k, length)
    creases += [crease for corner in corners for crease in corner.creases()]
    return Drawing(tuple(creases), sheet_middle(floor), tuple(corner.crimp() for corner in corners))
