"""The lines of a folded sheet as they are seen: where it ends, and where it bends; hidden stretches left out."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from folder.draw.hull.hidden import visible_stretches
from folder.draw.hull.view import View
from folder.draw.picture import Line
from folder.draw.style import StyleName
from folder.findings import Point
from folder.fold.place import Folded
from folder.geometry.space import Bools, Floats, Ints, carry
from folder.pattern.faces.net import FLAT
from folder.units import TOLERANCES

_MEET_MM = 0.02
"""Ends nearer than this meet, and lines that bend away by less run straight."""
_LEAST_LINE_MM = 0.05
"""Shorter stretches are what a layer drawn apart lets through."""

HIDING_MM = 0.9
"""What hides lines besides the sheet lies over all else in its plane."""

EdgeMark = tuple[Bools, StyleName]
"""Edges (e,) that are drawn in a style of their own."""


class SpaceLine(Struct, frozen=True, eq=False):
    """A straight line that is no edge of the sheet, drawn where it is seen."""

    ends: Floats
    """(2, 3) mm in space."""
    faces: tuple[int, ...]
    """The faces it lies in, which do not hide it."""
    style: StyleName = "edge"
    nearer_mm: float = 0.0
    """So much nearer to the eye than it lies: over all else in its plane."""
    colour: str | None = None


def seen_lines(
    folded: Folded,
    view: View,
    bias: Floats,
    edge_marks: Sequence[EdgeMark],
    more: Sequence[SpaceLine] = (),
    hiding: Floats | None = None,
) -> list[Line]:
    """The visible stretches of every edge that bends or ends the sheet, or is marked; then of `more` lines.

    `bias` (f,) mm; `hiding` (m, 3, 3) mm are triangles in space that hide lines besides those of the sheet.
    """
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
    own = faces.sides[edge]
    if more:
        extra = view.project(folded, np.array([line.ends for line in more]))
        extra[..., 2] += np.array([bias[list(line.faces)].max() + line.nearer_mm for line in more])[:, None]
        projected = np.concatenate([projected, extra])
        own = np.concatenate([own, np.array([(line.faces[0], line.faces[-1]) for line in more])])
    triangles = view.project(folded, folded.corners)
    triangles[..., 2] += bias[faces.triangle_face, None]
    spared = (faces.triangle_face == own[:, :1]) | (faces.triangle_face == own[:, 1:])
    spared |= ~folded.placed[faces.triangle_face]
    if hiding is not None and len(hiding):
        triangles = np.concatenate([triangles, view.project(folded, hiding) + np.array([0.0, 0.0, HIDING_MM])])
        spared = np.concatenate([spared, np.zeros((len(own), len(hiding)), dtype=np.bool_)], axis=1)
    which, shares = visible_stretches(projected, triangles, spared)
    start, along = projected[which, 0, :2], projected[which, 1, :2] - projected[which, 0, :2]
    stretches = np.stack([start + shares[:, :1] * along, start + shares[:, 1:] * along], axis=1)
    lines: list[Line] = []
    on_edge = which < len(edge)
    named = np.full(len(which), -1)
    named[on_edge] = style[edge[which[on_edge]]]
    for k, name in enumerate(names):
        lines += [Line(pair, name) for pair in _run_together(stretches[named == k]) if math.dist(*pair) > _LEAST_LINE_MM]
    for number, (a, b) in zip((which[~on_edge] - len(edge)).tolist(), stretches[~on_edge].tolist(), strict=True):
        lines.append(Line(((a[0], a[1]), (b[0], b[1])), more[number].style, colour=more[number].colour))
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
