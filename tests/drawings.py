"""Patterns drawn by hand, from closed forms of their own: what several tests fold. Not made with the families.

For walls that lean out (turn f from level) a wall's side creases lean by atan(cos f) from square, and two neighbouring
walls of a square corner stand at acos(cos^2 f) to each other; at f = 90 deg that is 0 and 90 deg.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterable

from msgspec.structs import replace

from folder.findings import Point
from folder.pattern.pattern import Crease, Pattern, Sense, Sheet

CORNER_SIGNS = ((-1, -1), (1, -1), (1, 1), (-1, 1))
"""Which way each corner of the sheet lies from the middle, counter-clockwise from the lower left."""


def line(start: Point, end: Point, sense: Sense = "valley", turn_deg: float | None = 90.0) -> Crease:
    """A crease with its turn in degrees; cuts and guides take none."""
    turn = None if turn_deg is None or sense in ("cut", "guide") else math.radians(turn_deg)
    return Crease(start, end, sense, turn)


def drawn(
    creases: Iterable[Crease],
    sheet: Sheet | None = None,
    floor_at: Point | None = None,
    crimps: Iterable[Point] = (),
) -> Pattern:
    """A pattern of these creases; the floor is in the middle of the sheet unless said otherwise."""
    sheet = sheet or Sheet()
    floor_at = floor_at or (sheet.width_mm / 2.0, sheet.height_mm / 2.0)
    return Pattern(sheet=sheet, creases=tuple(creases), floor_at=floor_at, crimps=tuple(crimps))


def with_more(pattern: Pattern, *creases: Crease) -> Pattern:
    """The pattern with more lines drawn on it."""
    return replace(pattern, creases=(*pattern.creases, *creases))


def with_instead(pattern: Pattern, creases: Iterable[Crease]) -> Pattern:
    """The pattern with other creases, all else as it was."""
    return replace(pattern, creases=tuple(creases))


def floor_corners(wall: float, sheet: Sheet) -> list[Point]:
    """The floor's corners, counter-clockwise from the lower left."""
    right, top = sheet.width_mm - wall, sheet.height_mm - wall
    return [(wall, wall), (right, wall), (right, top), (wall, top)]


def floor_lines(wall: float, sheet: Sheet, turn_deg: float = 90.0) -> list[Crease]:
    corners = floor_corners(wall, sheet)
    return [line(corners[k], corners[(k + 1) % 4], "valley", turn_deg) for k in range(4)]


def corner_lines(corner: Point, signs: tuple[int, int], wall: float, turn_deg: float, on_side: bool) -> list[Crease]:
    """The three creases of one corner fold: the end wall's side, the diagonal, the side wall's side.

    `on_side`: the flap lies on the left or right wall, else on the lower or upper one.
    """
    (x, y), (sx, sy) = corner, signs
    lean = wall * math.cos(math.radians(turn_deg)) if turn_deg != 90.0 else 0.0
    between = math.degrees(math.acos(math.cos(math.radians(turn_deg)) ** 2)) if turn_deg != 90.0 else 90.0
    end_side, side_side = (x + sx * lean, y + sy * wall), (x + sx * wall, y + sy * lean)
    tucked, standing = ("mountain", 180.0), ("valley", between)
    end_sense, side_sense = (standing, tucked) if on_side else (tucked, standing)
    return [
        line(corner, end_side, end_sense[0], end_sense[1]),
        line(corner, (x + sx * wall, y + sy * wall), "valley", 180.0),
        line(corner, side_side, side_sense[0], side_sense[1]),
    ]


def tray(wall: float = 25.0, turn_deg: float = 90.0, sheet: Sheet | None = None, tuck: str = "ssss") -> Pattern:
    """Four walls as high as they are wide, turned up by one angle. Each corner's flap lies on a side (s) or end (e)."""
    sheet = sheet or Sheet()
    creases = floor_lines(wall, sheet, turn_deg)
    crimps = []
    for corner, signs, letter in zip(floor_corners(wall, sheet), CORNER_SIGNS, tuck, strict=True):
        end_side, diagonal, side_side = corner_lines(corner, signs, wall, turn_deg, letter == "s")
        creases += [end_side, diagonal, side_side]
        crimps.append(pinch(corner, (side_side if letter == "s" else end_side).end, diagonal.end))
    return drawn(creases, sheet, crimps=crimps)


def pinch(corner: Point, side_end: Point, tip: Point) -> Point:
    """A place on the wall where its flap lies on it: the flap's tip is mirrored in the wall's side crease."""
    at, side, far = complex(*corner), complex(*side_end), complex(*tip)
    along = (side - at) / abs(side - at)
    laid = at + along**2 * (far - at).conjugate()
    place = at + 0.4 * (side - at + laid - at)
    return (place.real, place.imag)


def slit_tray(wall: float = 25.0, depth: float = 1.0) -> Pattern:
    """Corners slit beside the end walls and overlapped behind them. `depth`: the share of the wall that is slit."""
    sheet = Sheet()
    creases = floor_lines(wall, sheet)
    for (x, y), (sx, sy) in zip(floor_corners(wall, sheet), CORNER_SIGNS, strict=True):
        slit_to = y + sy * wall * (1.0 - depth)
        creases.append(line((x, slit_to), (x, y + sy * wall), "cut"))
        creases.append(line((x, y), (x + sx * wall, y)))
    return drawn(creases, sheet)


def crossing_creases(wall: float = 25.0) -> Pattern:
    """Four wall creases right across the sheet, corners left as they are."""
    far = 150.0 - wall
    return drawn(
        [
            line((wall, 0.0), (wall, 150.0)),
            line((far, 0.0), (far, 150.0)),
            line((0.0, wall), (150.0, wall)),
            line((0.0, far), (150.0, far)),
        ]
    )


def diagonal_off(off_deg: float = 3.0, corner: int = 0) -> Pattern:
    """The plain tray with one diagonal turned away from its place, counter-clockwise."""
    plain = tray()
    index = 4 + 3 * corner + 1
    x, y = plain.creases[index].start
    sx, sy = CORNER_SIGNS[corner]
    heading = math.atan2(sy, sx) + math.radians(off_deg)
    c, s = math.cos(heading), math.sin(heading)
    reach = min(25.0 / abs(c), 25.0 / abs(s))
    moved = line((x, y), (x + reach * c, y + reach * s), "valley", 180.0)
    return with_instead(plain, [moved if i == index else c for i, c in enumerate(plain.creases)])


def without_numbers(pattern: Pattern) -> Pattern:
    """A pattern as a pupil draws it: no crease says in which step it is folded."""
    return replace(pattern, creases=tuple(replace(c, step=None) for c in pattern.creases))


def hand_rounded(pattern: Pattern, grid: float = 0.1, seed: int = 1) -> Pattern:
    """Every place shifted by up to half a grid step and put on the grid; the sheet's edge stays the sheet's edge."""
    draw = random.Random(seed)
    size = (pattern.sheet.width_mm, pattern.sheet.height_mm)
    seen: dict[Point, Point] = {}

    def settled(value: float, most: float) -> float:
        if value <= 1e-9 or value >= most - 1e-9:
            return value
        return round((value + draw.uniform(-grid / 2.0, grid / 2.0)) / grid) * grid

    def put(p: Point) -> Point:
        if p not in seen:
            seen[p] = (settled(p[0], size[0]), settled(p[1], size[1]))
        return seen[p]

    return moved(pattern, put)


def moved(pattern: Pattern, put: Callable[[Point], Point], sheet: Sheet | None = None) -> Pattern:
    """The pattern with every place put somewhere else."""
    creases = tuple(Crease(put(c.start), put(c.end), c.sense, c.turn_rad, c.step) for c in pattern.creases)
    return Pattern(
        pattern.name, pattern.note, sheet or pattern.sheet, put(pattern.floor_at), creases, tuple(map(put, pattern.crimps))
    )
