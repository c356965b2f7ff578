"""The faces of a noded net, traced along their borders.

half edge  an edge walked one way: number k from its first vertex to its second, k + e back again
round      the walk that turns as sharply left as it can at every vertex: what lies to its left is one face
ring       a closed walk that passes no vertex twice: counter-clockwise round a face, clockwise round a hole
bridge     an edge with the same round on both sides: it bounds no face

Places are complex numbers, x + iy mm: one number for each, half the array calls.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from folder.geometry.space import Bools, Complexes, Floats, Ints, begins

_SLIVER_MM2 = 1e-7
"""What is larger than a hole by no more than this fills it rather than lying round it."""
_NONE = np.empty(0, dtype=np.int64)
_NOUGHT = np.zeros(1, dtype=np.int64)


class TracedFaces(NamedTuple):
    """The faces of a net."""

    border: Ints
    """(r, 4) face, vertex, next vertex, half edge: face by face, its outer ring first, the face on the left."""
    areas: Floats
    """(f,) mm2."""
    holes: Ints
    """(h,) the row of `border` at which each hole begins."""


def traced(places: Complexes, edges: Ints) -> TracedFaces:
    """The faces that edges (e, 2) between places (v,) enclose. Edges meet at their ends only, and each comes once."""
    count = len(edges)
    ends = edges.T.reshape(-1)
    walks, rings, label = _walks(_after(places, ends).tolist(), ends.tolist())
    kept = [k for k in range(count) if label[k] != label[k - count]]
    if len(kept) < count:
        inner = traced(places, edges[kept])
        half = inner.border[:, 3]
        inner.border[:, 3] = np.array(kept)[half % len(kept)] + count * (half >= len(kept))
        return inner
    half, ring = np.array(walks), np.array(rings)
    border = np.empty((4, len(half)), dtype=np.int64)
    border[1], border[2], border[3] = ends[half], ends[half - count], half  # the other way is `count` away, round the end
    # As seen from the first vertex of each ring: from far away the area of a sliver, and its sign, is lost in rounding.
    tail, head = places[border[1:3]] - places[border[1]][begins(ring)][ring]
    area = np.bincount(ring, weights=(tail.conj() * head).imag) / 2.0
    is_face = area > 0.0
    border[0] = (is_face.cumsum() - 1)[ring]
    areas = area[is_face]
    if len(areas) + 1 < len(area):  # one ring goes round the outside of all there is
        return _with_holes(places, border.T, area, ring)
    return TracedFaces(border.compress(is_face[ring], axis=1).T, areas, _NONE)


def _after(places: Complexes, ends: Ints) -> Ints:
    """The half edge that goes on from each (2e,): at its end the next one clockwise from the way back."""
    count = len(ends) // 2
    way = places[ends[count:]] - places[ends[:count]]
    angle = np.arctan2(way.imag, way.real)
    order = np.lexsort((np.concatenate([angle, angle - np.copysign(math.pi, angle)]), ends))
    clockwise = np.empty(2 * count, dtype=np.int64)
    clockwise[1:] = order[:-1]
    last = np.bincount(ends).cumsum()
    # A vertex without edges sets what the next one sets again.
    clockwise[np.concatenate([_NOUGHT, last[:-1]])] = order[last - 1]
    after = np.empty(2 * count, dtype=np.int64)
    after[order - count] = clockwise
    return after


def _walks(after: list[int], ends: list[int]) -> tuple[list[int], list[int], list[int]]:
    """All rings one after another, the ring of each half edge in that list, and the round of each half edge.

    A round that comes by a vertex again is cut there into rings.
    """
    walks: list[int] = []
    rings: list[int] = []
    count = 0
    label = [-1] * len(after)
    for first in range(len(after)):
        if label[first] >= 0:
            continue
        walk: list[int] = []
        at: dict[int, int] = {}
        half = first
        while label[half] < 0:
            label[half] = first
            vertex = ends[half]
            if vertex in at:
                part = walk[at[vertex] :]
                walks += part
                rings += [count] * len(part)
                count += 1
                del walk[at[vertex] :]
                for passed in part:
                    del at[ends[passed]]
            at[vertex] = len(walk)
            walk.append(half)
            half = after[half]
        walks += walk
        rings += [count] * len(walk)
        count += 1
    return walks, rings, label


def _with_holes(places: Complexes, border: Ints, area: Floats, ring: Ints) -> TracedFaces:
    """The faces, each clockwise ring put to the one that it is a hole of; `ring (r,)` tells the ring of each row of the border."""
    is_face = area > 0.0
    areas, solid = area[is_face], border[is_face[ring]]
    left = areas.copy()
    a, b = places[solid[:, 1]], places[solid[:, 2]]
    face = np.where(is_face[ring], border[:, 0], -1)
    begin = ring.searchsorted(np.arange(len(area)))
    for hole in np.nonzero(~is_face)[0].tolist():
        at = places[border[begin[hole], 1:3]].mean()
        over = (a.imag > at.imag) != (b.imag > at.imag)
        with np.errstate(divide="ignore", invalid="ignore"):
            over &= at.real < a.real + (at.imag - a.imag) * (b - a).real / (b - a).imag
        # What fills the hole is no larger than it; its border may seem to hold the point.
        round_it = (np.bincount(solid[over, 0], minlength=len(areas)) % 2 > 0) & (
            areas > -area[hole] * (1.0 + 1e-9) + _SLIVER_MM2
        )
        if round_it.any():
            around = int(np.where(round_it, areas, np.inf).argmin())
            face[ring == hole] = around
            left[around] += area[hole]
    border[:, 0] = face
    order = np.lexsort((~is_face[ring], face))
    order = order[face[order] >= 0]
    first = np.diff(ring[order], prepend=-1) != 0
    return TracedFaces(border[order], left, np.nonzero(first & ~is_face[ring[order]])[0])


def without(found: TracedFaces, beyond: Bools) -> TracedFaces:
    """The faces that have none of the vertices marked (v,)."""
    border, areas, holes = found
    kept = np.ones(len(areas), dtype=np.bool_)
    kept[border[beyond[border[:, 1]], 0]] = False
    rows = kept[border[:, 0]]
    row_after, face_after = rows.cumsum() - 1, kept.cumsum() - 1
    border[:, 0] = face_after[border[:, 0]]
    return TracedFaces(border[rows], areas[kept], row_after[holes[rows[holes]]])
