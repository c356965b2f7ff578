"""Hull, waterline and cargo as pictures.

side view    the hull at rest seen along the water, as if its near wall were glass: dry inside, water outside
loading map  the floor seen from above, with each object of a layer in its place and its number in the loading order

A side view looks along the water so that the side that dips lies to the right: what it shows of the tilt is all of it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from folder.cargo.predict import Cargo
from folder.draw.hull.solid import View, solid
from folder.draw.picture import (
    CAP_HEIGHT,
    PUPIL_MM,
    SMALL_MM,
    Area,
    Box,
    Label,
    Line,
    Mark,
    Picture,
    arc,
    box_round,
    centred,
    disc,
)
from folder.draw.sheet.mark import badge_box, step_badge
from folder.draw.style import PAPER, SHADE, WATER
from folder.draw.text import DESCENT, width_mm
from folder.findings import Point
from folder.fold.layers.order import Layering
from folder.hull.hull import Hull
from folder.water.displace import Pose
from folder.water.equilibrium.rest import Rest

SIZE_ROOM_MM = 44.0
"""Beside the hull in a side view, for draft and freeboard with their words."""
AIR_MM = 8.0
"""Over the hull in a side view, for the word at its rim."""
DEEP_MM = 8.0
"""Water under the hull's lowest point."""
SIGN_ROOM_MM = 10.0
"""Left of the hull in a side view, for the sign of the water level."""
SIGN_MM = 3.0
"""Size of the sign of the water level."""
MOST_SHOWN = 400
"""More objects than this in one layer are a grey field, not a map."""
ROUND_RAD = math.pi / 36
"""A disc has 72 corners: at the size of a page it is round."""


class DrawnCargo(Struct, frozen=True):
    """One object in its place, in the hull's frame, mm; `number` counts in loading order from 1, `layer` from 0."""

    number: int
    layer: int
    ring: tuple[Point, ...]
    """Its outline from above."""
    low_mm: float
    high_mm: float
    ball: bool = False

    @property
    def middle(self) -> Point:
        """The middle of its outline."""
        return box_round(self.ring).middle


def drawn_cargo(cargo: Cargo) -> tuple[DrawnCargo, ...]:
    """The objects of a cargo in loading order, each in its place."""
    stack, first = cargo.stack, cargo.stack.first
    # Loading takes its places from the stack, number for number; a few gathered in the middle lie on the floor, unrotated.
    row_of = {place: row for row, place in enumerate(map(tuple, stack.places_mm.tolist()))}
    found = []
    for number, (x, y, z) in enumerate(cargo.loading.places_mm.tolist(), 1):
        row = row_of.get((x, y, z))
        rotation_rad = 0.0 if row is None else float(first.rotations_rad[row % first.count])
        ring = tuple((x + dx, y + dy) for dx, dy in _outline(first.size_mm, rotation_rad))
        layer, half = (0, stack.half_mm[0]) if row is None else (int(stack.layer[row]), stack.half_mm[row])
        found.append(DrawnCargo(number, layer, ring, z - float(half), z + float(half), cargo.item.form.outline == "ball"))
    return tuple(found)


def loading_map(floor: Sequence[Point], objects: Sequence[DrawnCargo], layer: int, into: Box) -> Picture:
    """The objects of one layer on the floor, fitted into a box.

    Numbers stand in the objects. Where these are too small, rings with the first numbers stand over them, as many as
    have room.
    """
    here = [thing for thing in objects if thing.layer == layer]
    # All layers to one scale: round objects may lie over the floor's edge where walls lean out.
    around = box_round([*floor, *(p for thing in objects for p in thing.ring)])
    ground = Picture.of([Area((tuple(floor),), SHADE, "outline")], around)
    things = Picture.of([Area((thing.ring,), PAPER, "thin") for thing in here[:MOST_SHOWN]], around)
    shown = (ground + things).fitted(into)
    scale = shown.box.width / around.width
    shift = (shown.box.left - scale * around.left, shown.box.bottom - scale * around.bottom)
    return Picture((*shown.marks, *_numbers(here, scale, shift, into)), shown.box)


def side_view(
    hull: Hull, rest: Rest, objects: Sequence[DrawnCargo], into: Box, *, sizes: bool = True, layering: Layering | None = None
) -> Picture:
    """The hull at rest in a box, with its draft and its least freeboard, if `sizes` are wanted.

    A hull that does not float is drawn level, with the water at its rim and what happens in words.
    """
    pose = rest.pose or Pose(hull.rim_height_mm)
    toward = math.atan2(-pose.up[1], -pose.up[0]) if pose.tilt_rad > 1e-6 else 0.0
    view = View(toward, 0.0)
    middle = view.project(hull.folded, np.array([*hull.offset, 0.0]))
    shell = solid(hull.folded, view, layering=layering).moved(-float(middle[0]), -float(middle[1]))
    things = Picture.of(_from_the_side(objects, view), shell.box)
    tilted = (_emptied(shell) + things).rotated(-pose.tilt_rad)
    around = box_round(p for mark in tilted.marks for p in _corners(mark))
    beside = SIZE_ROOM_MM if sizes else SIGN_ROOM_MM
    room = Box(into.left + SIGN_ROOM_MM, into.bottom + DEEP_MM, into.right - beside, into.top - AIR_MM)
    scale = min(room.width / around.width, room.height / around.height)
    shift = (
        room.left + (room.width - scale * around.width) / 2 - scale * around.left,
        room.bottom - scale * around.bottom,
    )
    drawn = tilted.scaled(scale).moved(*shift)
    level = shift[1] + scale * pose.draft_mm
    water = Area((Box(into.left, into.bottom, into.right, level).corners,), WATER)
    marks: list[Mark] = [water, *_level_sign((into.left + SIGN_ROOM_MM / 2, level)), *drawn.marks]
    if not sizes:
        return Picture(tuple(marks), into)
    x = shift[0] + scale * around.right + 4.0
    if rest.freeboard is None:
        text = "turns over" if rest.state == "capsizes" else "water comes in"
        return Picture((*marks, Label(text, (x, level + 2.0), weight="bold")), into)
    marks += _size(x, level, level + scale * rest.freeboard.least_mm, f"freeboard {rest.freeboard.least_mm:.0f} mm")
    marks += _size(x, level, level - scale * pose.draft_mm, f"draft {pose.draft_mm:.0f} mm")
    return Picture(tuple(marks), into)


def _emptied(shell: Picture) -> Picture:
    """The hull as glass: its faces all of the colour of air, so that inside it is dry."""
    marks = [replace(mark, fill=PAPER) if isinstance(mark, Area) else mark for mark in shell.marks]
    areas = [mark for mark in marks if isinstance(mark, Area)]
    return Picture((*areas, *(mark for mark in marks if not isinstance(mark, Area))), shell.box)


def _from_the_side(objects: Sequence[DrawnCargo], view: View) -> Iterator[Area]:
    """The objects as they are seen along the water, the farthest first."""
    right, away = view.axes[0, :2], -view.axes[2, :2]
    for thing in sorted(objects, key=lambda thing: -float(away @ thing.middle)):
        across = [float(right @ p) for p in thing.ring]
        if thing.ball:
            radius = (thing.high_mm - thing.low_mm) / 2
            yield disc((float(right @ thing.middle), thing.low_mm + radius), radius, SHADE, "thin")
        else:
            yield Area((Box(min(across), thing.low_mm, max(across), thing.high_mm).corners,), SHADE, "thin")


def _size(x: float, level: float, to: float, text: str) -> Iterator[Mark]:
    """A size upward or downward from the water level, its words beside it or, where it is short, beyond it."""
    tick = 1.2
    yield Line(((x, level), (x, to)), "thin")
    for y in (level, to):
        yield Line(((x - tick, y), (x + tick, y)), "thin")
    way = 1.0 if to >= level else -1.0
    middle = (level + to) / 2 if abs(to - level) > 1.6 * PUPIL_MM else to + way * 0.9 * PUPIL_MM
    yield Label(text, (x + 2.2, middle - CAP_HEIGHT * PUPIL_MM / 2))


def _level_sign(at: Point) -> Iterator[Mark]:
    """The sign of a water level: a triangle that stands on it, and two strokes under it."""
    x, y = at
    yield Area((((x, y), (x + SIGN_MM / 2, y + SIGN_MM), (x - SIGN_MM / 2, y + SIGN_MM)),), PAPER, "thin")
    for k in (1, 2):
        half = SIGN_MM / (1 + k)
        yield Line(((x - half, y - 0.8 * k), (x + half, y - 0.8 * k)), "thin")


def _numbers(objects: Sequence[DrawnCargo], scale: float, shift: Point, room: Box) -> Iterator[Mark]:
    """The loading number of each object, in it where it has room, else in rings as far as they have room."""
    if not objects:
        return
    narrow = scale * min(min(box.width, box.height) for box in (box_round(thing.ring) for thing in objects))
    longest = max(width_mm(str(thing.number), 1.0, "bold") for thing in objects)
    # The box a number's letters may fill, not its digits alone, stands free in its object.
    size = min(PUPIL_MM, 0.96 * narrow / math.hypot(longest, 2 * DESCENT + CAP_HEIGHT))
    taken: list[Box] = []
    for thing in objects:
        at = (scale * thing.middle[0] + shift[0], scale * thing.middle[1] + shift[1])
        if size >= SMALL_MM:
            yield centred(str(thing.number), at, size, "bold")
            continue
        half = badge_box(thing.number, at).width / 2
        at = Box(room.left + half, room.bottom + half, room.right - half, room.top - half).nearest(at)
        box = badge_box(thing.number, at).grown(0.5)
        if any(box.touches(other) for other in taken):
            return
        taken.append(box)
        yield from step_badge(thing.number, at)


def _corners(mark: Mark) -> Iterator[Point]:
    match mark:
        case Line():
            yield from mark.points
        case Area():
            for ring in mark.rings:
                yield from ring


def _outline(size_mm: tuple[float, ...], rotation_rad: float) -> tuple[Point, ...]:
    """The outline of an object about the origin: a circle for one size, a rotated block for two."""
    if len(size_mm) == 1:
        return arc((0.0, 0.0), size_mm[0], 0.0, 2 * math.pi, ROUND_RAD)[:-1]
    c, s = math.cos(rotation_rad), math.sin(rotation_rad)
    corners = Box(-size_mm[0] / 2, -size_mm[1] / 2, size_mm[0] / 2, size_mm[1] / 2).corners
    return tuple((c * x - s * y, s * x + c * y) for x, y in corners)
