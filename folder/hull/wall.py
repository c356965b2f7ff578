"""The walls round the floor: how high each stands along its floor crease, and the sides of the floor that have none.

straight out   across the floor's border, away from the floor, on the flat sheet
side           a straight side of the floor's outline
open           a side with a stretch along which nothing stands up by a millimetre
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from folder.findings import Point
from folder.fold.place import Folded
from folder.geometry.plane import distances_to, sides
from folder.geometry.space import Bools, Floats, Ints
from folder.pattern.faces.net import BORDER

OPEN_MM = 1.0
"""A wall lower than this keeps no water out: it is the thickness of a folded edge (the rule of this program)."""

_STEP_MM = 5.0
_END_MM = 0.01
"""So near to a crease's ends is looked, and every 5 mm between them."""
_STRAIGHT = np.cos(np.radians(2.0))
_ON_OUTLINE_MM = 0.5


class OpenSide(Struct, frozen=True):
    """A side of the floor without a wall."""

    at: Point
    """Its middle, on the flat sheet, mm."""
    length_mm: float
    wall_mm: float
    """How high it is where it is highest."""


def floor_creases(folded: Folded, floor_faces: Bools) -> Ints:
    """(w,) the edges of the net across which the floor ends and the sheet goes on."""
    faces = folded.faces
    on_floor = np.where(faces.sides >= 0, floor_faces[faces.sides], False)
    return np.nonzero(faces.joined & (on_floor[:, 0] != on_floor[:, 1]))[0]


def wall_heights(folded: Folded, floor_faces: Bools) -> Floats:
    """The wall over each floor crease: its height where it is lowest, on average, and where it is highest, (w, 3) mm.

    Its height at a place is that of the highest point of the sheet straight out from there.
    """
    faces = folded.faces
    border = floor_creases(folded, floor_faces)
    heights = np.zeros((len(border), 3))
    ends = faces.vertices[faces.edges]
    for row, edge in enumerate(border.tolist()):
        start, end = ends[edge] if floor_faces[faces.sides[edge, 0]] else ends[edge, ::-1]
        length = float(np.hypot(*(end - start)))
        near = min(_END_MM / length, 0.25)
        shares = np.linspace(near, 1.0 - near, 2 + max(1, int(length / _STEP_MM)))
        # The floor on the left means that out is to the right.
        out = (end - start)[::-1] * (1.0, -1.0) / length
        found = _highest(folded, start + shares[:, None] * (end - start), out)
        heights[row] = found.min(), found.mean(), found.max()
    return heights


def _highest(folded: Folded, places: Floats, out: Floats) -> Floats:
    """Height (k,) mm of the highest point of the sheet straight out from places (k, 2) mm, one direction for all."""
    faces = folded.faces
    ends = faces.vertices[faces.edges]
    ahead = ends[:, 1] - ends[:, 0]
    det = out[0] * ahead[:, 1] - out[1] * ahead[:, 0]
    away = ends[None, :, 0] - places[:, None]
    with np.errstate(divide="ignore", invalid="ignore"):
        reach = (away[..., 0] * ahead[:, 1] - away[..., 1] * ahead[:, 0]) / det
        share = (away[..., 0] * out[1] - away[..., 1] * out[0]) / det
    met = (np.abs(det) > 1e-9) & (share > -1e-9) & (share < 1.0 + 1e-9) & (reach > 1e-9)
    # Straight out ends at the sheet's edge, or where a cut has taken a piece off; a slit does not end it.
    over = ((faces.sides < 0) | ~folded.placed[faces.sides]).any(axis=1)
    stop = np.where(met & over, reach, np.inf).min(axis=1, initial=np.inf)
    # The near face of each edge met: on its left when the ray comes from there.
    near = np.where(det > 0, faces.sides[:, 0], faces.sides[:, 1])
    lift = folded.motions[near, 2]
    z = (lift[:, None, :2] * ends).sum(axis=2) + lift[:, None, 3]
    height = z[:, 0] + np.where(met, share, 0.0) * (z[:, 1] - z[:, 0])
    reached = met & (reach <= stop[:, None] + 1e-9) & (near >= 0)
    return np.where(reached, height, 0.0).max(axis=1, initial=0.0)


def open_sides(folded: Folded, floor_faces: Bools, heights: Floats, outline: Floats) -> list[OpenSide]:
    """The sides of the floor that have no wall.

    `floor_faces` hang together with the root, `heights` are the walls' (w, 3) mm, `outline` (n, 2) mm is the floor's in
    the plane of the root face.
    """
    faces = folded.faces
    border = floor_creases(folded, floor_faces)
    none = heights[:, 2] < OPEN_MM
    on_floor = np.where(faces.sides >= 0, floor_faces[faces.sides], False)
    at_edge = np.nonzero((faces.crease == BORDER) & on_floor.any(axis=1))[0]
    # Where the floor is folded back on itself, the fold is its border.
    up = np.where(faces.sides >= 0, folded.normals[faces.sides, 2] > 0.0, False)
    doubled = np.nonzero(faces.joined & on_floor.all(axis=1) & (up[:, 0] != up[:, 1]))[0]
    wall = np.concatenate([heights[none, 2], np.zeros(len(at_edge) + len(doubled))])
    edges = np.concatenate([border[none], at_edge, doubled])
    side_of = np.where(on_floor[edges, 0], faces.sides[edges, 0], faces.sides[edges, 1])
    ends = faces.vertices[faces.edges[edges]]
    motion = folded.motions[side_of]
    places = np.einsum("eij,ekj->eki", motion[:, :2, :2], ends) + motion[:, None, :2, 3]
    corners = _corners(outline)
    lengths = np.hypot(*(ends[:, 1] - ends[:, 0]).T)
    sides: dict[int, list[int]] = {}
    for row, midpoint in enumerate(places.mean(axis=1)):
        apart = _to_sides(midpoint, corners)
        if apart.min() <= _ON_OUTLINE_MM and lengths[row] >= OPEN_MM:
            sides.setdefault(int(apart.argmin()), []).append(row)
    found = []
    for side in sorted(sides):
        rows = sides[side]
        longest = max(rows, key=lambda row: (round(lengths[row], 6), -row))
        x, y = ends[longest].mean(axis=0).tolist()
        found.append(OpenSide((x, y), float(lengths[rows].sum()), float(wall[rows].max())))
    return found


def _corners(outline: Floats) -> Floats:
    """The points of an outline at which it turns."""
    before, after = outline - np.roll(outline, 1, axis=0), np.roll(outline, -1, axis=0) - outline
    sizes = np.hypot(*before.T) * np.hypot(*after.T)
    turns = (before * after).sum(axis=1) < _STRAIGHT * sizes
    return outline[turns] if turns.sum() > 2 else outline


def _to_sides(point: Floats, corners: Floats) -> Floats:
    """(n,) mm from a point to each side of a polygon."""
    return distances_to(point[None], sides(corners))[0]
