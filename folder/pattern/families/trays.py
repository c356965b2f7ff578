"""Families of plain trays: one bend, four walls of one height, nothing folded before."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress

from folder.errors import BadRequest
from folder.findings import Point
from folder.pattern.families.flat_stack import FlatStack
from folder.pattern.families.parameter import Drawing, Family, Parameter, Value, no_more, number, word
from folder.pattern.families.prefold import rectangle
from folder.pattern.families.walls import walled
from folder.pattern.pattern import Sheet

LEAST_FLOOR_MM = 5.0
"""A floor narrower than this holds nothing (common practice)."""

LEAST_WALL_MM = 3.0
"""A wall lower than this cannot be folded up by hand (common practice)."""

WALL = Parameter("wall", "how far the floor line lies from the sheet's edge", 25.0, "mm", LEAST_WALL_MM, 400.0)
TURN = Parameter("turn", "how far the walls turn up from the floor", 60.0, "deg", 30.0, 90.0)
SQUARE = Parameter("turn", "how far the walls turn up from the floor", 90.0, "deg", 30.0, 90.0)
TUCK = Parameter(
    "tuck",
    "which wall each corner flap lies on: auto, sides, ends, round, or four letters s/e from the lower left corner round",
    "auto",
    "",
)
_TUCKS = {"sides": "ssss", "ends": "eeee", "round": "eses"}


def tucks(choice: str, family: str) -> tuple[bool, bool, bool, bool]:
    """For each corner from the lower left, counter-clockwise: does the flap lie on the wall that follows it.

    The wall that follows the lower left corner is the lower end, then the right side, the upper end, the left side.
    """
    letters = _TUCKS.get(choice, choice)
    if len(letters) != 4 or set(letters) - {"s", "e"}:
        raise BadRequest(
            "the choice is not known",
            where=f"{family}, parameter tuck",
            found=repr(choice),
            remedy="Give auto, sides, ends, round, or four letters s or e such as sees",
        )
    a, b, c, d = (letter == "e" for letter in letters)
    return (a, not b, c, not d)


def inset_floor(outline: Sequence[Point], wall_mm: float, family: str, hem_mm: float = 0.0) -> tuple[Point, Point, Point, Point]:
    """The floor that walls of one width leave on an upright rectangle. `hem_mm` of the wall asked for is already folded over."""
    (left, bottom), _, (right, top), _ = outline
    short = min(right - left, top - bottom)
    if short - 2.0 * wall_mm < LEAST_FLOOR_MM:
        raise no_floor(family, "wall", wall_mm + hem_mm, (short - LEAST_FLOOR_MM) / 2.0 + hem_mm)
    return rectangle(left + wall_mm, bottom + wall_mm, right - wall_mm, top - wall_mm)


def no_floor(family: str, parameter: str, found_mm: float, most_mm: float) -> BadRequest:
    """The error of walls that take all the sheet there is."""
    remedy = f"Give at most {no_more(most_mm)} mm with the other numbers as they are" if most_mm > 0 else "Take a larger sheet"
    return BadRequest(
        "the walls leave no floor", where=f"{family}, parameter {parameter}", found=f"{found_mm:g} mm", remedy=remedy
    )


def sheet_middle(floor: Sequence[Point]) -> Point:
    """The middle of the corners of a floor."""
    return (sum(x for x, _ in floor) / len(floor), sum(y for _, y in floor) / len(floor))


def tucked(choice: str, drawn: Callable[[str], Drawing]) -> Drawing:
    """The drawing with flaps as chosen; for `auto` the first of sides, ends, round whose flaps do not get in each other's way."""
    for way in ("sides", "ends") if choice == "auto" else ():
        with suppress(BadRequest):
            return drawn(way)
    return drawn("round" if choice == "auto" else choice)


def frusta_mm3(floor: Sequence[Point], strips_mm: Sequence[float], turns_rad: Sequence[float]) -> float:
    """What walls of strips on one another hold over a rectangular floor: for each a frustum, h / 6 (A0 + 4 Am + A1) (textbook)."""
    (left, bottom), _, (right, top), _ = floor
    wide, long, volume = right - left, top - bottom, 0.0
    for strip, turn in zip(strips_mm, turns_rad, strict=True):
        out, high = strip * math.cos(turn), strip * math.sin(turn)
        areas = [(wide + step * out) * (long + step * out) for step in (0.0, 1.0, 2.0)]
        volume += high / 6.0 * (areas[0] + 4.0 * areas[1] + areas[2])
        wide, long = wide + 2.0 * out, long + 2.0 * out
    return volume


def four_walls(
    outline: Sequence[Point],
    floor: Sequence[Point],
    turns_rad: Sequence[float],
    tuck: str,
    family: str,
    stack: FlatStack | None = None,
) -> Drawing:
    """Four walls round a rectangular floor, drawn on the sheet or through the layers of a stack."""
    return tucked(tuck, lambda way: walls_drawn(outline, floor, turns_rad, tucks(way, family), stack))


def walls_drawn(
    outline: Sequence[Point],
    floor: Sequence[Point],
    turns_rad: Sequence[float],
    tuck_on_next: Sequence[bool],
    stack: FlatStack | None = None,
    *,
    strict: bool = True,
) -> Drawing:
    """Walls round any convex floor, drawn on the sheet or through the layers of a stack, after the folds that made it.

    `strict` refuses flaps that get in each other's way or stand out over the rim, as in `walls.walled`.
    """
    at = sheet_middle(floor)
    if stack is None:
        creases, crimps = walled(outline, floor, turns_rad, tuck_on_next, strict=strict)
        return Drawing(creases, at, tuple(map(_rounded, crimps)))
    step = 1 + max((c.step or 0 for c in stack.creases), default=0)
    creases, crimps = walled(outline, floor, turns_rad, tuck_on_next, step, strict=strict)
    return Drawing(stack.marked(creases), stack.on_sheet(at), tuple(_rounded(stack.on_sheet(p)) for p in crimps))


def _rounded(mark: Point) -> Point:
    """A mark for fingers need not be exact; a short number reads better in a file."""
    return (round(mark[0], 2), round(mark[1], 2))


def _square_tray(sheet: Sheet, values: Mapping[str, Value]) -> Drawing:
    return _tray(sheet, values, math.pi / 2.0, "square-tray")


def _leaning_tray(sheet: Sheet, values: Mapping[str, Value]) -> Drawing:
    return _tray(sheet, values, math.radians(number(values, "turn")), "leaning-tray")


def _square_volume(sheet: Sheet, values: Mapping[str, Value]) -> float:
    wall = number(values, "wall")
    return frusta_mm3(inset_floor(sheet.corners, wall, "square-tray"), [wall], [math.pi / 2.0])


def _leaning_volume(sheet: Sheet, values: Mapping[str, Value]) -> float:
    wall = number(values, "wall")
    return frusta_mm3(inset_floor(sheet.corners, wall, "leaning-tray"), [wall], [math.radians(number(values, "turn"))])


def _tray(sheet: Sheet, values: Mapping[str, Value], turn_rad: float, family: str) -> Drawing:
    floor = inset_floor(sheet.corners, number(values, "wall"), family)
    return four_walls(sheet.corners, floor, [turn_rad] * 4, word(values, "tuck"), family)


SQUARE_TRAY = Family(
    "square-tray",
    "Square tray",
    "The plain tray: quick to fold, level, and hard to beat. Start here.",
    (WALL, TUCK),
    _square_tray,
    corners=4,
    ready="plain-tray",
    volume=_square_volume,
)
LEANING_TRAY = Family(
    "leaning-tray",
    "Leaning tray",
    "Walls that lean out hold more water away than square ones: take it when load counts and hands are steady.",
    (WALL, TURN, TUCK),
    _leaning_tray,
    corners=4,
    ready="leaning-tray",
    volume=_leaning_volume,
)
