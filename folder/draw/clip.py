"""What of a picture lies inside a box, for sheets larger than the paper and for text that must stand free of lines."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from msgspec.structs import replace

from folder.draw.picture import Area, Box, Label, Line, Mark, Picture, box_round
from folder.draw.text import label_corners
from folder.findings import Point
from folder.geometry.plane import clip_to_convex, left_of


def part_inside(a: Point, b: Point, ring: tuple[Point, ...]) -> tuple[Point, Point] | None:
    """The part of a segment inside a convex counter-clockwise ring; None when it stays outside or only touches."""
    shares = clip_to_convex(a, b, ring)
    return (_between(a, b, shares[0]), _between(a, b, shares[1])) if shares else None


def holds(rings: tuple[tuple[Point, ...], ...], point: Point) -> bool:
    """Whether the rings hold a point, by the even-odd rule."""
    x, y = point
    odd = False
    for ring in rings:
        for a, b in pairwise((*ring, *ring[:1])):
            if (a[1] > y) != (b[1] > y) and x < a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]):
                odd = not odd
    return odd


def clipped(picture: Picture, box: Box) -> Picture:
    """The part of a picture inside a box. A label is kept only when all of it is inside."""
    marks = tuple(kept for mark in picture.marks for kept in _kept(mark, box))
    return Picture(marks, box)


def _kept(mark: Mark, box: Box) -> Iterator[Mark]:
    match mark:
        case Line():
            for path in _paths_inside(mark.path, box):
                yield replace(mark, points=path, closed=False)
        case Area():
            if rings := tuple(ring for whole in mark.rings if (ring := _ring_inside(whole, box))):
                yield replace(mark, rings=rings, edge=None)
            for outline in mark.outlines:
                yield from _kept(outline, box)
        case Label():
            if box_round((*box.corners, *label_corners(mark))) == box:
                yield mark


def _paths_inside(path: tuple[Point, ...], box: Box) -> list[tuple[Point, ...]]:
    """The stretches of a path inside a box, each as long as it hangs together."""
    stretches: list[list[Point]] = []
    for a, b in pairwise(path):
        part = part_inside(a, b, box.corners)
        if part and stretches and stretches[-1][-1] == part[0]:
            stretches[-1].append(part[1])
        elif part:
            stretches.append(list(part))
    return [tuple(stretch) for stretch in stretches]


def _ring_inside(ring: tuple[Point, ...], box: Box) -> tuple[Point, ...]:
    """A ring cut to a box, side by side (Sutherland & Hodgman, Comm. ACM 17 (1974) 32-42, from memory)."""
    for p, q in pairwise((*box.corners, box.corners[0])):
        cut: list[Point] = []
        for a, b in pairwise((*ring, *ring[:1])):
            at_a, at_b = left_of(a, p, q), left_of(b, p, q)
            if at_a >= 0:
                cut.append(a)
            if at_a * at_b < 0:
                cut.append(_between(a, b, at_a / (at_a - at_b)))
        ring = tuple(cut)
    return ring if len(ring) > 2 else ()


def _between(a: Point, b: Point, t: float) -> Point:
    if t in (0.0, 1.0):
        return b if t else a
    return (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))
