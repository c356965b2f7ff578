"""The folded sheet as a picture: faces from back to front, hidden lines removed.

view      from where one looks: `around_rad` about the vertical, counter-clockwise from the front; `above_rad` over the floor
projected in view space: x to the right, y up, z toward the eye; mm
bias      how much nearer to the eye a layer of a flat stack counts than it lies, so that layers have an order
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from msgspec import Struct
from numpy.typing import NDArray

from folder.draw.hull.border import Borders, borders_of
from folder.draw.hull.hidden import visible_stretches
from folder.draw.hull.lift import layer_lifts, layers_of
from folder.draw.hull.rough import is_rough, rough_marks
from folder.draw.picture import Area, Line, Mark, Picture
from folder.draw.style import FOIL, PAPER, SHADE, StyleName
from folder.findings import Point
from folder.fold.layers.order import Layering
from folder.fold.place import Folded
from folder.geometry.space import Bools, Floats, Ints, carry
from folder.pattern.faces.net import FLAT
from folder.units import TOLERANCES

_SHRINK = 1e-3
"""Faces that overlap in the picture by less than this share of their size are only neighbours."""
_LEVEL_MM = TOLERANCES.closed_mm
"""What lies nearer than this to a plane lies in it, in a drawing rounded by hand too."""
_EDGE_ON = 1e-3
_GRID_MM = 1e-3
"""To this grid faces are joined: rounding leaves no slits between them."""
_MEET_MM = 0.02
"""Ends nearer than this meet, and lines that bend away by less run straight."""
_LEAST_LINE_MM = 0.05
"""Shorter stretches are what a layer drawn apart lets through."""

EdgeMark = tuple[Bools, StyleName]
"""Edges (e,) that are drawn in a style of their own."""


class View(Struct, frozen=True):
    """From where one looks."""

    around_rad: float = math.radians(-30.0)
    above_rad: float = math.radians(35.0)

    @property
    def axes(self) -> Floats:
        """(3, 3): the rows are right, up and toward the eye, in the hull's frame."""
        ca, sa = math.cos(self.around_rad), math.sin(self.around_rad)
        ce, se = math.cos(self.above_rad), math.sin(self.above_rad)
        # Seen from the front (around 0) x runs to the right and y away from the eye.
        return np.array([[ca, sa, 0.0], [-sa * se, ca * se, ce], [sa * ce, -ca * ce, se]])

    def project(self, folded: Folded, points: Floats) -> Floats:
        """Places in space (..., 3) as they are seen; the middle of `floor_at` is the origin."""
        projected: Floats = (points - [*folded.faces.floor_at, 0.0]) @ self.axes.T
        return projected


ABOVE = View(0.0, math.pi / 2)
"""Straight down on the table."""
BELOW = View(math.pi, -math.pi / 2)
"""The same, with the sheet turned over like a page."""


def good_view(folded: Folded) -> View:
    """A view from which the floor is seen over the near wall, and the walls are still seen."""
    corners = folded.corners[folded.placed[folded.faces.triangle_face]].reshape(-1, 3)
    floor = folded.corners[folded.faces.triangle_face == folded.faces.root].reshape(-1, 3)
    high, deep = float(corners[:, 2].max(initial=0.0)), float(np.ptp(floor[:, 1])) / 2.0 if len(floor) else 1.0
    return View(above_rad=min(max(math.atan2(high, deep) + math.radians(8.0), math.radians(35.0)), math.radians(55.0)))


def solid(
    folded: Folded,
    view: View | None = None,
    *,
    lifts: Floats | None = None,
    layering: Layering | None = None,
    floor: Bools | None = None,
    edge_marks: Sequence[EdgeMark] = (),
) -> Picture:
    """The folded sheet seen from a side, in true scale; the middle of `floor_at` is the origin.

    lifts (f,) mm along each face's own inside normal tell the order of layers: that of `layering`, or the one that is found.
    floor (f,) marks the faces tinted as the floor; of the `edge_marks` the later ones are drawn over the earlier. What has
    very many faces is drawn roughly, without lifts and marks.
    """
    view = view or View()
    if is_rough(folded):
        return Picture.of(rough_marks(folded, view.axes, floor))
    lifts = layer_lifts(folded, layering) if lifts is None else lifts
    bias = lifts * np.sign(folded.normals @ view.axes[2])
    areas, lines = _areas(folded, view, bias, floor), _lines(folded, view, bias, edge_marks)
    return Picture.of([*areas, *lines])


def _areas(folded: Folded, view: View, bias: Floats, floor: Bools | None) -> list[Mark]:
    """Every placed layer that is not seen edge-on, the farthest first. `bias` (f,) mm, `floor` (f,)."""
    toward = folded.normals @ view.axes[2]
    shown = np.nonzero(folded.placed & (np.abs(toward) > _EDGE_ON))[0]
    tint = np.zeros(folded.faces.count, dtype=np.bool_) if floor is None else floor
    # Faces that lie as one are painted as one: no seam shows between them.
    layers: dict[tuple[int, bool], list[int]] = {}
    for face, layer in zip(shown.tolist(), layers_of(folded)[shown].tolist(), strict=True):
        layers.setdefault((layer, bool(tint[face])), []).append(face)
    borders = borders_of(folded.faces)
    projected = view.project(folded, carry(folded.motions[borders.face], borders.places))
    polygons = np.array([_joined(borders, projected[:, :2], faces) for faces in layers.values()])
    points = [np.concatenate([projected[borders.rows(face)] for face in faces]) for faces in layers.values()]
    first = np.array([faces[0] for faces in layers.values()], dtype=np.int64)
    marks: list[Mark] = []
    for k in _back_to_front(polygons, points, folded.normals[first] @ view.axes.T, bias[first]):
        fill = FOIL if toward[first[k]] < 0 else SHADE if tint[first[k]] else PAPER
        if rings := _rings_of(polygons[k]):
            marks.append(Area(rings, fill))
    return marks


def _joined(borders: Borders, projected: Floats, faces: list[int]) -> shapely.Geometry:
    """Some faces as one shape in the picture. Places (n, 2) mm in view space."""
    shapes = [shapely.Polygon(border, holes) for border, *holes in (borders.rings(projected, face) for face in faces)]
    return shapely.union_all(shapes, grid_size=_GRID_MM) if len(shapes) > 1 else shapes[0]


def _rings_of(polygons: shapely.Geometry) -> tuple[tuple[Point, ...], ...]:
    """The borders of a polygon or of several."""
    coordinates, ring = shapely.get_coordinates(rings := shapely.get_rings(polygons), return_index=True)
    return tuple(tuple((x, y) for x, y in coordinates[ring == k][:-1].tolist()) for k in range(len(rings)))


def _back_to_front(polygons: NDArray[np.object_], points: list[Floats], normals: Floats, bias: Floats) -> list[int]:
    """An order in which each layer is painted before those that cover part of it; their corners (n, 3) each."""
    if not points:
        return []
    shrunk = _shrunk(polygons)
    shapely.prepare(shrunk)
    first, second = shapely.STRtree(shrunk).query(shrunk)
    first, second = first[first < second], second[first < second]
    covers = shapely.intersects(shrunk[first], shrunk[second])
    first, second = first[covers], second[covers]
    nearer = _nearer(first, second, points, normals)
    nearer = np.where(nearer == 0.0, bias[first] - bias[second], nearer)
    for k in np.nonzero(np.isnan(nearer))[0].tolist():
        at = shapely.get_coordinates(shapely.point_on_surface(shapely.intersection(shrunk[first[k]], shrunk[second[k]])))
        one, other = (_depth(at[0], points[f[k]][0], normals[f[k]]) for f in (first, second))
        nearer[k] = one - other
    return _sorted(first, second, nearer, np.array([p[:, 2].mean() for p in points]))


def _shrunk(polygons: NDArray[np.object_]) -> NDArray[np.object_]:
    """Shapes a little smaller, so that neighbours do not overlap."""
    places, owner = shapely.get_coordinates(polygons, return_index=True)
    count = np.maximum(np.bincount(owner, minlength=len(polygons)), 1)
    middle = np.stack([np.bincount(owner, places[:, k], len(polygons)) / count for k in (0, 1)], axis=1)[owner]
    return shapely.set_coordinates(polygons.copy(), middle + (1.0 - _SHRINK) * (places - middle))


def _sorted(first: Ints, second: Ints, nearer: Floats, depth: Floats) -> list[int]:
    """Layers from back to front. Where some cover each other in a ring there is none: the deepest yields. Pairs (q,), depth (n,) mm."""
    over: list[list[int]] = [[] for _ in depth]
    waits = np.zeros(len(depth), dtype=np.int64)
    for a, b, a_over in zip(first.tolist(), second.tolist(), nearer.tolist(), strict=True):
        if a_over:
            back, front = (a, b) if a_over < 0 else (b, a)
            over[back].append(front)
            waits[front] += 1
    order: list[int] = []
    ready = np.nonzero(waits == 0)[0].tolist()
    open_faces = set(range(len(depth)))
    while open_faces:
        if not ready:
            ready.append(min(open_faces, key=depth.__getitem__))
        face = ready.pop()
        open_faces.discard(face)
        order.append(face)
        for front in over[face]:
            waits[front] -= 1
            if waits[front] == 0 and front in open_faces:
                ready.append(front)
    return order


def _nearer(first: Ints, second: Ints, corners: list[Floats], normals: Floats) -> Floats:
    """For pairs of layers (p,): above 0 where the first is nearer to the eye, below where the second is; 0 where both
    lie in one plane, NaN where neither lies on one side of the other's plane.
    """
    size = np.array([len(c) for c in corners])
    start = np.cumsum(size) - size
    points, anchor = np.concatenate(corners), np.array([c[0] for c in corners])
    toward = normals * np.sign(normals[:, 2:])
    found = np.full(len(first), np.nan)
    for one, other, sign in ((first, second, 1.0), (second, first, -1.0)):
        # How far the corners of one lie on the eye's side of the other's plane.
        row = np.repeat(start[one] - np.cumsum(size[one]) + size[one], size[one]) + np.arange(size[one].sum())
        plane = np.repeat(other, size[one])
        off = ((points[row] - anchor[plane]) * toward[plane]).sum(axis=1)
        begin = np.cumsum(size[one]) - size[one]
        if not len(begin):
            return found
        low, high = np.minimum.reduceat(off, begin), np.maximum.reduceat(off, begin)
        plain = np.where(low >= -_LEVEL_MM, np.where(high <= _LEVEL_MM, 0.0, sign), np.where(high <= _LEVEL_MM, -sign, np.nan))
        found = np.where(np.isnan(found), plain, found)
    return found


def _depth(at: Floats, anchor: Floats, normal: Floats) -> float:
    """How near to the eye a plane lies at a place in the picture (2,)."""
    return float(anchor[2] - (at - anchor[:2]) @ normal[:2] / normal[2])


def _lines(folded: Folded, view: View, bias: Floats, edge_marks: Sequence[EdgeMark]) -> list[Mark]:
    """The visible stretches of every edge that bends or ends the sheet, or is marked. `bias` (f,) mm."""
    faces = folded.faces
    names: list[StyleName] = ["edge", "outline", *(name for _, name in edge_marks)]
    style = np.where(faces.joined, 1, 0)
    drawn = (~faces.joined | (np.abs(folded.turn) > TOLERANCES.flat_rad)) & (faces.crease != FLAT)
    for k, (marked, _) in enumerate(edge_marks, 2):
        style[marked] = k
        drawn |= marked
    edge, face = _drawn_sides(folded, drawn, bias)
    ends = faces.vertices[faces.edges[edge]].reshape(-1, 2)
    projected = view.project(folded, carry(np.repeat(folded.motions[face], 2, axis=0), ends)).reshape(-1, 2, 3)
    projected[..., 2] += bias[face, None]
    triangles = view.project(folded, folded.corners)
    triangles[..., 2] += bias[faces.triangle_face, None]
    own = faces.sides[edge]
    spared = (faces.triangle_face == own[:, :1]) | (faces.triangle_face == own[:, 1:])
    spared |= ~folded.placed[faces.triangle_face]
    which, shares = visible_stretches(projected, triangles, spared)
    start, along = projected[which, 0, :2], projected[which, 1, :2] - projected[which, 0, :2]
    stretches = np.stack([start + shares[:, :1] * along, start + shares[:, 1:] * along], axis=1)
    lines: list[Mark] = []
    for k, name in enumerate(names):
        mine = stretches[style[edge[which]] == k]
        lines += [Line(pair, name) for pair in _run_together(mine) if math.dist(*pair) > _LEAST_LINE_MM]
    return lines


def _drawn_sides(folded: Folded, drawn: Bools, bias: Floats) -> tuple[Ints, Ints]:
    """Edges to draw (k,), each with a face (k,) whose side of it is drawn: both lips of a cut, one side of a crease."""
    faces = folded.faces
    left, right = faces.sides.T
    on_left = drawn & (left >= 0) & folded.placed[left]
    on_right = drawn & (right >= 0) & folded.placed[right]
    # Of a crease's two sides the one nearer to the eye is drawn: it lies on top of a stack.
    nearer = bias[right] > bias[left]
    single = faces.joined & on_left & on_right
    on_left &= ~(single & nearer)
    on_right &= ~(single & ~nearer)
    edge = np.concatenate([np.nonzero(on_left)[0], np.nonzero(on_right)[0]])
    return edge, np.concatenate([left[on_left], right[on_right]])


def _run_together(stretches: Floats) -> list[tuple[Point, Point]]:
    """Stretches (n, 2, 2) that go on straight from one to the next, as one line: dashes then run through."""
    rough = np.round(stretches * 20.0).astype(np.int64)
    backward = (rough[:, 0] * [1 << 20, 1]).sum(axis=1) > (rough[:, 1] * [1 << 20, 1]).sum(axis=1)
    rough[backward] = rough[backward, ::-1]
    # Layers of a stack give the same line many times.
    distinct = np.sort(np.unique(rough.reshape(-1, 4), axis=0, return_index=True)[1])
    lines: dict[int, tuple[Point, Point]] = {}
    at_end: dict[Point, set[int]] = {}
    for number, ((ax, ay), (bx, by)) in enumerate(stretches[distinct].tolist()):
        line = ((ax, ay), (bx, by))
        for end in (0, 1):
            for other in at_end.get(_corner(line[end]), ()):
                if longer := _end_to_end(line, lines[other]):
                    for point in lines.pop(other):
                        at_end[_corner(point)].discard(other)
                    line = longer
                    break
        lines[number] = line
        for point in line:
            at_end.setdefault(_corner(point), set()).add(number)
    return list(lines.values())


def _corner(point: Point) -> Point:
    """A place to the twentieth of a millimetre."""
    return (round(point[0] * 20.0), round(point[1] * 20.0))


def _end_to_end(one: tuple[Point, Point], other: tuple[Point, Point]) -> tuple[Point, Point] | None:
    """Both lines as one, when they meet at an end and run on straight."""
    for a, b in (one, one[::-1]):
        for c, d in (other, other[::-1]):
            ahead, on = (b[0] - a[0], b[1] - a[1]), (d[0] - c[0], d[1] - c[1])
            forward = ahead[0] * on[0] + ahead[1] * on[1]
            sideways = abs(ahead[0] * on[1] - ahead[1] * on[0])
            if math.dist(b, c) < _MEET_MM and forward > 0 and sideways < _MEET_MM * math.dist(a, d):
                return a, d
    return None
