"""The borders of all faces of a sheet in one row of places, so that they can be carried and seen all at once."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise

import numpy as np
from msgspec import Struct

from folder.draw.flat import face_rings
from folder.geometry.space import Floats, Ints, frozen
from folder.pattern.faces import Faces


class Borders(Struct, frozen=True, eq=False):
    """Borders and holes of faces, face by face, the border first. Arrays are read-only."""

    places: Floats
    """(n, 2) mm on the sheet."""
    face: Ints
    """(n,) the face each place borders."""
    starts: tuple[tuple[int, ...], ...]
    """For each face where its rings start in the row, and where the last one ends."""

    def rows(self, face: int) -> slice:
        """The rows of a face."""
        return slice(self.starts[face][0], self.starts[face][-1])

    def rings(self, values: Floats, face: int) -> list[Floats]:
        """The rows (n, k) of a face, ring by ring."""
        starts = self.starts[face]
        return [values[a:b] for a, b in pairwise(starts)]


@lru_cache(maxsize=16)
def borders_of(faces: Faces) -> Borders:
    """The borders of a sheet."""
    rows: list[Floats] = []
    starts = []
    at = 0
    for face in range(faces.count):
        rings = [faces.vertices[faces.outer_ring(face)]]
        if (faces.ring[:, 0] == face).sum() > len(rings[0]):
            rings = sorted((np.array(ring) for ring in face_rings(faces, face)), key=_size, reverse=True)
        ends = at + np.cumsum([len(ring) for ring in rings])
        starts.append((at, *ends.tolist()))
        rows += rings
        at = int(ends[-1])
    owner = np.repeat(np.arange(faces.count), [s[-1] - s[0] for s in starts])
    return Borders(frozen(np.concatenate(rows) if rows else np.empty((0, 2))), frozen(owner), tuple(starts))


def _size(ring: Floats) -> float:
    return float(np.ptp(ring, axis=0).sum())
