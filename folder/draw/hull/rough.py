"""A picture of a folded sheet that is no hull, or of a large one in a hurry: faces are painted over each other, the nearest last.

Which face covers which, and which stretch of an edge is hidden, is worked out pair by pair in `draw.hull.solid`. A scribble has
tens of thousands of faces, which pass through each other anyway: here nothing of that is looked up.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from folder.draw.hull.border import borders_of
from folder.draw.hull.view import View, whole_frame
from folder.draw.picture import Area, Mark, Picture
from folder.draw.style import FOIL, PAPER, SHADE
from folder.fold.place import Folded
from folder.geometry.space import Bools, Floats, Ints, carry
from folder.units import TOLERANCES

MOST_GAPING, MOST_FACES = 300, 1500
"""More faces than this are drawn here: of a sheet that does not come together, and of any other."""

MOST_AT_ONCE = 90
"""A picture of more faces than this takes longer than a frame: fifty are 10 ms, five hundred are a second."""

_EDGE_ON = 1e-3


def is_rough(folded: Folded) -> bool:
    """Whether a sheet has more faces than a picture that looks at every pair of them is worth."""
    gapes = folded.faces.count > MOST_GAPING and folded.closure_gap_mm > TOLERANCES.take_up_mm
    return gapes or folded.faces.count > MOST_FACES


def takes_long(folded: Folded) -> bool:
    """Whether its picture is too much work for a hand that turns it or drags a line to wait for."""
    return folded.faces.count > MOST_AT_ONCE


def rough_picture(folded: Folded, view: View) -> Picture:
    """The sheet in the frame that `draw.hull.foil` has, at once: for while the picture itself is worked out."""
    return Picture.of(rough_marks(folded, view.axes, None), whole_frame(folded, view))


def rough_marks(folded: Folded, axes: Floats, floor: Bools | None) -> list[Mark]:
    """Every placed face that is not seen edge-on, with its border, the farthest first; `axes` (3, 3) as in `View`."""
    borders = borders_of(folded.faces)
    projected = (carry(folded.motions[borders.face], borders.places) - [*folded.faces.floor_at, 0.0]) @ axes.T
    toward = folded.normals @ axes[2]
    tint = np.zeros(folded.faces.count, dtype=np.bool_) if floor is None else floor
    fills = np.where(toward < 0.0, FOIL, np.where(tint, SHADE, PAPER)).tolist()
    places = list(map(tuple, projected[:, :2].tolist()))
    marks: list[Mark] = []
    for face in _back_to_front(projected[:, 2], borders.face, folded.placed & (np.abs(toward) > _EDGE_ON)):
        starts = borders.starts[face]
        rings = tuple(tuple(places[a:b]) for a, b in pairwise(starts))
        marks.append(Area(rings, fills[face], "edge"))
    return marks


def _back_to_front(depth: Floats, face: Ints, shown: Bools) -> list[int]:
    """The faces shown (f,), the nearest to the eye last, by the mean depth (n,) of the corners of each face (n,)."""
    mean = np.bincount(face, depth, len(shown)) / np.maximum(np.bincount(face, minlength=len(shown)), 1)
    order = np.argsort(mean, kind="stable")
    nearest_last: list[int] = order[shown[order]].tolist()
    return nearest_last
