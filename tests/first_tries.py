"""Children's first tries: drawings with what children do wrong, each with the hull that was meant, drawn exactly.

try       what a hand has drawn: no line of it is straightened before
meant     the same hull drawn exactly, from closed forms or a family
laid      the walls and hems among its lines; the lines of corners are not counted
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterable, Sequence

import shapely
from msgspec import Struct
from msgspec.structs import replace
from shapely import ops

from folder.findings import Point
from folder.pattern.construct import mirrored
from folder.pattern.families.catalogue import make
from folder.pattern.families.walls import walled
from folder.pattern.pattern import Crease, Pattern, Sense
from tests.drawings import CORNER_SIGNS, crossing_creases, drawn, floor_corners, floor_lines, line, tray

SIDE = 150.0


class FirstTry(Struct, frozen=True):
    """A drawing of a child's."""

    name: str
    pattern: Pattern
    meant: Pattern
    laid: tuple[Crease, ...]


def crooked(crease: Crease, deg: float, shift: Point = (0.0, 0.0)) -> Crease:
    """A line turned about its middle and shifted."""
    middle = (complex(*crease.start) + complex(*crease.end)) / 2.0
    turn = complex(math.cos(math.radians(deg)), math.sin(math.radians(deg)))

    def put(p: Point) -> Point:
        q = middle + (complex(*p) - middle) * turn + complex(*shift)
        return (q.real, q.imag)

    return replace(crease, start=put(crease.start), end=put(crease.end))


def all_crooked(creases: Iterable[Crease], deg: float) -> list[Crease]:
    """Each line off by so much, one this way, the next the other."""
    return [crooked(c, deg * (-1) ** k) for k, c in enumerate(creases)]


def shortened(crease: Crease, by_mm: float) -> Crease:
    """A line that ends too soon at both ends."""
    (ax, ay), (bx, by) = crease.start, crease.end
    share = by_mm / crease.length_mm
    step = ((bx - ax) * share, (by - ay) * share)
    return replace(crease, start=(ax + step[0], ay + step[1]), end=(bx - step[0], by - step[1]))


def refolded(creases: Iterable[Crease], sense: Sense = "valley", turn_deg: float = 90.0) -> list[Crease]:
    """The lines with another sense or turn."""
    return [replace(c, sense=sense, turn_rad=math.radians(turn_deg)) for c in creases]


def hem_lines(depth: float, sides: str = "lurd") -> list[Crease]:
    """Lines for hems right across the sheet, along its left, upper, right, lower side."""
    far = SIDE - depth
    ends = {
        "l": ((depth, 0.0), (depth, SIDE)), "r": ((far, 0.0), (far, SIDE)),
        "d": ((0.0, depth), (SIDE, depth)), "u": ((0.0, far), (SIDE, far)),
    }  # fmt: skip
    return [line(*ends[s], "valley", 180.0) for s in sides]


def _walls() -> list[Crease]:
    return list(crossing_creases().creases)


def bow(tip: float) -> list[Crease]:
    """Three walls and two slanted ones that meet in a point."""
    return [
        line((25.0, 0.0), (25.0, tip - 40.0)), line((125.0, 0.0), (125.0, tip - 40.0)), line((0.0, 25.0), (150.0, 25.0)),
        line((25.0, tip - 40.0), (75.0, tip)), line((125.0, tip - 40.0), (75.0, tip)),
    ]  # fmt: skip


def _diagonals(wall: float = 25.0) -> list[Crease]:
    corners = floor_corners(wall, tray().sheet)
    return [
        line(p, (p[0] + sx * wall, p[1] + sy * wall), "valley", 180.0) for p, (sx, sy) in zip(corners, CORNER_SIGNS, strict=True)
    ]


def _cross() -> list[Crease]:
    return [line((0.0, 0.0), (SIDE, SIDE)), line((SIDE, 0.0), (0.0, SIDE))]


def _in_pieces(crease: Crease) -> list[Crease]:
    """Three strokes that nearly go on from each other."""
    (ax, ay), (bx, by) = crease.start, crease.end

    def at(share: float, off: float) -> Point:
        return (ax + share * (bx - ax) + off * (by - ay) / SIDE, ay + share * (by - ay) + off * (bx - ax) / SIDE)

    shares = ((0.0, 0.36, 0.8), (0.33, 0.7, -1.2), (0.72, 1.0, 0.5))
    return [replace(crease, start=at(a, off), end=at(b, -off)) for a, b, off in shares]


def _uneven() -> tuple[list[Crease], Pattern]:
    """Walls of 20, 30, 25 and 35 mm, and the same hull exactly."""
    lines = [
        line((35.0, 0.0), (35.0, 150.0)), line((120.0, 0.0), (120.0, 150.0)),
        line((0.0, 20.0), (150.0, 20.0)), line((0.0, 125.0), (150.0, 125.0)),
    ]  # fmt: skip
    return lines, rectangular_tray(35.0, 20.0, 120.0, 125.0)


def rectangular_tray(left: float, low: float, right: float, high: float) -> Pattern:
    """A tray with a wall of its own height on each side, flaps on the left and right walls: closed form, square walls."""
    corners = [(left, low), (right, low), (right, high), (left, high)]
    creases = [line(corners[k], corners[(k + 1) % 4]) for k in range(4)]
    for (x, y), (sx, sy) in zip(corners, CORNER_SIGNS, strict=True):
        end_y = 0.0 if sy < 0 else SIDE
        end_x = 0.0 if sx < 0 else SIDE
        reach = min(abs(end_x - x), abs(end_y - y))
        creases += [
            line((x, y), (x, end_y)), line((x, y), (x + sx * reach, y + sy * reach), "valley", 180.0),
            line((x, y), (end_x, y), "mountain", 180.0),
        ]  # fmt: skip
    return drawn(creases)


def _mirror_all(creases: Iterable[Crease]) -> list[Crease]:
    sheet = tray().sheet
    return [image for c in creases for image in mirrored(sheet, c, "four")]


def first_tries() -> list[FirstTry]:
    """The forty."""
    plain, walls = tray(), _walls()
    bowed = make("pinched-barge", {"wall": 20.0, "turn": 90.0})
    floor = floor_lines(25.0, plain.sheet)
    out: list[FirstTry] = []

    def add(name: str, creases: Sequence[Crease], laid: Sequence[Crease], meant: Pattern = plain) -> None:
        out.append(FirstTry(name, drawn(creases), meant, tuple(laid)))

    for deg in range(1, 9):
        lines = all_crooked(walls, deg)
        add(f"four walls, {deg} deg crooked", lines, lines)
    for deg in (1.7, 5.0):
        lines = _mirror_all([crooked(walls[2], deg)])
        add(f"one wall, {deg:g} deg crooked, mirrored all round", lines, lines)
    lines = refolded(walls, "mountain")
    add("mountain for valley", lines, lines)
    lines = refolded(floor, "mountain")
    add("a tray with its walls folded away", [*lines, *plain.creases[4:]], lines)
    flipped = [replace(c, sense="mountain" if c.sense == "valley" else "valley") for c in plain.creases]
    add("a tray upside down", flipped, flipped[:4])
    lines = [*refolded(floor[:1], "mountain"), *floor[1:]]
    add("one wall of a tray folded away", [*lines, *plain.creases[4:]], lines)
    lines = refolded(walls, turn_deg=180.0)
    add("180 for 90", lines, lines)
    lines = [*refolded(floor[:1], turn_deg=180.0), *floor[1:]]
    add("one wall of a tray at 180", [*lines, *plain.creases[4:]], lines)
    lines = all_crooked(refolded(walls, turn_deg=45.0), 2.0)
    add("45 for 90, crooked", lines, lines)
    lines = [*refolded(floor[:1], turn_deg=45.0), *floor[1:]]
    add("one wall of a tray at 45", [*lines, *plain.creases[4:]], lines)
    lines = all_crooked(walls[:3], 3.0)
    add("three walls, crooked", lines, lines)
    lines = [crooked(walls[0], 4.0), crooked(walls[2], -2.0)]
    add("two walls that meet", lines, lines)
    add("two walls across from each other", walls[:2], walls[:2])
    lines = [crooked(walls[2], 6.0)]
    add("one wall", lines, lines)
    add("two diagonals that cross", _cross(), [])
    lines = all_crooked(walls, 2.0)
    add("four walls and two diagonals that cross", [*lines, *_cross()], lines)
    lines = bow(150.0)
    add("a bow drawn up to the edge", lines, lines, bowed)
    lines = all_crooked(bow(115.0), 2.0)
    add("a bow, crooked", lines, lines, _walled(bow(115.0)))
    hemmed = make("hemmed-tray", {"wall": 25.0, "hem": 6.0})
    add("a hem drawn after the tray", [*plain.creases, *hem_lines(6.0)], [*floor, *hem_lines(6.0)], hemmed)
    lines = all_crooked([*walls, *hem_lines(7.0, "lr")], 2.0)
    add(
        "hems at two sides after four walls, crooked",
        lines,
        lines,
        make("hemmed-tray", {"wall": 25.0, "hem": 7.0, "edges": "sides"}),
    )
    lines = all_crooked(hem_lines(8.0), 1.0)
    add("nothing but hems", lines, lines, make("hemmed-tray", {"wall": 25.0, "hem": 8.0}))
    lines = [shortened(c, 9.0) for c in all_crooked(walls, 2.0)]
    add("walls that stop short of the edge", lines, lines)
    lines = [shortened(c, 5.0) for c in floor]
    add("walls that stop short of each other", lines, lines)
    lines = [c for w in walls for c in (crooked(w, 1.0, (1.2, 1.2)), crooked(w, -2.0, (-1.2, -1.2)))]
    add("every wall drawn twice", lines, lines)
    lines = [c for w in walls for c in _in_pieces(w)]
    add("every wall drawn in three strokes", lines, walls)
    add("corner folds without walls", _diagonals(), [])
    add("whole corners without walls", plain.creases[4:], [])
    lines = [*all_crooked(walls, 2.0), line((78.0, 0.0), (72.0, 150.0))]
    add("a fifth wall across the middle", lines, lines)
    lines = [*walls, line((45.0, 0.0), (45.0, 150.0))]
    add("a fifth wall beside the left one", lines, lines)
    lines = [c for w in walls for c in (w, crooked(w, 0.5, (2.4, 2.4)))]
    add("mirror images that miss by 3 mm", lines, lines)
    uneven, exact = _uneven()
    lines = all_crooked(uneven, 3.0)
    add("walls of four heights, crooked", lines, lines, exact)
    half = [
        replace(c, end=(75.0, c.end[1])) if c.start[0] < 75.0 < c.end[0] else c
        for c in plain.creases
        if min(c.start[0], c.end[0]) < 75.0
    ]
    add("the left half of a tray", half, [c for c in half if c.length_mm > 40.0])
    assert len(out) == 40
    return out


def random_try(seed: int) -> FirstTry:
    """A hull that a child may mean, drawn crooked, with one to three faults."""
    draw = random.Random(seed)
    kind = draw.choice(["tray", "tray", "low tray", "oblong", "leaning", "hemmed", "bow", "wedge", "bevelled"])
    walls, meant = _meant(draw, kind)
    laid = list(walls)
    corners: list[Crease] = []
    if draw.random() < 0.3 and kind != "bow":
        corners = [c for c in meant.creases if c.length_mm < 45.0]
    faults = draw.sample(FAULTS, draw.choice([1, 1, 2, 3]))
    names = [kind]
    for name, fault in faults:
        laid = fault(draw, laid)
        names.append(name)
    most = draw.choice([0.0, 1.0, 3.0, 5.0, 8.0])
    lines = [crooked(c, draw.uniform(-most, most), (draw.uniform(-1, 1), draw.uniform(-1, 1))) if most else c for c in laid]
    walls_laid = [c for c in lines if c.sense in ("valley", "mountain") and not _through_middle(c)]
    if draw.random() < 0.5:
        draw.shuffle(lines)
    name = f"seed {seed}: {', '.join(names)}, {most:g} deg{', with corners' if corners else ''}"
    return FirstTry(name, drawn([*lines, *corners]), meant, tuple(walls_laid))


def _through_middle(crease: Crease) -> bool:
    """A slanted line through the middle of the floor: no wall can stand there."""
    start, end = complex(*crease.start), complex(*crease.end)
    way = (end - start) / abs(end - start)
    slanted = min(abs(way.real), abs(way.imag)) > 0.3
    return slanted and abs((way.conjugate() * (complex(75.0, 75.0) - start)).imag) < 12.0


def _meant(draw: random.Random, kind: str) -> tuple[list[Crease], Pattern]:
    """The lines of the walls, and the hull drawn exactly."""
    if kind == "oblong":
        left, low = draw.randint(15, 40), draw.randint(15, 40)
        right, high = SIDE - draw.randint(15, 40), SIDE - draw.randint(15, 40)
        return _frame(left, low, right, high), rectangular_tray(left, low, right, high)
    if kind == "leaning":
        wall, turn = draw.randint(20, 32), draw.choice([60.0, 70.0, 75.0])
        return refolded(_frame(wall, wall, SIDE - wall, SIDE - wall), turn_deg=turn), tray(wall, turn)
    if kind == "hemmed":
        wall, hem = draw.randint(22, 35), draw.randint(5, 8)
        lines = [*_frame(wall, wall, SIDE - wall, SIDE - wall), *hem_lines(hem)]
        return lines, make("hemmed-tray", {"wall": wall, "hem": hem})
    if kind == "bow":
        tip = draw.uniform(112.0, 150.0)
        return bow(tip), _walled(bow(tip))
    if kind == "wedge":
        wall, narrow = draw.randint(22, 28), draw.randint(8, 14)
        lines = _frame(wall, wall, SIDE - wall, SIDE - wall)
        lines[0] = line((wall, 0.0), (wall + 2.6 * narrow, SIDE))
        lines[1] = line((SIDE - wall, 0.0), (SIDE - wall - 2.6 * narrow, SIDE))
        return lines, _walled(lines)
    if kind == "bevelled":
        wall, cut = draw.randint(20, 26), draw.randint(60, 80)
        lines = _frame(wall, wall, SIDE - wall, SIDE - wall)
        lines += [line((cut, 0.0), (0.0, cut)), line((SIDE - cut, SIDE), (SIDE, SIDE - cut))]
        return lines, _walled(lines)
    wall = draw.randint(10, 18) if kind == "low tray" else draw.randint(19, 40)
    return _frame(wall, wall, SIDE - wall, SIDE - wall), tray(wall)


def _frame(left: float, low: float, right: float, high: float) -> list[Crease]:
    """Four wall lines right across the sheet."""
    return [
        line((left, 0.0), (left, SIDE)), line((right, 0.0), (right, SIDE)),
        line((0.0, low), (SIDE, low)), line((0.0, high), (SIDE, high)),
    ]  # fmt: skip


def _walled(lines: Sequence[Crease]) -> Pattern:
    """The hull whose floor these lines bound, by shapely and the builder of all families."""
    floor = shapely.box(0.0, 0.0, SIDE, SIDE)
    for c in lines:
        floor = next(p for p in ops.split(floor, shapely.LineString(_longer(c))).geoms if p.contains(shapely.Point(75.0, 75.0)))
    ring = [(x, y) for x, y in shapely.geometry.polygon.orient(floor).exterior.coords[:-1]]
    sheet = tray().sheet
    n = len(ring)
    creases, crimps = walled(sheet.corners, ring, [math.pi / 2.0] * n, [True] * n)
    return drawn(creases, crimps=crimps)


def _longer(crease: Crease) -> list[Point]:
    (ax, ay), (bx, by) = crease.start, crease.end
    return [(ax - 3 * (bx - ax), ay - 3 * (by - ay)), (bx + 3 * (bx - ax), by + 3 * (by - ay))]


def _short(draw: random.Random, lines: list[Crease]) -> list[Crease]:
    return [shortened(c, draw.uniform(0.0, 0.12) * c.length_mm) for c in lines]


def _trimmed(draw: random.Random, lines: list[Crease]) -> list[Crease]:
    """Lines that end near where the others cross them, a little too soon or too late."""
    return [shortened(c, draw.uniform(14.0, 24.0)) if c.length_mm > 120.0 else c for c in lines]


def _double(draw: random.Random, lines: list[Crease]) -> list[Crease]:
    chosen = draw.sample(range(len(lines)), draw.randint(1, len(lines)))
    return [*lines, *(crooked(lines[k], draw.uniform(-2, 2), (draw.uniform(-2, 2), draw.uniform(-2, 2))) for k in chosen)]


def _away(draw: random.Random, lines: list[Crease]) -> list[Crease]:
    chosen = set(draw.sample(range(len(lines)), draw.randint(1, len(lines))))
    return [replace(c, sense="mountain") if k in chosen and c.sense == "valley" else c for k, c in enumerate(lines)]


def _wrong_turn(draw: random.Random, lines: list[Crease]) -> list[Crease]:
    chosen = set(draw.sample(range(len(lines)), draw.randint(1, len(lines))))
    turn = math.radians(draw.choice([45.0, 60.0, 120.0, 180.0]))
    return [replace(c, turn_rad=turn) if k in chosen and _far_in(c) and c.sense != "cut" else c for k, c in enumerate(lines)]


def _far_in(crease: Crease) -> bool:
    """Far enough from the edge not to be taken for a hem, whatever its turn."""
    middle = [(a + b) / 2.0 for a, b in zip(crease.start, crease.end, strict=True)]
    return min(*middle, *(SIDE - m for m in middle)) > 14.0


def _free(draw: random.Random, lines: list[Crease]) -> list[Crease]:
    chosen = set(draw.sample(range(len(lines)), draw.randint(1, len(lines))))
    return [replace(c, turn_rad=None) if k in chosen and _far_in(c) and c.sense != "cut" else c for k, c in enumerate(lines)]


def _missing(draw: random.Random, lines: list[Crease]) -> list[Crease]:
    gone = set(draw.sample(range(4), draw.randint(1, 2)))
    return [c for k, c in enumerate(lines) if k not in gone]


def _crossed(draw: random.Random, lines: list[Crease]) -> list[Crease]:
    return [*lines, *_cross()[: draw.randint(1, 2)]]


def _fifth(draw: random.Random, lines: list[Crease]) -> list[Crease]:
    at = draw.uniform(50.0, 100.0)
    return [*lines, line((at, 0.0), (at, SIDE)) if draw.random() < 0.5 else line((0.0, at), (SIDE, at))]


def _with_hem(draw: random.Random, lines: list[Crease]) -> list[Crease]:
    return [*lines, *hem_lines(draw.uniform(4.0, 8.0), draw.choice(["lurd", "lr", "ud"]))]


def _with_cut(draw: random.Random, lines: list[Crease]) -> list[Crease]:
    x = draw.choice([20.0, 130.0])
    return [*lines, line((x, 0.0), (x, draw.uniform(10.0, 25.0)), "cut")]


FAULTS = [
    ("short", _short), ("trimmed", _trimmed), ("doubled", _double), ("wrong sense", _away), ("wrong turn", _wrong_turn),
    ("free turns", _free), ("missing walls", _missing), ("crossed", _crossed), ("fifth wall", _fifth), ("hem after", _with_hem),
    ("a cut", _with_cut), ("nothing more", lambda _, lines: lines),
]  # fmt: skip
