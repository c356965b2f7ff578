"""Mirrors of the sheet: the maps that carry a place to its images, and creases that are each other's images."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Literal

import numpy as np

from folder.findings import Point
from folder.pattern.construct import Mirror, mirrored
from folder.pattern.pattern import Crease, Pattern, Sheet
from folder.window.tools.snap import ends_of

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
    made: list[Map] = [_stays]
    if mirrors in ("left-right", "four"):
        made.append(lambda p: (width - p[0], p[1]))
    if mirrors in ("top-bottom", "four"):
        made.append(lambda p: (p[0], height - p[1]))
    if mirrors == "four":
        made.append(lambda p: (width - p[0], height - p[1]))
        if width == height:
            # On a square "all four corners" takes in the diagonals, as `construct.mirrored` does.
            made += [partial(_flipped, carry) for carry in tuple(made)]
    return made


def twins(pattern: Pattern, index: int, mirrors: Mirrors) -> list[tuple[int, Map]]:
    """The creases that are images of one, itself first, each once, with the map that carries the one there."""
    crease = pattern.creases[index]
    found: list[tuple[int, Map]] = [(index, _stays)]
    if mirrors == "none":
        return found
    ends = ends_of(pattern.creases)
    alike = np.array([c.sense == crease.sense for c in pattern.creases])
    alike[index] = False
    for carry in maps(pattern.sheet, mirrors)[1:]:
        image = np.array((carry(crease.start), carry(crease.end)))
        for turned in (image, image[::-1]):
            same = alike & (np.hypot(*(ends - turned).reshape(-1, 2).T).reshape(-1, 2) < _SAME_MM).all(axis=1)
            if same.any():
                twin = same.tolist().index(True)
                alike[twin] = False
                found.append((twin, carry))
                break
    return found


def _stays(p: Point) -> Point:
    return p


def _flipped(carry: Map, p: Point) -> Point:
    x, y = carry(p)
    return (y, x)
