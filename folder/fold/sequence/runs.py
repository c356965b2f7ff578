"""Straight runs of edges in a flat state: edges that lie on one line of the table, end to end.

run   (2, 2) mm: where such edges start and end on the table
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from folder.fold.place import Folded
from folder.fold.sequence.flat_fold import in_line, on_table
from folder.geometry.plane import convex_hull
from folder.geometry.space import Bools, Floats, Ints
from folder.units import TOLERANCES

NEAR_MM = TOLERANCES.closed_mm
"""What is nearer lies on it."""
_STRAIGHT_MM = 0.01
"""A corner that stands out by less is none: places are rounded to a micrometre, and layers that end on an edge are off it by that."""


def edges_in_line(was: Folded, edges: Bools) -> Iterator[Ints]:
    """The edges (e,), line by line of the table: numbers (k,) each."""
    left = np.nonzero(edges)[0]
    start, end = on_table(was, left)
    length = np.linalg.norm(end - start, axis=1)
    while len(left):
        k = int(length.argmax())
        on = in_line(start, end, start[k], (end[k] - start[k]) / length[k])
        yield left[on]
        left, start, end, length = left[~on], start[~on], end[~on], length[~on]


def unbroken(was: Folded, on: Ints) -> Iterator[Ints]:
    """Edges (k,) on one line, in stretches without a gap: numbers (j,) each."""
    start, end = on_table(was, on)
    along = (end[0] - start[0]) / np.linalg.norm(end[0] - start[0])
    spans = np.sort(np.stack([start @ along, end @ along], axis=1), axis=1)
    order = spans[:, 0].argsort()
    reach = np.maximum.accumulate(spans[order, 1])
    gaps = np.nonzero(spans[order[1:], 0] > reach[:-1] + NEAR_MM)[0] + 1
    yield from np.split(on[order], gaps)


def distances_to_runs(runs: Floats, places: Floats) -> Floats:
    """How far places (p, 2) lie from runs (n, 2, 2), (p, n) mm."""
    start, along = runs[:, 0], runs[:, 1] - runs[:, 0]
    away = places[:, None] - start
    t = np.clip((away * along).sum(axis=2) / np.maximum((along * along).sum(axis=1), 1e-12), 0.0, 1.0)
    off: Floats = np.linalg.norm(away - t[..., None] * along, axis=2)
    return off


def runs_at(runs: Floats, place: Floats) -> Ints:
    """Which of some runs (n, 2, 2) pass through a place (2,)."""
    return np.nonzero(distances_to_runs(runs, place[None])[0] < NEAR_MM)[0]


def runs_of(was: Folded, edges: Bools) -> Floats:
    """(n, 2, 2) mm: the ends of edges on the table, those that go on straight as one; crossings part nothing."""
    runs = [ends_of_run(was, part) for on in edges_in_line(was, edges) for part in unbroken(was, on)]
    return np.array(runs).reshape(-1, 2, 2)


def ends_of_run(was: Folded, edges: Ints) -> Floats:
    """(2, 2) mm: where a run of edges on one line starts and ends."""
    ends = np.concatenate(on_table(was, edges))
    places = (ends - ends[0]) @ (on_table(was, edges[:1])[1][0] - ends[0])
    return ends[[places.argmin(), places.argmax()]]


def table_outline(points: Floats) -> Floats:
    """(h, 2) mm: the corners of the convex hull of places (n, 2 or more) on the table, counter-clockwise; straight ones left out."""
    outline = convex_hull(points[:, :2].round(3))
    while len(outline) > 3:
        before, after = np.roll(outline, 1, axis=0), np.roll(outline, -1, axis=0)
        (ax, ay), (bx, by) = (outline - before).T, (after - before).T
        out_mm = np.abs(ax * by - ay * bx) / np.hypot(bx, by)
        if out_mm.min() > _STRAIGHT_MM:
            break
        outline = np.delete(outline, out_mm.round(6).argmin(), axis=0)
    return outline
