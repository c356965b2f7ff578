"""The room inside a hull, from slices of the folded sheet itself: its triangles cut by planes z = const.

section  the inside at one height: what the foil that keeps water out surrounds there
clear    from where something upright reaches from one height to another and meets no foil: a place of the section at
         the lower height under which, seen straight down, no foil lies between the two
level    as high as water may stand outside; above the rim a section is no longer closed, foil is only in the way

The foil has no thickness here. Outlines are simple polygons, (n, 2) mm, in the hull's frame.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
import shapely
from msgspec import Struct

from folder.cargo.packing.outline import STRAIGHT_MM, Outlines, simple_parts, widened
from folder.errors import BadRequest
from folder.geometry.plane import winding_numbers
from folder.geometry.soup import distances
from folder.geometry.space import Bools, Floats, Ints
from folder.hull.hull import FLOOR_MM, Hull
from folder.hull.rim import level_moments, wet_triangles
from folder.hull.skin import Skin

HAIR_MM = 1e-6
"""A plane is laid so far off the vertices it would touch."""

EDGEWISE_MM = 1e-4
"""Foil that looks narrower than this from above stands upright."""

BESIDE_MM = 0.05
"""Upright foil so near to the walls is a layer that lies on them; farther in it parts the room."""

LEANING = 0.01
"""A wall that leans out by less, rad, carries nothing."""

CUTS = 8
"""Heights at which the foil that a ball may touch is cut, besides the one where a flat wall touches it."""

MOST_CUTS = 40
"""Where walls lean in more ways than this, only so many of the heights where they are touched are used."""


class Room(Struct, frozen=True, eq=False):
    """The room inside a skin: floor (n, 2) mm, and up to the rim, mm."""

    skin: Skin
    floor_mm: Floats
    rim_mm: float

    def __post_init__(self) -> None:
        self.floor_mm.flags.writeable = False

    def volume_mm3(self, level_mm: float) -> float:
        """The room between the floor and a level, which is at most the rim."""
        return _below(self.skin, min(level_mm, self.rim_mm)) - _below(self.skin, 0.0)

    def section(self, z_mm: float) -> shapely.Geometry:
        """The inside at a height below the rim, a polygon or several."""
        return _section(self.skin, z_mm)

    def clear(self, low_mm: float, high_mm: float) -> Outlines:
        """Where something upright that reaches from one height to another has room; the largest outline first."""
        return _clear(self, low_mm, high_mm)

    def clear_for_balls(self, radius_mm: float) -> Outlines:
        """Outlines in which balls on the floor count as discs of their radius: a ball touches a wall that leans out lower
        than at its middle, so that the outline is wider than the floor; it is narrower between walls that lean in."""
        return _clear_for_balls(self, radius_mm)

    def distance_mm(self, points: Floats) -> Floats:
        """How far points (n, 3) are from the nearest foil that rises from the floor (n,)."""
        return distances(points, self.skin.vertices[self.skin.triangles[_rising(self.skin)]])

    def leaning_walls(self) -> Floats:
        """The planes of the foil that leans out, each once: unit normals to the inside and how far along them (w, 4)."""
        risen = _rising(self.skin)
        normal = self.skin.soup.area_vectors[risen]
        size = np.linalg.norm(normal, axis=1)
        leaning = normal[:, 2] > LEANING * size
        normal = normal[leaning] / size[leaning, None]
        along = (normal * self.skin.vertices[self.skin.triangles[risen][leaning, 0]]).sum(axis=1)
        planes = np.column_stack([normal, along])
        once = np.unique((planes + 0.0).round(5), axis=0, return_index=True)[1]
        kept: Floats = planes[once]
        return kept


def room_of(hull: Hull) -> Room:
    """The room inside a hull."""
    if not math.isfinite(hull.rim_height_mm) or hull.rim_height_mm <= 0.0:
        raise BadRequest("the hull has no walls to load between", where="hull", remedy="Fold walls up all round the floor")
    return Room(hull.skin, np.array(hull.cover.outline), hull.rim_height_mm)


def _rising(skin: Skin) -> Ints:
    """(r,) the triangles that are not floor, nor lie on it."""
    return np.nonzero(skin.vertices[skin.triangles, 2].max(axis=1) > FLOOR_MM)[0]


def _below(skin: Skin, level: float) -> float:
    """What the foil that keeps water out surrounds below a level, mm3."""
    moments = level_moments(skin, level)
    return float(level * moments[0, 0] - moments[0, 3])


def _cut(skin: Skin, z: float) -> tuple[Floats, Ints]:
    """The foil at a height: segments (s, 2, 2) mm with the inside on their left, and each one's triangle (s,)."""
    corners = np.sort(skin.triangles, axis=1)  # an edge is cut in one place, whichever triangle asks
    above = skin.vertices[corners, 2] > z
    crossing = np.nonzero(above.any(axis=1) & ~above.all(axis=1))[0]
    corners, above = corners[crossing], above[crossing]
    ends = []
    for a, b in ((0, 1), (1, 2), (0, 2)):
        start, end = skin.vertices[corners[:, a]], skin.vertices[corners[:, b]]
        rise = np.where(above[:, a] != above[:, b], end[:, 2] - start[:, 2], 1.0)
        ends.append(start[:, :2] + ((z - start[:, 2]) / rise)[:, None] * (end[:, :2] - start[:, :2]))
    first = np.where((above[:, 0] != above[:, 1])[:, None], ends[0], ends[1])
    second = np.where((above[:, 0] != above[:, 2])[:, None], ends[2], ends[1])
    inward = skin.soup.area_vectors[crossing, :2]
    ahead = second - first
    wrong = ahead[:, 0] * inward[:, 1] - ahead[:, 1] * inward[:, 0] < 0.0
    segments = np.stack([first, second], axis=1)
    segments[wrong] = segments[wrong, ::-1]
    return segments, crossing


@lru_cache(maxsize=64)
def _section(skin: Skin, z_mm: float) -> shapely.Geometry:
    heights = skin.vertices[:, 2]
    z = max(HAIR_MM, z_mm - HAIR_MM) if (abs(heights - z_mm) < HAIR_MM / 2.0).any() else z_mm
    segments, triangle = _cut(skin, z)
    wet = wet_triangles(heights[None], np.array([z]), skin)
    closed = segments if wet is None else segments[wet[0, triangle]]
    if not len(closed):
        return shapely.Polygon()
    # Layers that lie on each other miss one another by rounding: a fine grid brings them together.
    noded = shapely.union_all(shapely.linestrings(segments), grid_size=HAIR_MM)
    cells = shapely.get_parts(shapely.polygonize(shapely.get_parts(noded)))
    cells = cells[shapely.area(cells) > HAIR_MM]
    inside = winding_numbers(shapely.get_coordinates(shapely.point_on_surface(cells)), closed) > 0
    return shapely.simplify(shapely.union_all(cells[inside]), 10.0 * HAIR_MM)  # the grid bends straight walls a little


def _shadows(skin: Skin, low: float, high: float) -> shapely.Geometry:
    """The foil between two heights, seen straight down: polygons, and lines where it stands upright (object array)."""
    corners = skin.vertices[skin.triangles]
    z = corners[..., 2]
    met = (z.max(axis=1) > low) & (z.min(axis=1) < high)
    corners, z = corners[met], z[met]
    points, of = [corners[(z >= low) & (z <= high)][:, :2]], [np.nonzero((z >= low) & (z <= high))[0]]
    for a, b in ((0, 1), (1, 2), (2, 0)):
        for level in (low, high):
            cut = np.nonzero((z[:, a] < level) != (z[:, b] < level))[0]
            share = (level - z[cut, a]) / (z[cut, b] - z[cut, a])
            points.append(corners[cut, a, :2] + share[:, None] * (corners[cut, b, :2] - corners[cut, a, :2]))
            of.append(cut)
    where = np.concatenate(of)
    order = where.argsort(kind="stable")
    number = np.unique(where, return_inverse=True)[1]
    return shapely.convex_hull(shapely.multipoints(np.concatenate(points)[order], indices=number[order]))


def _upright(shadows: shapely.Geometry) -> Bools:
    """(n,) which shadows are narrow: area over half the way round is about their width."""
    narrow = shapely.area(shadows) < EDGEWISE_MM * shapely.length(shadows) / 2.0
    return np.asarray(narrow | (shapely.get_dimensions(shadows) < 2))


@lru_cache(maxsize=64)
def _clear(room: Room, low_mm: float, high_mm: float) -> Outlines:
    floor = shapely.Polygon(room.floor_mm)
    region = floor if low_mm <= 0.0 else room.section(min(low_mm, room.rim_mm - HAIR_MM))
    low = max(FLOOR_MM + HAIR_MM, min(low_mm, room.rim_mm - HAIR_MM)) if low_mm > 0.0 else FLOOR_MM + HAIR_MM
    if high_mm > low:
        shadows = _shadows(room.skin, low, high_mm)
        upright = _upright(shadows)
        less = region.difference(shapely.union_all(shadows[~upright]))
        if less.area < region.area - HAIR_MM * region.length:  # else what is off is rounding
            region = less
        fins = shapely.union_all(shapely.boundary(shadows[upright & (shapely.length(shadows) > BESIDE_MM)]))
        lines = shapely.union_all(shadows[upright & (shapely.get_dimensions(shadows) == 1)])
        across = shapely.intersection(shapely.union(fins, lines), widened(region, -BESIDE_MM))
        if across.length > 2.0 * BESIDE_MM:
            region = region.difference(across.buffer(BESIDE_MM / 2.0))
    return simple_parts(region)


@lru_cache(maxsize=16)
def _clear_for_balls(room: Room, radius: float) -> Outlines:
    skin, top = room.skin, 2.0 * radius
    lowest, highest = (skin.vertices[skin.triangles, 2].max(axis=1), skin.vertices[skin.triangles, 2].min(axis=1))
    near = (lowest > FLOOR_MM) & (highest < top)
    # A flat wall touches the ball a radius off its middle: below it where the wall leans out, above it where it leans in.
    normals = skin.soup.area_vectors[near]
    leans = abs(normals[:, 2]) / np.maximum(np.linalg.norm(normals, axis=1), HAIR_MM)
    touched = np.unique((radius * (1.0 + np.append(leans, -leans))).round(9))
    touched = touched[:: 1 + len(touched) // MOST_CUTS]
    levels = np.concatenate([top * (np.arange(CUTS) + 0.5) / CUTS, touched])
    capsules, of = [], []
    for level in levels.tolist():
        segments, triangle = _cut(skin, level)
        shown = near[triangle] & (abs(segments[:, 1] - segments[:, 0]).max(axis=1, initial=0.0) > HAIR_MM)
        capsules.append(shapely.buffer(shapely.linestrings(segments[shown]), _half_width(radius, level)))
        of.append(triangle[shown])
    corner = skin.vertices[skin.triangles[near]].reshape(-1, 3)
    capsules.append(shapely.buffer(shapely.points(corner[:, :2]), _half_width(radius, corner[:, 2])))
    of.append(np.repeat(np.nonzero(near)[0], 3))
    where = np.concatenate(of)
    order = where.argsort(kind="stable")
    pieces = np.concatenate(capsules)[order]
    solid = ~shapely.is_empty(pieces)
    number = np.unique(where[order][solid], return_inverse=True)[1]
    # What a ball may not enter about one flat piece of foil is convex.
    taken = shapely.convex_hull(shapely.geometrycollections(pieces[solid], indices=number))
    middles = shapely.Polygon(room.floor_mm).difference(shapely.union_all(taken))
    straight = shapely.simplify(middles, STRAIGHT_MM)  # corners a rounding apart have no direction between them
    return simple_parts(widened(straight, radius))


def _half_width(radius: float, level: Floats | float) -> Floats:
    """How wide a ball on the floor is at a height, from its middle; 0 below and above it.

    Heights (n,) mm, half widths (n,) mm.
    """
    width: Floats = np.sqrt(np.maximum(radius**2 - (np.asarray(level) - radius) ** 2, 0.0))
    return width
