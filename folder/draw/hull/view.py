"""From where a folded sheet is looked at, and the frame in which it stays whole however it is turned.

around   about the vertical, counter-clockwise from the front
above    over the table
over     the sheet turned over on the table like a page, about the line away from the viewer: half a turn shows its other side
view space  x to the right, y up, z toward the eye; mm
"""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct

from folder.draw.picture import Box
from folder.fold.place import Folded
from folder.geometry.space import Floats

_LIGHT = (-0.40, -0.36, 0.84)
"""Where the light comes from, seen by the viewer: from the left, from this side, from above. It stays with the viewer."""


class View(Struct, frozen=True):
    """From where one looks."""

    around_rad: float = math.radians(-30.0)
    above_rad: float = math.radians(35.0)
    over_rad: float = 0.0

    @property
    def axes(self) -> Floats:
        """(3, 3): the rows are right, up and toward the eye, in the hull's frame."""
        ca, sa = math.cos(self.around_rad), math.sin(self.around_rad)
        ce, se = math.cos(self.above_rad), math.sin(self.above_rad)
        # Seen from the front (around 0) x runs to the right and y away from the eye.
        axes = np.array([[ca, sa, 0.0], [-sa * se, ca * se, ce], [sa * ce, -ca * ce, se]])
        if self.over_rad:
            c, s, k = math.cos(self.over_rad), math.sin(self.over_rad), 1.0 - math.cos(self.over_rad)
            x, y = -sa, ca
            axes = axes @ np.array([[c + k * x * x, k * x * y, s * y], [k * x * y, c + k * y * y, -s * x], [-s * y, s * x, c]])
        return axes

    @property
    def light(self) -> Floats:
        """(3,) unit: toward the light, in view space."""
        right, away, up = np.array(_LIGHT) / math.hypot(*_LIGHT)
        ce, se = math.cos(self.above_rad), math.sin(self.above_rad)
        return np.array([right, away * se + up * ce, up * se - away * ce])

    @property
    def vertical(self) -> Floats:
        """(3,) unit: up from the table, in view space."""
        return np.array([0.0, math.cos(self.above_rad), math.sin(self.above_rad)])

    def project(self, folded: Folded, points: Floats) -> Floats:
        """Places in space (..., 3) as they are seen; the middle of `floor_at` is the origin."""
        projected: Floats = (points - [*folded.faces.floor_at, 0.0]) @ self.axes.T
        return projected


ABOVE = View(0.0, math.pi / 2)
"""Straight down on the table."""
BELOW = View(math.pi, -math.pi / 2)
"""The same, with the sheet turned over like a page."""


def good_view(folded: Folded) -> View:
    """A view from which the floor is seen over the near wall, and the walls are still seen."""
    corners = folded.corners[folded.placed[folded.faces.triangle_face]].reshape(-1, 3)
    floor = folded.corners[folded.faces.triangle_face == folded.faces.root].reshape(-1, 3)
    high, deep = float(corners[:, 2].max(initial=0.0)), float(np.ptp(floor[:, 1])) / 2.0 if len(floor) else 1.0
    return View(above_rad=min(max(math.atan2(high, deep) + math.radians(8.0), math.radians(35.0)), math.radians(55.0)))


def whole_frame(folded: Folded, view: View) -> Box:
    """The box in which the sheet stays whole and as large, however it is turned round: that of the upright cylinder about it."""
    places = folded.corners[folded.placed[folded.faces.triangle_face]].reshape(-1, 3)
    if not len(places):
        return Box(-1.0, -1.0, 1.0, 1.0)
    low, high = places.min(axis=0), places.max(axis=0)
    middle = (low + high) / 2.0
    radius = max(float(np.hypot(*(places[:, :2] - middle[:2]).T).max()), 1.0)
    ce, se, so = abs(math.cos(view.above_rad)), abs(math.sin(view.above_rad)), abs(math.sin(view.over_rad))
    tall = float(high[2] - low[2])
    half = radius * se + (radius * so + tall / 2.0) * ce
    x, y, _ = view.project(folded, middle).tolist()
    # Its shadow falls to the right, and the farther the higher what casts it.
    return Box(x - radius, y - half, x + radius - tall * _LIGHT[0] / _LIGHT[2], y + half)
