"""Drawn lines noded: cut where they cross, and joined where they nearly meet.

A hand leaves gaps and overshoots. Places nearer to each other than the snap tolerance become one, what was drawn before
what was computed; and a line that passes the end of another closer than that is led through it. All lines are noded
once; after that only what has moved is noded again, with what lies about it.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from folder.geometry.space import Bools, Complexes, Floats, Ints, begins, distinct
from folder.pattern.faces.snap import close_pairs, complex_of, merge_points, near_lines, onto_edge
from folder.units import TOLERANCES

_SNAP = TOLERANCES.snap_mm

ABOUT_MM = 2.0 * _SNAP
"""So near to a line is looked for the edges that may lie on it."""

_GRID_MM = 1e-10
"""A thousand times what rounding does to a crossing, a tenth of what an exact pattern may be off."""

_AT_END_MM = 1e-9
"""What is nearer than this to the end of an edge is its end."""
_NONE = np.empty(0, dtype=np.int64)

_MOST_PAIRS = 100_000
"""So many points and edges are looked at pair by pair: for a tray's that takes a sixth of what building a tree does."""


def noded(lines: Floats) -> tuple[Complexes, Ints, Ints, Ints]:
    """The distinct places (v,) of lines (n, 2, 2), sorted, and the edges between them as pairs of places (e, 2).

    And which edges (k,) have their middle within `ABOUT_MM` of which lines (k,). The first four lines are the sheet's edge.
    """
    net = shapely.unary_union(shapely.linestrings(lines))
    places, edges = graph_of(shapely.get_coordinates(net))
    points = line_points(places)
    ends, count = lines.reshape(-1, 2), len(edges)
    # Middles of edges and ends of lines in one go: for few lines it is the calls that take the time.
    near, line, along = near_lines(np.concatenate([_middles(points, edges), ends]), lines, ABOUT_MM)
    of_edges = int(near.searchsorted(count))
    if len(close_pairs(points, _SNAP)) or _touch(
        lines, near[of_edges:] - count, line[of_edges:], along[of_edges:], points, edges
    ):
        places, edges = graph_of(_settled(lines, points, edges))
        near, line, _ = near_lines(_middles(line_points(places), edges), lines, ABOUT_MM)
        return places, edges, near, line
    return places, edges, near[:of_edges], line[:of_edges]


def _middles(points: Floats, edges: Ints) -> Floats:
    """(e, 2) mm: middles of edges (e, 2) between points (n, 2) mm."""
    return (points[edges[:, 0]] + points[edges[:, 1]]) / 2.0


def _touch(lines: Floats, end: Ints, line: Ints, along: Floats, points: Floats, edges: Ints) -> bool:
    """Whether an end of lines (n, 2, 2) all but lies on one of the edges (e, 2) that they are cut into.

    Of the ends (k,) near lines (k,), `along (k,)` mm, those right on an upright or level line are sure to be places where
    that is cut. Of others that is not known before they are held against the edges.
    """
    inner = along > _AT_END_MM / 2.0
    end, line, along = end[inner], line[inner], along[inner]
    start, way = lines[line, 0], lines[line, 1] - lines[line, 0]
    inner = np.hypot(way[:, 0], way[:, 1]) - along > _AT_END_MM / 2.0
    ends = lines.reshape(-1, 2)
    off = (way != 0.0) | (ends[end] != start)
    doubtful = inner & off[:, 0] & off[:, 1]
    if not np.count_nonzero(doubtful):
        return False
    return len(_touched(ends[distinct(end[doubtful])], points[edges])[0]) > 0


def line_points(places: Complexes) -> Floats:
    """Places (v,) as points (v, 2)."""
    return places.view(np.float64).reshape(-1, 2)


def graph_of(ends: Floats) -> tuple[Complexes, Ints]:
    """The distinct places (v,) of the ends (2e, 2) of edges, sorted, and the edges as pairs of them (e, 2)."""
    single = complex_of(ends)
    order = single.argsort()
    ordered = single[order]
    first = begins(ordered)
    number = np.empty(len(single), dtype=np.int64)
    number[order] = first.cumsum() - 1
    return ordered[first], number.reshape(-1, 2)


def _touched(points: Floats, edges: Floats) -> tuple[Ints, Ints]:
    """Which points (p, 2) all but lie on which edges (e, 2, 2) that do not end there: point indices, edge indices."""
    ahead = complex_of(edges[:, 1]) - complex_of(edges[:, 0])
    length = np.abs(ahead)
    if len(points) * len(edges) < _MOST_PAIRS:
        point, edge, along = near_lines(points, edges, _SNAP)
    else:
        tree = shapely.STRtree(shapely.linestrings(edges))
        point, edge = tree.query(shapely.points(points), predicate="dwithin", distance=_SNAP)
        off = complex_of(points)[point] - complex_of(edges[:, 0])[edge]
        along = (ahead[edge].conj() * off).real / length[edge]
    within = (along > _AT_END_MM) & (along < length[edge] - _AT_END_MM)
    if not np.count_nonzero(within):
        return _NONE, _NONE
    return point[within], edge[within]


def _settled(lines: Floats, points: Floats, edges: Ints) -> Floats:
    """The ends (2e, 2) of edges with near misses joined, crossings that nearly coincide included."""
    # Corners and ends that were drawn are kept before crossings that were computed.
    drawn = np.concatenate([lines[:4, 0], onto_edge(lines.reshape(-1, 2), lines[:4], _SNAP)])
    every = np.concatenate([drawn, onto_edge(points, lines[:4], _SNAP)])
    kept = every[merge_points(every, _SNAP)]
    new = kept[len(drawn) :][edges]
    moved = (new != points[edges]).any(axis=(1, 2))
    lasting = (new[:, 0] != new[:, 1]).any(axis=1)
    new, moved = new[lasting], moved[lasting]
    pieces, led = _led_through(np.unique(kept[: len(drawn)], axis=0), new)
    moved |= led
    return _renoded(np.concatenate([new[moved & ~led], pieces]), new[~moved])


def _led_through(points: Floats, edges: Floats) -> tuple[Floats, Bools]:
    """The pieces (k, 2, 2) of edges that pass points closely, led through these; and which edges (e,) that are."""
    point, edge = _touched(points, edges)
    led = np.zeros(len(edges), dtype=np.bool_)
    led[edge] = True
    which = led.nonzero()[0]
    owner = np.concatenate([edge, which, which])
    stops = np.concatenate([points[point], edges[which, 0], edges[which, 1]])
    off, along = stops - edges[owner, 0], edges[owner, 1] - edges[owner, 0]
    order = np.lexsort(((off * along).sum(axis=1), owner))
    owner, stops = owner[order], stops[order]
    pieces: Floats = np.stack([stops[:-1], stops[1:]], axis=1)[owner[1:] == owner[:-1]]
    return pieces, led


def _renoded(moved: Floats, others: Floats) -> Floats:
    """The ends (2e, 2) of edges, those that have moved (m, 2, 2) noded again with the others (n, 2, 2) about them.

    What has moved makes new crossings, hard by other lines some of them. On a grid a place is either on a line or clear
    of it, so that round every place the order of lines is sure.
    """
    exact = np.concatenate([moved, others])
    lines: NDArray[np.object_] = shapely.set_precision(shapely.linestrings(exact), _GRID_MM, mode="pointwise")
    about = np.ones(len(lines), dtype=np.bool_)
    about[len(moved) :] = False
    about[len(moved) + shapely.STRtree(lines[: len(moved)]).query(lines[len(moved) :])[0]] = True
    net = shapely.union_all(lines[about], grid_size=_GRID_MM)
    ends = _back_off_grid(shapely.get_coordinates(net), shapely.get_coordinates(lines[about]), exact[about].reshape(-1, 2))
    return np.concatenate([ends, exact[~about].reshape(-1, 2)])


def _back_off_grid(found: Floats, rounded: Floats, exact: Floats) -> Floats:
    """Places (n, 2) with those that were ends before, `rounded (k, 2)`, where they were, `exact (k, 2)`: only crossings are new."""
    rounded_keys = complex_of(rounded)
    order = rounded_keys.argsort()
    at = order[np.minimum(rounded_keys[order].searchsorted(complex_of(found)), len(order) - 1)]
    return np.where((rounded_keys[at] == complex_of(found))[:, None], exact[at], found)
