"""Mirrors of the sheet: the maps that carry a place to its images, and creases that are each other's images."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Literal

from folder.findings import Point
from folder.pattern.construct import Mirror, mirrored
from folder.pattern.pattern import Crease, Pattern, Sheet

Mirrors = Literal["none", "left-right", "top-bottom", "four"]
MIRRORS: tuple[Mirrors, ...] = ("none", "left-right", "top-bottom", "four")
WORDS: dict[Mirrors, str] = {
    "none": "no mirror",
    "left-right": "left and right",
    "top-bottom": "top and bottom",
    "four": "all four corners",
}
Map = Callable[[Point], Point]
_SAME_MM = 0.1


def images(sheet: Sheet, crease: Crease, mirrors: Mirrors) -> tuple[Crease, ...]:
    """A crease with its mirror images, itself first."""
    if mirrors == "none":
        return (crease,)
    mirror: Mirror = mirrors
    return mirrored(sheet, crease, mirror)


def maps(sheet: Sheet, mirrors: Mirrors) -> list[Map]:
    """The maps of a mirror, the one that leaves all in place first."""
    width, height = sheet.width_mm, sheet.height_mm
    made: list[Map] = [lambda p: p]
    if mirrors in ("left-right", "four"):
        made.append(lambda p: (width - p[0], p[1]))
    if mirrors in ("top-bottom", "four"):
        made.append(lambda p: (p[0], height - p[1]))
    if mirrors == "four":
        made.append(lambda p: (width - p[0], height - p[1]))
        if width == height:
            # On a square "all four corners" takes in the diagonals, as `construct.mirrored` does.
            made += [lambda p, m=m: (m(p)[1], m(p)[0]) for m in list(made)]
    return made


def twins(pattern: Pattern, index: int, mirrors: Mirrors) -> list[tuple[int, Map]]:
    """The creases that are images of one, itself first, each once, with the map that carries the one there."""
    crease = pattern.creases[index]
    found: list[tuple[int, Map]] = []
    for carry in maps(pattern.sheet, mirrors):
        ends = (carry(crease.start), carry(crease.end))
        for i, other in enumerate(pattern.creases):
            if i not in [j for j, _ in found] and other.sense == crease.sense and _alike(ends, other):
                found.append((i, carry))
                break
    return found


def _alike(ends: tuple[Point, Point], crease: Crease) -> bool:
    return any(
        math.dist(ends[0], a) < _SAME_MM and math.dist(ends[1], b) < _SAME_MM
        for a, b in ((crease.start, crease.end), (crease.end, crease.start))
    )
