"""The order of layers in flat stacks.

above     which of two layers that overlap lies on the inside of the other, as seen from the face with the lower number
cell      faces that overlap all at one place: there they have one order

What must hold (for flat folds: Justin 1997; here one wing of a crease may stand up from the stack):
- a crease folded flat says which of its two faces lies above: valley, the inside is between them;
- a layer that runs across a crease lies above both of its faces or below both, and where one of them stands up from the
  stack, on its other side;
- of two creases along each other, the faces of one do not lie between those of the other with their partners outside;
- in a cell, above is transitive.
"""

from __future__ import annotations

import math
from functools import cached_property

import numpy as np
from msgspec import Struct

from folder.fold.layers import constraints
from folder.fold.layers.constraints import CellOrder, ConstraintRows, Hints, ParityUnionFind, Rule
from folder.fold.layers.contact import Contacts
from folder.fold.layers.face_frames import holding, ranges
from folder.fold.place import Folded
from folder.geometry.space import Floats, Ints, begins, distinct, frozen

_SAME_WAY_RAD = 0.02
"""Wings whose directions differ by less are layers at their crease: 0.1 mm over 5 mm."""

_LAYERS_RAD = 0.14
"""Layers whose directions differ by less are so at their crease: what a rounded drawing does over a narrow face."""

_SAME_PLACE_MM = 0.01

_TWO_WINGS = np.array(constraints.TWO_WINGS).T


class Layering(Struct, frozen=True, eq=False):
    """Layers and their order. All arrays are read-only."""

    pairs: Ints
    """(q, 2) faces that overlap in one plane, the lower number first."""
    above: Ints
    """(q,) 1 where the second lies on the inside of the first, -1 outside, 0 where it could not be found out.

    Where several orders are possible it is one of them."""
    at: Floats
    """(q, 3) mm in space: a place where the two overlap."""
    area_mm2: Floats
    """(q,)"""
    cells: tuple[tuple[int, ...], ...]
    """Faces that overlap at one place, from the outside to the inside of the lowest-numbered; the largest cells first."""
    cells_at: Floats
    """(c, 3) mm in space: a place where all faces of a cell overlap."""
    cyclic: Ints
    """(b, 2) pairs of faces whose order contradicts itself."""
    unknown: Ints
    """(u, 2) pairs of faces for which the search for an order gave up."""
    crease_crossing: Ints
    """(t, 2) pairs that pass through each other exactly along a crease."""
    crease_crossing_at: Floats
    """(t, 3) mm in space."""

    @property
    def possible(self) -> bool:
        """Nothing contradicts itself and nothing passes through."""
        return not len(self.cyclic) and not len(self.crease_crossing)


def layering_of(folded: Folded, contacts: Contacts, tolerance_mm: float) -> Layering:
    """Work out the order of layers from the senses of the creases and from what runs between them."""
    order = _Order(folded, contacts, tolerance_mm)
    crossings = [*order.edges_in_faces(), *order.collinear_edges()]
    if len(contacts.flat):
        order.creases()
        order.solve()
    above = order.above.astype(np.int64)
    cyclic, unknown = (np.array(sorted(set(p)), dtype=np.int64).reshape(-1, 2) for p in (order.cyclic, order.unknown))
    crossing_pairs = np.array([pair for pair, _ in crossings], dtype=np.int64).reshape(-1, 2)
    crossings_at = np.array([at for _, at in crossings], dtype=np.float64).reshape(-1, 3)
    cells_at = np.array(order.cells_at, dtype=np.float64).reshape(-1, 3)
    flat = (frozen(contacts.flat), frozen(above), frozen(contacts.flat_at), frozen(contacts.flat_mm2))
    return Layering(*flat, tuple(order.cells), frozen(cells_at), *map(frozen, (cyclic, unknown, crossing_pairs, crossings_at)))


class _Order:
    """The questions of one sheet, what is settled of them, and what they have to do with each other."""

    def __init__(self, folded: Folded, contacts: Contacts, tolerance_mm: float) -> None:
        self.folded, self.faces, self.contacts, self.tolerance_mm = folded, folded.faces, contacts, tolerance_mm
        self.keys = contacts.flat[:, 0] * folded.faces.count + contacts.flat[:, 1]
        self.parity = ParityUnionFind(len(self.keys))
        self.above: constraints.OrderAnswers = np.zeros(len(self.keys), dtype=np.int8)
        self.tables: list[ConstraintRows] = []
        self.cells: list[tuple[int, ...]] = []
        self.cells_at: list[Floats] = []
        self.cyclic: list[tuple[int, int]] = []
        self.unknown: list[tuple[int, int]] = []

    # What is asked and what is settled.

    def ask(self, lower: Ints, upper: Ints, along: Floats) -> tuple[Ints, Ints]:
        """Is face `upper` above `lower` along a direction (n, 3)? Number of the pair, -1 for none, and sign: (n,) each."""
        first = np.minimum(lower, upper)
        key = first * self.faces.count + np.maximum(lower, upper)
        at = self.keys.searchsorted(key)
        is_pair = self.keys.take(at, mode="clip") == key if len(self.keys) else np.zeros(len(key), dtype=np.bool_)
        same_side = np.einsum("nj,nj->n", self.folded.normals.take(first, axis=0), along) > 0.0
        return np.where(is_pair, at, -1), np.where((lower < upper) == same_side, 1, -1)

    # Where the questions come from.

    @cached_property
    def inward(self) -> tuple[Floats, Floats]:
        """For each edge unit directions in space, square to it, into the faces on its left and right (e, 2, 3); its length, mm (e,)."""
        ends = self.faces.vertices.take(self.faces.edges, axis=0)
        ahead = ends[:, 1] - ends[:, 0]
        length = np.hypot(ahead[:, 0], ahead[:, 1])
        ahead = (ahead / length[:, None])[:, None]
        motion = self.folded.motions.take(self.faces.sides, axis=0)
        into = motion[..., :3, 1] * ahead[..., :1] - motion[..., :3, 0] * ahead[..., 1:]
        into[:, 1] *= -1.0
        return into, length

    def creases(self) -> None:
        """Creases folded flat."""
        edge = self._folded_flat()
        sides = self.faces.sides.take(edge, axis=0)
        left, right = sides[:, 0], sides[:, 1]
        k, s = self.ask(right, left, self.folded.normals.take(right, axis=0))
        for edge_k, k_k, s_k in zip(edge.tolist(), k.tolist(), s.tolist(), strict=True):
            if k_k >= 0 and not self.parity.assign((k_k, s_k), 1 if self.folded.turn[edge_k] > 0.0 else -1):
                a, b = self.contacts.flat[k_k].tolist()
                self.cyclic.append((a, b))

    def edges_in_faces(self) -> list[tuple[tuple[int, int], Floats]]:
        """Creases that run across a layer. What is returned passes through it: two faces, and a place (3,) mm in space."""
        edge, face = self.contacts.edge_in_face[:, 0], self.contacts.edge_in_face[:, 1]
        if not len(edge):
            return []
        (into, length), tolerance_mm = self.inward, self.tolerance_mm
        wing, twice = self.faces.sides.take(edge, axis=0).T.ravel(), np.concatenate([face, face])
        normal = self.folded.normals.take(twice, axis=0)
        up = (into.take(edge, axis=0).transpose(1, 0, 2).reshape(-1, 3) * normal).sum(axis=1) * self.faces.areas.take(wing)
        up = up.reshape(2, -1) / length.take(edge)
        k, s = self.ask(wing, twice, normal)
        (one, other), (k1, k2), (s1, s2), (up1, up2) = (x.reshape(2, -1).tolist() for x in (wing, k, s, up))
        crossings = []
        rows = zip(one, other, face.tolist(), k1, s1, up1, k2, s2, up2, strict=True)
        for row, (a1, a2, b, k_1, s_1, u_1, k_2, s_2, u_2) in enumerate(rows):
            at = self.contacts.edge_in_face_at[row]
            if k_1 >= 0 and k_2 >= 0:
                fits = self.parity.union((k_1, s_1), (k_2, s_2))
            elif k_1 >= 0 and abs(u_2) > tolerance_mm:
                fits = self.parity.assign((k_1, s_1), -1 if u_2 > 0.0 else 1)
            elif k_2 >= 0 and abs(u_1) > tolerance_mm:
                fits = self.parity.assign((k_2, s_2), -1 if u_1 > 0.0 else 1)
            else:
                fits = True
                if k_1 < 0 and k_2 < 0 and u_1 * u_2 < 0.0 and min(abs(u_1), abs(u_2)) > tolerance_mm:
                    crossings.append(((a1, b), at))
            if not fits:
                self.cyclic.append((a1 if k_1 >= 0 else a2, b))
        return crossings

    def collinear_edges(self) -> list[tuple[tuple[int, int], Floats]]:
        """Creases along each other. What is returned passes through each other along them: two faces, and a place (3,) mm in space."""
        edges = self.contacts.collinear_edges
        if not len(edges):
            return []
        wings = self.faces.sides.take(edges, axis=0).reshape(-1, 4)
        into = self.inward[0].take(edges, axis=0).reshape(-1, 4, 3)
        right = into[:, 0, None]
        across = self.folded.normals.take(wings[:, :1], axis=0)
        # Angles about the first edge, from its left face on; and the directions a quarter turn farther round.
        up, aside = (into * across).sum(axis=2), (into * right).sum(axis=2)
        angle = np.arctan2(up, aside) % (2.0 * math.pi)
        ahead = aside[..., None] * across - up[..., None] * right
        wing, other = (wings.take(n, axis=1).ravel() for n in _TWO_WINGS)
        k, s = (x.reshape(-1, 6) for x in self.ask(wing, other, ahead.take(_TWO_WINGS[0], axis=1).reshape(-1, 3)))
        crossings = []
        # A narrow wing lies with another where its far side is no farther off than touching.
        deep = self.faces.areas.take(wings) / self.inward[1].take(edges).repeat(2, axis=1)
        narrow = (self.tolerance_mm / deep.take(_TWO_WINGS, axis=1).min(axis=1)).clip(_SAME_WAY_RAD, _LAYERS_RAD)
        ranks = _ranks(angle, np.where(k >= 0, _LAYERS_RAD, narrow))
        kind = ranks @ np.array([64, 16, 4, 1])
        for n in sorted(set(kind.tolist())):
            rows = (kind == n).nonzero()[0]
            table = constraints.constraint_table(tuple(ranks[rows[0]].tolist()))
            if not table.pairs and not table.possible.any():
                crossings += [((int(wings[r, 0]), int(wings[r, 2])), self._middle(int(edges[r, 0]))) for r in rows]
            elif table.binds:
                rows = rows.compress((k.take(rows, axis=0).take(table.pairs, axis=1) >= 0).all(axis=1))
                if len(rows):
                    which, sign = (x.take(rows, axis=0).take(table.pairs, axis=1) for x in (k, s))
                    self.tables.append(ConstraintRows(which, sign, table, wings.take(rows, axis=0)[:, ::2]))
        return crossings

    def _middle(self, edge: int) -> Floats:
        """The middle (3,) mm of an edge in space."""
        motion = self.folded.motions[self.faces.sides[edge, 0]]
        return motion[:3, :2] @ self.faces.vertices[self.faces.edges[edge]].mean(axis=0) + motion[:3, 3]

    # The answers.

    def solve(self) -> None:
        """Answer what follows from what is settled, and try the rest until nothing contradicts."""
        root, flip = self.parity.roots()
        value = np.array(self.parity.value, dtype=np.int8)
        cell_orders = self._cell_orders()
        rules: list[Rule] = [ConstraintRows(root[t.which], t.sign * flip[t.which], t.table, t.faces) for t in self.tables]
        rules += [CellOrder(np.where(c.which >= 0, root[c.which], -1), c.sign * flip[c.which], c.faces) for c in cell_orders]
        cyclic, self.unknown = constraints.decide_order(value, rules, distinct(root), lambda: self._hints(root, flip))
        self.cyclic += cyclic
        answer = value[root] * flip
        self.above = answer
        for cell_order in cell_orders:
            # The outermost has all others above it.
            order = (-cell_order.above(answer).sum(axis=2)).argsort(axis=1, kind="stable")
            self.cells += [tuple(c) for c in cell_order.faces[np.arange(len(order))[:, None], order].tolist()]

    def _hints(self, root: Ints, flip: Ints) -> Hints:
        """Two faces with a flat fold between them are likely to lie on the same side of a third; `root`, `flip` (q,) as in `roots`."""
        edge = self._folded_flat()
        start, neighbour = self._neighbours()
        one, other = self.faces.sides[edge].T
        owner, row = ranges(start[one], start[one + 1] - start[one])
        third = neighbour[row]
        normal = self.folded.normals[third]
        (a, s), (b, t) = self.ask(one[owner], third, normal), self.ask(other[owner], third, normal)
        both = (a >= 0) & (b >= 0)
        hints: Hints = {}
        for x, y, sign in zip(*(z[both].tolist() for z in (root[a], root[b], s * flip[a] * t * flip[b])), strict=True):
            hints.setdefault(x, []).append((y, sign))
            hints.setdefault(y, []).append((x, sign))
        return hints

    def _neighbours(self) -> tuple[Ints, Ints]:
        """The layers of each face: start (f + 1,), then faces (2 q,)."""
        a, b = self.contacts.flat[:, 0], self.contacts.flat[:, 1]
        one, other = np.concatenate([a, b]), np.concatenate([b, a])
        order = one.argsort(kind="stable")
        return one.take(order).searchsorted(np.arange(self.faces.count + 1)), other.take(order)

    def _folded_flat(self) -> Ints:
        """The edges (k,) folded flat; those too short to tell, where a rounded drawing sets a vertex apart, say nothing."""
        long = self.inward[1] > self.tolerance_mm
        return (self.faces.joined & (np.abs(self.folded.turn) > math.pi / 2.0) & long).nonzero()[0]

    def _cell_orders(self) -> list[CellOrder]:
        """Faces that overlap at one of the places where two do; each set once, the largest first."""
        near = np.rint(self.contacts.flat_at / _SAME_PLACE_MM).astype(np.int64)
        key = ((near[:, 0] << 21) + near[:, 1] << 21) + near[:, 2]
        order = key.argsort(kind="stable")
        first_of = order.compress(begins(key.take(order)))
        places, here = self.contacts.flat_at.take(first_of, axis=0), self.contacts.flat[:, 0].take(first_of)
        start, neighbour = self._neighbours()
        owner, row = ranges(start.take(here), start.take(here + 1) - start.take(here))
        other = neighbour.take(row)
        holds = holding(self.folded, other, places.take(owner, axis=0))
        members: list[set[int]] = [{face} for face in here.tolist()]
        for n, face in zip(owner.compress(holds).tolist(), other.compress(holds).tolist(), strict=True):
            members[n].add(face)
        by_size: dict[int, dict[tuple[int, ...], Floats]] = {}
        for m, at in zip(members, places, strict=True):
            by_size.setdefault(len(m), {})[tuple(sorted(m))] = at
        sizes = sorted(by_size, reverse=True)
        self.cells_at = [at for size in sizes for at in by_size[size].values()]
        return [self._cell_order(np.array(list(by_size[size]))) for size in sizes]

    def _cell_order(self, cells: Ints) -> CellOrder:
        """Cells (c, k) with their questions."""
        number, size = cells.shape
        lower, upper = cells.repeat(size, axis=1).ravel(), cells[:, None].repeat(size, axis=1).ravel()
        normal = self.folded.normals.take(cells[:, 0].repeat(size * size), axis=0)
        k, s = self.ask(lower, upper, normal)
        return CellOrder(k.reshape(number, size, size), s.reshape(number, size, size), cells)


def _ranks(angles: Floats, same_rad: Floats) -> Ints:
    """Which of four directions (a, 4) in 0..2 pi are the same, counted round from the first.

    `same_rad` (a, 6): how far each pair of the four, as in `constraints.TWO_WINGS`, may be off.
    """
    off = np.full((len(angles), 4, 4), _SAME_WAY_RAD)
    off[:, _TWO_WINGS[0], _TWO_WINGS[1]] = off[:, _TWO_WINGS[1], _TWO_WINGS[0]] = same_rad
    from_first = np.where(angles > 2.0 * math.pi - off[:, 0], angles - 2.0 * math.pi, angles)
    order = from_first.argsort(axis=1, kind="stable")
    row = np.arange(len(angles))[:, None]
    round_rad = from_first[row, order]
    ranks = np.zeros(angles.shape, dtype=np.int64)
    apart = round_rad[:, 1:] - round_rad[:, :-1] > off[row, order[:, :-1], order[:, 1:]]
    ranks[row, order[:, 1:]] = apart.cumsum(axis=1)
    return ranks
