"""One corner of the hull close up, with the way of its flap or the places to pinch, and a small picture of where that is."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import combinations

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from folder.draw.hull.scene import Scene
from folder.draw.hull.solid import View
from folder.draw.picture import Area, Box, Line, Mark, Picture, box_round
from folder.draw.sheet.mark import side_dot
from folder.draw.steps.act import LEAST_WEDGE_MM, PINCH_MM, Act, facing_marks, laying_act
from folder.draw.steps.dot import Dot
from folder.draw.style import PAPER
from folder.findings import Point
from folder.fold.layers.order import Layering
from folder.fold.place import Folded
from folder.fold.sequence.flaps import Flap
from folder.geometry.space import Bools, Floats, carry
from folder.pattern.pattern import Pattern

VIEWS = [View(math.radians(around), math.radians(above)) for around in range(-180, 180, 15) for above in (35, 20, 5)]
_ENOUGH = 0.4
"""A face this much toward the eye is seen well."""
_AROUND = 0.22
"""How much of the wall is seen round a flap, over the size of the flap."""
_LEAST_MM = 9.0
"""Half of what is seen at least, mm in the hull."""
LOCATOR_MM = 17.0
"""Size of the small picture that says where this is, where there is room for it."""
LOCATOR_SHARE = 0.4
LOCATOR_DOT_MM = 0.8
PINCH_GAP_MM = 1.6
"""So that the rim that is pinched is seen between the marks."""


class CloseUp(Struct, frozen=True, eq=False):
    """A scene close up, and what the hands do there."""

    scene: Scene
    acts: tuple[Act, ...]
    busy: tuple[Point, ...] = ()
    """Places in the picture that nothing may cover."""


def laying(was: Folded, now: Folded, flaps: tuple[Flap, ...], usual: View, box: Box, floor: Bools | None) -> CloseUp:
    """One flap close up, with the way it goes; `now` is where it lies flat."""
    flap, view = _shown_flap(was, flaps, usual)
    tip = tip_of(was, flap)
    # All that the flap sweeps over, and its hinge.
    faces = flap.faces[was.faces.triangle_face]
    places = np.concatenate([was.corners[faces].reshape(-1, 3), now.corners[faces].reshape(-1, 3)])
    scene = _framed(was, view, places, box, floor)
    busy = tuple(scene.at(was.corners[faces].reshape(-1, 3)))
    return CloseUp(scene, (laying_act(scene, flap, tip),), busy)


def crimping(now: Folded, pattern: Pattern, usual: View, box: Box, floor: Bools | None, layering: Layering | None) -> CloseUp:
    """Where to pinch, close up, from a side from which a mark is seen."""
    places, outward = crimps_of(now, pattern)
    size, high = np.ptp(now.corners.reshape(-1, 3), axis=0)[[0, 2]]
    middle = np.array([*now.faces.floor_at, 0.0])

    def merit(k: int, view: View) -> float:
        eye = view.axes[2]
        return float(min(outward[k] @ eye, _ENOUGH)) + 0.3 * float((places[k] - middle) @ eye / size) + _usual(view, usual)

    k, view = max(((k, view) for k in range(len(places)) for view in VIEWS), key=lambda pair: merit(*pair))
    half = max(0.2 * size, 0.8 * high)
    scene = Scene.of(now, view, box, floor=floor, near=(places[k], half), layering=layering, room=_square(box))
    return CloseUp(scene, tuple(crimp_acts(scene, now, pattern, inside=4.0)))


def crimp_acts(scene: Scene, now: Folded, pattern: Pattern, inside: float = 0.0) -> Iterator[Act]:
    """A pinch mark at each crimp on the near side: one on the far side would be read as on the near one."""
    places, outward = crimps_of(now, pattern)
    at, facing = scene.at(places), outward @ scene.view.axes[2]
    # From below a rim that leans over none faces the eye: then those that face it most are marked.
    least = min(0.1, float(facing.max()) - 0.05 if len(facing) else 0.0)
    shown = [k for k, p in enumerate(at) if facing[k] > least and scene.frame.grown(-inside).holds(p)]
    # Marks that would run into each other are smaller.
    nearest = min((math.dist(at[a], at[b]) for a, b in combinations(shown, 2)), default=math.inf)
    size = max(min(PINCH_MM, nearest / 2 - PINCH_GAP_MM), LEAST_WEDGE_MM)
    for k in shown:
        (x, y), (tx, ty) = at[k], scene.at((places[k] + np.cross([0.0, 0.0, 1.0], outward[k]))[None])[0]
        yield facing_marks((x, y), math.atan2(ty - y, tx - x), PINCH_GAP_MM, size)


def locator(close: CloseUp, dot: Dot | None, layering: Layering | None) -> tuple[Mark, ...]:
    """The whole hull, small, in a corner of a close-up: what is shown is framed, and the dot has its place."""
    scene = close.scene
    size = min(LOCATOR_MM, LOCATOR_SHARE * scene.frame.width)
    square = Box(0.0, 0.0, size, size)
    small = Scene.of(scene.folded, scene.view, square, layering=layering, room=square.grown(-2.0))
    marks: list[Mark] = list(small.picture.marks)
    times = small.scale / scene.scale
    places = [
        ((x - scene.shift[0]) * times + small.shift[0], (y - scene.shift[1]) * times + small.shift[1])
        for x, y in scene.frame.corners
    ]
    around = box_round(places)
    room = square.grown(-0.6)
    shown = Box(
        max(around.left, room.left), max(around.bottom, room.bottom), min(around.right, room.right), min(around.top, room.top)
    )
    if shown.width > 0 and shown.height > 0:
        marks.append(Line(shown.corners, "thin", closed=True))
    if dot:
        (at,) = small.at(dot.at(scene.folded)[None])
        marks += side_dot(at, hidden=dot.hidden(scene.folded, scene.view, layering), radius_mm=LOCATOR_DOT_MM)
    corner = _free_corner(close, size)
    ground: list[Mark] = [Area((square.corners,), PAPER)]
    edge: list[Mark] = [Line(square.corners, "thin", closed=True)]
    return _moved([*ground, *(_thin(mark) for mark in marks), *edge], corner)


def _thin(mark: Mark) -> Mark:
    return replace(mark, weight=0.4) if isinstance(mark, Line) else mark


def _moved(marks: list[Mark], by: Point) -> tuple[Mark, ...]:
    return Picture.of(marks).moved(*by).marks


def _free_corner(close: CloseUp, size_mm: float) -> Point:
    """The lower left corner of a locator, in that corner of the frame where least is going on."""
    frame = close.scene.frame
    marks = (mark for act in close.acts for mark in act.marks if isinstance(mark, Area))
    busy = [*(p for act in close.acts for p in (act.start, act.end, act.at)), *(p for m in marks for r in m.rings for p in r)]
    busy = [*busy, *close.busy] or [frame.middle]
    low = (frame.left, frame.bottom)
    places = [(x, y) for y in (low[1], frame.top - size_mm) for x in (low[0], frame.right - size_mm)]

    def room(place: Point) -> float:
        box = Box(place[0], place[1], place[0] + size_mm, place[1] + size_mm)
        return min(math.dist(box.nearest(p), p) for p in busy)

    return max(places, key=lambda place: round(room(place), 3))


def _square(box: Box) -> Box:
    """The largest square in the middle of a box, a little within it."""
    half = min(box.width, box.height) / 2 - 1.0
    x, y = box.middle
    return Box(x - half, y - half, x + half, y + half)


def _framed(was: Folded, view: View, places: Floats, box: Box, floor: Bools | None) -> Scene:
    """A scene in which some places in space (n, 3) fill the box, with some of what is round them."""
    at = view.project(was, places)
    low, high = at.min(axis=0), at.max(axis=0)
    half = max(float((high - low)[:2].max()) * (0.5 + _AROUND), _LEAST_MM)
    middle = (low + high) / 2.0 @ view.axes + [*was.faces.floor_at, 0.0]
    return Scene.of(was, view, box, floor=floor, near=(middle, half), room=_square(box))


def _shown_flap(was: Folded, flaps: tuple[Flap, ...], usual: View) -> tuple[Flap, View]:
    """A flap, and a view in which it is seen broad, in front, and from the side of the wall on which it is laid."""
    tips = {id(flap): tip_of(was, flap) - tip_of(flap.shape, flap) for flap in flaps}

    def merit(flap: Flap, view: View) -> float:
        eye = view.axes[2]
        middle = flap.at - [*was.faces.floor_at, 0.0]
        broad = np.abs(was.normals[flap.faces] @ eye).mean()
        ahead = 0.3 * middle @ eye / (np.linalg.norm(middle) or 1.0)
        # The way of the tip must be seen from its side, or its arrow is a blob.
        way = tips[id(flap)]
        long = np.linalg.norm(way) or 1.0
        side_on = math.sqrt(max(0.0, 1.0 - float(way @ eye / long) ** 2))
        return float(min(flap.away @ eye, _ENOUGH) + min(broad, _ENOUGH) + ahead + 0.6 * side_on) + _usual(view, usual)

    return max(((flap, view) for flap in flaps for view in VIEWS), key=lambda pair: round(merit(*pair), 6))


def _usual(view: View, usual: View) -> float:
    """A little more for a view like the one of the other pictures."""
    return 0.1 * math.cos(view.around_rad - usual.around_rad) + 0.3 * view.above_rad


def tip_of(state: Folded, flap: Flap) -> Floats:
    """The corner (3,) of a flap that reaches farthest from its hinge in some state, mm."""
    corners = state.corners[flap.faces[state.faces.triangle_face]].reshape(-1, 3)
    far = flap.reach(corners)
    # Of corners that reach as far, the one farthest up the hinge: it is on the rim.
    up = np.linalg.norm(corners - flap.at, axis=1)
    tip: Floats = corners[np.lexsort((up.round(3), far.round(3)))[-1]]
    return tip


def crimps_of(state: Folded, pattern: Pattern) -> tuple[Floats, Floats]:
    """Where the crimps come to lie (n, 3) mm, and the way out of the hull from there (n, 3)."""
    at = np.array(pattern.crimps).reshape(-1, 2)
    face = state.faces.faces_at(at)
    at, face = at[face >= 0], face[face >= 0]
    places, normals = carry(state.motions[face], at), state.normals[face]
    outward = np.sign(((places - [*state.faces.floor_at, 0.0]) * normals).sum(axis=1))[:, None] * normals
    return places, outward
