"""The floor that walls leave of an outline, and how high its rim will stand: quick, without folding.

outline   what the walls are made of: the sheet, or what is left of it after hems; convex, counter-clockwise
floor     the part of it on the inner side of every wall
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from folder.pattern.corner import corner_fold, to_outline
from folder.pattern.families.walls import unit
from folder.pattern.reading.intended import IntendedWall, distance_mm

_SAME_MM = 1e-6


class FloorSide(Struct, frozen=True):
    """One side of a floor, from its corner on counter-clockwise to the next one's."""

    corner: complex
    wall: int | None
    """Which wall stands on it; None where it lies on the outline: no wall was drawn there."""
    edge: int
    """Which side of the outline it lies on, where it does; else -1."""


def floor_of(outline: Sequence[complex], walls: Sequence[IntendedWall]) -> tuple[FloorSide, ...]:
    """The sides of the floor; none where nothing is left of it."""
    sides = [FloorSide(corner, None, k) for k, corner in enumerate(outline)]
    for index, wall in enumerate(walls):
        sides = _clipped(sides, index, wall)
    n = len(sides)
    kept = [s for k, s in enumerate(sides) if abs(sides[(k + 1) % n].corner - s.corner) > _SAME_MM]
    return tuple(kept) if len(kept) > 2 else ()


def _clipped(sides: Sequence[FloorSide], index: int, wall: IntendedWall) -> list[FloorSide]:
    """What is left of a convex polygon on the inner side of a wall (Sutherland and Hodgman 1974)."""
    away = [distance_mm(wall, s.corner) for s in sides]
    out: list[FloorSide] = []
    for k, side in enumerate(sides):
        here, there = away[k], away[(k + 1) % len(sides)]
        if here >= -_SAME_MM:
            out.append(side)
        if (here > _SAME_MM and there < -_SAME_MM) or (here < -_SAME_MM and there > _SAME_MM):
            met = side.corner + (sides[(k + 1) % len(sides)].corner - side.corner) * here / (here - there)
            out.append(FloorSide(met, index, -1) if here > 0.0 else FloorSide(met, side.wall, side.edge))
        elif -_SAME_MM <= here <= _SAME_MM and there < -_SAME_MM:
            out[-1] = FloorSide(side.corner, index, -1)
    return out


def rim_mm(outline: Sequence[complex], corners: Sequence[complex], turns_rad: Sequence[float]) -> list[float]:
    """How high the rim stands at each corner of a floor, walls turned up by `turns_rad` on the sides that follow; 0 where none can."""
    n = len(corners)
    places = [(p.real, p.imag) for p in corners]
    border = [(p.real, p.imag) for p in outline]
    heights = []
    for k, here in enumerate(places):
        after, before = places[(k + 1) % n], places[k - 1]
        fold = corner_fold(unit(here, after), unit(here, before), turns_rad[k], turns_rad[k - 1])
        if fold is None:
            heights.append(0.0)
            continue
        ways = ((fold.first, unit(here, after), turns_rad[k]), (fold.second, unit(here, before), turns_rad[k - 1]))
        heights.append(min(_height(here, way, along, turn, border) for way, along, turn in ways))
    return heights


def _height(
    here: tuple[float, float], way: tuple[float, float], along: tuple[float, float], turn_rad: float,
    outline: Sequence[tuple[float, float]],
) -> float:  # fmt: skip
    """How high a wall's side crease comes, from the corner to the outline."""
    off = abs(along[0] * way[1] - along[1] * way[0])
    return math.dist(here, to_outline(here, way, outline)) * off * math.sin(turn_rad)


def volume_mm3(corners: Sequence[complex], turns_rad: Sequence[float], height_mm: float) -> float:
    """What a hull with this rim holds, about: the floor, and as much more as its walls lean out."""
    n = len(corners)
    ahead = [corners[(k + 1) % n] - corners[k] for k in range(n)]
    area = sum((corners[k].conjugate() * corners[(k + 1) % n]).imag for k in range(n)) / 2.0
    lean = sum(abs(a) / math.tan(t) for a, t in zip(ahead, turns_rad, strict=True) if t < 1.57)
    return height_mm * area + height_mm**2 / 2.0 * lean
