"""Where the pointer's place comes to rest: on ends, crossings, middles, the sheet's edge, steps of angle, the grid.

snap     a place found near the pointer, with a word for it
near     how far from the pointer counts as near, mm: so many pixels at the zoom of the moment
pitch    the distance of the grid's lines, mm; 0 for no grid
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator
from itertools import combinations

import numpy as np
from msgspec import Struct

from folder.findings import Point
from folder.geometry.space import Floats
from folder.pattern.construct import SheetLine
from folder.pattern.pattern import Crease, Pattern, Sheet

ANGLES_DEG = tuple(sorted({*(22.5 * k for k in range(16)), *(30.0 * k for k in range(12))}))
"""Directions a line comes to rest in: the steps folders know, 22.5 and 30 deg."""
_MOST_CROSSED = 24
"""More lines than this near the pointer are not crossed with each other: nobody could aim there."""
_SMALL = 1e-9


class Snap(Struct, frozen=True):
    """A place on the sheet and what it is, in a word. `firm`: it is a place on the drawing, not merely on the grid."""

    at: Point
    word: str
    firm: bool = False


def snap_place(
    pattern: Pattern, at: Point, near_mm: float, pitch_mm: float, *, start: Point | None = None, without: Collection[int] = ()
) -> Snap:
    """The place the pointer means. `start` is where the line being laid begins; creases in `without` do not count."""
    places = _ends_and_corners(pattern, without)
    found = _nearest(at, near_mm, places)
    if found:
        return found
    lines = lines_near(pattern, at, near_mm, without)
    if len(lines) <= _MOST_CROSSED:
        found = _nearest(at, near_mm, _crossings(lines))
        if found:
            return found
    found = _nearest(at, near_mm, ((middle_of(line), f"middle of {word}") for line, word in lines))
    if found:
        return found
    ray = None if start is None else _ray(start, at, near_mm)
    if ray is not None:
        return _on_ray(pattern.sheet, *ray, at, near_mm, pitch_mm, lines)
    if lines:
        line, word = min(lines, key=lambda pair: math.dist(foot(pair[0], at), at))
        return _nearest_on(line, word, at, pitch_mm)
    return _on_grid(pattern.sheet, at, pitch_mm)


def lines_near(pattern: Pattern, at: Point, near_mm: float, without: Collection[int] = ()) -> list[tuple[SheetLine, str]]:
    """Creases and sides of the sheet that pass near a place, each with a word, the nearest first."""
    corners = pattern.sheet.corners
    found: list[tuple[SheetLine, str]] = [
        ((pattern.creases[i].start, pattern.creases[i].end), "a line") for i in creases_near(pattern, at, near_mm, without)
    ]
    sides = [(corners[k], corners[(k + 1) % 4]) for k in range(4)]
    found += [(side, "the edge") for side in sides if math.dist(foot(side, at), at) <= near_mm]
    return found


def creases_near(pattern: Pattern, at: Point, near_mm: float, without: Collection[int] = ()) -> list[int]:
    """Indices of the creases that pass near a place, the nearest first."""
    if not pattern.creases:
        return []
    gap = gaps(ends_of(pattern.creases), np.array(at))
    near = sorted((far, i) for i, far in enumerate(gap.tolist()) if far <= near_mm)
    return [i for _, i in near if i not in without]


def gaps(lines: Floats, places: Floats) -> Floats:
    """How far places (n, 2) or (2,) lie from stretches of line (n, 2, 2) or (1, 2, 2): (n,) mm."""
    along = lines[:, 1] - lines[:, 0]
    away = places - lines[:, 0]
    length2 = np.maximum((along * along).sum(axis=1), _SMALL)
    share = np.clip((away * along).sum(axis=1) / length2, 0.0, 1.0)
    gap: Floats = np.hypot(*(away - share[:, None] * along).T)
    return gap


def foot(line: SheetLine, at: Point) -> Point:
    """The point of a stretch of line nearest to a place."""
    (ax, ay), (bx, by) = line
    dx, dy = bx - ax, by - ay
    length2 = dx * dx + dy * dy
    share = 0.0 if length2 < _SMALL else min(max(((at[0] - ax) * dx + (at[1] - ay) * dy) / length2, 0.0), 1.0)
    return (ax + share * dx, ay + share * dy)


def middle_of(line: SheetLine) -> Point:
    """The point half way along."""
    return ((line[0][0] + line[1][0]) / 2.0, (line[0][1] + line[1][1]) / 2.0)


def meeting(first: SheetLine, second: SheetLine, *, beyond: bool = False) -> Point | None:
    """Where two lines cross; with `beyond`, also where only what leads on from them does."""
    (ax, ay), (cx, cy) = first[0], second[0]
    dx, dy, ex, ey = first[1][0] - ax, first[1][1] - ay, second[1][0] - cx, second[1][1] - cy
    cross = dx * ey - dy * ex
    if abs(cross) <= _SMALL * max(math.hypot(dx, dy) * math.hypot(ex, ey), _SMALL):
        return None
    t = ((cx - ax) * ey - (cy - ay) * ex) / cross
    u = ((cx - ax) * dy - (cy - ay) * dx) / cross
    if not beyond and not (-_SMALL <= t <= 1 + _SMALL and -_SMALL <= u <= 1 + _SMALL):
        return None
    return (ax + t * dx, ay + t * dy)


def ends_of(creases: tuple[Crease, ...]) -> Floats:
    """(n, 2, 2) mm: start and end of every crease."""
    ends: Floats = np.array([(c.start, c.end) for c in creases], dtype=float).reshape(-1, 2, 2)
    return ends


def _ends_and_corners(pattern: Pattern, without: Collection[int]) -> Iterator[tuple[Point, str]]:
    yield from ((corner, "corner of the sheet") for corner in pattern.sheet.corners)
    for i, crease in enumerate(pattern.creases):
        if i not in without:
            yield crease.start, "end of a line"
            yield crease.end, "end of a line"


def _crossings(lines: Iterable[tuple[SheetLine, str]]) -> Iterator[tuple[Point, str]]:
    for (first, one), (second, other) in combinations(lines, 2):
        point = meeting(first, second)
        if point is not None:
            yield point, "where a line meets the edge" if "the edge" in (one, other) else "crossing"


def _nearest(at: Point, near_mm: float, places: Iterable[tuple[Point, str]]) -> Snap | None:
    best, gap = None, near_mm
    for place, word in places:
        away = math.dist(place, at)
        if away <= gap and (best is None or away < gap):
            best, gap = Snap(place, word, firm=True), away
    return best


def _ray(start: Point, at: Point, near_mm: float) -> tuple[Point, float] | None:
    """The start and the stepped direction, deg, that a line toward a place means; None when it means none."""
    far = math.dist(start, at)
    if far < near_mm:
        return None
    heading = math.degrees(math.atan2(at[1] - start[1], at[0] - start[0])) % 360.0
    step = min((*ANGLES_DEG, 360.0), key=lambda a: abs(a - heading))
    off = far * math.sin(math.radians(abs(step - heading)))
    # Far out a pixel is a small angle: never pull a line round by more than 3 deg.
    return (start, step % 360.0) if off <= near_mm and abs(step - heading) <= 3.0 else None


def _on_ray(
    sheet: Sheet, start: Point, heading_deg: float, at: Point, near_mm: float, pitch_mm: float, lines: list[tuple[SheetLine, str]]
) -> Snap:
    """The place on a ray that the pointer means: where it meets a line, else a whole step of length along it."""
    ux, uy = heading(heading_deg)
    ray = (start, (start[0] + 2000.0 * ux, start[1] + 2000.0 * uy))
    angle_word = f"{heading_deg:g}°"
    met = [(point, word) for line, word in lines if (point := meeting(ray, line)) is not None]
    firm = _nearest(at, 2.0 * near_mm, ((point, f"{angle_word}, on {word}") for point, word in met))
    if firm:
        return firm
    far = (at[0] - start[0]) * ux + (at[1] - start[1]) * uy
    # On a slant the step is one of length; along the grid it is the grid itself.
    if pitch_mm:
        base = start[0] * abs(ux) + start[1] * abs(uy) if heading_deg % 90.0 == 0.0 else 0.0
        sign = 1.0 if ux + uy > 0 or heading_deg % 90.0 else -1.0
        far = sign * (round((base + sign * far) / pitch_mm) * pitch_mm - base)
    place = (start[0] + far * ux, start[1] + far * uy)
    return Snap((_tidy(place[0], sheet.width_mm), _tidy(place[1], sheet.height_mm)), angle_word)


def heading(turn_deg: float) -> Point:
    """The unit vector of a direction, exact where it is level or upright."""
    exact = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0), 180.0: (-1.0, 0.0), 270.0: (0.0, -1.0)}
    turn = turn_deg % 360.0
    return exact.get(turn) or (math.cos(math.radians(turn)), math.sin(math.radians(turn)))


def _nearest_on(line: SheetLine, word: str, at: Point, pitch_mm: float) -> Snap:
    """A place on a line: level and upright lines are marked by the grid too."""
    x, y = foot(line, at)
    (ax, ay), (bx, by) = line
    if pitch_mm and abs(ay - by) < _SMALL:
        x = min(max(_round(x, pitch_mm), min(ax, bx)), max(ax, bx))
    elif pitch_mm and abs(ax - bx) < _SMALL:
        y = min(max(_round(y, pitch_mm), min(ay, by)), max(ay, by))
    return Snap((x, y), f"on {word}", firm=True)


def _on_grid(sheet: Sheet, at: Point, pitch_mm: float) -> Snap:
    inside = (min(max(at[0], 0.0), sheet.width_mm), min(max(at[1], 0.0), sheet.height_mm))
    if not pitch_mm:
        return Snap(inside, "free")
    x = min(_round(inside[0], pitch_mm), sheet.width_mm)
    y = min(_round(inside[1], pitch_mm), sheet.height_mm)
    return Snap((x, y), "grid")


def _round(value: float, pitch: float) -> float:
    return round(value / pitch) * pitch


def _tidy(value: float, room: float) -> float:
    """A coordinate kept on the sheet, and put exactly on its edge where it is nearly there."""
    return 0.0 if value < 1e-6 else room if value > room - 1e-6 else value
