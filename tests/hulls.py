"""Hulls that fold exactly on any convex floor, each wall with its own lean; and the same with one thing wrong."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence

import shapely
from msgspec.structs import replace

from folder.errors import BadRequest
from folder.findings import Point
from folder.pattern.corner import to_sheet_edge
from folder.pattern.families.walls import walled
from folder.pattern.pattern import Crease, Pattern, Sheet
from tests.drawings import CORNER_SIGNS, corner_lines, drawn, floor_corners, floor_lines, line

OUTLINE = ((0.0, 0.0), (150.0, 0.0), (150.0, 150.0), (0.0, 150.0))


def on_floor(floor: Sequence[Point], turns_deg: Sequence[float], tuck: Sequence[bool] | None = None) -> Pattern:
    """A hull with one wall on each side of a floor, turned up by its own angle. BadRequest where flaps have no room."""
    turns = [math.radians(turn) for turn in turns_deg]
    creases, crimps = walled(OUTLINE, floor, turns, tuck or [True] * len(floor))
    return Pattern(creases=creases, crimps=crimps)


def regular(sides: int, turn_deg: float, radius: float = 45.0, spun_deg: float = 17.0) -> Pattern:
    """A hull on a regular floor in the middle of the sheet."""
    ways = [math.radians(spun_deg) + math.tau * k / sides for k in range(sides)]
    floor = [(75.0 + radius * math.cos(way), 75.0 + radius * math.sin(way)) for way in ways]
    return on_floor(floor, [turn_deg] * sides)


def pointed(tip_mm: float) -> Pattern:
    """A boat with upright walls and a bow that runs out to a point."""
    return on_floor([(30.0, 45.0), (100.0, 45.0), (100.0 + tip_mm, 75.0), (100.0, 105.0), (30.0, 105.0)], [90.0] * 5)


def random_hull(seed: int) -> Pattern | None:
    """A floor of 3 to 8 sides on a turned ellipse, walls of 45 to 90 deg; None where two corners' lines would cross."""
    draw = random.Random(seed)
    sides = draw.randint(3, 8)
    while True:
        ways = sorted(draw.uniform(0.0, math.tau) for _ in range(sides))
        gaps = [(b - a) % math.tau for a, b in zip(ways, [*ways[1:], ways[0]], strict=True)]
        if min(gaps) > 0.35 and max(gaps) < math.pi - 0.3:
            break
    wide, high, spun = draw.uniform(28.0, 48.0), draw.uniform(28.0, 48.0), draw.uniform(0.0, math.tau)
    c, s = math.cos(spun), math.sin(spun)
    ring = [(wide * math.cos(way), high * math.sin(way)) for way in ways]
    floor = [(75.0 + x * c - y * s, 75.0 + x * s + y * c) for x, y in ring]
    try:
        hull = on_floor(floor, [draw.uniform(45.0, 90.0) for _ in ring], [draw.random() < 0.5 for _ in ring])
    except BadRequest:
        return None
    return None if _cross(hull.creases) else hull


def _cross(creases: Sequence[Crease]) -> bool:
    """Whether two lines meet anywhere but at their ends."""
    lines = [shapely.LineString([c.start, c.end]) for c in creases]
    for k, one in enumerate(lines):
        for other in lines[:k]:
            met = one.intersection(other)
            ends = shapely.MultiPoint([*one.coords, *other.coords])
            if not met.is_empty and (met.length > 0.0 or met.distance(ends) > 1e-6):
                return True
    return False


def with_one_wrong(hull: Pattern, what: str, seed: int) -> Pattern:
    """The hull with one `turn` off by 10 to 40 deg, one `sense` the other way, or one `diagonal` swung by 4 to 12 deg."""
    draw = random.Random(seed)
    creases = list(hull.creases)
    sides = len(creases) // 4
    index = sides + 3 * draw.randrange(sides) + 1 if what == "diagonal" else draw.randrange(len(creases))
    was = creases[index]
    assert was.turn_rad is not None
    off = math.radians(draw.choice((-1, 1)) * draw.uniform(10.0, 40.0))
    swing = math.radians(draw.choice((-1, 1)) * draw.uniform(4.0, 12.0))
    if what == "turn":
        creases[index] = replace(was, turn_rad=was.turn_rad + (off if 0.0 < was.turn_rad + off <= math.pi else -off))
    elif what == "sense":
        creases[index] = replace(was, sense="valley" if was.sense == "mountain" else "mountain")
    else:
        way = complex(was.end[0] - was.start[0], was.end[1] - was.start[1])
        way *= complex(math.cos(swing), math.sin(swing)) / abs(way)
        creases[index] = replace(was, end=to_sheet_edge(was.start, (way.real, way.imag), 150.0, 150.0))
    return replace(hull, creases=tuple(creases))


def slit_at(corners: Sequence[int], wall: float = 25.0, *, taken_off: bool = False) -> Pattern:
    """The plain tray with some corners slit and overlapped, or cut off, and the others folded."""
    creases = floor_lines(wall, Sheet())
    for k, ((x, y), (sx, sy)) in enumerate(zip(floor_corners(wall, Sheet()), CORNER_SIGNS, strict=True)):
        if k in corners:
            creases.append(line((x, y), (x, y + sy * wall), "cut"))
            creases.append(line((x, y), (x + sx * wall, y), "cut" if taken_off else "valley"))
        else:
            creases += corner_lines((x, y), (sx, sy), wall, 90.0, on_side=True)
    return drawn(creases)


def wrapped_box(width: float = 60.0, wall: float = 30.0, *, joined: bool = False) -> Pattern:
    """A box whose long walls are wrapped round its ends, where their edges meet in the middle and nothing joins them.

    The spare sheet before each end is folded to a three-cornered piece that stands inside. `joined`: on the same sheet,
    corners folded to flaps instead.
    """
    out, sheet = width / 2.0, Sheet(width + 2.0 * wall, 150.0)
    left, right, middle = wall, wall + width, sheet.width_mm / 2.0
    creases = [line((x, out), (x, 150.0 - out)) for x in (left, right)]
    for y, edge, sy in ((out, 0.0, -1), (150.0 - out, 150.0, 1)):
        creases.append(line((left, y), (right, y)))
        for x, side, sx in ((left, 0.0, -1), (right, sheet.width_mm, 1)):
            if joined:
                creases += corner_lines((x, y), (sx, sy), wall, 90.0, on_side=True)
            else:
                creases += [
                    line((x, y), (side, y)),
                    line((x, y), (middle, edge), "mountain", 180.0),
                    line((x, y), (x, edge), "valley", 180.0),
                ]
    return drawn(creases, sheet)
