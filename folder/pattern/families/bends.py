"""Trays whose walls bend: strips that lean out much, then less. The spare sheet of each corner makes an ear.

strip     a part of a wall between two lines along it, the lowest first
turn      of a strip: how far it stands up from level
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from msgspec import Struct

from folder.errors import BadRequest
from folder.findings import Point
from folder.pattern.families.ear import Ear, Ears
from folder.pattern.families.parameter import Drawing, Family, Parameter, Value, number, word
from folder.pattern.families.trays import LEAST_WALL_MM, TUCK, WALL, frusta_mm3, inset_floor, sheet_middle, tucked, tucks
from folder.pattern.families.walls import flaps_too_long, signed_crease
from folder.pattern.pattern import Crease, Sheet

_FLOOR, _BEND, _EAR, _KINK = 1, 2, 3, 4
"""Order of folds."""

_MOST_BENDS = 5
_RISE_DEG = 1.0
"""A strip stands up more than the one below it by this at least."""

_LEAST_KINK_MM = 1.0
"""Ends of kinks are at least so far apart on the fold they meet: nearer, no hand tells one from the next (judgement)."""

_MARK_AT = ((0.2, 0.4, 0.4), (0.5, 0.3, 0.2))
"""Where on a wall of one strip, and of two, its ear is pinched: shares of the strip's lower corner, upper corner and the ear's tip."""

_BEST = (
    ((34.827, 57.914),),
    ((24.540, 32.323), (20.297, 70.272)),
    ((19.913, 21.823), (15.794, 47.846), (14.442, 75.757)),
    ((17.103, 16.235), (13.358, 35.710), (11.842, 56.846), (11.232, 78.856)),
    ((15.164, 12.807), (11.758, 28.213), (10.277, 45.026), (9.525, 62.698), (9.196, 80.848)),
)
"""For each number of bends, widths (mm) and turns (deg) of the strips that hold most on a square sheet of 150 mm: the largest
volume of as many frusta on one another, found by scipy's SLSQP. The tests find it anew."""


_Strips = tuple[list[float], list[float]]
"""Widths, mm, and turns, deg, from the floor up."""


class _Wall(Struct, frozen=True):
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
        """Where the kinks meet the diagonal, along both walls."""
        ends = []
        for k, kink in enumerate(self.ear.kinks):
            x, y = self.points[k + 1]
            toward = math.pi / 2.0 - _lean(self.turns_rad[k]) + kink.along_rad
            ends.append(x + (x - y) * math.cos(toward) / (math.sin(toward) - math.cos(toward)))
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
    wall: _Wall

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


def _wall(strips_mm: Sequence[float], turns_deg: Sequence[float], family: str) -> _Wall:
    """A wall of these strips. BadRequest where its corner has no ear."""
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
    made = ears.farthest(lambda ear: _Wall(tuple(turns), tuple(points), ear).is_sound())
    if made is None:
        raise BadRequest(
            "the spare sheet of a corner cannot follow these bends",
            where=f"{family}, the turns of the strips",
            found=", ".join(f"{turn:g}" for turn in turns_deg) + " deg",
            remedy="Spread the turns evenly, the lowest strip about 20 deg up for three strips, the top one about 75 deg",
        )
    return _Wall(tuple(turns), tuple(points), made)


def _drawn(floor: Sequence[Point], wall: _Wall, tuck_on_next: Sequence[bool]) -> Drawing:
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


def _floor_and_wall(
    sheet: Sheet, strips_mm: Sequence[float], turns_deg: Sequence[float], family: str
) -> tuple[tuple[Point, Point, Point, Point], _Wall]:
    """The floor and the walls of these strips. BadRequest where there is no such hull."""
    for k, (lower, upper) in enumerate(pairwise(turns_deg), start=1):
        if upper < lower + _RISE_DEG:
            raise BadRequest(
                "each strip of the walls must stand up more than the one below it",
                where=f"{family}, strip {k + 1} from the floor",
                found=f"{upper:g} deg over {lower:g} deg",
                remedy=f"Give at least {lower + _RISE_DEG:g} deg, or take fewer bends",
            )
    for k, strip in enumerate(strips_mm, start=1):
        if strip < LEAST_WALL_MM:
            raise BadRequest(
                "a strip this narrow cannot be folded",
                where=f"{family}, strip {k} from the floor",
                found=f"{strip:.3g} mm",
                remedy=f"Give at least {LEAST_WALL_MM:g} mm, or fewer bends",
            )
    return inset_floor(sheet.corners, sum(strips_mm), family), _wall(strips_mm, turns_deg, family)


def _tray(sheet: Sheet, strips: _Strips, tuck: str, family: str) -> Drawing:
    floor, wall = _floor_and_wall(sheet, *strips, family)
    return tucked(tuck, lambda way: _drawn(floor, wall, tucks(way, family)))


def _volume(sheet: Sheet, strips: _Strips, family: str) -> float:
    floor, wall = _floor_and_wall(sheet, *strips, family)
    return frusta_mm3(floor, strips[0], wall.turns_rad)


def _best_where_open(sheet: Sheet, values: Mapping[str, Value]) -> dict[str, Value]:
    """The values with the best strips, for this sheet, where none are given."""
    scale = min(sheet.width_mm, sheet.height_mm) / 150.0
    best = _BEST[int(number(values, "bends")) - 1]
    strips = {f"strip{k}": round(width * scale, 3) for k, (width, _) in enumerate(best, start=1)}
    turns = {f"turn{k}": turn for k, (_, turn) in enumerate(best, start=1)}
    return {**values, **{name: number(values, name) or found for name, found in (strips | turns).items()}}


def _bent_strips(sheet: Sheet, values: Mapping[str, Value]) -> _Strips:
    bends = int(number(values, "bends"))
    values = _best_where_open(sheet, values)
    for name in (f"{name}{k}" for k in range(bends + 1, _MOST_BENDS + 1) for name in ("strip", "turn")):
        if number(values, name):
            raise BadRequest(
                "there is no such strip with so few bends",
                where=f"bent-tray, parameter {name}",
                found=f"{number(values, name):g} with {bends} bends",
                remedy=f"Leave it out, or give at least {name[-1]} bends",
            )
    strips, turns = ([number(values, f"{name}{k}") for k in range(1, bends + 1)] for name in ("strip", "turn"))
    return strips, turns


def _bent_tray(sheet: Sheet, values: Mapping[str, Value]) -> Drawing:
    return _tray(sheet, _bent_strips(sheet, values), word(values, "tuck"), "bent-tray")


def _bent_volume(sheet: Sheet, values: Mapping[str, Value]) -> float:
    return _volume(sheet, _bent_strips(sheet, values), "bent-tray")


def _two_strips(values: Mapping[str, Value]) -> _Strips:
    wall, low = number(values, "wall"), number(values, "bend")
    if wall - low < LEAST_WALL_MM:
        raise BadRequest(
            "the second bend lies too near the rim",
            where="two-bend-tray, parameter bend",
            found=f"{low:g} mm on a wall of {wall:g} mm",
            remedy=f"Give at most {wall - LEAST_WALL_MM:g} mm",
        )
    return [low, wall - low], [number(values, "turn"), number(values, "upright")]


def _two_bend_tray(sheet: Sheet, values: Mapping[str, Value]) -> Drawing:
    return _tray(sheet, _two_strips(values), word(values, "tuck"), "two-bend-tray")


def _two_bend_volume(sheet: Sheet, values: Mapping[str, Value]) -> float:
    return _volume(sheet, _two_strips(values), "two-bend-tray")


_BEST_WORD = "; 0 is what holds most"

BENT_TRAY = Family(
    "bent-tray",
    "Bent tray",
    "Walls bent more than once: much load, many folds. Not yet folded in foil by us; with four bends and more for paper only.",
    (
        Parameter("bends", "how many lines each wall has, the floor line among them", 3, "", 1, _MOST_BENDS, whole=True),
        *(
            Parameter(f"strip{k}", f"how wide strip {k} of each wall is, from the floor up{_BEST_WORD}", 0.0, "mm", 0.0, 400.0)
            for k in range(1, _MOST_BENDS + 1)
        ),
        *(
            Parameter(f"turn{k}", f"how far strip {k} stands up from level{_BEST_WORD}", 0.0, "deg", 0.0, 90.0)
            for k in range(1, _MOST_BENDS + 1)
        ),
        TUCK,
    ),
    _bent_tray,
    corners=4,
    ready="three-bend-tray",
    has_flat_flaps=False,
    volume=_bent_volume,
    fill=_best_where_open,
)
TWO_BEND_TRAY = Family(
    "two-bend-tray",
    "Two-bend tray",
    "Walls that lean out, then stand up: a lot of load for few more folds. Take it with steady hands and patience.",
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
    has_flat_flaps=False,
    volume=_two_bend_volume,
)
