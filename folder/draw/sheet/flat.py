"""The sheet on the table as a picture: creases in the trade's notation, floor, pinches, step numbers, findings.

The picture's origin is the sheet's lower left corner. Marks and text keep their size on paper whatever the scale.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from folder.draw.clip import holds, part_inside
from folder.draw.picture import Area, Box, Line, Mark, Picture, box_round
from folder.draw.sheet.mark import BADGE_MM, CRIMP_REACH_MM, badge_box, crimp_mark, cut_mark, finding_mark, step_badge
from folder.draw.style import PAPER, SHADE, StyleName
from folder.findings import Finding, Level, Point
from folder.pattern.faces.faces import Faces
from folder.pattern.pattern import Crease, Pattern
from folder.units import TOLERANCES

FaceRing = tuple[Point, ...]

SPEAKS_FOR_MM = 30.0
"""One step number speaks for the creases of its step this near to it."""
BESIDE_MM = BADGE_MM / 2 + 1.5
"""How far outside the sheet's edge the middle of a number stands."""
OFF_MM = 8.0
"""How much of a line is drawn outside the sheet."""
MOST_NUMBERS = 200
"""More numbers than this nobody could read."""


def crease_sheet(
    pattern: Pattern,
    findings: Sequence[Finding] = (),
    *,
    floor: Sequence[FaceRing] = (),
    scale: float = 1.0,
    steps: bool = True,
) -> Picture:
    """The pattern as it is drawn on the sheet, `scale` times its true size.

    floor     rings on the sheet, mm, that are tinted as the floor
    findings  marked where they have a place
    """

    def at(point: Point) -> Point:
        return (point[0] * scale, point[1] * scale)

    edge = tuple(at(corner) for corner in pattern.sheet.corners)
    # What was drawn far off the sheet is a finding; the picture shows only that it leaves.
    room = box_round(edge).grown(OFF_MM)
    marks: list[Mark] = [Area((edge,), PAPER)]
    marks += [Area((tuple(at(p) for p in ring),), SHADE) for ring in floor]
    for crease in pattern.creases:
        start, end = at(crease.start), at(crease.end)
        if part := (start, end) if room.holds(start) and room.holds(end) else part_inside(start, end, room.corners):
            marks.append(Line(part, crease_style(crease)))
            marks += [cut_mark(*part)] if crease.sense == "cut" else []
    marks.append(Line(edge, "edge", closed=True))
    crimps = [crimp for crimp in pattern.crimps if room.holds(at(crimp))]
    marks += [crimp_mark(at(crimp), _along_edge(crimp, pattern)) for crimp in crimps]
    taken = [box_round([at(crimp)]).grown(3.0) for crimp in crimps]
    if steps:
        for number, place in step_places(pattern, scale, taken, room.grown(BADGE_MM)):
            marks += step_badge(number, place)
    for finding in findings:
        for place in finding.everywhere:
            marks += _marked(finding.level, room.nearest(at(place)), room, taken)
    return Picture.of(marks)


def crease_style(crease: Crease) -> StyleName:
    """The line a crease is drawn in: one that stays flat is an existing crease."""
    if crease.turn_rad is not None and crease.turn_rad < TOLERANCES.flat_rad and crease.sense in ("valley", "mountain"):
        return "crease"
    return crease.sense


def face_rings(faces: Faces, face: int) -> tuple[FaceRing, ...]:
    """The rings round a face, mm on the sheet; the face on the left."""
    after: dict[int, list[int]] = {}
    for _, start, end in faces.ring[faces.ring[:, 0] == face].tolist():
        after.setdefault(start, []).append(end)
    rings = []
    while after:
        here = next(iter(after))
        ring: list[Point] = []
        while here in after:
            x, y = faces.vertices[here].tolist()
            ring.append((x, y))
            ends = after[here]
            there = ends.pop()
            if not ends:
                del after[here]
            here = there
        rings.append(tuple(ring))
    return tuple(rings)


def step_places(pattern: Pattern, scale: float, taken: list[Box], room: Box) -> list[tuple[int, Point]]:
    """Where the step numbers stand, mm on paper; their boxes are added to `taken`.

    Long creases come first. A crease that ends at the sheet's edge has its number outside, by that end; one that does
    not has it on the line. A crease near a number of its own step needs none. All stand in `room`.
    """
    placed: list[tuple[int, Point]] = []
    lines = [((c.start[0] * scale, c.start[1] * scale), (c.end[0] * scale, c.end[1] * scale)) for c in pattern.creases]
    ends = np.array(lines).reshape(-1, 2, 2)
    low, high = ends.min(axis=1), ends.max(axis=1)
    folds = [pair for pair in zip(pattern.creases, lines, strict=True) if pair[0].sense != "guide"]
    numbered = [(crease.step, crease, line) for crease, line in folds if crease.step is not None]
    for step, crease, line in sorted(numbered, key=lambda three: -three[1].length_mm)[:MOST_NUMBERS]:
        for place in _beside(crease, pattern, scale):
            if any(other == step and math.dist(place, at) < SPEAKS_FOR_MM for other, at in placed):
                break
            box = badge_box(step, place)
            if not room.holds(place) or any(box.touches(other) for other in taken):
                continue
            near = np.flatnonzero(((low < (box.right, box.top)) & (high > (box.left, box.bottom))).all(axis=1)).tolist()
            if not any(part_inside(*lines[k], box.corners) for k in near if lines[k] != line):
                placed.append((step, place))
                taken.append(box)
                break
    return sorted(placed)


def free_spot(width_mm: float, height_mm: float, within: FaceRing, near: Point, lines: Sequence[Line]) -> Point | None:
    """The middle of a box of this size inside a ring, clear of lines and as near to a place as it can be; or None."""
    edges = [(within[k - 1], within[k]) for k in range(len(within))]
    edges += [pair for line in lines for pair in zip(line.path, line.path[1:], strict=False)]
    around = box_round(within)
    steps = 24
    spots = [near] + [
        (around.left + around.width * i / steps, around.bottom + around.height * j / steps)
        for i in range(steps + 1)
        for j in range(steps + 1)
    ]
    for spot in sorted(spots, key=lambda spot: math.dist(spot, near)):
        x, y = spot
        box = Box(x - width_mm / 2, y - height_mm / 2, x + width_mm / 2, y + height_mm / 2)
        if holds((within,), spot) and not any(part_inside(a, b, box.corners) for a, b in edges):
            return spot
    return None


def _beside(crease: Crease, pattern: Pattern, scale: float) -> list[Point]:
    """Places for a crease's number, the best first."""
    places = []
    for here in (crease.end, crease.start):
        out = _outward(here, pattern)
        if out != (0.0, 0.0):
            length = math.hypot(*out)
            far = BESIDE_MM * (1.25 if length > 1 else 1.0) / length
            places.append((here[0] * scale + far * out[0], here[1] * scale + far * out[1]))
    for t in (1 / 2, 1 / 3, 2 / 3):
        x, y = (a + t * (b - a) for a, b in zip(crease.start, crease.end, strict=True))
        places.append((x * scale, y * scale))
    return places


def _outward(point: Point, pattern: Pattern) -> Point:
    """The way off the sheet from a place on its edge; (0, 0) inside."""
    near = TOLERANCES.snap_mm
    out = [0.0, 0.0]
    for axis, size in enumerate((pattern.sheet.width_mm, pattern.sheet.height_mm)):
        out[axis] = -1.0 if point[axis] < near else 1.0 if point[axis] > size - near else 0.0
    return (out[0], out[1])


def _along_edge(point: Point, pattern: Pattern) -> float:
    """The direction of the sheet's edge near a place, else 0: a mark there stays on the sheet."""
    beside = min(point[0], pattern.sheet.width_mm - point[0])
    over = min(point[1], pattern.sheet.height_mm - point[1])
    return math.pi / 2 if beside < min(over, CRIMP_REACH_MM) else 0.0


def _marked(level: Level, at: Point, room: Box, taken: list[Box]) -> tuple[Mark, ...]:
    """A finding's mark, moved toward the middle of the sheet until it stands clear of what is there already."""
    flag_left = at[0] > room.left + 0.7 * room.width
    step = -2.0 if at[1] > room.middle[1] else 2.0
    for k in range(40):
        mark = finding_mark(level, (at[0], at[1] + step * k), flag_left=flag_left)
        box = Picture.of(mark).box
        if not any(box.touches(other) for other in taken):
            break
    taken.append(box)
    return mark
