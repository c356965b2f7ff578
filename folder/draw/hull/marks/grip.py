"""Taking hold of a wall by its rim in the picture of the hull, and leaning it by dragging.

grip    the wall under the hand: the line it turns about, and the place on its rim that was taken hold of
turn    how far the wall is turned up from the floor: 90 deg stands square, less leans out
"""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct

from folder.draw.hull.foil import rim_edges
from folder.draw.hull.lift import layers_of
from folder.draw.hull.view import View
from folder.findings import Point
from folder.fold.place import Folded
from folder.geometry.space import Bools, Floats, carry
from folder.units import TOLERANCES

_TURNS_RAD = np.radians(np.arange(0.0, 180.5, 0.5))


class WallGrip(Struct, frozen=True, eq=False):
    """A wall in the hand."""

    edge: int
    """The edge of the sheet between floor and wall."""
    rim: Floats
    """(m, 2, 3) mm: the wall's rim lines in space."""
    hinge: tuple[Point, Point]
    """The line between floor and wall, mm on the sheet, with the floor on its left."""
    turn_rad: float
    at: Floats
    """(3,) mm: the place on the rim."""
    foot: Floats
    """(3,) mm: a place on the line in space."""
    axis: Floats
    """(3,) unit: a right-handed turn about it folds the wall up."""

    def rim_at(self, turn_rad: Floats) -> Floats:
        """Where the place on the rim comes to lie at turns (n,): (n, 3) mm."""
        by = turn_rad - self.turn_rad
        arm = self.at - self.foot
        along = (arm @ self.axis) * self.axis
        out = arm - along
        across = np.cross(self.axis, out)
        places: Floats = self.foot + along + np.cos(by)[:, None] * out + np.sin(by)[:, None] * across
        return places


def grip_at(folded: Folded, floor: Bools, view: View, place: Point, reach_mm: float) -> WallGrip | None:
    """The wall whose rim is seen within reach of a place in the picture; None where there is none. `floor` (f,) marks the floor's faces."""
    faces = folded.faces
    edges = np.nonzero(rim_edges(folded))[0]
    side = faces.sides[edges]
    face = np.where(side[:, 0] >= 0, side[:, 0], side[:, 1])
    ends = faces.vertices[faces.edges[edges]]
    space = np.stack([carry(folded.motions[face], ends[:, k]) for k in (0, 1)], axis=1)
    seen = view.project(folded, space)
    along = seen[:, 1, :2] - seen[:, 0, :2]
    length = np.maximum((along * along).sum(axis=1), 1e-12)
    share = np.clip(((np.array(place) - seen[:, 0, :2]) * along).sum(axis=1) / length, 0.0, 1.0)
    off = np.hypot(*(np.array(place) - seen[:, 0, :2] - share[:, None] * along).T)
    depth = seen[:, 0, 2] + share * (seen[:, 1, 2] - seen[:, 0, 2])
    layer = layers_of(folded)
    # Of rims that lie over each other in the picture the nearest to the eye is meant.
    for k in sorted(np.nonzero(off <= reach_mm)[0].tolist(), key=lambda k: -depth[k]):
        for wall in side[k][side[k] >= 0].tolist():
            hinge = _hinge(folded, floor, layer == layer[wall])
            if hinge is None:
                continue
            edge, left = hinge
            a, b = faces.vertices[faces.edges[edge]]
            ground = int(faces.sides[edge, 0 if left else 1])
            feet = carry(np.repeat(folded.motions[ground][None], 2, axis=0), np.array([a, b]))
            start, end = ((a, b), feet) if left else ((b, a), feet[::-1])
            axis = (end[1] - end[0]) / np.linalg.norm(end[1] - end[0])
            at = space[k, 0] + share[k] * (space[k, 1] - space[k, 0])
            points = tuple((float(p[0]), float(p[1])) for p in start)
            mine = (layer[np.maximum(side, 0)] == layer[wall]) & (side >= 0)
            rim = space[mine.any(axis=1)]
            return WallGrip(edge, rim, (points[0], points[1]), float(folded.turn[edge]), at, end[0], -axis)
    return None


def _hinge(folded: Folded, floor: Bools, wall: Bools) -> tuple[int, bool] | None:
    """The longest valley between the floor and a wall (f,), and whether the floor is on its left; None where there is none."""
    faces = folded.faces
    bent = folded.shared & (folded.turn > TOLERANCES.flat_rad) & (folded.turn < math.pi - TOLERANCES.flat_rad)
    left, right = (np.where(faces.sides >= 0, who[faces.sides], False) for who in (floor, wall))
    found = np.nonzero(bent & ((left[:, 0] & right[:, 1]) | (left[:, 1] & right[:, 0])))[0]
    if not len(found):
        return None
    ends = faces.vertices[faces.edges[found]]
    edge = int(found[np.hypot(*(ends[:, 1] - ends[:, 0]).T).argmax()])
    return edge, bool(left[edge, 0])


def turn_toward(grip: WallGrip, folded: Folded, view: View, place: Point) -> float:
    """The turn at which the place in the hand is seen nearest to a place of the picture, rad."""
    seen = view.project(folded, grip.rim_at(_TURNS_RAD))[:, :2]
    return float(_TURNS_RAD[np.hypot(*(seen - np.array(place)).T).argmin()])
