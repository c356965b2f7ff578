"""Lines found from other lines: through two points, at right angles, halving, parallel, mirrored.

Each gives a line across the sheet, from edge to edge, or None when there is no such line on it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Literal

from msgspec.structs import replace

from folder.findings import Point
from folder.pattern.pattern import Crease, Sheet

SheetLine = tuple[Point, Point]
Mirror = Literal["left-right", "top-bottom", "four"]

_NEAR = 1e-9


def across(sheet: Sheet, at: Point, ahead: Point) -> SheetLine | None:
    """The line through a place in a direction, from edge to edge of the sheet (Liang and Barsky's parameters)."""
    size = math.hypot(*ahead)
    if not size > _NEAR:
        return None
    ux, uy = ahead[0] / size, ahead[1] / size
    enter, leave = -math.inf, math.inf
    for step, place, room in ((ux, at[0], sheet.width_mm), (uy, at[1], sheet.height_mm)):
        if abs(step) < _NEAR:
            if not -_NEAR <= place <= room + _NEAR:
                return None
            continue
        a, b = sorted(((0.0 - place) / step, (room - place) / step))
        enter, leave = max(enter, a), min(leave, b)
    if leave - enter < _NEAR:
        return None
    start, end = ((_on(at[0] + t * ux, sheet.width_mm), _on(at[1] + t * uy, sheet.height_mm)) for t in (enter, leave))
    return start, end


def _on(value: float, room: float) -> float:
    """A coordinate put exactly on the sheet's edge where it is nearly there."""
    return 0.0 if value < _NEAR else room if value > room - _NEAR else value


def through(sheet: Sheet, a: Point, b: Point) -> SheetLine | None:
    """The line through two points."""
    return across(sheet, a, (b[0] - a[0], b[1] - a[1]))


def square_to(sheet: Sheet, line: SheetLine, at: Point) -> SheetLine | None:
    """The line at right angles to another, through a point."""
    (ax, ay), (bx, by) = line
    return across(sheet, at, (ay - by, bx - ax))


def parallel(sheet: Sheet, line: SheetLine, distance_mm: float, toward: Point) -> SheetLine | None:
    """The line beside another at a distance, on the side of a point."""
    (ax, ay), (bx, by) = line
    length = math.dist(*line)
    if not length > _NEAR:
        return None
    nx, ny = (ay - by) / length, (bx - ax) / length
    side = math.copysign(distance_mm, nx * (toward[0] - ax) + ny * (toward[1] - ay))
    return across(sheet, (ax + side * nx, ay + side * ny), (bx - ax, by - ay))


def halving_points(sheet: Sheet, a: Point, b: Point) -> SheetLine | None:
    """The line that folds one point onto another: it halves their distance."""
    return across(sheet, ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0), (a[1] - b[1], b[0] - a[0]))


def halving_angle(sheet: Sheet, first: SheetLine, second: SheetLine, toward: Point) -> SheetLine | None:
    """The line that folds one line onto another: through their crossing, on the side of a point; or midway if parallel."""
    (ax, ay), (cx, cy) = first[0], second[0]
    d = (first[1][0] - ax, first[1][1] - ay)
    e = (second[1][0] - cx, second[1][1] - cy)
    dl, el = math.hypot(*d), math.hypot(*e)
    if not (dl > _NEAR and el > _NEAR):
        return None
    d, e = (d[0] / dl, d[1] / dl), (e[0] / el, e[1] / el)
    cross = d[0] * e[1] - d[1] * e[0]
    if abs(cross) < 1e-9:
        gap = (cx - ax) * -d[1] + (cy - ay) * d[0]
        return across(sheet, (ax - d[1] * gap / 2.0, ay + d[0] * gap / 2.0), d)
    t = ((cx - ax) * e[1] - (cy - ay) * e[0]) / cross
    meet = (ax + t * d[0], ay + t * d[1])
    # Both lines are turned to point toward the chosen side, so that the halved angle is the one the point lies in.
    aim = (toward[0] - meet[0], toward[1] - meet[1])
    inward_d = math.copysign(1.0, (aim[0] * e[1] - aim[1] * e[0]) / cross)
    inward_e = math.copysign(1.0, (d[0] * aim[1] - d[1] * aim[0]) / cross)
    return across(sheet, meet, (inward_d * d[0] + inward_e * e[0], inward_d * d[1] + inward_e * e[1]))


def mirrored(sheet: Sheet, crease: Crease, mirror: Mirror) -> tuple[Crease, ...]:
    """A crease with its mirror images on the sheet, itself first; an image that falls on an earlier one is left out."""
    width, height = sheet.width_mm, sheet.height_mm

    def flipped(creases: Iterable[Crease], horizontal: bool) -> list[Crease]:
        def image(p: Point) -> Point:
            return (width - p[0], p[1]) if horizontal else (p[0], height - p[1])

        return [replace(c, start=image(c.start), end=image(c.end)) for c in creases]

    images = [crease]
    if mirror in ("left-right", "four"):
        images += flipped(images, True)
    if mirror in ("top-bottom", "four"):
        images += flipped(images, False)
    if mirror == "four" and abs(width - height) < _NEAR:
        # On a square "all four corners" takes the diagonal's image too: one wall line gives all four walls.
        images += [replace(c, start=c.start[::-1], end=c.end[::-1]) for c in images]
    kept: list[Crease] = []
    for image in images:
        if not any(_same_line(image, other) for other in kept):
            kept.append(image)
    return tuple(kept)


def _same_line(a: Crease, b: Crease) -> bool:
    return (math.dist(a.start, b.start) < _NEAR and math.dist(a.end, b.end) < _NEAR) or (
        math.dist(a.start, b.end) < _NEAR and math.dist(a.end, b.start) < _NEAR
    )
