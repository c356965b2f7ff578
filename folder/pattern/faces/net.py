"""The sheet as a net of vertices, edges and faces.

vertex    a place where lines end or cross
edge      a stretch of line between two vertices, with nothing crossing it
fan       the edges around one vertex, counter-clockwise
joined    an edge across which the sheet is whole: not the sheet's edge, not a cut
face      a region of the sheet bounded by edges; the root face holds `floor_at`
"""

from __future__ import annotations

from functools import cached_property

import numpy as np
from msgspec import Struct

from folder.findings import Point
from folder.geometry.space import Bools, Floats, Ints, frozen

BORDER, FLAT = -1, -2
"""In `Faces.crease`: an edge of the sheet; a helping line from the end of a slit, never folded."""


class Faces(Struct, frozen=True, eq=False, dict=True):
    """The sheet as vertices, edges and faces. All arrays are read-only."""

    floor_at: Point
    """The place that names the floor."""
    vertices: Floats
    """(v, 2) mm on the sheet."""
    edges: Ints
    """(e, 2) vertex indices."""
    crease: Ints
    """(e,) index of the pattern's crease, or BORDER, or FLAT."""
    turn: Floats
    """(e,) rad: valley positive, mountain negative, 0 where not folded or free."""
    free: Bools
    """(e,) the turn is left to be solved."""
    cut: Bools
    """(e,) the sheet is slit here."""
    sides: Ints
    """(e, 2) face on the left and on the right of the edge, -1 where there is none."""
    ring: Ints
    """(r, 3) the faces' boundaries: face, vertex, next vertex; the face on the left."""
    areas: Floats
    """(f,) mm2."""
    triangles: Ints
    """(t, 3) vertex indices, counter-clockwise, covering every face."""
    triangle_face: Ints
    """(t,) the face each triangle belongs to."""
    dangling: Ints
    """(d, 3) lines that bound no face: vertex, vertex, crease."""
    overlaps: Ints
    """(o, 2) creases that lie on one stretch."""

    @property
    def count(self) -> int:
        """How many faces."""
        return len(self.areas)

    @cached_property
    def joined(self) -> Bools:
        """(e,) the sheet is whole across this edge."""
        return frozen((self.sides >= 0).all(axis=1) & ~self.cut)

    @cached_property
    def fans(self) -> tuple[Ints, Ints, Floats]:
        """Edges around each vertex: start (v + 1,), then edge (2e,) and direction in rad (2e,), counter-clockwise."""
        origin = self.edges.T.reshape(-1)
        x, y = self.vertices.T
        dx = x[self.edges[:, 1]] - x[self.edges[:, 0]]
        dy = y[self.edges[:, 1]] - y[self.edges[:, 0]]
        angle = np.arctan2(np.concatenate([dy, -dy]), np.concatenate([dx, -dx]))
        order = np.lexsort((angle, origin))
        start = np.searchsorted(origin[order], np.arange(len(self.vertices) + 1))
        return frozen(start), frozen(order % len(self.edges)), frozen(angle[order])

    @cached_property
    def inner(self) -> Bools:
        """(v,) vertices that the sheet surrounds: every edge around them is joined."""
        inside = np.ones(len(self.vertices), dtype=np.bool_)
        inside[self.edges[~self.joined].ravel()] = False
        return frozen(inside)

    @cached_property
    def triangle_rows(self) -> tuple[Ints, Ints]:
        """The rows of the triangles (t,) sorted by face, and where those of each face start: (f + 1,)."""
        rank = self.triangle_face.argsort(kind="stable")
        return frozen(rank), frozen(self.triangle_face.take(rank).searchsorted(np.arange(self.count + 1)))

    @cached_property
    def triangle_corners(self) -> Floats:
        """(2, 3, t) mm: x and y of the three corners of each triangle."""
        return frozen(self.vertices.T.take(self.triangles.T, axis=1))

    @cached_property
    def root(self) -> int:
        """The face that holds `floor_at`; -1 when none does."""
        return self.face_at(self.floor_at)

    def outer_ring(self, face: int) -> Ints:
        """The vertices round a face in order, holes left out: (n,), counter-clockwise."""
        # The rows come face by face and ring by ring, the outer border first, each ring all one way round. Rings may touch
        # at a vertex, so they are told apart by their order.
        rows = self.ring[slice(*self.ring[:, 0].searchsorted((face, face + 1))), 1:]
        forward = rows[0, 1] == rows[1, 0]
        tail, head = (rows[:, 0], rows[:, 1]) if forward else (rows[:, 1], rows[:, 0])
        loop = tail[: int(np.argmax(head == tail[0])) + 1]
        return loop if forward else loop[::-1]

    def face_at(self, point: Point) -> int:
        """The face that holds a point, -1 outside the sheet."""
        return int(self.faces_at(np.array([point]))[0])

    def faces_at(self, points: Floats) -> Ints:
        """(n,) the faces that hold points (n, 2), -1 outside the sheet."""
        if not len(self.triangles):
            return np.full(len(points), -1)
        x, y = self.triangle_corners[0], self.triangle_corners[1]
        x, y = x[:, None] - points[:, 0, None], y[:, None] - points[:, 1, None]
        ahead = [1, 2, 0]
        cross = x * y.take(ahead, axis=0) - x.take(ahead, axis=0) * y
        # A sliver holds nothing, and its depth is always zero.
        touching = (cross.min(axis=0) >= -1e-9) & (cross.sum(axis=0) > 1e-9)
        # On a crease the larger face is meant.
        area = np.where(touching, self.areas.take(self.triangle_face), -1.0)
        return np.where(touching.any(axis=1), self.triangle_face.take(area.argmax(axis=1)), -1)
