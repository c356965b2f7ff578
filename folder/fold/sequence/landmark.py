"""The lines of one step on the table: where the sheet is folded, what moves, and what that lines up with.

table     the plane in which the sheet lies; places on it are mm, the middle of the sheet where the floor will be stays put
line      a straight stretch along which the sheet is folded or creased, through all layers there
beyond    the side of a line that is folded over, or would be: away from the floor
"""

from __future__ import annotations

import math

import numpy as np

from folder.findings import Point
from folder.fold.place import Folded
from folder.fold.sequence.runs import (
    NEAR_MM,
    distances_to_runs,
    edges_in_line,
    ends_of_run,
    runs_at,
    runs_of,
    table_outline,
    unbroken,
)
from folder.fold.sequence.table_line import Along, Guide, Landmark, Span, TableLine
from folder.geometry.graph import reached
from folder.geometry.space import Bools, Floats, Ints, carry

_FROM_CORNER_MM = 25.0
"""A corner no farther than this is measured from, whatever creases and layers end nearer: it is found without looking for it."""
_LANDINGS: tuple[tuple[Guide, str], ...] = (("edge to edge", "rims"), ("edge to edge", "bends"), ("edge to crease", "folds"))


def table_lines(was: Folded, edges: Bools, creased: Bools, now: Folded | None = None) -> list[TableLine]:
    """The lines on which edges (e,) lie in a flat state, the longest first.

    `creased` (e,) can be seen already. With `now`, what moves until then is what lies beyond; else what is farther
    from the floor.
    """
    found = []
    table = _Table(was, creased)
    for on in edges_in_line(was, edges):
        found += [table.line(part, now) for part in unbroken(was, on)]
    return sorted(found, key=lambda line: -line.length_mm)


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
        self.rims = runs_of(was, ~faces.joined & (faces.sides >= 0).any(axis=1))
        self.bends = runs_of(was, faces.joined & turned)
        self.folds = runs_of(was, creased & faces.joined & ~turned)
        self.runs = np.concatenate([self.rims, self.bends, self.folds])
        self.outline = table_outline(self.points)

    def line(self, edges: Ints, now: Folded | None) -> TableLine:
        start, end = ends_of_run(self.was, edges)
        along = (end - start) / np.linalg.norm(end - start)
        across = np.array([-along[1], along[0]])
        moving = table_outline(self._moving(edges, now))
        swings = False
        if len(moving):
            off = (moving - start) @ across
            swings = bool(off.min() < -NEAR_MM and off.max() > NEAR_MM)
            if swings:
                # What is folded over hangs on the line; a layer under it that has no crease there comes out on the other side.
                off = (self._beside(edges, now) - start) @ across
            # Rounded, so that of two ways as far the same one is taken on every processor.
            side = float(np.sign(off[np.abs(off).round(6).argmax()]))
        else:
            moving = self.outline
            side = -float(np.sign(((self.floor - start) @ across).round(6))) or 1.0
        beyond = across * side
        off = (moving - start) @ beyond
        reach = float(off.max(initial=0.0))
        far = moving[off > reach - NEAR_MM]
        whole = self._along_edge(start) is not None and self._along_edge(end) is not None
        corner = _point(far[0]) if whole and int((off > NEAR_MM).sum()) == 1 else None
        guide, sizes, toward = self._guide(start, end, beyond, far, reach, corner, moves=now is not None, whole=whole)
        spans: tuple[Span, ...] = ()
        if guide in ("from edge", "from fold"):
            spans = (self._span_across(start, end, toward, sizes[0]),)
        elif guide == "corner cut" and corner:
            spans = tuple(Span(corner, _point(p), "edge", "corner") for p in (start, end))
        elif guide in ("to side", "template"):
            spans = self._spans_torun_ends(start, end)
            if guide == "template" and spans:
                guide, sizes = "ends", tuple(span.size_mm for span in spans)
            elif guide == "to side":
                sizes = tuple(span.size_mm for span in spans)
        return TableLine(
            _point(start),
            _point(end),
            _point(beyond),
            reach,
            whole,
            corner,
            guide,
            sizes,
            _point(toward),
            spans,
            self._at_corner(start, end),
            swings,
        )

    def _span_across(self, start: Floats, end: Floats, toward: Floats, size_mm: float) -> Span:
        """From the edge, or the fold, that lies so far off a line, square to it: at an end of the line where that can be."""
        by_end = sorted((start, end), key=lambda p: (round(float(p.sum()), 3), round(float(p[0]), 3)))
        feet = [*by_end, (start + end) / 2.0]
        marks = np.concatenate([self.rims, self.bends])
        foot = next((p for p in feet if len(runs_at(marks, p + size_mm * toward))), feet[-1])
        return Span(_point(foot + size_mm * toward), _point(foot), line=(_point(start), _point(end)))

    def _spans_torun_ends(self, start: Floats, end: Floats) -> tuple[Span, ...]:
        """What is measured for the ends of a line that are no landmarks; nothing where one of them cannot be measured."""
        spans: list[Span] = []
        for place in (start, end):
            if not self._marked(place):
                found = self._spans_to(place)
                if not found:
                    return ()
                spans += found
        return tuple(spans)

    def _spans_to(self, place: Floats) -> list[Span]:
        """Along the edge or crease on which a place lies, from the nearest landmark there; else from two edges."""
        sorts: tuple[tuple[Floats, Along], ...] = ((self.rims, "edge"), (self.bends, "edge"), (self.folds, "crease"))
        for runs, along in sorts:
            for run in runs[runs_at(runs, place)]:
                others = self.runs[[not np.array_equal(other, run) for other in self.runs]].reshape(-1, 2)
                on_run = others[distances_to_runs(run[None], others)[:, 0] < NEAR_MM] if len(others) else others
                marks = np.concatenate([run, on_run])
                away = np.linalg.norm(marks - place, axis=1).round(6)
                from_corner = np.array([self._at_corner(mark) for mark in marks]) & (away < _FROM_CORNER_MM)
                nearest = marks[np.where(from_corner, away, away + _FROM_CORNER_MM).argmin()]
                at_corner = self._at_corner(nearest)
                at_edge = along == "crease" and self._along_edge(nearest) is not None
                kind: Landmark = "corner" if at_corner else "edge" if at_edge else "crease"
                return [Span(_point(nearest), _point(place), along, kind, side=self._side(run) if along == "edge" else None)]
        low, high = self.outline.min(axis=0), self.outline.max(axis=0)
        found = []
        for axis in (0, 1):
            foot = place.copy()
            foot[axis] = low[axis] if place[axis] - low[axis] <= high[axis] - place[axis] else high[axis]
            if not len(runs_at(np.concatenate([self.rims, self.bends]), foot)):
                return []
            found.append(Span(_point(foot), _point(place)))
        return found

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

    def _beside(self, edges: Ints, now: Folded | None) -> Floats:
        """The corners (c, 2) mm of the faces that move with a fold along edges (k,) and hang on them."""
        assert now is not None
        sides = self.was.faces.sides[edges].ravel()
        moved = np.abs(now.motions[sides] - self.was.motions[sides]).max(axis=(1, 2)) > 1e-6
        return np.concatenate([self.face_points[face] for face in sides[moved].tolist()])

    def _guide(
        self,
        start: Floats,
        end: Floats,
        beyond: Floats,
        far: Floats,
        reach: float,
        corner: Point | None,
        *,
        moves: bool,
        whole: bool,
    ) -> tuple[Guide, tuple[float, ...], Floats]:
        """How a hand finds a line, what it measures for it, and in which direction."""
        between_marks = self._marked(start) and self._marked(end)
        if not moves and not whole and between_marks and (self._at_corner(start, end) or not self._parallel(start, end)):
            return "through", (), beyond
        if self._along(np.concatenate([self.rims, self.bends]), start, end, beyond, reach):
            for guide, lines in _LANDINGS if moves or whole else ():
                if self._along(getattr(self, lines), start, end, beyond, -reach):
                    return guide, (), beyond
            if moves:
                behind = float(((self.points - start) @ -beyond).max())
                level = [np.abs((r - start) @ -beyond - behind).max(axis=1) < NEAR_MM for r in (self.rims, self.bends)]
                if behind < reach and (level[0].any() or level[1].any()):
                    return ("from edge" if level[0].any() else "from fold"), (behind,), -beyond
            return "from edge", (reach,), beyond
        if len(far) == 1 and moves and self._marked(far[0] - 2.0 * reach * beyond):
            return "corner to mark", (), beyond
        if between_marks:
            return "through", (), beyond
        if corner:
            return "corner cut", tuple(math.dist(p, corner) for p in (start, end)), beyond
        loose = [p for p in (start, end) if not self._marked(p)]
        if len(loose) == 1 and self._along_edge(loose[0]) is not None:
            return "to side", (), beyond
        return "template", (), beyond

    def _side(self, run: Floats) -> Point:
        """Unit: on which side of the sheet an edge lies."""
        along = (run[1] - run[0]) / np.linalg.norm(run[1] - run[0])
        across = np.array([-along[1], along[0]])
        return _point(across * (np.sign((run[0] - self.floor) @ across) or 1.0))

    def _at_corner(self, *places: Floats) -> bool:
        """Whether one of some places is a corner of what lies on the table."""
        return any(bool(np.linalg.norm(self.outline - place, axis=1).min() < NEAR_MM) for place in places)

    def _parallel(self, start: Floats, end: Floats) -> bool:
        """Whether an edge of the outline runs the same way as a line, so that the line can be measured from it."""
        sides = np.roll(self.outline, -1, axis=0) - self.outline
        along = (end - start) / np.linalg.norm(end - start)
        across = np.abs(sides @ [-along[1], along[0]])
        return bool((across < NEAR_MM + 1e-3 * np.linalg.norm(sides, axis=1)).any())

    def _along(self, lines: Floats, start: Floats, end: Floats, beyond: Floats, offset_mm: float) -> bool:
        """Whether one of some lines (n, 2, 2) runs this far beyond a line, along most of its length and in part beside it."""
        length = float(np.linalg.norm(end - start))
        on = np.abs((lines - start) @ beyond - offset_mm).max(axis=1, initial=0.0) < NEAR_MM
        lengths = np.linalg.norm(lines[:, 1] - lines[:, 0], axis=1)
        places = np.clip((lines - start) @ ((end - start) / length), 0.0, length)
        beside = np.abs(places[:, 1] - places[:, 0]) > NEAR_MM
        return bool((on & beside & (lengths > 0.5 * length) & (length > 0.3 * lengths)).any())

    def _marked(self, place: Floats) -> bool:
        """Whether a place is a corner of the sheet or of a fold, or the end or crossing of creases."""
        start, along = self.runs[:, 0], self.runs[:, 1] - self.runs[:, 0]
        length = np.linalg.norm(along, axis=1)
        t = ((place - start) * along).sum(axis=1) / length
        off = np.linalg.norm(place - start - np.clip(t / length, 0.0, 1.0)[:, None] * along, axis=1)
        at_end = (t < NEAR_MM) | (t > length - NEAR_MM)
        on = off < NEAR_MM
        corner = self._at_corner(place)
        return bool(corner or (on & at_end).any() or on.sum() > 1)

    def _along_edge(self, place: Floats) -> float | None:
        """How far along the outline a place lies from its nearest corner; None off the outline."""
        ring = self.outline
        for a, b in zip(ring, np.roll(ring, -1, axis=0), strict=True):
            length = float(np.linalg.norm(b - a))
            along = float((place - a) @ (b - a)) / length
            off = abs(float((place - a) @ [a[1] - b[1], b[0] - a[0]])) / length
            if off < NEAR_MM and -NEAR_MM < along < length + NEAR_MM:
                return min(along, length - along)
        return None


def _point(at: Floats) -> Point:
    return (float(at[0]), float(at[1]))
