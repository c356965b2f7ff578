"""How brightly flat things look in one light, and the soft shadow that they cast on the table.

brightness  1 where a thing faces the light, 0 where light only grazes it, below where it is turned away
tones       three colours of one surface: turned away, half turned, facing the light; between them it goes over smoothly
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from msgspec import Struct

from folder.draw.hull.view import View
from folder.draw.picture import Area
from folder.draw.style import INK, PAPER
from folder.findings import Point
from folder.geometry.space import Floats

_LEVELS = (-0.25, 0.45, 0.95)
"""Brightness at which each of the three tones stands."""
_SHADES = 9
_SPREAD = 0.12
"""How far a shadow is washed out, over the height of what casts it."""
_LEAST_SPREAD_MM, _MOST_SPREAD_MM = 1.2, 4.5
_LOWEST_SIN = 0.05
"""From lower than this, or from below, no shadow is seen on the table."""

_LEAST_GLINT_MM2 = 250.0
"""Smaller pieces have none: many small ones would be a flicker."""
_STREAK = np.array([math.cos(math.radians(62.0)), math.sin(math.radians(62.0))])
"""Unit: the way the streaks run in the picture."""
_STREAKS = ((-0.04, 0.11), (0.09, 0.035))
"""Where each lies beside the middle of a piece and how wide it is, over the size of the piece."""
_ROUND = ((-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0))
_SLIDE = 2.5
_GLEAM, _SATIN = 0.75, 0.16
"""How much of white a streak has on the shiny side, and on the dull one."""

Rings = tuple[tuple[Point, ...], ...]


class Tones(Struct, frozen=True):
    """Three colours of a surface, #RRGGBB."""

    dark: str
    mid: str
    light: str

    @classmethod
    def of(cls, colour: str) -> Tones:
        """Those of a thing of one colour."""
        return cls(mixed(colour, INK, 0.38), colour, mixed(colour, PAPER, 0.4))

    def at(self, brightness: float) -> str:
        """The colour at a brightness."""
        low, middle, high = _LEVELS
        if brightness < middle:
            return mixed(self.dark, self.mid, (brightness - low) / (middle - low))
        return mixed(self.mid, self.light, (brightness - middle) / (high - middle))


SHINY = Tones("#B4C1D0", "#D6DFE9", "#F0F4F8")
"""The side of the foil that faces you as you fold, the inside of the hull."""
DULL = Tones("#6F8197", "#93A4B6", "#B8C4D1")
"""The other side."""
SHADOW = Tones("#B9C3CD", "#D7DEE4", "#F3F6F9")
"""On the table, from the middle of a shadow to where there is none."""
GROUND = SHADOW.light


def mixed(one: str, other: str, share: float) -> str:
    """A colour between two, both #RRGGBB; `share` is how much of the other, kept between 0 and 1."""
    share = min(max(share, 0.0), 1.0)
    pairs = zip(bytes.fromhex(one[1:]), bytes.fromhex(other[1:]), strict=True)
    return "#" + bytes(round(a + share * (b - a)) for a, b in pairs).hex().upper()


def brightness(normals: Floats, view: View) -> Floats:
    """Brightness (n,) of surfaces with normals (n, 3) in view space, unit, as the side of each is that is seen."""
    seen = normals * np.where(normals[:, 2:] < 0.0, -1.0, 1.0)
    level: Floats = seen @ view.light
    return level


def shadow(places: Sequence[Floats], view: View, table_mm: float | None = None, ground: str = GROUND) -> Iterator[Area]:
    """The soft shadow of polygons, each (n, 3) mm in view space, on a table (mm along the vertical; else just under them).

    Painted on a ground of a colour, the palest rim first.
    """
    if not places or view.vertical[2] < _LOWEST_SIN:
        return
    size = np.array([len(p) for p in places])
    points = np.concatenate(places)
    height = points @ view.vertical
    table = float(height.min()) if table_mm is None else table_mm
    light, up = view.light, view.vertical
    cast = points - np.outer((height - table) / float(light @ up), light)
    rings = shapely.linearrings(cast[:, :2], indices=np.repeat(np.arange(len(size)), size))
    shape = shapely.union_all(shapely.buffer(shapely.polygons(rings), 0.0))
    spread = min(max(_SPREAD * (float(height.max()) - table), _LEAST_SPREAD_MM), _MOST_SPREAD_MM)
    for k in range(_SHADES):
        share = (k + 1) / _SHADES
        grown = shapely.buffer(shape, spread * (0.7 - 2.0 * k / (_SHADES - 1)), quad_segs=3)
        colour = mixed(ground, SHADOW.dark, share)
        for part in shapely.get_parts(grown):
            if part.geom_type == "Polygon" and not part.is_empty:
                yield Area((tuple(map(tuple, shapely.get_coordinates(part.exterior)[:-1].tolist())),), colour)


def glint(rings: Rings, colour: str, normal: Floats, *, shiny: bool) -> Iterator[Area]:
    """The streaks that a flat piece of foil, rings in the picture, mirrors: they slide over it as it turns. `normal` (3,) in view space."""
    # Summed in place: most rings are small ones of four corners, for which arrays cost ten times as much.
    ring = rings[0]
    if abs(sum(ax * by - ay * bx for (ax, ay), (bx, by) in zip(ring, ring[1:] + ring[:1], strict=True))) < 2.0 * _LEAST_GLINT_MM2:
        return
    outline = np.array(ring)
    low, high = outline.min(axis=0), outline.max(axis=0)
    reach = float(np.hypot(*(high - low)))
    middle = (low + high) / 2.0
    slid = 0.18 * reach * math.sin(_SLIDE * float(normal[0] - normal[1]))
    ahead, across = reach * _STREAK, np.array([-_STREAK[1], _STREAK[0]])
    bands = [
        [middle + sign * ahead + (slid + (at + side * wide / 2.0) * reach) * across for sign, side in _ROUND]
        for at, wide in _STREAKS
    ]
    tint = mixed(colour, PAPER, _GLEAM if shiny else _SATIN)
    for part in shapely.get_parts(shapely.intersection(shapely.polygons(np.array(bands)), shapely.Polygon(outline, rings[1:]))):
        if part.geom_type == "Polygon" and part.area > 1.0:
            yield Area(tuple(tuple(map(tuple, ring.coords[:-1])) for ring in (part.exterior, *part.interiors)), tint)
