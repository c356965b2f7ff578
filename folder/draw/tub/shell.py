"""The hull as the tub shows it: its plates and their inked edges, painted so that each hides what lies behind it.

plate    a flat piece of the sheet (see `draw.hull.plates`)
near     a plate that has the inside of the hull on its far side: it hides what is in the hull, and its outside is wet
edge     a side of a face that is inked: of the rim thick, of a fold or a hidden end of the sheet thin
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from msgspec import Struct

from folder.draw.hull.border import borders_of
from folder.draw.hull.foil import rim_edges
from folder.draw.hull.lift import layer_lifts, layers_of
from folder.draw.hull.plates import Plate, layer_plates
from folder.draw.hull.rough import is_rough
from folder.fold.layers.order import Layering
from folder.geometry.space import Floats, carry, frozen
from folder.hull.hull import Hull
from folder.pattern.faces.net import FLAT
from folder.units import TOLERANCES


class Shell(Struct, frozen=True, eq=False):
    """A hull in its own frame. Arrays are read-only."""

    hull: Hull
    plates: tuple[Plate, ...]
    rims: dict[int, Floats]
    """For the first face of a plate: its sides on the rim, (n, 2, 3) mm."""
    folds: dict[int, Floats]
    """And its folds and other ends of the sheet."""
    rough: bool
    """It has so many faces that they are painted by how deep they lie."""

    @property
    def reach_mm(self) -> float:
        """How far from the middle of the floor it reaches."""
        return float(np.linalg.norm(self.hull.skin.vertices, axis=1).max())

    def is_near(self, plate: Plate, toward: Floats) -> bool:
        """Whether a plate in the hull's frame hides the inside from an eye in a direction (3,)."""
        middle = np.array([0.0, 0.0, self.hull.rim_height_mm / 3.0])
        out = plate.normal if plate.normal @ (plate.rings[0][0] - middle) > 0 else -plate.normal
        return bool(out @ toward > 0.0)


@lru_cache(maxsize=8)
def shell_of(hull: Hull, layering: Layering | None) -> Shell:
    """The shell of a hull; `layering` is the order of its layers where it is known."""
    folded, faces = hull.folded, hull.folded.faces
    rough = is_rough(folded)
    lifts = np.zeros(faces.count) if rough else layer_lifts(folded, layering)
    shift = -np.array([*hull.offset, 0.0])
    plates = tuple(plate.moved(np.eye(3), shift) for plate in layer_plates(folded, lifts))
    borders = borders_of(faces)
    edge_of = {tuple(sorted(ends)): k for k, ends in enumerate(faces.edges.tolist())}
    edge = np.array([edge_of[tuple(sorted(row))] for row in faces.ring[:, 1:].tolist()], dtype=np.int64)
    owner = layers_of(folded)[faces.ring[:, 0]]
    both = [carry(folded.motions[borders.face], faces.vertices[faces.ring[:, k]]) + shift for k in (1, 2)]
    sides = np.stack(both, axis=1)
    top = rim_edges(folded)[edge]
    bends = (np.abs(folded.turn[edge]) > TOLERANCES.flat_rad) & (faces.crease[edge] != FLAT)
    inked = ~top & (bends | ~faces.joined[edge])
    first = {int(layers_of(folded)[plate.face]): plate.face for plate in plates}
    rims = {face: frozen(sides[top & (owner == layer)]) for layer, face in first.items()}
    folds = {face: frozen(sides[inked & (owner == layer)]) for layer, face in first.items()}
    return Shell(hull, plates, rims, folds, rough)
