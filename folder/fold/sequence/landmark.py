"""The lines of one step on the table: where the sheet is folded, what moves, and what that lines up with.

table     the plane in which the sheet lies; places on it are mm, the middle of the sheet where the floor will be stays put
line      a straight stretch along which the sheet is folded or creased, through all layers there
beyond    the side of a line that is folded over, or would be: away from the floor
landmark  something on the sheet that a hand can find without a ruler: a corner, an edge, the end or crossing of creases
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Literal

import numpy as np
from msgspec import Struct

from folder.findings import Point
from folder.fold.place import Folded
from folder.fold.sequence.flat_fold import in_line, on_table
from folder.geometry.graph import reached
from folder.geometry.plane import convex_hull
from folder.geometry.space import Bools, Floats, Ints, carry
from folder.units import TOLERANCES

Guide = Literal[
    "edge to edge", "edge to crease", "corner to mark", "through", "from edge", "from fold", "corner cut", "to side", "template"
]

_NEAR_MM = TOLERANCES.closed_mm
_STRAIGHT_MM2 = 1e-3
"""Three corners that span less lie on one line."""
_LANDINGS: tuple[tuple[Guide, str], ...] = (("edge to edge", "rims"), ("edge to edge", "bends"), ("edge to crease", "folds"))


class TableLine(Struct, frozen=True):
    """One line of a step."""

    start: Point
    end: Point
    beyond: Point
    """Unit, square to the line."""
    reach_mm: float
    """How far the sheet reaches beyond the line."""
    whole: bool
    """It runs from edge to edge, so that the sheet can be folded over along it."""
    corner: Point | None
    """The one corner that is folded in; None where it is an edge or more."""
    guide: Guide
    """How a hand finds the line."""
    sizes_mm: tuple[float, ...]
    """What is to be measured for it: the distance from an edge, or from a corner along its two edges."""
    toward: Point
    """Unit: on which side of the line the edge lies from which it is measured."""

    @property
    def middle(self) -> Point:
        """Half way along."""
        return ((self.start[0] + self.end[0]) / 2, (self.start[1] + self.end[1]) / 2)

    @property
    def length_mm(self) -> float:
        """How long."""
        return math.dist(self.start, self.end)


def table_lines(was: Folded, edges: Bools, creased: Bools, now: Folded | None = None) -> list[TableLine]:
    """The lines on which edges (e,) lie in a flat state, the longest first.

    `creased` (e,) can be seen already. With `now`, what moves until then is what lies beyond; else what is farther
    from the floor.
    """
    found = []
    table = _Table(was, creased)
    for on in _in_line(was, edges):
        found += [table.line(part, now) for part in _unbroken(was, on)]
    return sorted(found, key=lambda line: -line.length_mm)


def _in_line(was: Folded, edges: Bools) -> Iterator[Ints]:
    """The edges (e,), line by line of the table: numbers (k,) each."""
    left = np.nonzero(edges)[0]
    start, end = on_table(was, left)
    length = np.linalg.norm(end - start, axis=1)
    while len(left):
        k = int(length.argmax())
        on = in_line(start, end, start[k], (end[k] - start[k]) / length[k])
        yield left[on]
        left, start, end, length = left[~on], start[~on], end[~on], length[~on]


def _unbroken(was: Folded, on: Ints) -> Iterator[Ints]:
    """Edges (k,) on one line, in stretches without a gap: numbers (j,) each."""
    start, end = on_table(was, on)
    along = (end[0] - start[0]) / np.linalg.norm(end[0] - start[0])
    spans = np.sort(np.stack([start @ along, end @ along], axis=1), axis=1)
    order = spans[:, 0].argsort()
    reach = np.maximum.accumulate(spans[order, 1])
    gaps = np.nonzero(spans[order[1:], 0] > reach[:-1] + _NEAR_MM)[0] + 1
    yield from np.split(on[order], gaps)


class _Table:
    """A flat state as a hand knows it: places of all corners, edges and creases."""

    def __init__(self, was: Folded, creased: Bools) -> None:
        faces = was.faces
        self.was = was
        self.floor = np.array(faces.floor_at)
        rings = {k: faces.vertices[faces.outer_ring(k)] for k in np.nonzero(was.placed)[0].tolist()}
        self.face_points = {k: carry(np.repeat(was.motions[k][None], len(r), axis=0), r)[:, :2] for k, r in rings.items()}
        self.points = np.concatenate(list(self.face_points.values()))
        turned = np.abs(was.turn) > math.pi / 2.0
        self.rims = _runs(was, ~faces.joined & (faces.sides >= 0).any(axis=1))
        self.bends = _runs(was, faces.joined & turned)
        self.folds = _runs(was, creased & faces.joined & ~turned)
        self.runs = np.concatenate([self.rims, self.bends, self.folds])
        self.outline = _outline(self.points)

    def line(self, edges: Ints, now: Folded | None) -> TableLine:
        start, end = _ends(self.was, edges)
        along = (end - start) / np.linalg.norm(end - start)
        across = np.array([-along[1], along[0]])
        moving = _outline(self._moving(edges, now))
        if len(moving):
            off = (moving - start) @ across
            # Rounded, so that of two ways as far the same one is taken on every processor.
            side = float(np.sign(off[np.abs(off).round(6).argmax()]))
        else:
            moving = self.outline
            side = -float(np.sign(((self.floor - start) @ across).round(6))) or 1.0
        beyond = across * side
        off = (moving - start) @ beyond
        reach = float(off.max(initial=0.0))
        far = moving[off > reach - _NEAR_MM]
        whole = self._along_edge(start) is not None and self._along_edge(end) is not None
        corner = _point(far[0]) if whole and int((off > _NEAR_MM).sum()) == 1 else None
        guide, sizes, toward = self._guide(start, end, beyond, far, reach, corner, moves=now is not None)
        return TableLine(_point(start), _point(end), _point(beyond), reach, whole, corner, guide, sizes, _point(toward))

    def _moving(self, edges: Ints, now: Folded | None) -> Floats:
        """The corners (c, 2) mm of all that moves with a fold along edges (k,); none where nothing does."""
        if now is None:
            return np.empty((0, 2))
        faces, was = self.was.faces, self.was
        moved = np.abs(now.motions - was.motions).max(axis=(1, 2)) > 1e-6
        sides = faces.sides[edges].ravel()
        first = np.zeros(faces.count, dtype=np.bool_)
        first[sides[moved[sides]]] = True
        beside = faces.sides[faces.joined]
        part = np.nonzero(reached(first, beside[moved[beside].all(axis=1)]))[0].tolist()
        return np.concatenate([self.face_points[f] for f in part]) if part else np.empty((0, 2))

    def _guide(
        self, start: Floats, end: Floats, beyond: Floats, far: Floats, reach: float, corner: Point | None, *, moves: bool
    ) -> tuple[Guide, tuple[float, ...], Floats]:
        """How a hand finds a line, what it measures for it, and in which direction."""
        length = float(np.linalg.norm(end - start))
        if self._along(np.concatenate([self.rims, self.bends]), start, beyond, reach, length):
            for guide, lines in _LANDINGS:
                if self._along(getattr(self, lines), start, beyond, -reach, length):
                    return guide, (), beyond
            if moves:
                behind = float(((self.points - start) @ -beyond).max())
                level = [np.abs((r - start) @ -beyond - behind).max(axis=1) < _NEAR_MM for r in (self.rims, self.bends)]
                if behind < reach and (level[0].any() or level[1].any()):
                    return ("from edge" if level[0].any() else "from fold"), (behind,), -beyond
            return "from edge", (reach,), beyond
        if len(far) == 1 and moves and self._marked(far[0] - 2.0 * reach * beyond):
            return "corner to mark", (), beyond
        if self._marked(start) and self._marked(end):
            return "through", (), beyond
        if corner:
            return "corner cut", tuple(math.dist(p, corner) for p in (start, end)), beyond
        loose = [self._along_edge(p) for p in (start, end) if not self._marked(p)]
        if len(loose) == 1 and loose[0] is not None:
            return "to side", (loose[0],), beyond
        return "template", (), beyond

    def _along(self, lines: Floats, start: Floats, beyond: Floats, offset_mm: float, length: float) -> bool:
        """Whether one of some lines (n, 2, 2) runs this far beyond a line, along most of its length."""
        on = np.abs((lines - start) @ beyond - offset_mm).max(axis=1, initial=0.0) < _NEAR_MM
        lengths = np.linalg.norm(lines[:, 1] - lines[:, 0], axis=1)
        return bool((on & (lengths > 0.5 * length) & (length > 0.3 * lengths)).any())

    def _marked(self, place: Floats) -> bool:
        """Whether a place is a corner of the sheet or of a fold, or the end or crossing of creases."""
        start, along = self.runs[:, 0], self.runs[:, 1] - self.runs[:, 0]
        length = np.linalg.norm(along, axis=1)
        t = ((place - start) * along).sum(axis=1) / length
        off = np.linalg.norm(place - start - np.clip(t / length, 0.0, 1.0)[:, None] * along, axis=1)
        at_end = (t < _NEAR_MM) | (t > length - _NEAR_MM)
        on = off < _NEAR_MM
        corner = np.linalg.norm(self.outline - place, axis=1).min() < _NEAR_MM
        return bool(corner or (on & at_end).any() or on.sum() > 1)

    def _along_edge(self, place: Floats) -> float | None:
        """How far along the outline a place lies from its nearest corner; None off the outline."""
        ring = self.outline
        for a, b in zip(ring, np.roll(ring, -1, axis=0), strict=True):
            length = float(np.linalg.norm(b - a))
            along = float((place - a) @ (b - a)) / length
            off = abs(float((place - a) @ [a[1] - b[1], b[0] - a[0]])) / length
            if off < _NEAR_MM and -_NEAR_MM < along < length + _NEAR_MM:
                return min(along, length - along)
        return None


def _runs(was: Folded, edges: Bools) -> Floats:
    """(n, 2, 2) mm: the ends of edges on the table, those that go on straight as one; crossings part nothing."""
    runs = [_ends(was, part) for on in _in_line(was, edges) for part in _unbroken(was, on)]
    return np.array(runs).reshape(-1, 2, 2)


def _ends(was: Folded, edges: Ints) -> Floats:
    """(2, 2) mm: where a run of edges on one line starts and ends."""
    ends = np.concatenate(on_table(was, edges))
    places = (ends - ends[0]) @ (on_table(was, edges[:1])[1][0] - ends[0])
    return ends[[places.argmin(), places.argmax()]]


def _outline(points: Floats) -> Floats:
    """(h, 2) mm: the corners of the convex hull of places (n, 2) mm, to a micrometre."""
    return convex_hull(points.round(3), _STRAIGHT_MM2)


def _point(at: Floats) -> Point:
    return (float(at[0]), float(at[1]))
