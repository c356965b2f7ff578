"""Which place in the hull is meant by a place in the picture: the nearest thing that the eye sees there."""

from __future__ import annotations

import numpy as np

from folder.cargo.settle import outline_at
from folder.draw.tub.moment import Moment
from folder.findings import Point
from folder.geometry.plane import inside
from folder.geometry.space import Floats


def place_under(moment: Moment, seen_at: Point) -> Point:
    """The place of the hull's frame, mm: on top of the object that is seen there, else in the plane of the floor."""
    axes = moment.view.axes
    turn = moment.attitude.turn
    start = seen_at[0] * axes[0] + seen_at[1] * axes[1]
    start[2] += moment.attitude.draft_mm
    origin, ahead = turn.T @ start, turn.T @ axes[2]
    if abs(ahead[2]) < 1e-6:  # seen edge-on: there is no place to point at
        return (float(origin[0]), float(origin[1]))
    best, at = -np.inf, _at_height(origin, ahead, 0.0)
    for body in moment.bodies:
        if moment.item is None or body.loose is not None:
            continue
        top = body.spot.z_mm + body.spot.half_mm
        share = float((top - origin[2]) / ahead[2])
        place = _at_height(origin, ahead, top)
        if share > best and inside(np.array([place]), outline_at(moment.item, body.spot))[0]:
            best, at = share, place
    return at


def _at_height(origin: Floats, ahead: Floats, z_mm: float) -> Point:
    """Where a ray of points (3,) meets the plane at a height."""
    x, y, _ = (origin + (z_mm - origin[2]) / ahead[2] * ahead).tolist()
    return (x, y)
