"""Trays whose walls bend: strips that lean out much, then less. The spare sheet of each corner makes an ear.

strip     a part of a wall between two lines along it, the lowest first
turn      of a strip: how far it stands up from level
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

from folder.errors import BadRequest
from folder.findings import Point
from folder.pattern.families.bent.wall import BentWall, bent_wall, walls_in_strips
from folder.pattern.families.parameter import Drawing, Family, Parameter, Value, no_less, no_more, number, word
from folder.pattern.families.trays import LEAST_WALL_MM, TUCK, WALL, frusta_mm3, inset_floor, tucked, tucks
from folder.pattern.pattern import Sheet

_MOST_BENDS = 5
_RISE_DEG = 1.0
"""A strip stands up more than the one below it by this at least."""

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


def _floor_and_wall(
    sheet: Sheet, strips_mm: Sequence[float], turns_deg: Sequence[float], family: str
) -> tuple[tuple[Point, Point, Point, Point], BentWall]:
    """The floor and the walls of these strips. BadRequest where there is no such hull."""
    for k, (lower, upper) in enumerate(pairwise(turns_deg), start=1):
        if upper < lower + _RISE_DEG:
            raise BadRequest(
                "each strip of the walls must stand up more than the one below it",
                where=f"{family}, strip {k + 1} from the floor",
                found=f"{upper:g} deg over {lower:g} deg",
                remedy=f"Give at least {no_less(lower + _RISE_DEG)} deg, or take fewer bends",
            )
    for k, strip in enumerate(strips_mm, start=1):
        if strip < LEAST_WALL_MM:
            raise BadRequest(
                "a strip this narrow cannot be folded",
                where=f"{family}, strip {k} from the floor",
                found=f"{strip:.3g} mm",
                remedy=f"Give at least {LEAST_WALL_MM:g} mm, or fewer bends",
            )
    return inset_floor(sheet.corners, sum(strips_mm), family), bent_wall(strips_mm, turns_deg, family)


def _tray(sheet: Sheet, strips: _Strips, tuck: str, family: str) -> Drawing:
    floor, wall = _floor_and_wall(sheet, *strips, family)
    return tucked(tuck, lambda way: walls_in_strips(floor, wall, tucks(way, family)))


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
            remedy=f"Give at most {no_more(wall - LEAST_WALL_MM)} mm",
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
