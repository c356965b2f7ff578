"""A line drawn by hand, made straight: turned to the sheet's directions, or to that of a line near by. No pygame."""

from __future__ import annotations

import math
from collections.abc import Iterable

from msgspec import Struct

from folder.findings import Point
from folder.pattern.construct import SheetLine
from folder.window.tools.snap import heading

MOST_RAD = math.radians(8.0)
"""A hand that means a direction misses it by no more than this: children's lines, tried out."""
SHEET_DEG = (0.0, 45.0, 90.0, 135.0)


class StraightLine(Struct, frozen=True):
    """A line, whether it runs in one of the directions now, and by how much it was turned for that, rad."""

    start: Point
    end: Point
    straight: bool = False
    by_rad: float = 0.0


def straightened(line: SheetLine, beside: Iterable[SheetLine] = (), *, about_end: bool = False) -> StraightLine:
    """The line turned about its start, or its end, to the nearest direction within 8 deg; as it is where there is none.

    The sheet's own directions come first: another line's direction is taken only where it is much nearer.
    """
    (ax, ay), (bx, by) = line
    far = math.dist(*line)
    if not far > 1e-9:
        return StraightLine(*line)
    turn = math.degrees(math.atan2(by - ay, bx - ax))
    directions = [(abs(_off(turn, d)), d) for d in SHEET_DEG]
    for (px, py), (qx, qy) in beside:
        direction = math.degrees(math.atan2(qy - py, qx - px)) % 180.0
        directions += [(abs(_off(turn, d)) + 2.0, d) for d in (direction, (direction + 90.0) % 180.0)]
    gap, nearest = min(directions)
    off = _off(turn, nearest)
    if abs(off) > math.degrees(MOST_RAD) + 1e-9 or gap > math.degrees(MOST_RAD) + 2.0:
        return StraightLine(*line)
    ux, uy = heading(round(turn - off, 9))
    if about_end:
        return StraightLine((bx - far * ux, by - far * uy), line[1], True, math.radians(abs(off)))
    return StraightLine(line[0], (ax + far * ux, ay + far * uy), True, math.radians(abs(off)))


def _off(turn_deg: float, direction_deg: float) -> float:
    """By how many degrees a line runs off a direction, -90 to 90."""
    return (turn_deg - direction_deg + 90.0) % 180.0 - 90.0
