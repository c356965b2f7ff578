"""How far each vertex is from closing, in mm: where the sheet's two places lie apart, and which vertex is to blame.

open edge   an edge with two places in space
tear        a connected component of open edges: it begins at a vertex that does not close and runs on to the sheet's edge
opens by    the widest place of a tear, for each vertex that it may come from
"""

from __future__ import annotations

import numpy as np

from folder.fold.place import Folded
from folder.fold.vertex import Fans
from folder.geometry.graph import components
from folder.geometry.space import Floats
from folder.units import TOLERANCES


def openings(shape: Folded, fans: Fans, misfit: Floats) -> Floats:
    """(n,) mm: how far each vertex of the fans, by its misfit (n,) rad, opens the sheet; 0 where it is closed."""
    faces = shape.faces
    open_edges = (shape.gaps > TOLERANCES.closed_mm).nonzero()[0]
    if not len(open_edges):
        return np.zeros(len(fans.vertex))
    ends = faces.edges.take(open_edges, axis=0)
    component = components(ends, len(faces.vertices))
    widest, low, high = np.zeros(len(component)), faces.vertices.copy(), faces.vertices.copy()
    for end in ends.T:
        of = component.take(end)
        np.maximum.at(widest, of, shape.gaps.take(open_edges))
        np.minimum.at(low, of, faces.vertices.take(end, axis=0))
        np.maximum.at(high, of, faces.vertices.take(end, axis=0))
    at, of = faces.vertices.take(fans.vertex, axis=0), component.take(fans.vertex)
    # A vertex cannot open the sheet by more than its own misfit does at the far end of the tear.
    far = np.maximum(at - low.take(of, axis=0), high.take(of, axis=0) - at)
    reach = np.hypot(far[:, 0], far[:, 1])
    return np.minimum(widest.take(of), 2.0 * np.sin(misfit / 2.0) * reach)
