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
_PAIRS = 100_000
"""Most places and edges looked at in one go."""
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


def wall_heights(folded: Folded, floor_faces: Bools, creases: Ints) -> Floats:
    """The wall over each floor crease (w,): its height where it is lowest, on average, and where it is highest, (w, 3) mm.

    Its height at a place is that of the highest point of the sheet straight out from there.
    """
    if not len(creases):
        return np.zeros((0, 3))
    faces = folded.faces
    ends = faces.vertices[faces.edges[creases]]
    turned = ~floor_faces[faces.sides[creases, 0]]
    ends[turned] = ends[turned, ::-1]
    way = ends[:, 1] - ends[:, 0]
    length = np.hypot(way[:, 0], way[:, 1])
    near = np.minimum(_END_MM / length, 0.25)
    steps = 1 + np.maximum(1, (length / _STEP_MM).astype(np.int64))
    first = np.cumsum(steps + 1) - (steps + 1)
    crease = np.repeat(np.arange(len(steps)), steps + 1)
    share = near[crease] + (np.arange(len(crease)) - first[crease]) * ((1.0 - 2.0 * near) / steps)[crease]
    # The floor on the left means that out is to the right.
    out = way[:, ::-1] * (1.0, -1.0) / length[:, None]
    found = _highest(folded, ends[crease, 0] + share[:, None] * way[crease], out[crease])
    lowest, highest = np.minimum.reduceat(found, first), np.maximum.reduceat(found, first)
    return np.column_stack([lowest, np.add.reduceat(found, first) / (steps + 1), highest])


def _highest(folded: Folded, places: Floats, out: Floats) -> Floats:
    """Height (k,) mm of the highest point of the sheet straight out from places (k, 2) mm, each its own way out (k, 2)."""
    faces = folded.faces
    rows = max(1, _PAIRS // len(faces.edges))
    if len(places) > rows:
        parts = (slice(k, k + rows) for k in range(0, len(places), rows))
        return np.concatenate([_highest(folded, places[part], out[part]) for part in parts])
    (x0, y0), (x1, y1) = faces.vertices[faces.edges].transpose(1, 2, 0)
    ahead_x, ahead_y = x1 - x0, y1 - y0
    out_x, out_y = out[:, :1], out[:, 1:]
    det = out_x * ahead_y - out_y * ahead_x
    away_x, away_y = x0 - places[:, :1], y0 - places[:, 1:]
    with np.errstate(divide="ignore", invalid="ignore"):
        reach = (away_x * ahead_y - away_y * ahead_x) / det
        share = (away_x * out_y - away_y * out_x) / det
    met = (np.abs(det) > 1e-9) & (share > -1e-9) & (share < 1.0 + 1e-9) & (reach > 1e-9)
    # Straight out ends at the sheet's edge, or where a cut has taken a piece off; a slit does not end it.
    over = ((faces.sides < 0) | ~folded.placed[faces.sides]).any(axis=1)
    stop = np.where(met[:, over], reach[:, over], np.inf).min(axis=1, initial=np.inf)
    place, edge = np.nonzero(met & (reach <= stop[:, None] + 1e-9))
    # The near face of each edge met: on its left when the ray comes from there.
    near = faces.sides[edge, np.where(det[place, edge] > 0.0, 0, 1)]
    lift = folded.motions[near, 2]
    start, end = (lift[:, 0] * x[edge] + lift[:, 1] * y[edge] + lift[:, 3] for x, y in ((x0, y0), (x1, y1)))
    height = np.where(near >= 0, start + share[place, edge] * (end - start), 0.0)
    highest = np.zeros(len(places))
    np.maximum.at(highest, place, height)
    return highest


def open_sides(folded: Folded, floor_faces: Bools, border: Ints, heights: Floats, outline: Floats) -> list[OpenSide]:
    """The sides of the floor that have no wall.

    `floor_faces` hang together with the root, `border` are the floor creases (w,) and `heights` their walls' (w, 3) mm,
    `outline` (n, 2) mm is the floor's in the plane of the root face.
    """
    faces = folded.faces
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
        # Layers that lie on each other have an edge each along the same side.
        whole = float(np.hypot(*(corners[(side + 1) % len(corners)] - corners[side])))
        found.append(OpenSide((x, y), min(float(lengths[rows].sum()), whole), float(wall[rows].max())))
    return found


def _corners(outline: Floats) -> Floats:
    """The points (c, 2) of an outline (n, 2) mm at which it turns."""
    before, after = outline - np.roll(outline, 1, axis=0), np.roll(outline, -1, axis=0) - outline
    sizes = np.hypot(*before.T) * np.hypot(*after.T)
    turns = (before * after).sum(axis=1) < _STRAIGHT * sizes
    return outline[turns] if turns.sum() > 2 else outline


def _to_sides(point: Floats, corners: Floats) -> Floats:
    """(n,) mm from a point to each side of a polygon."""
    return distances_to(point[None], sides(corners))[0]
