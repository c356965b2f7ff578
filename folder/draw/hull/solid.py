"""The folded sheet as a picture in line: faces from back to front, hidden lines removed. `draw.hull.foil` shows it shaded."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from folder.draw.hull.lift import layer_lifts
from folder.draw.hull.lines import EdgeMark, seen_lines
from folder.draw.hull.plates import Plate, layer_plates, painted
from folder.draw.hull.rough import is_rough, rough_marks
from folder.draw.hull.view import ABOVE, BELOW, View, good_view
from folder.draw.picture import Picture
from folder.draw.style import FOIL, PAPER, SHADE
from folder.fold.layers.order import Layering
from folder.fold.place import Folded
from folder.geometry.space import Bools, Floats

__all__ = ["ABOVE", "BELOW", "EdgeMark", "View", "good_view", "solid"]


def solid(
    folded: Folded,
    view: View | None = None,
    *,
    lifts: Floats | None = None,
    layering: Layering | None = None,
    floor: Bools | None = None,
    edge_marks: Sequence[EdgeMark] = (),
) -> Picture:
    """The folded sheet seen from a side, in true scale; the middle of `floor_at` is the origin.

    lifts (f,) mm along each face's own inside normal tell the order of layers: that of `layering`, or the one that is found.
    floor (f,) marks the faces tinted as the floor; of the `edge_marks` the later ones are drawn over the earlier. What has
    very many faces is drawn roughly, without lifts and marks.
    """
    view = view or View()
    if is_rough(folded):
        return Picture.of(rough_marks(folded, view.axes, floor))
    lifts = layer_lifts(folded, layering) if lifts is None else lifts
    bias = lifts * np.sign(folded.normals @ view.axes[2])
    origin = np.array([*folded.faces.floor_at, 0.0])
    areas = [area for _, area in painted(layer_plates(folded, lifts, floor), view, origin, _fill)]
    return Picture.of([*areas, *seen_lines(folded, view, bias, edge_marks)])


def _fill(plate: Plate, front: bool, _: float) -> str:
    """Inside, outside and floor each have their tint, which shows in a grey copy too."""
    if not front:
        return FOIL
    return SHADE if plate.tinted else PAPER
