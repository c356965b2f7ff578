"""Short lines that belong to a corner of the hull: the corner fold gives them anew, and they say where its walls are meant to be."""

from __future__ import annotations

import math
from collections.abc import Sequence

from folder.pattern.pattern import Crease, Sheet
from folder.pattern.reading.intended import IntendedWall, Side, depth_of, is_long, line_middle

CORNER_MM = 20.0
"""A line that points at a corner of the sheet passes it this near."""
_POINTS_AT, _JOINS = math.cos(math.radians(30.0)), math.cos(math.radians(15.0))
_SAME_END_MM = 3.0
_MEET_MM = 8.0
"""A line that begins this near to where two walls cross belongs to the corner there."""


def corner_pointed_at(crease: Crease, sheet: Sheet) -> complex | None:
    """The corner of the sheet a slanted line points at."""
    start, end = complex(*crease.start), complex(*crease.end)
    way = (end - start) / abs(end - start)
    centre = complex(sheet.width_mm, sheet.height_mm) / 2.0
    corners = sorted((complex(*p) for p in sheet.corners), key=lambda q: abs(q - line_middle(crease)))
    # A short line points at the corner it lies in; one right across the sheet at whichever two it joins.
    across = crease.length_mm > abs(centre)
    most = _JOINS if across else _POINTS_AT
    for corner in corners if across else corners[:1]:
        inward = (centre - corner) / abs(centre - corner)
        near = abs((way.conjugate() * (corner - start)).imag)
        if abs((way.conjugate() * inward).real) > most and near < CORNER_MM:
            return corner
    return None


def corner_marks(crease: Crease, corner: complex | None, sheet: Sheet) -> list[tuple[Side, float]]:
    """How deep both walls at a corner are to be, by the inner end of a line that points at it."""
    if corner is None or crease.length_mm > 0.45 * min(sheet.width_mm, sheet.height_mm):
        return []
    inner = max((complex(*crease.start), complex(*crease.end)), key=lambda p: abs(p - corner))
    level: Side = 0 if corner.imag == 0.0 else 2
    upright: Side = 3 if corner.real == 0.0 else 1
    return [(side, depth_of(inner, side, sheet)) for side in (level, upright)]


def meetings(walls: Sequence[IntendedWall]) -> list[complex]:
    """Where two walls cross."""
    out = []
    for k, a in enumerate(walls):
        for b in walls[:k]:
            cross = (a.inward.conjugate() * b.inward).imag
            if abs(cross) > 0.2:
                out.append(1j * (b.offset_mm * a.inward - a.offset_mm * b.inward) / cross)
    return out


def shared_ends(short: Sequence[Crease]) -> list[complex]:
    """Where short lines meet end to end: the corner of a floor."""
    ends = [complex(*p) for c in short for p in (c.start, c.end)]
    return [p for k, p in enumerate(ends) if any(abs(p - q) < _SAME_END_MM for q in ends[:k])]


def begins_at(crease: Crease, places: Sequence[complex], sheet: Sheet) -> bool:
    """A short line that begins where two walls cross and ends elsewhere: one that runs from corner to corner is a wall."""
    ends = (complex(*crease.start), complex(*crease.end))
    return not is_long(crease, sheet) and sum(any(abs(end - place) < _MEET_MM for place in places) for end in ends) == 1
