"""Remedies for points that do not close, each tried out before it is offered.

A remedy is offered only when the pattern with it has fewer stops than without. The gentlest comes first: swing one
line, change one turn, fold a corner, and only then take lines away.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from functools import cached_property
from itertools import islice

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from folder.findings import Finding, Point, Remedy, Report, Stroke
from folder.fold.check import fold_report
from folder.fold.closing.solve import edge_senses, quick_solution, solved
from folder.fold.place import Folded, folded
from folder.fold.vertex import misfits
from folder.geometry.space import Floats
from folder.pattern.corner import to_sheet_edge
from folder.pattern.edit import apply_remedy
from folder.pattern.faces.faces import BORDER, FLAT, Faces, faces_of
from folder.pattern.flap import flap_at
from folder.pattern.pattern import Pattern
from folder.pattern.planar import planar_findings, stroke
from folder.units import DEG_PER_RAD

MOST_REMEDIES = 8
"""Points that are given a remedy in one report: more than a pupil mends before looking again."""

_EDGES_TRIED = 1000
"""Edges to fold again in all trials for one point: thirty trials of a tray, none of a scribble."""

_TRIES = 3
"""Starts of the search for free turns in one trial: of fifty remedies that help forty-eight are seen to, in a quarter of the time."""

_SCRIBBLE = 30
"""A drawing with more stops than this is not mended line by line."""

_MOST_SWING_RAD, _MOST_TURN_RAD = math.radians(15.0), math.radians(45.0)


def with_remedies(pattern: Pattern, shape: Folded, findings: Iterable[Finding]) -> list[Finding]:
    """The findings, with a remedy where a point does not close and one can be found."""
    given, out = 0, []
    findings = list(findings)
    if sum(f.level == "stop" for f in findings) > _SCRIBBLE:
        return findings
    trials = _Trials(pattern, shape)
    for finding in findings:
        wants = finding.code in ("will-not-close", "lone-line", "flat-rule") and finding.level == "stop"
        if wants and finding.at is not None and given < MOST_REMEDIES:
            given += 1
            if finding.remedy is None or not trials.helps(finding.remedy):
                finding = replace(finding, remedy=trials.first_that_helps(finding.at))
        out.append(finding)
    return out


class _Trials:
    """Remedies of one pattern, tried out, each once."""

    def __init__(self, pattern: Pattern, shape: Folded) -> None:
        self.pattern, self.shape = pattern, shape
        self.trials: dict[Remedy, bool] = {}

    @cached_property
    def before(self) -> int:
        """At how many places there is a stop without any remedy."""
        return _stops(self.pattern, self.shape)

    def first_that_helps(self, at: Point) -> Remedy | None:
        """The first remedy for a point that leaves fewer stops."""
        trials = _EDGES_TRIED // len(self.shape.faces.edges)
        candidates = islice(_candidates(self.pattern, _Spot.near(self.shape, at)), trials)
        return next((remedy for remedy in candidates if self.helps(remedy)), None)

    def helps(self, remedy: Remedy) -> bool:
        """Whether fewer stops are left."""
        if remedy not in self.trials:
            self.trials[remedy] = self.leaves_fewer(remedy)
        return self.trials[remedy]

    def leaves_fewer(self, remedy: Remedy) -> bool:
        """The same, tried out."""
        mended = apply_remedy(self.pattern, remedy)
        faces = faces_of(mended)
        if not (faces.free & faces.joined).any():
            return _stops(mended, folded(faces)) < self.before
        # A few tries from what is known tell nearly always; the whole search then only bears out what has passed them.
        near = quick_solution(faces, mended.creases, self.turns_at_hand(mended, faces, remedy), _TRIES)
        if _stops(mended, folded(faces, near)) >= self.before:
            return False
        return _stops(mended, folded(faces, solved(faces, mended.creases).turn)) < self.before

    def turns_at_hand(self, mended: Pattern, faces: Faces, remedy: Remedy) -> Floats:
        """(e,) rad: for each edge of a mended pattern the turn of the nearest edge on the same crease as it was."""
        own_faces = self.shape.faces
        was = [i for i in range(len(self.pattern.creases)) if i not in remedy.drop]
        # A line that is put elsewhere goes on from what it was.
        was += [*remedy.drop, *[-1] * len(remedy.add)][: len(remedy.add)]
        same = np.array([*was, FLAT, BORDER])[faces.crease][:, None] == own_faces.crease
        here, there = (f.vertices[f.edges].mean(axis=1) for f in (faces, own_faces))
        apart = np.hypot(here[:, :1] - there[:, 0], here[:, 1:] - there[:, 1])
        nearest = np.where(same, apart, np.inf).argmin(axis=1)
        usual = edge_senses(faces, mended.creases) * (math.pi / 2.0)
        return np.where(same.any(axis=1), self.shape.turn[nearest], usual)


def _stops(pattern: Pattern, shape: Folded) -> int:
    """At how many places the drawing and its fold have a stop."""
    report, _ = fold_report(pattern, shape)
    found = Report.of([*report.findings, *planar_findings(pattern, shape.faces)])
    return sum(f.count for f in found.merged().stops)


class _Spot(Struct, frozen=True, eq=False):
    """One vertex with what surrounds it, counter-clockwise."""

    faces: Faces
    at: Point
    edges: list[int]
    angles: Floats
    """(d,) rad: the direction of each edge."""
    turns: Floats
    vertex: int
    floor_face: int
    """The face here that lies nearest to the floor."""
    depth: list[int]
    """How many creases lie between each edge and the floor."""

    @classmethod
    def near(cls, shape: Folded, at: Point) -> _Spot:
        faces = shape.faces
        start, edge, angle = faces.fans
        away = np.hypot(*(faces.vertices - np.array(at)).T)
        vertex = int(np.where(start[1:] > start[:-1], away, np.inf).argmin())
        rows = slice(int(start[vertex]), int(start[vertex + 1]))
        edges = edge[rows]
        around = faces.sides[edges]
        near = np.where((around >= 0) & shape.placed[around], shape.level[around], np.iinfo(np.int64).max)
        floor_face = int(around.ravel()[near.argmin()])
        x, y = faces.vertices[vertex]
        at, depth = (float(x), float(y)), near.min(axis=1).tolist()
        return cls(faces, at, edges.tolist(), angle[rows], shape.turn[edges], vertex, floor_face, depth)

    def creases(self) -> list[int]:
        """The creases through this point, each once."""
        return sorted({int(c) for c in self.faces.crease[self.edges] if c >= 0})


def _candidates(pattern: Pattern, spot: _Spot) -> Iterator[Remedy]:
    if len(spot.edges) >= 4:
        yield from _swung(pattern, spot)
        yield from _turned(pattern, spot)
    yield from _cornered(pattern, spot)
    creases = spot.creases()
    for crease in creases:
        yield Remedy("Take this line away.", (crease,))
    yield Remedy("Take the lines that meet here away.", tuple(creases))


def _solved(spot: _Spot, slot: int, swing: bool, most: float) -> float | None:
    """By how much one line must swing, or one turn change, for the vertex to close; None when that does not close it."""

    def off(by: Floats) -> Floats:
        turns, angles = np.tile(spot.turns, (len(by), 1)), np.tile(spot.angles, (len(by), 1))
        (angles if swing else turns)[:, slot] += by
        return misfits(turns, (np.roll(angles, -1, axis=1) - angles) % (2.0 * math.pi))

    # The misfit falls to zero like a distance: look along a grid, then along a finer one about the best of it.
    best, step = 0.0, most
    while step > 1e-11:
        grid = best + np.linspace(-step, step, 31)
        best = float(grid[off(grid).argmin()])
        step /= 15.0
    return best if off(np.array([best]))[0] < 1e-6 and abs(best) > 1e-9 else None


def _swung(pattern: Pattern, spot: _Spot) -> Iterator[Remedy]:
    # The line farthest from the floor first: it moves no wall.
    for slot in sorted(range(len(spot.edges)), key=lambda k: -spot.depth[k]):
        index = int(spot.faces.crease[spot.edges[slot]])
        if index < 0:
            continue
        crease = pattern.creases[index]
        # Only a line that begins here and runs to the sheet's edge can swing without breaking another point.
        ends = (crease.start, crease.end) if math.dist(crease.start, spot.at) < 0.1 else (crease.end, crease.start)
        if math.dist(ends[0], spot.at) > 0.1 or not _at_sheet_edge(pattern, ends[1]):
            continue
        by = _solved(spot, slot, True, _MOST_SWING_RAD)
        if by is not None:
            heading = float(spot.angles[slot]) + by
            end = to_sheet_edge(ends[0], (math.cos(heading), math.sin(heading)), pattern.sheet.width_mm, pattern.sheet.height_mm)
            text = f"Swing this line by {abs(by) * DEG_PER_RAD:.1f} degrees."
            yield Remedy(text, (index,), (stroke(crease, ends[0], end),))


def _at_sheet_edge(pattern: Pattern, p: Point) -> bool:
    width, height = pattern.sheet.width_mm, pattern.sheet.height_mm
    return min(p[0], p[1], width - p[0], height - p[1]) < 0.1


def _turned(pattern: Pattern, spot: _Spot) -> Iterator[Remedy]:
    for slot, edge in enumerate(spot.edges):
        index = int(spot.faces.crease[edge])
        if index < 0:
            continue
        crease = pattern.creases[index]
        by = _solved(spot, slot, False, _MOST_TURN_RAD)
        if by is None or crease.turn_rad is None:
            continue
        turn = float(np.clip(spot.turns[slot] + by, -math.pi, math.pi))
        if abs(turn - spot.turns[slot] - by) < 1e-6 and (turn > 0) == (crease.sense == "valley"):
            text = f"Fold this line to {abs(turn) * DEG_PER_RAD:.1f} degrees instead of {crease.turn_rad * DEG_PER_RAD:.1f}."
            yield Remedy(text, (index,), (Stroke(crease.start, crease.end, crease.sense, abs(turn)),))


def _cornered(pattern: Pattern, spot: _Spot) -> Iterator[Remedy]:
    """Fold the corner of whichever face here lies nearest to the floor."""
    for tuck_on_first in (True, False):
        remedy = flap_at(pattern, spot.faces, spot.vertex, spot.floor_face, tuck_on_first)
        if remedy is not None:
            yield remedy
