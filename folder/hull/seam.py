"""Seams: where edges of the sheet meet and only tape would keep the water out.

seam      pieces of edge line in a run of 5 mm or more that tape would join to what they lie along; see `edge`
joined    the rim the hull would have if every seam the water comes in through were taped

To be joined adds ways on the sheet and takes edge line away; the rim is then found as in `rim`: the least height to
which a path on the sheet from the floor to the edge line must climb.
"""

from __future__ import annotations

import heapq
import math

import numpy as np
from msgspec import Struct

from folder.geometry.space import Bools, Floats, Ints, distinct
from folder.hull.edge import NEAR_MM, Edge
from folder.hull.rim import level_rim, spill_elevations
from folder.hull.skin import Skin

RAISED_MM = 0.5
"""Less than this that tape would win is nothing: what a careful pair of hands folds (common practice)."""

_LEVEL_MM = 1e-3


class Seams(Struct, frozen=True):
    """What tape would do for a hull."""

    joined_mm: float
    """The rim with every seam taped that water comes in through."""
    rim_mm: float
    pieces: tuple[tuple[float, float, float], ...] = ()
    """The pieces that would be taped: height of both ends and length, mm. Both edges of a seam are here."""
    lowest: tuple[int, ...] = ()
    """The lowest vertex of the skin of each seam."""

    @property
    def needs_tape(self) -> bool:
        """Whether a strip of tape would raise the rim."""
        return self.joined_mm > self.rim_mm + RAISED_MM

    def length_below_mm(self, level_mm: float) -> float:
        """How much of the seams lies lower than a height, each seam counted once, mm."""
        return sum(_share_below(a, b, level_mm) * length for a, b, length in self.pieces) / 2.0


def seams_of(skin: Skin, triangle_face: Ints, lips: Bools) -> Seams:
    """The seams of a hull, its floor level.

    `triangle_face` (m,) names the face each triangle of the skin belongs to; `lips` (m, 3) are the open sides of
    triangles that are cut. Nothing is looked for where nothing stands higher than the rim, or where water comes in over an
    edge that no tape could join.
    """
    heights = np.ascontiguousarray(skin.vertices[:, 2])
    rim = max(0.0, level_rim(skin)[0])
    if heights.max() <= rim + RAISED_MM:
        return Seams(rim, rim)
    elevations = spill_elevations(heights[None], skin)[0]
    edge = Edge.of(skin, triangle_face, lips)
    reached = edge.piece_elevations(heights, elevations) <= rim + _LEVEL_MM
    if any(not edge.partners(piece) for piece in _likeliest_first(edge, reached)):
        return Seams(rim, rim)
    return _taped(edge, heights, rim)


def _likeliest_first(edge: Edge, reached: Bools) -> list[int]:
    """The pieces at which water comes in, of those marked (p,), in the order of how likely they are to have no partner.

    First the middles of all stretches, then what lies far from the ends of one.
    """
    rows = np.nonzero(reached)[0]
    pieces = np.bincount(edge.stretch)[edge.stretch[rows]]
    from_middle = np.abs(edge.share[rows] - 0.5)
    from_ends_mm = (0.5 - from_middle) * pieces * edge.length[rows]
    return rows[np.lexsort((-from_ends_mm, from_middle * pieces > 0.75))].tolist()


def _taped(edge: Edge, heights: Floats, rim: float) -> Seams:
    """Tape what the water comes in through, at heights (v,) mm, as long as there is something to tape."""
    partners = [edge.partners(piece) for piece in range(len(edge.share))]
    run_of = edge.runs(np.array([bool(p) for p in partners]))
    taped = np.zeros(len(partners), dtype=bool)
    best, best_taped = rim, taped
    while True:
        elevations = _elevations_with(edge, heights, taped, partners)
        through = np.where(taped, np.inf, edge.piece_elevations(heights, elevations))
        now = float(through.min(initial=np.inf))
        if now > best and math.isfinite(now):
            best, best_taped = now, taped
        met = distinct(run_of[through <= now + _LEVEL_MM])
        if not len(met) or met[0] < 0 or not math.isfinite(now):
            break
        taped = taped | np.isin(run_of, met)
    low, high = edge.piece_ends(heights)
    counted = best_taped & (edge.lip | ~edge.cut_free)[edge.stretch]  # of what a cut has freed, its lips alone
    pieces = zip(low[counted].tolist(), high[counted].tolist(), edge.length[counted].tolist(), strict=True)
    return Seams(best, rim, tuple(pieces), _lowest(edge, heights, np.where(counted, run_of, -1)))


def _lowest(edge: Edge, heights: Floats, run_of: Ints) -> tuple[int, ...]:
    """The lowest vertex of each run, numbered piece by piece (p,), at heights (v,) mm.

    Of runs that have it at one place, as the two edges of a seam do, the first alone."""
    found: list[int] = []
    for run in distinct(run_of[run_of >= 0]).tolist():
        ends = distinct(edge.ends[distinct(edge.stretch[run_of == run])])
        low = ends[heights[ends] <= heights[ends].min() + _LEVEL_MM]
        apart = np.linalg.norm(edge.skin.vertices[low][:, None] - edge.skin.vertices[found], axis=2)
        if not (apart <= NEAR_MM).any():
            # Of a level lip the end at the floor, where the water comes in.
            found.append(int(low[int(edge.skin.on_floor[low].argmax())]))
    return tuple(found)


def _elevations_with(edge: Edge, heights: Floats, taped: Bools, partners: list[list[int]]) -> Floats:
    """Spill elevations (v,) mm with ways over the taped pieces; `partners` are vertices of what each piece is taped to."""
    skin = edge.skin
    starts, ends = skin.adjacency
    ties = [set(ends[starts[v] : starts[v + 1]].tolist()) for v in range(len(heights))]
    over = heights.tolist()
    low, high = edge.piece_ends(heights)
    for piece in np.nonzero(taped)[0].tolist():
        corners = {*edge.triangle[edge.stretch[piece]].tolist(), *partners[piece]}
        node = len(over)
        over.append(min(float(low[piece]), float(high[piece])))
        ties.append(corners)
        for v in corners:
            ties[v].add(node)
    elevations = [math.inf] * len(over)
    shore = [(over[v], v) for v in np.nonzero(skin.on_floor)[0].tolist()]
    heapq.heapify(shore)
    while shore:
        elevation, vertex = heapq.heappop(shore)
        if elevation >= elevations[vertex]:
            continue
        elevations[vertex] = elevation
        for other in ties[vertex]:
            there = max(elevation, over[other])
            if there < elevations[other]:
                heapq.heappush(shore, (there, other))
    return np.array(elevations[: len(heights)])


def _share_below(a: float, b: float, level: float) -> float:
    """Which share of a straight piece between two heights lies below a level."""
    low, high = min(a, b), max(a, b)
    if high <= level:
        return 1.0
    return 0.0 if low >= level else (level - low) / (high - low)
