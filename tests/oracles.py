"""Second truths: the same quantities by other means. Closed forms, shapely, trimesh, and moves that change nothing."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import shapely
import trimesh
from numpy.typing import NDArray

from folder.findings import Point
from folder.hull.hull import Hull
from folder.pattern.pattern import Crease, Pattern, Sheet
from tests.drawings import moved


def tray_volume_mm3(width: float, height: float, wall: float, turn_rad: float = math.pi / 2.0) -> float:
    """Volume of the open tray, a prismatoid: h / 6 (A0 + 4 Am + A1). CHECKS 4 has it for square sheets."""
    tall, out = wall * math.sin(turn_rad), 2.0 * wall * math.cos(turn_rad)
    a, b = width - 2.0 * wall, height - 2.0 * wall
    middle = (a + out / 2.0) * (b + out / 2.0)
    return tall / 6.0 * (a * b + 4.0 * middle + (a + out) * (b + out))


def plain_areas(pattern: Pattern) -> NDArray[np.float64]:
    """Areas of the pieces into which the lines cut the sheet, by shapely alone, smallest first: for exact drawings.

    Places are rounded to a picometre, so that what should meet does not miss by the last digit.
    """
    w, h = pattern.sheet.width_mm, pattern.sheet.height_mm
    edge = shapely.box(0.0, 0.0, round(w, 9), round(h, 9)).exterior
    lines = [shapely.LineString(np.round([c.start, c.end], 9)) for c in pattern.creases if c.sense != "guide"]
    return np.sort(shapely.area(shapely.get_parts(shapely.polygonize([shapely.unary_union([edge, *lines])]))))


def mesh(hull: Hull) -> trimesh.Trimesh:
    """The skin as a mesh with its normals out of the vessel, nothing merged or mended."""
    return trimesh.Trimesh(hull.skin.vertices, hull.skin.triangles[:, ::-1], process=False, validate=False)


def sliced_volume_mm3(hull: Hull, level_mm: float) -> float:
    """Volume below a level by trimesh: the skin sliced there; seen from a point in that plane the lid adds nothing."""
    shifted = mesh(hull)
    shifted.apply_translation([0.0, 0.0, -level_mm])
    return float(shifted.slice_plane([0.0, 0.0, 0.0], [0.0, 0.0, -1.0]).volume)


def closed_off(hull: Hull) -> trimesh.Trimesh:
    """The skin closed with a fan over each round of the edge line."""
    vertices = hull.skin.vertices
    triangles = hull.skin.triangles[:, ::-1].tolist()
    for edge in hull.skin.edge_lines:
        apex = len(vertices)
        vertices = np.vstack([vertices, vertices[list(edge)].mean(axis=0)])
        triangles += [(edge[k], edge[(k + 1) % len(edge)], apex) for k in range(len(edge))]
    return trimesh.Trimesh(vertices, triangles, process=False, validate=False)


def turned(pattern: Pattern) -> Pattern:
    """A quarter turn counter-clockwise: the sheet and everything on it."""
    height = pattern.sheet.height_mm
    sheet = Sheet(pattern.sheet.height_mm, pattern.sheet.width_mm, pattern.sheet.thickness_um)
    return moved(pattern, lambda p: (height - p[1], p[0]), sheet)


def mirrored(pattern: Pattern) -> Pattern:
    """Left and right exchanged; senses stay, so every flap goes to the mirrored wall."""
    width = pattern.sheet.width_mm
    return moved(pattern, lambda p: (width - p[0], p[1]))


def scaled(pattern: Pattern, k: float) -> Pattern:
    """Everything k times as large; the foil stays as thick."""
    sheet = Sheet(pattern.sheet.width_mm * k, pattern.sheet.height_mm * k, pattern.sheet.thickness_um)
    return moved(pattern, lambda p: (p[0] * k, p[1] * k), sheet)


def with_list(pattern: Pattern, creases: list[Crease]) -> Pattern:
    """The pattern with another list of creases."""
    return Pattern(pattern.name, pattern.note, pattern.sheet, pattern.floor_at, tuple(creases), pattern.crimps)


def rolled(pattern: Pattern, by: int) -> Pattern:
    """The list of creases begun elsewhere."""
    return with_list(pattern, [*pattern.creases[by:], *pattern.creases[:by]])


def reversed_crease(pattern: Pattern, index: int) -> Pattern:
    """One crease drawn from the other end."""
    c = pattern.creases[index]
    return with_one(pattern, index, [Crease(c.end, c.start, c.sense, c.turn_rad, c.step)])


def split_crease(pattern: Pattern, index: int, share: float) -> Pattern:
    """One crease drawn as two, end to end."""
    c = pattern.creases[index]
    at: Point = tuple(a + share * (b - a) for a, b in zip(c.start, c.end, strict=True))
    halves = [Crease(c.start, at, c.sense, c.turn_rad, c.step), Crease(at, c.end, c.sense, c.turn_rad, c.step)]
    return with_one(pattern, index, halves)


def with_one(pattern: Pattern, index: int, instead: list[Crease]) -> Pattern:
    """One crease replaced."""
    return with_list(pattern, [*pattern.creases[:index], *instead, *pattern.creases[index + 1 :]])


def best(f: Callable[[float], float], low: float, high: float, within: float) -> float:
    """Where a function with one hump is largest, by golden section."""
    share = (math.sqrt(5.0) - 1.0) / 2.0
    while high - low > within:
        a, b = high - share * (high - low), low + share * (high - low)
        low, high = (a, high) if f(a) < f(b) else (low, b)
    return (low + high) / 2.0
