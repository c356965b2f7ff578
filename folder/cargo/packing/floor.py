"""The floor as a walled yard: how far a place is from each wall.

floor      a simple polygon, its corners counter-clockwise as complex numbers x + iy, mm (m,); it may be non-convex
clearance  how far a place is from a stretch of the floor's edge

A plane point is one complex number here: a turn is a product and a distance an absolute value.
"""

from __future__ import annotations

import numpy as np

from folder.geometry import plane
from folder.geometry.plane import signed_area
from folder.geometry.space import Bools, Complexes, Floats

Places = Complexes


def as_places(points_mm: Floats) -> Places:
    """(n, 2) mm -> (n,) complex mm."""
    return np.ascontiguousarray(points_mm, dtype=np.float64).view(np.complex128)[..., 0]


def as_points(places: Places) -> Floats:
    """(n,) complex mm -> (n, 2) mm."""
    return np.stack([places.real, places.imag], axis=-1)


def _following(floor: Places) -> Places:
    """The corner (m,) that follows each: as `np.roll`, in a tenth of its time."""
    return np.concatenate([floor[1:], floor[:1]])


def clearance(places: Places, floor: Places) -> tuple[Floats, Places]:
    """Distance to every side of the floor (..., m) mm, and the unit vector from its nearest point to the place (..., m).

    The sides are numbered by their first corner. A place on a side gets that side's inward normal.
    """
    side = _following(floor) - floor
    length = np.abs(side)
    along = side / length
    reach = (places[..., None] - floor) * np.conj(along)  # real: how far along the side, imaginary: how far to its left
    gap = reach - np.minimum(np.maximum(reach.real, 0.0), length)
    distance = np.abs(gap)
    here = distance > 1e-300  # below that a quotient overflows
    away = np.where(here, gap, 1j) / np.where(here, distance, 1.0)
    return distance, away * along


def inside_floor(places: Places, floor: Places) -> Bools:
    """Whether each place (...) lies within the floor: `plane.inside` in complex numbers, a third faster in a search."""
    start, end = floor, _following(floor)
    x, y = places.real[..., None], places.imag[..., None]
    spans = (start.imag <= y) != (end.imag <= y)
    rise = np.where(start.imag == end.imag, 1.0, end.imag - start.imag)
    crosses = spans & (x < start.real + (y - start.imag) * (end.real - start.real) / rise)
    return crosses.sum(axis=-1) % 2 == 1


def margin(places: Places, floor: Places) -> float:
    """The largest radius that discs at these places (n,) may have: up to their neighbours and the walls; 0 if one is outside."""
    if not inside_floor(places, floor).all():
        return 0.0
    wall = float(clearance(places, floor)[0].min())
    first, second = np.triu_indices(len(places), 1)
    between = np.abs(places[first] - places[second]) / 2.0
    return min(wall, float(between.min())) if len(between) else wall


def polygon_area(floor: Places) -> float:
    """Area, mm2. Floor (m,) complex mm."""
    return signed_area(as_points(floor))


def floor_centroid(floor: Places) -> complex:
    """Centre of the floor's area, complex mm. Floor (m,) complex mm."""
    return complex(*plane.centroid(as_points(floor)).tolist())
