"""Every face put where the fold takes it, and the closure gap.

The root face stays on the table. Every other face is turned about the crease it shares with one already placed,
level by level. An edge that joins two placed faces then has two places, one from the face on either side and the turn
drawn for it: the largest distance between two places of one point is the closure gap.
"""

from __future__ import annotations

from functools import cached_property

import numpy as np
from msgspec import Struct

from folder.geometry.space import WAY_BACK, Bools, Floats, Ints, carry, frozen, motions_about
from folder.pattern.faces.faces import Faces
from folder.units import TOLERANCES


class Folded(Struct, frozen=True, eq=False, dict=True):
    """The sheet folded: where each face went. The root face lies in z = 0, z up is the inside. All arrays are read-only."""

    faces: Faces
    turn: Floats
    """(e,) the turn of each edge, rad, free ones solved."""
    motions: Floats
    """(f, 4, 4) from the sheet to space."""
    placed: Bools
    """(f,) faces that hang together with the root."""
    level: Ints
    """(f,) how many creases lie between a face and the root; -1 when not placed."""

    @cached_property
    def frames(self) -> Floats:
        """(4, 3, f): x, y and z of the sheet's axes and of its origin (mm), as each face has them in space."""
        return frozen(np.ascontiguousarray(self.motions[:, :3].T))

    @cached_property
    def ends(self) -> Floats:
        """(2, e, 3) mm: where joined edges start and end in space, by the face on their left; of others they mean nothing."""
        faces = self.faces
        left = self.motions.take(faces.sides[:, 0], axis=0)
        ends: Floats = np.empty((2, len(faces.edges), 3))
        for k in (0, 1):
            ends[k] = carry(left, faces.vertices.take(faces.edges[:, k], axis=0))
        return frozen(ends)

    @cached_property
    def gaps(self) -> Floats:
        """(e,) mm: how far the two places of each edge lie apart; 0 where only one face is placed.

        At the ends of the edge, and as far beside it as it is long: there a turn that differs from the drawn one shows.
        """
        edge = self.shared.nonzero()[0]
        gaps = np.zeros(len(self.faces.edges))
        gaps[edge] = gaps_across(self, edge)
        return frozen(gaps)

    @cached_property
    def shared(self) -> Bools:
        """(e,) joined edges with both faces placed."""
        sides = self.faces.sides
        return frozen(self.faces.joined & self.placed.take(sides[:, 0]) & self.placed.take(sides[:, 1]))

    @cached_property
    def closure_gap_mm(self) -> float:
        """The largest distance between two places of one point."""
        return float(self.gaps.max(initial=0.0))

    @cached_property
    def corners(self) -> Floats:
        """(t, 3, 3) mm: the corners of every triangle in space."""
        faces = self.faces
        motions = np.repeat(self.motions[faces.triangle_face], 3, axis=0)
        return frozen(carry(motions, faces.vertices[faces.triangles.ravel()]).reshape(-1, 3, 3))

    @cached_property
    def normals(self) -> Floats:
        """(f, 3): toward the inside of each face."""
        return frozen(np.ascontiguousarray(self.motions[:, :3, 2]))


def folded(faces: Faces, turn: Floats | None = None) -> Folded:
    """Place every face, by the turns of the drawing or by others (e,) rad."""
    turn = faces.turn if turn is None else frozen(turn)
    joined = np.nonzero(faces.joined)[0]
    left, right = faces.sides[joined].T
    ends = faces.vertices[faces.edges[joined]]
    # Crossing from right to left turns by +turn about start -> end: a valley lifts the far side.
    to_left = motions_about(ends[:, 0], ends[:, 1], turn[joined])
    source, target = np.concatenate([right, left]), np.concatenate([left, right])
    step = np.concatenate([to_left, to_left * WAY_BACK])
    # A long shared crease places a face more exactly than a short one.
    length = np.hypot(*(ends[:, 1] - ends[:, 0]).T)
    rank = np.argsort(np.concatenate([length, length]), kind="stable")
    source, target, step = source[rank], target[rank], step[rank]
    long = np.concatenate([length, length])[rank] > TOLERANCES.closed_mm

    motions = np.zeros((faces.count, 4, 4))
    motions[:] = np.eye(4)
    level = np.full(faces.count, -1)
    chosen = np.full(faces.count, -1)
    if faces.root >= 0:
        level[faces.root] = 0
    reach = 0
    while True:
        crossing = np.nonzero((level[source] == reach) & (level[target] < 0) & long)[0]
        if not len(crossing):
            # Only what has no other way is placed across an edge that is all but a point.
            crossing = np.nonzero((level[source] >= 0) & (level[target] < 0))[0]
        if not len(crossing):
            break
        chosen[target[crossing]] = crossing
        reach += 1
        level[target[crossing]] = reach
        new = np.nonzero(level == reach)[0]
        motions[new] = motions[source[chosen[new]]] @ step[chosen[new]]
    return Folded(faces, turn, frozen(motions), frozen(level >= 0), frozen(level))


def gaps_across(shape: Folded, edge: Ints) -> Floats:
    """(n,) mm: how far the two places of some edges (n,) lie apart, by the placed faces on their two sides."""
    faces = shape.faces
    left, right = faces.sides.take(edge, axis=0).T
    ends = faces.vertices.take(faces.edges.take(edge, axis=0), axis=0)
    over = shape.motions.take(right, axis=0)[:, :3] @ motions_about(ends[:, 0], ends[:, 1], shape.turn.take(edge))
    off = over - shape.motions.take(left, axis=0)[:, :3]
    apart = ends @ off[:, :, :2].transpose(0, 2, 1) + off[:, None, :, 3]
    # The entries of the difference of two turns, an angle q apart, have the root sum of squares 2 sqrt(2) sin(q / 2).
    aside = (off[:, :, :3] * off[:, :, :3]).sum(axis=(1, 2)) / 2.0
    aside *= ((ends[:, 1] - ends[:, 0]) ** 2).sum(axis=1)
    return np.sqrt(np.maximum((apart * apart).sum(axis=2).max(axis=1, initial=0.0), aside))
