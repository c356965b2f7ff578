"""Outlines of floors and rooms, checked and made simple.

outline  a simple polygon (n, 2) mm, its corners counter-clockwise
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import ArrayLike

from folder.cargo.packing.floor import Places, as_places, as_points
from folder.errors import BadRequest
from folder.geometry.space import Floats

Outlines = tuple[Floats, ...]
"""Outlines, the largest first."""

SAME_PLACE = 1e-9
"""Corners nearer than this part of the floor's width are one."""

STRAIGHT_MM = 1e-7
"""A corner that is no farther off the line between its neighbours is none."""


def checked_floor(floor_mm: ArrayLike) -> Places:
    """The floor's corners (m,) complex mm, counter-clockwise and no two in one place; BadRequest if it is no outline.

    Floor (n, 2) mm.
    """
    try:
        corners = np.array(floor_mm, dtype=np.float64)
    except (TypeError, ValueError) as error:
        raise BadRequest("the floor is not a list of corners", where="floor", remedy="Give x and y in mm") from error
    if corners.ndim != 2 or corners.shape[1] != 2 or len(corners) < 3:
        raise BadRequest(
            "there is no floor to load",
            where="floor",
            found=f"{len(corners) if corners.ndim else 0} corner(s)",
            remedy="A floor needs at least 3 corners, x and y in mm",
        )
    if not np.isfinite(corners).all():
        raise BadRequest("a corner of the floor is not a number", where="floor", remedy="Give x and y in mm")
    floor = as_places(corners)
    floor = floor[abs(floor - np.roll(floor, 1)) > SAME_PLACE * max(np.ptp(floor.real), np.ptp(floor.imag))]
    outline = shapely.Polygon(as_points(floor)) if len(floor) > 2 else shapely.Polygon()
    if not (outline.is_valid and outline.area > 0.0):
        raise BadRequest(
            "the floor's outline encloses nothing, or crosses itself",
            where="floor",
            found=f"{len(floor)} corners",
            remedy="Give the corners in their order around the floor",
        )
    return floor if outline.exterior.is_ccw else floor[::-1]


def widened(region: shapely.Geometry, by_mm: float) -> shapely.Geometry:
    """The region with its sides moved outward, or inward when negative, its corners kept sharp."""
    with np.errstate(divide="ignore", invalid="ignore"):  # GEOS asks where sides meet that run one way, and copes
        return region.buffer(by_mm, join_style="mitre", mitre_limit=100.0)


def simple_parts(region: shapely.Geometry) -> Outlines:
    """The pieces of a region, those with holes cut in two at each hole."""
    outlines: list[Floats] = []
    pieces = list(shapely.get_parts(shapely.simplify(region, STRAIGHT_MM)))
    while pieces:
        piece = pieces.pop()
        if piece.geom_type != "Polygon" or piece.area <= STRAIGHT_MM:
            continue
        if not piece.interiors:
            ring = shapely.get_coordinates(piece.exterior)[:-1]
            outlines.append(ring if piece.exterior.is_ccw else ring[::-1])
            continue
        x0, y0, x1, y1 = piece.bounds
        x = piece.interiors[0].centroid.x
        halves = (shapely.box(x0, y0, x, y1), shapely.box(x, y0, x1, y1))
        pieces += [part for half in halves for part in shapely.get_parts(piece.intersection(half))]
    outlines.sort(key=lambda ring: -shapely.Polygon(ring).area)
    for ring in outlines:
        ring.flags.writeable = False
    return tuple(outlines)
