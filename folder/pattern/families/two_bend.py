"""The two-bend tray: walls that lean out much, then less: the curved wall in two pieces.

In each half of the spare sheet at a corner the lower part needs a steeper side than the upper part. What is left over
between them is a narrow wedge at the end of the second line, twice as wide as the difference of the two leans. It is
taken up by a dart: a small pleat that runs from that point to the diagonal and lies flat on the flap.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from folder.errors import BadRequest
from folder.findings import Point
from folder.pattern.families.parameter import Drawing, Family, Parameter, Value, number, word
from folder.pattern.families.trays import LEAST_WALL_MM, TUCK, WALL, inset_floor, sheet_middle, tucked, tucks
from folder.pattern.families.walls import flaps_too_long, signed_crease
from folder.pattern.pattern import Crease, Sheet

_FLOOR, _BEND, _FLAP, _DART = 1, 2, 3, 4
"""Order of folds."""


class _Corner:
    """One corner seen from its floor corner: `u` along the wall the flap lies on, `v` along the other, as unit numbers."""

    def __init__(self, at: Point, u: complex, v: complex, low_mm: float, high_mm: float, turns_rad: tuple[float, float]) -> None:
        self.at, self.u, self.v = complex(*at), u, v
        # A wall that turns up by f has a side that leans by atan(cos f) from square.
        self.leans = [math.atan(_cos(turn)) for turn in turns_rad]
        self.turns = turns_rad
        self.low, self.high = low_mm, high_mm
        low_lean, high_lean = math.tan(self.leans[0]), math.tan(self.leans[1])
        self.bend = (-low_mm * low_lean, -low_mm)
        self.rim = (self.bend[0] - high_mm * high_lean, -low_mm - high_mm)
        self.tip = (-low_mm - high_mm, -low_mm - high_mm)

    def place(self, along_own: float, along_other: float) -> Point:
        """A point of the sheet from its distances along the two walls."""
        point = self.at + along_own * self.u + along_other * self.v
        return (point.real, point.imag)

    def dart_ends(self) -> list[tuple[float, float]]:
        """Where the dart's three lines meet the diagonal. The outer two are the second line seen in the two parts of the flap."""
        ends = []
        for lean in (self.leans[0], sum(self.leans) / 2.0, self.leans[1]):
            reach = (self.bend[0] - self.bend[1]) / (math.sin(2.0 * lean) + math.cos(2.0 * lean))
            along = self.bend[1] + reach * math.sin(2.0 * lean)
            ends.append((along, along))
        return ends

    def creases(self) -> Iterator[Crease]:
        """The side creases of both walls, the diagonal, and the dart."""
        low, high = (math.acos(_cos(turn) ** 2) for turn in self.turns)
        own, other, edge = self.place(*self.bend), self.place(*reversed(self.bend)), self.place(*self.rim)
        yield signed_crease(self.place(0, 0), own, -math.pi, _FLAP)
        yield signed_crease(own, edge, -math.pi, _FLAP)
        yield signed_crease(self.place(0, 0), other, low, _FLAP)
        yield signed_crease(other, self.place(*reversed(self.rim)), high, _FLAP)
        yield signed_crease(self.place(0, 0), self.place(*self.tip), math.pi, _FLAP)
        for end, turn in zip(self.dart_ends(), (math.pi, -math.pi, self.turns[0] - self.turns[1]), strict=True):
            # The other half of the flap faces the other way.
            yield signed_crease(own, self.place(*end), turn, _DART)
            yield signed_crease(other, self.place(*end), -turn, _DART)

    def tip_on_wall(self) -> tuple[float, float]:
        """Where the sheet's corner comes to lie on the upper wall: mirrored about the upper side crease."""
        x, y = self.tip[0] - self.bend[0], self.tip[1] - self.bend[1]
        lean = 2.0 * self.leans[1]
        return (self.bend[0] - x * math.cos(lean) + y * math.sin(lean), self.bend[1] + x * math.sin(lean) + y * math.cos(lean))

    def reach_mm(self) -> float:
        """How far the flap comes along its wall."""
        darts = (self.bend[0] + math.dist(self.bend, end) for end in self.dart_ends())
        return max(self.tip_on_wall()[0], *darts)

    def crimp(self) -> Point:
        """A place on the upper wall well inside the flap that lies on it."""
        weighed = zip((0.5, 0.3, 0.2), (self.bend, self.rim, self.tip_on_wall()), strict=True)
        x, y = map(sum, zip(*((w * p[0], w * p[1]) for w, p in weighed), strict=True))
        at = self.place(x, y)
        return (round(at[0], 2), round(at[1], 2))


def _cos(turn_rad: float) -> float:
    """The cosine, with that of a right angle exactly zero."""
    return 0.0 if abs(turn_rad - math.pi / 2.0) < 1e-12 else math.cos(turn_rad)


def _two_bend_tray(sheet: Sheet, values: Mapping[str, Value]) -> Drawing:
    wall, low = number(values, "wall"), number(values, "bend")
    turn, upright = number(values, "turn"), number(values, "upright")
    if wall - low < LEAST_WALL_MM:
        raise BadRequest(
            "the second bend lies too near the rim",
            where="two-bend-tray, parameter bend",
            found=f"{low:g} mm on a wall of {wall:g} mm",
            remedy=f"Give at most {wall - LEAST_WALL_MM:g} mm",
        )
    if upright < turn + 1.0:
        raise BadRequest(
            "the upper part of the walls must stand up more than the lower part",
            where="two-bend-tray, parameter upright",
            found=f"{upright:g} deg over {turn:g} deg",
            remedy=f"Give at least {turn + 1.0:g} deg, or take a leaning tray",
        )
    floor = inset_floor(sheet.corners, wall, "two-bend-tray")
    turns = (math.radians(turn), math.radians(upright))

    def drawn(choice: str) -> Drawing:
        return _drawn(floor, low, wall - low, turns, tucks(choice, "two-bend-tray"))

    return tucked(word(values, "tuck"), drawn)


def _drawn(
    floor: Sequence[Point], low_mm: float, high_mm: float, turns_rad: tuple[float, float], tuck_on_next: Sequence[bool]
) -> Drawing:
    creases: list[Crease] = []
    corners = []
    for k, here in enumerate(floor):
        u, v = (1j**k, 1j ** (k + 1)) if tuck_on_next[k] else (1j ** (k + 1), 1j**k)
        corners.append(_Corner(here, u, v, low_mm, high_mm, turns_rad))
        creases.append(Crease(here, floor[(k + 1) % 4], "valley", turns_rad[0], _FLOOR))
    for k, corner in enumerate(corners):
        nxt = corners[(k + 1) % 4]
        start = corner.place(*(corner.bend if tuck_on_next[k] else reversed(corner.bend)))
        end = nxt.place(*(reversed(nxt.bend) if tuck_on_next[(k + 1) % 4] else nxt.bend))
        creases.append(signed_crease(start, end, turns_rad[1] - turns_rad[0], _BEND))
        length = math.dist(floor[k], floor[(k + 1) % 4])
        if tuck_on_next[k] and not tuck_on_next[(k + 1) % 4] and corner.reach_mm() > length:
            raise flaps_too_long(k, length)
    creases += [crease for corner in corners for crease in corner.creases()]
    return Drawing(tuple(creases), sheet_middle(floor), tuple(corner.crimp() for corner in corners))


TWO_BEND_TRAY = Family(
    "two-bend-tray",
    "Two-bend tray",
    "Walls that lean out, then stand up, come close to the best shape there is. The most load for steady hands and much patience.",
    (
        Parameter("wall", WALL.text, 36.0, "mm", 2.0 * LEAST_WALL_MM, 400.0),
        Parameter("bend", "how far the second line lies from the floor line", 15.0, "mm", LEAST_WALL_MM, 400.0),
        Parameter("turn", "how far the lower part of the walls turns up from the floor", 45.0, "deg", 30.0, 80.0),
        Parameter("upright", "how far the upper part stands up from level", 72.0, "deg", 31.0, 90.0),
        TUCK,
    ),
    _two_bend_tray,
    corners=4,
    ready="two-bend-tray",
)
