"""A folded sheet as it is seen: its picture, where its middle is, how far it reaches. No pygame."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from folder.draw.hull.solid import EdgeMark, View, solid
from folder.draw.picture import Picture
from folder.findings import Point
from folder.fold.layers.order import Layering
from folder.fold.place import Folded
from folder.geometry.space import Bools


class Snapshot(Struct, frozen=True):
    """The picture of a folded sheet from one side."""

    view: View
    picture: Picture
    middle: Point
    """Where in the picture the middle of the box round the sheet is."""
    reach_mm: float
    """How far from there it reaches, however it is turned."""


def snapshot_from(
    state: Folded, view: View, floor: Bools | None, marks: Sequence[EdgeMark] = (), layering: Layering | None = None
) -> Snapshot:
    """Look at a folded sheet; marks are edges drawn in a style of their own."""
    places = state.corners[state.placed[state.faces.triangle_face]].reshape(-1, 3)
    places = places - np.array([*state.faces.floor_at, 0.0])
    middle = (places.min(axis=0) + places.max(axis=0)) / 2.0 if len(places) else np.zeros(3)
    reach = float(np.sqrt(((places - middle) ** 2).sum(axis=1).max(initial=1.0)))
    right, up, _ = (float(v) for v in view.axes @ middle)
    return Snapshot(view, solid(state, view, layering=layering, floor=floor, edge_marks=marks), (right, up), reach)
