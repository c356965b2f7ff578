"""The dot on one edge of the sheet: the same place in every picture, so that left and right can be found in each.

place   on the sheet's edge, mm, with the face it belongs to; it goes where that face goes
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from folder.draw.hull.lift import layer_lifts
from folder.draw.hull.rough import is_rough
from folder.draw.hull.solid import View
from folder.fold.layers.order import Layering
from folder.fold.place import Folded
from folder.geometry.space import Bools, Floats, Ints, carry

_SHARES = (0.35, 0.65, 0.2, 0.8, 0.5)
"""Where along a stretch of the edge a dot may stand."""
_BEST_SHARE = 0.33
"""Where along a side of the sheet it stands best."""
_INWARD_MM = 0.4
"""A place this far from the edge is looked at: the edge itself lies on the border of what is over it."""
_NEARER_MM = 0.05
_LEAST_MM = 6.0
"""Shorter stretches of the edge are no place for a dot."""


class Dot(Struct, frozen=True, eq=False):
    """A place on the sheet's edge. Arrays are read-only."""

    face: int
    place: Floats
    """(2,) mm on the sheet."""
    inward: Floats
    """(2,) mm on the sheet: a little within the edge."""

    def at(self, state: Folded) -> Floats:
        """(3,) mm: where it lies in a state."""
        return carry(state.motions[self.face][None], self.place[None])[0]

    def hidden(self, state: Folded, view: View, layering: Layering | None = None) -> bool:
        """Whether something lies over it, seen from somewhere."""
        return bool(_hidden(state, view, np.array([self.face]), self.inward[None], layering)[0])


def dot_on(seen: Sequence[tuple[Folded, View]], layering: Layering | None = None) -> Dot | None:
    """The dot that is seen in the most of some pictures of one sheet, on its lower edge where that can be."""
    if not seen:
        return None
    face, place, inward = _candidates(seen[0][0])
    if not len(face):
        return None
    last = len(seen) - 1
    hidden = np.array([_hidden(s, v, face, inward, layering if k == last else None) for k, (s, v) in enumerate(seen)])
    best = int(hidden.sum(axis=0).argmin())
    return Dot(int(face[best]), place[best], inward[best])


def _candidates(state: Folded) -> tuple[Ints, Floats, Floats]:
    """Faces (n,), places (n, 2) and the places a little within (n, 2), the lowest edges first."""
    faces = state.faces
    rows: list[tuple[float, int, Floats, Floats]] = []
    low = faces.vertices.min(axis=0)
    size = np.ptp(faces.vertices, axis=0)
    for edge in np.nonzero(~faces.joined & (faces.sides >= 0).any(axis=1))[0].tolist():
        a, b = faces.vertices[faces.edges[edge]]
        along = b - a
        length = float(np.hypot(*along))
        face = int(faces.sides[edge].max())
        if length < _LEAST_MM or not state.placed[face]:
            continue
        across = np.array([-along[1], along[0]]) / length
        # The face on the left of an edge lies on its left.
        into = across if faces.sides[edge, 0] == face else -across
        for share in _SHARES:
            place = a + share * along
            x, y = (place - low) / size
            near = min(y, 1.0 - y, x, 1.0 - x)
            side = 0 if y == near else 1 if x == near else 2 if 1.0 - x == near else 3
            # Arrows are in the middle of a side, pinches at its ends.
            along_side = x if side in (0, 3) else y
            rows.append((side + abs(along_side - _BEST_SHARE), face, place, place + _INWARD_MM * into))
    rows.sort(key=lambda row: round(row[0], 6))
    return np.array([r[1] for r in rows], dtype=np.int64), np.array([r[2] for r in rows]), np.array([r[3] for r in rows])


def _hidden(state: Folded, view: View, face: Ints, places: Floats, layering: Layering | None) -> Bools:
    """(n,) whether something lies over places (n, 2) of faces (n,), seen from somewhere."""
    if is_rough(state):
        return np.zeros(len(face), dtype=np.bool_)
    bias = layer_lifts(state, layering) * np.sign(state.normals @ view.axes[2])
    at = view.project(state, carry(state.motions[face], places))
    at[:, 2] += bias[face]
    triangles = view.project(state, state.corners)
    triangles[..., 2] += bias[state.faces.triangle_face, None]
    a, b, c = (triangles[:, k, :2] for k in range(3))
    twice = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]
    flat = np.abs(twice) < 1e-9
    twice = np.where(flat, 1.0, twice)
    off = at[:, None, :2] - a
    v = (off[..., 0] * (c - a)[:, 1] - off[..., 1] * (c - a)[:, 0]) / twice
    w = ((b - a)[:, 0] * off[..., 1] - (b - a)[:, 1] * off[..., 0]) / twice
    z = triangles[:, 0, 2] + v * (triangles[:, 1, 2] - triangles[:, 0, 2]) + w * (triangles[:, 2, 2] - triangles[:, 0, 2])
    over = (v > 0) & (w > 0) & (v + w < 1) & (z > at[:, None, 2] + _NEARER_MM)
    over &= ~flat & state.placed[state.faces.triangle_face] & (state.faces.triangle_face != face[:, None])
    return np.asarray(over.any(axis=1))
