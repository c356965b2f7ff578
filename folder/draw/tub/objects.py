"""The objects in the tub, in the order in which they hide each other, and the place that comes next."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from folder.cargo.item import Item
from folder.draw.style import INK, VALLEY
from folder.draw.tub.moment import Body, Facet, Moment, picture_of
from folder.draw.tub.solids import pieces
from folder.draw.tub.tone import LIT, wet
from folder.geometry.space import Floats


def object_marks(moment: Moment, bodies: Sequence[Body], seen: Floats) -> Iterator[Facet]:
    """The objects of a moment, or some of them, the farthest first; `seen` (3, 3) are the eye's axes in the hull's frame."""
    item = moment.item
    if item is None or not bodies:
        return
    made: dict[float, list[tuple[Floats, str, bool]]] = {}
    centres = np.array([_centre(moment, body) for body in bodies])
    for k in _from_the_back(item, bodies, centres, moment.view.axes[2], seen[2]):
        body = bodies[k]
        turn = round(body.spot.rotation_rad, 6)
        if turn not in made:
            made[turn] = [(p.points, p.fill, p.edged) for p in pieces(item, turn, seen, moment.view)]
        at = centres[k] @ moment.view.axes[:2].T
        under = moment.drowned or (body.loose is not None and centres[k][2] < 0.0)
        for points, fill, edged in made[turn]:
            yield Facet(points + at, wet(fill, 0.55) if under else fill, INK if edged else None)


def _centre(moment: Moment, body: Body) -> Floats:
    """Where an object's centre is in the world."""
    if body.loose is not None:
        return np.array(body.loose)
    placed = moment.attitude.world(np.array([body.spot.centre]))[0]
    placed[2] += body.lift_mm
    return placed


def _from_the_back(item: Item, bodies: Sequence[Body], centres: Floats, toward: Floats, up: Floats) -> list[int]:
    """Objects in the order of painting. Equal balls go by how near they are; what stands goes layer by layer from below, in each
    from the back: of two that overlap in the picture the upper one, or the one in front, is nearer (both parted by a plane)."""
    depth = centres @ toward
    if item.form.outline == "ball" or any(body.loose for body in bodies):
        return [int(k) for k in np.argsort(depth, kind="stable")]
    lows = np.array([body.spot.z_mm - body.spot.half_mm for body in bodies]).round(1)
    return [int(k) for k in np.lexsort([depth, lows if up[2] > 0.0 else -lows])]


def lit_place(moment: Moment) -> Iterator[Facet]:
    """The next place: a bright plate on what it will lie on."""
    spot, item = moment.next_spot, moment.item
    if spot is None or item is None:
        return
    size = item.footprint_mm
    if len(size) == 1:
        turns = 2.0 * np.pi * np.arange(36) / 36
        flat = size[0] * np.column_stack([np.cos(turns), np.sin(turns)])
    else:
        c, s = math.cos(spot.rotation_rad), math.sin(spot.rotation_rad)
        half = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * np.array(size) / 2.0
        flat = half @ np.array([[c, s], [-s, c]])
    low = np.column_stack([flat + np.array([spot.x_mm, spot.y_mm]), np.full(len(flat), spot.z_mm - spot.half_mm)])
    yield Facet(picture_of(moment, low), LIT, VALLEY, 0.85)
