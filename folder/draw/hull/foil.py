"""The folded sheet as foil on a table: shaded by one light, inside and outside apart, a thick rim, a soft shadow.

rim lines  where the sheet ends or turns back at the top: nothing of it goes on upward from there
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from folder.draw.hull.lift import layer_lifts
from folder.draw.hull.light import GROUND, glint, shadow
from folder.draw.hull.lines import EdgeMark, seen_lines
from folder.draw.hull.marks.faults import FaultMarks
from folder.draw.hull.plates import layer_plates, painted
from folder.draw.hull.rough import is_rough, rough_picture
from folder.draw.hull.view import View, whole_frame
from folder.draw.picture import Mark, Picture
from folder.fold.layers.order import Layering
from folder.fold.place import Folded
from folder.fold.sequence.flaps import into_face
from folder.geometry.space import Bools, Floats, frozen

_TURNED_BACK_RAD = math.radians(150.0)
_UNDER_MM = 0.6
_LEVEL_SIN = 0.3
"""A sheet that rises from its edge by less than this is taken for level: a flat one has a thick edge all round."""


def foil(
    folded: Folded,
    view: View | None = None,
    *,
    lifts: Floats | None = None,
    layering: Layering | None = None,
    edge_marks: Sequence[EdgeMark] = (),
    faults: FaultMarks | None = None,
    ground: str | None = GROUND,
) -> Picture:
    """The folded sheet seen from a side, in true scale; the middle of `floor_at` is the origin.

    Its box is the frame in which it stays whole when it is turned round. `ground` is the colour of the table, on which the
    shadow falls; None for none. Of the `edge_marks` the later ones are drawn over the earlier. What has very many faces is
    drawn roughly. `lifts` (f,) as `layer_lifts` has them tell the order of layers where that is known from elsewhere.
    """
    view = view or View()
    if is_rough(folded):
        return rough_picture(folded, view)
    frame = whole_frame(folded, view)
    lifts = layer_lifts(folded, layering) if lifts is None else lifts
    over = faults or FaultMarks()
    if over.plates:  # where the sheet gapes its layers lie far apart: under what shows the gape
        lifts = lifts * min(1.0, _UNDER_MM / max(float(np.abs(lifts).max()), _UNDER_MM))
    axes = view.axes
    bias = lifts * np.sign(folded.normals @ axes[2])
    origin = np.array([*folded.faces.floor_at, 0.0])
    plates = layer_plates(folded, lifts)
    cast = [] if ground is None else list(shadow([(p.rings[0] - origin) @ axes.T for p in plates], view, ground=ground))
    areas: list[Mark] = []
    for plate, area in painted([*plates, *over.plates], view, origin):
        areas.append(area)
        normal = axes @ plate.normal
        if plate.face >= 0 and area.fill is not None:
            areas += glint(area.rings, area.fill, normal, shiny=bool(normal[2] > 0.0))
    lines = seen_lines(folded, view, bias, [(rim_edges(folded), "thick"), *edge_marks], over.lines, over.triangles)
    return Picture.of([*cast, *areas, *lines], frame)


@lru_cache(maxsize=32)
def rim_edges(folded: Folded) -> Bools:
    """(e,) the edges that are rim lines."""
    faces = folded.faces
    rise = np.full((2, len(faces.edges)), -1.0)
    for k in (0, 1):
        edge = np.nonzero((faces.sides[:, k] >= 0) & folded.placed[faces.sides[:, k]])[0]
        rise[k, edge] = into_face(folded, edge, faces.sides[edge, k])[:, 2]
    ends = ~faces.joined & (rise.max(axis=0) < _LEVEL_SIN)
    folds: Bools = folded.shared & (np.abs(folded.turn) > _TURNED_BACK_RAD) & (rise.max(axis=0) < -_LEVEL_SIN)
    return frozen(ends | folds)
