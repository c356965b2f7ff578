"""Marks on a sheet: the number of a step, a pinch, a cut, a finding. Each has its own shape, so it reads in grey."""

from __future__ import annotations

import math

from folder.draw.picture import PUPIL_MM, Area, Box, Mark, arc, centred, disc
from folder.draw.style import GUIDE, INK, PAPER, STOP, WARN
from folder.draw.text import width_mm
from folder.findings import Level, Point

BADGE_MM = 7.2
"""Height of a step's number in its ring."""
CRIMP_REACH_MM = 4.5
"""A pinch mark reaches nearly so far to both sides of its place."""
DOT_MM = 1.2
"""Radius of the dot on one edge."""

WORDS: dict[Level, str] = {"stop": "stop", "warn": "look out", "note": "note"}
SIGNS: dict[Level, str] = {"stop": "!", "warn": "!", "note": "i"}
COLOURS: dict[Level, str] = {"stop": STOP, "warn": WARN, "note": GUIDE}


def step_badge(number: int, at: Point) -> tuple[Mark, ...]:
    """The number of a step, in a ring; a long number widens it."""
    box = badge_box(number, at)
    return Area((_pill(box),), PAPER, "thin"), centred(str(number), at, weight="bold")


def badge_box(number: int, at: Point) -> Box:
    """The box a step's badge fills."""
    half = max(BADGE_MM, width_mm(str(number), PUPIL_MM, "bold") + 3.6) / 2
    return Box(at[0] - half, at[1] - BADGE_MM / 2, at[0] + half, at[1] + BADGE_MM / 2)


def crimp_mark(at: Point, along_rad: float = 0.0, gap_mm: float = 0.5, size_mm: float = 3.2) -> Area:
    """Pinch here: two wedges that press on a place from both sides, each so far from it."""
    c, s = math.cos(along_rad), math.sin(along_rad)
    half = 0.36 * size_mm
    wedges = [((gap_mm * k, 0.0), ((gap_mm + size_mm) * k, half), ((gap_mm + size_mm) * k, -half)) for k in (-1, 1)]
    rings = tuple(tuple((at[0] + c * x - s * y, at[1] + s * x + c * y) for x, y in wedge) for wedge in wedges)
    return Area(rings, INK, "thin")


def side_dot(at: Point, *, hidden: bool = False, radius_mm: float = DOT_MM) -> tuple[Mark, ...]:
    """The dot that marks one edge of the sheet in every picture; hollow where a layer lies over it."""
    return disc(at, 1.3 * radius_mm), disc(at, radius_mm, PAPER if hidden else INK, "thin")


def cut_mark(start: Point, end: Point) -> Area:
    """A cut: an opened slit in the middle of its line."""
    length = math.dist(start, end) or 1.0
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    half = min(3.5, length / 3)
    eye = ((half, 0.0), (0.0, 0.4 * half), (-half, 0.0), (0.0, -0.4 * half))
    return Area((tuple((x + ux * a - uy * b, y + uy * a + ux * b) for a, b in eye),), PAPER, "cut")


def finding_mark(level: Level, at: Point, *, flag_left: bool = False) -> tuple[Mark, ...]:
    """A finding: an eight-sided stop, a three-sided look-out, a round note; its word beside it. Numbers are those of steps alone."""
    x, y = at
    corners, radius, first, low = {
        "stop": (8, 4.2, math.pi / 8, 0.0),
        "warn": (3, 5.6, math.pi / 2, 0.5),
        "note": (36, 3.8, 0.0, 0.0),
    }[level]
    shape = arc(at, radius, first, first + 2 * math.pi, 2 * math.pi / corners)[:-1]
    word = WORDS[level]
    width = width_mm(word, PUPIL_MM) + 3.0
    left = x - 5.2 - width if flag_left else x + 5.2
    flag = Box(left, y - 2.9, left + width, y + 2.9)
    return (
        Area((_pill(flag),), PAPER, "thin"),
        centred(word, flag.middle, colour=COLOURS[level]),
        Area((shape,), COLOURS[level]),
        centred(SIGNS[level], (x, y - low), 3.8, "bold", PAPER),
    )


def _pill(box: Box) -> tuple[Point, ...]:
    """A box with round ends."""
    y, radius = box.middle[1], box.height / 2
    right = arc((box.right - radius, y), radius, -math.pi / 2, math.pi / 2, math.pi / 12)
    left = arc((box.left + radius, y), radius, math.pi / 2, 1.5 * math.pi, math.pi / 12)
    return right + left
