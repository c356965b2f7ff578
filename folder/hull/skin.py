"""The skin: the folded sheet as oriented triangles.

hull frame   z = 0 is the plane of the floor, z points to the inside; the origin is the middle of the floor (centroid
             of its area); x and y run along the sheet's
joined       two triangles that share an edge of the sheet; foil runs across it and water cannot
edge line    the edges that are not joined: the sheet's edge and both lips of every cut
adjacency    the vertices that share an edge of a triangle with a vertex
"""

from __future__ import annotations

from functools import cached_property

import numpy as np
from msgspec import Struct

from folder.geometry.soup import Soup, areas
from folder.geometry.space import Bools, Floats, Ints, distinct

_PAIRS_AT_ONCE = 1_000_000
"""Points times edges that are looked at in one go: 8 MB, where a floor of thousands of triangles would take hundreds."""
_FACE_TO_FACE = -0.999
"""Cosine between two layers that lie on each other: within 3 deg of it, as in a fold pressed flat."""


class Skin(Struct, frozen=True, eq=False, dict=True):
    """Oriented triangles in the hull frame. The right-hand normal points to the inside. Arrays are read-only."""

    vertices: Floats
    """(v, 3) mm."""
    triangles: Ints
    """(m, 3) vertex numbers."""
    neighbours: Ints
    """(m, 3): the triangle across edge (i, i + 1 mod 3), -1 on the edge line."""
    floor: Ints
    """(k,) triangle numbers of the floor."""

    @classmethod
    def of(cls, vertices: Floats, triangles: Ints, floor: Ints, neighbours: Ints | None = None) -> Skin:
        """A skin of vertices (v, 3) mm, triangles (m, 3), floor triangles (k,); and neighbours (m, 3).

        These are found by shared vertex numbers unless given (a cut between shared ends needs them)."""
        own = [
            np.array(vertices, dtype=float),
            np.array(triangles, dtype=np.int64),
            np.array(neighbours_of(np.asarray(triangles)) if neighbours is None else neighbours, dtype=np.int64),
            np.array(floor, dtype=np.int64),
        ]
        for array in own:
            array.flags.writeable = False
        return cls(own[0], own[1], own[2], own[3])

    @cached_property
    def soup(self) -> Soup:
        """The triangles as a soup, for the integrals of the water."""
        return Soup(self.vertices[self.triangles])

    @cached_property
    def on_edge(self) -> Bools:
        """(v,) whether a vertex lies on the edge line."""
        flags = np.zeros(len(self.vertices), dtype=bool)
        triangle, side = np.nonzero(self.neighbours < 0)
        flags[self.triangles[triangle, side]] = True
        flags[self.triangles[triangle, (side + 1) % 3]] = True
        flags.flags.writeable = False
        return flags

    @cached_property
    def on_floor(self) -> Bools:
        """(v,) whether a vertex belongs to the floor."""
        flags = np.zeros(len(self.vertices), dtype=bool)
        flags[self.triangles[self.floor]] = True
        flags.flags.writeable = False
        return flags

    @cached_property
    def sides(self) -> Ints:
        """(3 m, 2) vertices: the sides of all triangles; those that two share come twice."""
        return np.stack([self.triangles, np.roll(self.triangles, -1, axis=1)], axis=-1).reshape(-1, 2)

    @cached_property
    def adjacency(self) -> tuple[Ints, Ints]:
        """The vertices that share an edge with each vertex, itself among them: `starts (v + 1,)` into `ends (l,)`."""
        count = len(self.vertices)
        tails, heads = self.sides.T
        selves = np.arange(count)
        ties = distinct(np.concatenate([tails * count + heads, heads * count + tails, selves * count + selves]))
        return np.searchsorted(ties, np.arange(count + 1) * count), ties % count

    @cached_property
    def stars(self) -> Floats:
        """(v, 3) mm2: the area vectors of the triangles round each vertex, added up."""
        total = np.zeros((len(self.vertices), 3))
        for corner in range(3):
            np.add.at(total, self.triangles[:, corner], self.soup.area_vectors)
        return total

    @cached_property
    def may_hold(self) -> Bools:
        """(v,) whether a basin could have its bottom here: off the floor and the edge line, and not just a flat fold.

        At a flat fold every triangle has another one on it that faces the other way: nothing is between them.
        """
        vectors, sizes = self.soup.area_vectors, np.linalg.norm(self.soup.area_vectors, axis=1)
        solid = np.nonzero(sizes > 1e-9 * sizes.max())[0]
        facing = vectors[solid] / sizes[solid, None]
        flags = ~self.on_edge & ~self.on_floor
        for vertex in np.nonzero(flags)[0]:
            round_it = facing[(self.triangles[solid] == vertex).any(axis=1)]
            flags[vertex] = len(round_it) > 0 and not ((round_it @ round_it.T).min(axis=1) < _FACE_TO_FACE).all()
        return flags

    @cached_property
    def edge_lines(self) -> tuple[tuple[int, ...], ...]:
        """The edge line as closed rounds of vertex numbers, each in the order in which the foil borders it."""
        open_sides = {(int(t), int(i)) for t, i in zip(*np.nonzero(self.neighbours < 0), strict=True)}
        triangles, neighbours = self.triangles.tolist(), self.neighbours.tolist()
        rounds = []
        while open_sides:
            at = min(open_sides)
            vertices = []
            while at in open_sides:
                open_sides.discard(at)
                vertices.append(triangles[at[0]][at[1]])
                at = _next_open_side(triangles, neighbours, at)
            rounds.append(tuple(vertices))
        return tuple(rounds)

    @property
    def floor_area_mm2(self) -> float:
        """Area of the floor; layers that lie on it are not floor triangles."""
        return float(areas(self.vertices[self.triangles[self.floor]]).sum())

    def over_floor(self, points: Floats, slack_mm: float = 1e-6) -> Bools:
        """(n,) whether points `(n, 2)` mm lie over the floor, its border included."""
        corners = self.vertices[self.triangles[self.floor]]
        edges = np.roll(corners, -1, axis=1) - corners
        lengths = np.sqrt((edges * edges).sum(axis=2))
        solid = areas(corners) > slack_mm * lengths.max(axis=1)
        x, y, inward = corners[solid, :, 0], corners[solid, :, 1], edges[solid, :, :2] / lengths[solid, :, None]
        # How far inside of each edge: linear in the point, so that one product serves all points.
        ways = np.stack([-inward[..., 1], inward[..., 0]])
        least, ways = (ways[0] * x + ways[1] * y).ravel() - slack_mm, ways.reshape(2, -1)
        over, some = np.zeros(len(points), dtype=np.bool_), max(_PAIRS_AT_ONCE // max(len(least), 1), 1)
        for k in range(0, len(points), some):
            inside = points[k : k + some] @ ways >= least
            over[k : k + some] = inside.reshape(len(inside), -1, 3).all(axis=2).any(axis=1)
        return over


def neighbours_of(triangles: Ints) -> Ints:
    """`(m, 3)`: which triangle shares the edge (i, i + 1), by vertex numbers alone; -1 where none does."""
    sides: dict[tuple[int, int], tuple[int, int]] = {}
    across = np.full(triangles.shape, -1, dtype=np.int64)
    for t, corners in enumerate(triangles.tolist()):
        for i in range(3):
            a, b = corners[i], corners[(i + 1) % 3]
            other = sides.pop((b, a), None)
            if other is None:
                sides[a, b] = (t, i)
            else:
                across[t, i], across[other] = other[0], t
    return across


def _next_open_side(triangles: list[list[int]], neighbours: list[list[int]], at: tuple[int, int]) -> tuple[int, int]:
    """The open side that follows: turn about the far vertex of `at`, from triangle to triangle, to the next opening."""
    triangle, side = at
    pivot = triangles[triangle][(side + 1) % 3]
    side = (side + 1) % 3
    while neighbours[triangle][side] >= 0:
        triangle = neighbours[triangle][side]
        side = triangles[triangle].index(pivot)
    return triangle, side
