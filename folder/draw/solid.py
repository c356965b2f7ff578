"""The folded sheet as a picture: faces from back to front, hidden lines removed.

view      from where one looks: `around_rad` about the vertical, counter-clockwise from the front; `above_rad` over the floor
lift      how far a layer of a flat stack is moved along its normal, for the drawing only, so that layers have an order
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter

import numpy as np
import shapely

from folder.draw.hidden import visible_stretches
from folder.draw.picture import Area, Item, Line, Picture
from folder.draw.style import FOIL, PAPER, SHADE, StyleName
from folder.fold.place import Folded
from folder.geometry.space import Bools, Floats, Ints, carry
from folder.units import TOLERANCES


@dataclass(frozen=True)
class View:
    """From where one looks."""

    around_rad: float = math.radians(-30.0)
    above_rad: float = math.radians(35.0)

    @property
    def axes(self) -> Floats:
        """(3, 3): the rows are right, up and toward the eye, in the hull's frame."""
        ca, sa, ce, se = (
            math.cos(self.around_rad),
            math.sin(self.around_rad),
            math.cos(self.above_rad),
            math.sin(self.above_rad),
        )
        # Seen from the front (around 0) x runs to the right and y away from the eye.
        return np.array([[ca, sa, 0.0], [-sa * se, ca * se, ce], [sa * ce, -ca * ce, se]])


def solid(
    folded: Folded, view: View | None = None, *, lifts: Floats | None = None, floor: Bools | None = None
) -> Picture:
    """The folded sheet seen from a side, in true scale; the middle of `floor_at` is the origin.

    lifts (f,) mm along each face's own inside normal; floor (f,) marks the faces tinted as the floor.
    """
    axes = (view or View()).axes
    faces = folded.faces
    lifts = np.zeros(faces.count) if lifts is None else lifts
    origin = np.array([*faces.floor_at, 0.0])
    shift = (folded.normals * lifts[:, None] - origin) @ axes.T
    triangles = folded.corners @ axes.T + shift[faces.triangle_face][:, None]
    items: list[Item] = [*_areas(folded, axes, shift, floor), *_lines(folded, axes, shift, triangles)]
    return Picture.of(items)


def _areas(folded: Folded, axes: Floats, shift: Floats, floor: Bools | None) -> list[Item]:
    """Every placed face that is not seen edge-on, the farthest first."""
    toward = folded.normals @ axes[2]
    shown = np.nonzero(folded.placed & (np.abs(toward) > 1e-3))[0]
    rings = [_seen_ring(folded, int(face), axes, shift) for face in shown]
    items: list[Item] = []
    for k in _back_to_front(rings, folded.normals[shown] @ axes.T):
        face = shown[k]
        inside = SHADE if floor is not None and floor[face] else PAPER
        items.append(
            Area((tuple((float(x), float(y)) for x, y in rings[k][:, :2]),), inside if toward[face] > 0 else FOIL)
        )
    return items


def _seen_ring(folded: Folded, face: int, axes: Floats, shift: Floats) -> Floats:
    """The border of a face in view space: (n, 3) mm."""
    flat = folded.faces.vertices[folded.faces.outer_ring(face)]
    motion = np.broadcast_to(folded.motions[face], (len(flat), 4, 4))
    seen: Floats = carry(motion, flat) @ axes.T + shift[face]
    return seen


def _back_to_front(rings: list[Floats], normals: Floats) -> list[int]:
    """An order in which each face is painted before those that cover part of it."""
    polygons = np.array([shapely.Polygon(r[:, :2]) for r in rings])
    first, second = shapely.STRtree(polygons).query(polygons, predicate="intersects")
    once = first < second
    first, second = first[once], second[once]
    shared = shapely.intersection(polygons[first], polygons[second])
    covers = shapely.area(shared) > 0.01
    first, second = first[covers], second[covers]
    at = shapely.get_coordinates(shapely.point_on_surface(shared[covers]))
    anchors = np.array([r[0] for r in rings]).reshape(-1, 3)
    nearer = _depth(at, anchors[first], normals[first]) > _depth(at, anchors[second], normals[second])
    before: dict[int, set[int]] = {k: set() for k in range(len(rings))}
    for a, b, a_is_nearer in zip(first.tolist(), second.tolist(), nearer.tolist(), strict=True):
        before[a if a_is_nearer else b].add(b if a_is_nearer else a)
    try:
        return list(TopologicalSorter(before).static_order())
    except CycleError:
        # Faces that cover each other in a ring have no order; the mean depth is the usual way out.
        return [int(k) for k in np.argsort([r[:, 2].mean() for r in rings])]


def _depth(at: Floats, anchor: Floats, normal: Floats) -> Floats:
    """How near the eye the plane through `anchor` lies at places (n, 2)."""
    depth: Floats = anchor[:, 2] - ((at - anchor[:, :2]) * normal[:, :2]).sum(axis=1) / normal[:, 2]
    return depth


def _lines(folded: Folded, axes: Floats, shift: Floats, triangles: Floats) -> list[Item]:
    """The visible stretches of every edge that bends or ends the sheet."""
    faces = folded.faces
    edge, face = _drawn_sides(folded)
    ends = faces.vertices[faces.edges[edge]]
    motions = np.repeat(folded.motions[face], 2, axis=0)
    seen = carry(motions, ends.reshape(-1, 2)).reshape(-1, 2, 3) @ axes.T + shift[face][:, None]
    own = faces.sides[edge]
    spared = (faces.triangle_face == own[:, :1]) | (faces.triangle_face == own[:, 1:])
    spared |= ~folded.placed[faces.triangle_face]
    which, shares = visible_stretches(seen, triangles, spared)
    lines: list[Item] = []
    for k, (a, b) in zip(which.tolist(), shares.tolist(), strict=True):
        start, end = (seen[k, 0] + t * (seen[k, 1] - seen[k, 0]) for t in (a, b))
        if math.hypot(end[0] - start[0], end[1] - start[1]) > 0.02:
            style: StyleName = "outline" if faces.joined[edge[k]] else "edge"
            lines.append(Line(((float(start[0]), float(start[1])), (float(end[0]), float(end[1]))), style))
    return lines


def _drawn_sides(folded: Folded) -> tuple[Ints, Ints]:
    """Edges to draw, each with a face whose side of it is drawn: both lips of a cut, one side of a crease."""
    faces = folded.faces
    bends = ~faces.joined | (np.abs(folded.turn) > TOLERANCES.flat_rad)
    bends &= faces.crease != -2
    left, right = faces.sides.T
    on_left = bends & (left >= 0) & folded.placed[left]
    on_right = bends & (right >= 0) & folded.placed[right]
    # Of a crease's two sides the one farther from the floor is drawn: it lies on top of a stack.
    deeper = folded.level[right] > folded.level[left]
    single = faces.joined & on_left & on_right
    on_left &= ~(single & deeper)
    on_right &= ~(single & ~deeper)
    edge = np.concatenate([np.nonzero(on_left)[0], np.nonzero(on_right)[0]])
    return edge, np.concatenate([left[on_left], right[on_right]])
