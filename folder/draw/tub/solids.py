"""Objects as solids: what is seen of one from a side, as flat pieces about its centre.

piece    a polygon in the picture with its tone, the farthest first
A part is convex: what is seen of it is the convex hull of its corners, with those of its flat ends over it that face the eye.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from folder.cargo.item import Item
from folder.cargo.shape import SHANK
from folder.draw.hull.light import brightness, mixed
from folder.draw.hull.view import View
from folder.draw.tub.tone import GLINT, HOLLOW, OBJECT
from folder.geometry.plane import convex_hull
from folder.geometry.space import Floats

ROUND = 28
"""Sides of what is round."""
NARROW = 0.72
"""The foot of a cup over its rim (judgement)."""
THICK = 0.07
"""The wall of a cup over its rim's width (judgement)."""


class Piece(NamedTuple):
    """A polygon (n, 2) mm about the object's centre in the picture."""

    points: Floats
    fill: str
    edged: bool = True


def pieces(item: Item, rotation_rad: float, axes: Floats, view: View) -> Iterator[Piece]:
    """What is seen of an object on its spot; `axes` (3, 3) are right, up and toward the eye in the hull's frame."""
    c, s = math.cos(rotation_rad), math.sin(rotation_rad)
    seen = axes @ np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
    size = item.size_mm
    match item.shape:
        case "ball":
            yield from _ball(size[0] / 2.0)
        case "disc":
            yield from _cylinder(seen, 2, size[0] / 2.0, size[1])
        case "block":
            yield from _block(seen, view, *size)
        case "tube":
            yield from _cylinder(seen, 0, size[0] / 2.0, size[1])
        case "cup":
            yield from _cup(seen, size[0] / 2.0, size[1])
        case "screw":
            yield from _screw(seen, size[0] / 2.0, size[1])


def _ball(radius: float) -> Iterator[Piece]:
    """A circle with light on its upper left."""
    yield Piece(_circle(radius), OBJECT.dark)
    aslant = radius * np.array([-1.0, 1.05])
    for share, off, fill in ((0.86, 0.1, OBJECT.mid), (0.52, 0.26, OBJECT.light), (0.18, 0.38, GLINT)):
        yield Piece(_circle(share * radius) + off * aslant, fill, edged=False)


def _circle(radius: float) -> Floats:
    turns = 2.0 * np.pi * np.arange(ROUND) / ROUND
    return radius * np.column_stack([np.cos(turns), np.sin(turns)])


def _ring(axis: int, radius: float, at: float) -> Floats:
    """A circle (n, 3) about an axis of the object."""
    flat = _circle(radius)
    ring = np.full((len(flat), 3), at)
    ring[:, [k for k in range(3) if k != axis]] = flat
    return ring


def _cylinder(seen: Floats, axis: int, radius: float, length: float, at: float = 0.0) -> Iterator[Piece]:
    ends = [_ring(axis, radius, at - length / 2.0), _ring(axis, radius, at + length / 2.0)]
    yield Piece(convex_hull(np.concatenate(ends) @ seen[:2].T), OBJECT.dark if axis == 2 else OBJECT.mid)
    side = 1 if seen[2, axis] > 0 else 0
    yield Piece(ends[side] @ seen[:2].T, OBJECT.light if axis == 2 else OBJECT.dark)


def _block(seen: Floats, view: View, length: float, width: float, height: float) -> Iterator[Piece]:
    half = np.array([length, width, height]) / 2.0
    for axis in range(3):
        sign = 1.0 if seen[2, axis] > 0 else -1.0
        if abs(seen[2, axis]) < 1e-3:
            continue
        others = [k for k in range(3) if k != axis]
        corners = np.zeros((4, 3))
        corners[:, axis] = sign * half[axis]
        corners[:, others[0]] = np.array([-1, 1, 1, -1]) * half[others[0]]
        corners[:, others[1]] = np.array([-1, -1, 1, 1]) * half[others[1]]
        yield Piece(corners @ seen[:2].T, OBJECT.at(float(brightness(sign * seen[None, :, axis], view)[0])))


def _cup(seen: Floats, radius: float, height: float) -> Iterator[Piece]:
    top, foot = _ring(2, radius, height / 2.0), _ring(2, NARROW * radius, -height / 2.0)
    yield Piece(convex_hull(np.concatenate([top, foot]) @ seen[:2].T), OBJECT.mid)
    if seen[2, 2] <= 0.0:
        yield Piece(foot @ seen[:2].T, OBJECT.dark)
        return
    yield Piece(top @ seen[:2].T, OBJECT.light)
    yield Piece(_ring(2, (1.0 - 2.0 * THICK) * radius, height / 2.0) @ seen[:2].T, HOLLOW)
    inner = _ring(2, (NARROW - THICK) * radius, height / 2.0 - 0.35 * height)
    yield Piece(inner @ seen[:2].T * 0.8, mixed(HOLLOW, OBJECT.dark, 0.5), edged=False)


def _screw(seen: Floats, radius: float, length: float) -> Iterator[Piece]:
    """Its head at one end, the shank half as wide."""
    head = max(0.14 * length, 0.4 * radius)
    parts = [
        (length / 2.0 - head / 2.0, list(_cylinder(seen, 0, radius, head, length / 2.0 - head / 2.0))),
        (-head / 2.0, list(_cylinder(seen, 0, SHANK * radius, length - head, -head / 2.0))),
    ]
    for _, part in sorted(parts, key=lambda one: one[0] * float(seen[2, 0])):
        yield from part
