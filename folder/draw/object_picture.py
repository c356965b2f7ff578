"""What an object looks like, small: its form a little from above, in its own proportions. Told apart by shape, not by colour."""

from __future__ import annotations

import math
from collections.abc import Callable

from folder.cargo.item import Item
from folder.draw.picture import Area, Line, Mark, Picture, arc, box_round
from folder.draw.style import FOIL, PAPER, SHADE
from folder.findings import Point

TILT = 0.42
"""How high a circle on the table looks, to its width: seen from some 25 degrees above."""
LEAST_THICK = 0.06
"""A thinner disc is drawn so thick, of its width, so that it still shows as one."""
DARK = "#AEBAC6"
"""The side in the shade."""
GLASS = "#E3E9EE"


def object_picture(item: Item) -> Picture:
    """The object in mm, its box round it."""
    marks = tuple(_DRAWN[item.shape](item))
    points = [p for mark in marks for p in _points(mark)]
    return Picture(marks, box_round(points).grown(0.02 * max(item.extents_mm)))


def _disc(item: Item) -> list[Mark]:
    width, thick = item.size_mm
    thick = max(thick, LEAST_THICK * width)
    marks = [*_drum(width, thick, width)]
    if item.group == "Washers and nuts":
        hole = _ellipse((0.0, thick), 0.53 * width)
        marks.append(Area((hole,), PAPER, "thin"))
    elif item.group == "Coins":
        marks.append(Line(_ellipse((0.0, thick), 0.84 * width), "thin", closed=True))
    return marks


def _ball(item: Item) -> list[Mark]:
    radius = item.size_mm[0] / 2
    ring = arc((0.0, radius), radius, 0.0, 2 * math.pi)[:-1]
    shine = arc((-0.3 * radius, 1.35 * radius), 0.24 * radius, 0.0, 2 * math.pi)[:-1]
    shade = (*arc((0.0, radius), radius, -2.2, 0.6), *reversed(arc((-0.18 * radius, 1.18 * radius), radius, -1.75, 0.15)))
    return [Area((ring,), FOIL, None), Area((shade,), DARK), Area((shine,), PAPER), Line(ring, "outline", closed=True)]


def _block(item: Item) -> list[Mark]:
    length, width, height = item.size_mm
    c, s = 0.87 * 0.94, 0.5 * 0.94

    def at(x: float, y: float, z: float) -> Point:
        return c * (x - y), s * (x + y) * TILT * 1.9 + z * 0.95

    top = (at(0, 0, height), at(length, 0, height), at(length, width, height), at(0, width, height))
    left = (at(0, 0, 0), at(0, 0, height), at(0, width, height), at(0, width, 0))
    right = (at(0, 0, 0), at(length, 0, 0), at(length, 0, height), at(0, 0, height))
    return [Area((left,), DARK, "outline"), Area((right,), FOIL, "outline"), Area((top,), SHADE, "outline")]


def _tube(item: Item) -> list[Mark]:
    wide, long = item.size_mm
    radius = wide / 2
    end = tuple((0.55 * x, y + radius) for x, y in arc((0.0, 0.0), radius, 0.0, 2 * math.pi)[:-1])
    far = tuple((0.55 * x + long, y + radius) for x, y in arc((0.0, 0.0), radius, -math.pi / 2, math.pi / 2))
    body = ((0.0, 0.0), *far, (0.0, wide))
    dark = ((0.0, 0.0), far[0], (long, 0.3 * wide), (0.0, 0.3 * wide))
    return [
        Area((body,), FOIL, None),
        Area((dark,), DARK),
        Line((*body,), "outline", closed=True),
        Area((end,), SHADE, "outline"),
    ]


def _cup(item: Item) -> list[Mark]:
    rim, height = item.size_mm
    foot = 0.72 * rim
    lower, upper = _ellipse((0.0, 0.0), foot), _ellipse((0.0, height), rim)
    half = len(lower) // 2
    side = ((-rim / 2, height), (-foot / 2, 0.0), *lower[half:], (foot / 2, 0.0), (rim / 2, height))
    return [
        Area((side,), FOIL, "outline"),
        Area((upper,), GLASS, "outline"),
        Line(_ellipse((0.0, height), 0.93 * rim), "thin", closed=True),
    ]


def _screw(item: Item) -> list[Mark]:
    head, long = item.size_mm
    shank, cone = 0.5 * head, min(0.3 * head, 0.3 * long)
    body = (
        (0.0, head), (0.0, 0.0), (cone, (head - shank) / 2), (0.86 * long, (head - shank) / 2), (long, head / 2),
        (0.86 * long, (head + shank) / 2), (cone, (head + shank) / 2),
    )  # fmt: skip
    turns = max(round((0.8 * long - cone) / max(0.3 * head, 1e-6)), 2)
    step = (0.82 * long - cone) / turns
    threads: list[Mark] = [
        Line(((cone + (k + 0.4) * step, (head - shank) / 2), (cone + (k + 0.9) * step, (head + shank) / 2)), "thin")
        for k in range(turns)
    ]
    return [Area((body,), FOIL, "outline"), *threads]


_DRAWN: dict[str, Callable[[Item], list[Mark]]] = {
    "disc": _disc, "ball": _ball, "block": _block, "tube": _tube, "cup": _cup, "screw": _screw,
}  # fmt: skip


def _drum(width: float, height: float, top: float) -> list[Mark]:
    """A drum standing on the table: its side, its top."""
    lower, upper = _ellipse((0.0, 0.0), width), _ellipse((0.0, height), top)
    half = len(lower) // 2
    side = ((-top / 2, height), *lower[half:], (width / 2, 0.0), (top / 2, height))
    return [Area((side,), DARK, "outline"), Area((upper,), FOIL, "outline")]


def _ellipse(middle: Point, width: float) -> tuple[Point, ...]:
    return tuple((x + middle[0], TILT * y + middle[1]) for x, y in arc((0.0, 0.0), width / 2, 0.0, 2 * math.pi)[:-1])


def _points(mark: Mark) -> tuple[Point, ...]:
    match mark:
        case Area(rings=rings):
            return tuple(p for ring in rings for p in ring)
        case Line(points=points):
            return points
        case _:
            return (mark.at,)
