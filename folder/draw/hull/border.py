"""The borders of all faces of a sheet in one row of places, so that they can be carried and seen all at once."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise

from msgspec import Struct

from folder.geometry.space import Floats, Ints, frozen
from folder.pattern.faces.faces import Faces


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
    starts: list[list[int]] = [[] for _ in range(faces.count)]
    first = -1
    for row, (face, vertex, after) in enumerate(faces.ring.tolist()):
        if first < 0:
            first = vertex
            starts[face].append(row)
        # A ring passes no vertex twice, so where its first comes again it ends.
        if after == first:
            first = -1
    ends = faces.ring[:, 0].searchsorted(range(1, faces.count + 1)).tolist()
    rings = tuple((*mine, end) for mine, end in zip(starts, ends, strict=True))
    return Borders(frozen(faces.vertices[faces.ring[:, 1]]), faces.ring[:, 0], rings)
