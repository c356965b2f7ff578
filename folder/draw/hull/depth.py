"""The order in which flat shapes are painted so that each covers what lies behind it: exact, shapes that cross are parted.

view space  x to the right, y up, z toward the eye; mm
plane       of a shape: a place in it and its normal; no shape is seen edge-on
bias        how much nearer to the eye a shape counts than it lies, so that layers in one plane have an order
part        what is left of a shape where it had to be cut, by the plane of one that it crosses or that lies around it

The painter's algorithm with cuts of Newell, Newell and Sancha (Proc. ACM Annual Conf. 1972, 443).
"""

from __future__ import annotations

import numpy as np
import shapely
from msgspec import Struct
from numpy.typing import NDArray

from folder.geometry.space import Bools, Floats, Ints
from folder.units import TOLERANCES

_SHRINK = 1e-3
"""Shapes that overlap in the picture by less than this share of their size are only neighbours."""
_LEVEL_MM = TOLERANCES.closed_mm
"""What lies nearer than this to a plane lies in it, in a drawing rounded by hand too."""
_MOST_ROUNDS = 8
_MOST_CUTS = 40
"""What would need more is no hull but a scribble: what is left is painted by how deep it lies."""
_SLIVER_MM2 = 1e-3
_PARALLEL = 1e-9

Shapes = NDArray[np.object_]


class Planes(Struct, frozen=True, eq=False):
    """The planes of shapes, in view space."""

    at: Floats
    """(n, 3) a place in each."""
    normal: Floats
    """(n, 3) unit, or longer or shorter; z is not 0."""
    bias: Floats
    """(n,) mm"""

    def depth(self, k: Ints | int, places: Floats) -> Floats:
        """How near to the eye planes (m,) lie at places (m, 2) of the picture, without bias: (m,) mm."""
        at, normal = self.at[k], self.normal[k]
        nearness: Floats = at[..., 2] - ((places - at[..., :2]) * normal[..., :2]).sum(axis=-1) / normal[..., 2]
        return nearness


def back_to_front(shapes: Shapes, planes: Planes) -> list[tuple[int, shapely.Geometry]]:
    """The shapes (n,), or parts of them, with their numbers, the farthest first."""
    parts, owner = shapes, np.arange(len(shapes))
    if not len(parts):
        return []
    for rounds_left in range(_MOST_ROUNDS, -1, -1):
        first, second, nearer, crosses = _compared(parts, owner, planes)
        may_cut = rounds_left > 0 and len(parts) - len(shapes) + np.count_nonzero(crosses) <= _MOST_CUTS
        if crosses.any() and may_cut:
            pairs = zip(second[crosses].tolist(), first[crosses].tolist(), strict=True)
            parts, owner, done = _all_cut(parts, owner, planes, dict(pairs))
            if done:
                continue
        order, ring = sorted_by_cover(first, second, nearer, _middle_depth(parts, owner, planes))
        if not ring or not may_cut:
            break
        # Where some lie over each other in a ring, cutting one of them parts the ring.
        for pair in zip(ring, ring[1:] + ring[:1], strict=True):
            parts, owner, done = _all_cut(parts, owner, planes, dict([pair]))
            if done:
                break
        else:
            break
    return [(int(owner[k]), parts[k]) for k in order]


def _compared(parts: Shapes, owner: Ints, planes: Planes) -> tuple[Ints, Ints, Floats, Bools]:
    """Pairs of parts (q,) that share some of the picture, how much nearer the first is (q,), and which cross (q,)."""
    shrunk = _shrunk(parts)
    shapely.prepare(shrunk)
    first, second = shapely.STRtree(shrunk).query(shrunk)
    kept = (first < second) & (owner[first] != owner[second])
    first, second = first[kept], second[kept]
    kept = shapely.intersects(shrunk[first], shrunk[second])
    first, second = first[kept], second[kept]
    nearer = _by_corners(parts, owner, planes, first, second)
    bias = planes.bias[owner]
    nearer = np.where(nearer == 0.0, bias[first] - bias[second], nearer)
    crosses = np.zeros(len(first), dtype=np.bool_)
    unsure = np.nonzero(np.isnan(nearer))[0]
    if len(unsure):
        common = shapely.intersection(shrunk[first[unsure]], shrunk[second[unsure]])
        places, pair = shapely.get_coordinates(common, return_index=True)
        off = planes.depth(owner[first[unsure]][pair], places) - planes.depth(owner[second[unsure]][pair], places)
        low, high = np.full(len(unsure), np.inf), np.full(len(unsure), -np.inf)
        np.minimum.at(low, pair, off)
        np.maximum.at(high, pair, off)
        nearer[unsure] = np.where(high > -low, 1.0, -1.0)
        crosses[unsure] = (low < -_LEVEL_MM) & (high > _LEVEL_MM)
    return first, second, nearer, crosses


def _by_corners(parts: Shapes, owner: Ints, planes: Planes, first: Ints, second: Ints) -> Floats:
    """(q,) which part of a pair lies nearer to the eye, by the side of the other's plane on which its corners lie.

    1.0 the first, -1.0 the second, 0.0 where both lie in one plane, NaN where the corners do not tell.
    """
    places, part = shapely.get_coordinates(parts, return_index=True)
    corners = np.column_stack([places, planes.depth(owner[part], places)])
    size = np.bincount(part, minlength=len(parts))
    start = np.cumsum(size) - size
    toward = planes.normal * (np.sign(planes.normal[:, 2]) / np.linalg.norm(planes.normal, axis=1))[:, None]
    found = np.full(len(first), np.nan)
    if not len(first):
        return found
    for one, other, sign in ((first, second, 1.0), (second, first, -1.0)):
        # How far the corners of one lie on the eye's side of the other's plane.
        row = np.repeat(start[one] - np.cumsum(size[one]) + size[one], size[one]) + np.arange(size[one].sum())
        plane = owner[np.repeat(other, size[one])]
        off = ((corners[row] - planes.at[plane]) * toward[plane]).sum(axis=1)
        begin = np.cumsum(size[one]) - size[one]
        low, high = np.minimum.reduceat(off, begin), np.maximum.reduceat(off, begin)
        plain = np.where(low >= -_LEVEL_MM, np.where(high <= _LEVEL_MM, 0.0, sign), np.where(high <= _LEVEL_MM, -sign, np.nan))
        found = np.where(np.isnan(found), plain, found)
    return found


def _shrunk(polygons: Shapes) -> Shapes:
    """Shapes a little smaller, so that neighbours do not overlap."""
    places, owner = shapely.get_coordinates(polygons, return_index=True)
    count = np.maximum(np.bincount(owner, minlength=len(polygons)), 1)
    middle = np.stack([np.bincount(owner, places[:, k], len(polygons)) / count for k in (0, 1)], axis=1)[owner]
    smaller: Shapes = shapely.set_coordinates(polygons.copy(), middle + (1.0 - _SHRINK) * (places - middle))
    return smaller


def _middle_depth(parts: Shapes, owner: Ints, planes: Planes) -> Floats:
    """(p,) mm: how near to the eye the corners of each part lie, on the whole."""
    places, part = shapely.get_coordinates(parts, return_index=True)
    depth = planes.depth(owner[part], places)
    return np.bincount(part, depth, len(parts)) / np.maximum(np.bincount(part, minlength=len(parts)), 1)


def _all_cut(parts: Shapes, owner: Ints, planes: Planes, cuts: dict[int, int]) -> tuple[Shapes, Ints, bool]:
    """The parts with some cut, each along the plane of another; whether any was cut: a plane may pass a part by."""
    new: list[shapely.Geometry] = []
    owners: list[int] = []
    gone: list[int] = []
    for k, by in cuts.items():
        pieces = _cut(parts[k], int(owner[k]), int(owner[by]), planes)
        if pieces:
            new += pieces
            owners += [int(owner[k])] * len(pieces)
            gone.append(k)
    if not gone:
        return parts, owner, False
    added = np.empty(len(new), dtype=object)
    added[:] = new
    return np.concatenate([np.delete(parts, gone), added]), np.concatenate([np.delete(owner, gone), owners]), True


def _cut(part: shapely.Geometry, mine: int, other: int, planes: Planes) -> list[shapely.Geometry]:
    """A part of shape `mine` in pieces on either side of the plane of another; none where that passes it by."""
    box = np.array(shapely.bounds(part)).reshape(2, 2)
    middle, reach = box.mean(axis=0), float(np.ptp(box, axis=0).sum()) + 1.0
    # How much nearer one plane is than the other runs straight over the picture: value and slope at the middle.
    slope = planes.normal[other, :2] / planes.normal[other, 2] - planes.normal[mine, :2] / planes.normal[mine, 2]
    steep = float(np.hypot(*slope))
    value = float(planes.depth(mine, middle) - planes.depth(other, middle))
    if steep < _PARALLEL or abs(value) / steep > reach:
        return []
    across = slope / steep
    foot, along = middle - across * (value / steep), np.array([-across[1], across[0]])
    beyond = 2.0 * reach * across
    near = shapely.Polygon(
        [foot - reach * along, foot + reach * along, foot + reach * along + beyond, foot - reach * along + beyond]
    )
    sides = [shapely.intersection(part, near), shapely.difference(part, near)]
    if min(side.area for side in sides) <= _SLIVER_MM2:
        return []
    pieces = [piece for side in sides for piece in shapely.get_parts(side)]
    return [piece for piece in pieces if piece.geom_type == "Polygon" and piece.area > _SLIVER_MM2]


def sorted_by_cover(first: Ints, second: Ints, nearer: Floats, depth: Floats) -> tuple[list[int], list[int]]:
    """Shapes from back to front by which covers which (q,), and a ring of some that cover each other in turn; empty where there is none.

    In a ring there is no order: the deepest yields. Pairs (q,), depth (n,) mm.
    """
    over: list[list[int]] = [[] for _ in depth]
    under: list[list[int]] = [[] for _ in depth]
    waits = np.zeros(len(depth), dtype=np.int64)
    for a, b, a_over in zip(first.tolist(), second.tolist(), nearer.tolist(), strict=True):
        if a_over:
            back, front = (a, b) if a_over < 0 else (b, a)
            over[back].append(front)
            under[front].append(back)
            waits[front] += 1
    order: list[int] = []
    ring: list[int] = []
    ready = np.nonzero(waits == 0)[0].tolist()
    left = set(range(len(depth)))
    while left:
        if not ready:
            ring = ring or _ring(left, under)
            ready.append(min(left, key=depth.__getitem__))
        shape = ready.pop()
        if shape not in left:
            continue
        left.discard(shape)
        order.append(shape)
        for front in over[shape]:
            waits[front] -= 1
            if waits[front] == 0 and front in left:
                ready.append(front)
    return order, ring


def _ring(left: set[int], under: list[list[int]]) -> list[int]:
    """Some of the shapes left, each of which covers the next, the last the first."""
    path: list[int] = []
    shape = min(left)
    while shape not in path:
        path.append(shape)
        shape = next(back for back in under[shape] if back in left)
    return path[path.index(shape) :]
