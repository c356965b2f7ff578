"""One step of the folding as a panel: the sheet as it lies now with the new fold on it, the sheet after it, and words.

before   what to do: on the table seen from above, in the hand seen from a side; arrows in the trade's notation
after    what it looks like then
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np

from folder.draw.hull.scene import MARGIN_MM, Scene
from folder.draw.hull.solid import ABOVE, BELOW, EdgeMark, View, good_view
from folder.draw.picture import Box, Mark, Picture
from folder.draw.sheet.mark import crimp_mark
from folder.draw.steps.arrow import push, there_and_back, turn_over, valley_arrow
from folder.draw.steps.sentences import folds_over, words_for
from folder.findings import Point
from folder.fold.layers.order import Layering
from folder.fold.place import Folded, folded
from folder.fold.sequence.flaps import Flap
from folder.fold.sequence.landmark import TableLine, table_lines
from folder.fold.sequence.steps import FoldSequence, FoldStep
from folder.geometry.space import Bools, Floats, carry
from folder.pattern.pattern import Pattern

MOST_ARROWS = 4
ARROW_MM = (5.5, 15.0)
"""Shortest and longest reach of an arrow to each side of its fold."""
APART_MM = 9.0
"""Arrows nearer to each other than this would be read as one."""
SMALL_MM = 3.0
"""A fold that reaches less than this on paper is shown once more, larger."""
_VIEWS = [View(math.radians(around), math.radians(above)) for around in range(-180, 180, 15) for above in (35, 20, 5)]
_ENOUGH = 0.4
"""A face this much toward the eye is seen well."""


def panels(
    pattern: Pattern,
    order: FoldSequence,
    floor: Bools | None = None,
    hull: Folded | None = None,
    layering: Layering | None = None,
) -> Iterator[Panel]:
    """A panel for each step of an order; `floor` (f,) marks the faces that are the floor.

    `hull` is the sheet as it is folded in the end, `layering` the order of its layers, where these are known.
    """
    if not order.steps:
        return
    view = good_view(folded(order.faces, order.steps[-1].turn))
    was = folded(order.faces, order.before(0))
    for k, step in enumerate(order.steps):
        now = was if step.turn is was.turn else folded(order.faces, step.turn)
        if hull is not None and np.array_equal(now.turn, hull.turn):
            now = hull
        yield Panel(pattern, order, k, was, now, view, floor, hull, layering)
        was = now


class Panel:
    """One step, numbered from 1, with words and with pictures drawn to fill any box."""

    def __init__(
        self,
        pattern: Pattern,
        order: FoldSequence,
        k: int,
        was: Folded,
        now: Folded,
        view: View,
        floor: Bools | None,
        hull: Folded | None = None,
        layering: Layering | None = None,
    ) -> None:
        self.pattern, self.order, self.k, self.was, self.now, self.view, self.floor = pattern, order, k, was, now, view, floor
        self.hull, self.layering = hull, layering
        self.step: FoldStep = order.steps[k]
        self.number = k + 1
        self.creased = order.creased(k)
        self.lines: list[TableLine] = []
        """What is folded or creased on the table."""
        if self.step.kind in ("fold", "crease"):
            self.lines = table_lines(was, self.step.edges, self.creased, now if self.step.kind == "fold" else None)

    @property
    def words(self) -> tuple[str, ...]:
        """A sentence on what to do, then what to line up or to measure, then what to repeat."""
        return words_for(self.step, self.was, self.lines)

    def before(self, box: Box) -> Picture:
        """What to do."""
        match self.step.kind:
            case "lay":
                return self._laying(box)
            case "crimp":
                return self._crimping(box)
        over = self.step.over != (self.step.kind == "turn over")
        edge_marks: list[EdgeMark] = [(self.creased & (np.abs(self.was.turn) < 0.1), "crease"), *self._new_folds(over=over)]
        scene = self._scene(self.was, BELOW if over else ABOVE, box, edge_marks=edge_marks)
        match self.step.kind:
            case "turn over":
                return scene.with_marks(turn_over((box.middle[0], box.bottom + 4.0)))
            case "raise":
                return scene.with_marks(self._raising(scene))
        return scene.with_marks([*_inset(scene, self.lines), *_strokes(scene, self.lines, self.step.kind)])

    def after(self, box: Box) -> Picture:
        """What it looks like then."""
        edge_marks: list[EdgeMark] = [(self.order.creased(self.k + 1) & (np.abs(self.now.turn) < 0.1), "crease")]
        standing = bool((np.abs(self.now.normals[:, 2]) < 0.99).any())
        view = self.view if standing else View(above_rad=math.radians(50.0))
        if self.step.over:
            view = View(math.pi + view.around_rad, -view.above_rad)
        return self._scene(self.now, view, box, floor=self.floor if standing else None, edge_marks=edge_marks).picture

    def _scene(self, state: Folded, view: View, box: Box, **options: Any) -> Scene:
        """A state in a box, with the order of its layers where that is known."""
        return Scene.of(state, view, box, layering=self.layering if state is self.hull else None, **options)

    def _new_folds(self, *, over: bool) -> list[EdgeMark]:
        """The step's edges as valleys and mountains, as they are seen on the layers where they lie."""
        edges = self.step.edges
        if self.step.kind == "crease":
            return [(edges, "valley")]
        up = np.sign(self.was.normals[self.order.faces.sides.max(axis=1), 2]) * (-1.0 if over else 1.0)
        sense = np.sign(self.order.steps[-1].turn) * up
        return [(edges & (sense > 0), "valley"), (edges & (sense < 0), "mountain")]

    def _raising(self, scene: Scene) -> Iterator[Mark]:
        """Push in at each corner, and fold each wall up."""
        x0, y0 = scene.on_table([self.order.faces.floor_at])[0]
        pushed: list[Point] = []
        for flap in self.step.flaps:
            x, y = scene.at(_tip(self.was, flap.faces)[None])[0]
            if all(math.dist((x, y), p) > 2.0 for p in pushed):
                pushed.append((x, y))
                yield push((x, y), math.atan2(y0 - y, x0 - x))
        root = (self.order.faces.sides == self.order.faces.root).any(axis=1)
        walls = table_lines(self.was, self.step.edges & root, self.creased)
        if len(walls) <= MOST_ARROWS:
            yield from _strokes(scene, walls, "raise")

    def _laying(self, box: Box) -> Picture:
        """One flap close up, with the way it goes."""
        flap, view = _shown_flap(self.was, self.step.flaps, self.view)
        start, end = _tip(self.was, flap.faces, flap.at), _tip(self.now, flap.faces, flap.at)
        reach = float(np.linalg.norm(end - flap.at))
        scene = self._scene(self.was, view, box, floor=self.floor, near=((start + end) / 4 + flap.at / 2, 0.7 * reach + 2.0))
        tip, target = scene.at(np.array([start, end]))
        return scene.with_marks(valley_arrow(tip, target, bow=-0.3, head_mm=3.0))

    def _crimping(self, box: Box) -> Picture:
        """Where to pinch, close up, from a side from which a mark is seen."""
        places, outward = _crimps(self.now, self.pattern)
        size, high = np.ptp(self.now.corners.reshape(-1, 3), axis=0)[[0, 2]]
        middle = np.array([*self.now.faces.floor_at, 0.0])

        def merit(k: int, view: View) -> float:
            eye = view.axes[2]
            return (
                float(min(outward[k] @ eye, _ENOUGH)) + 0.3 * float((places[k] - middle) @ eye / size) + _usual(view, self.view)
            )

        k, view = max(((k, view) for k in range(len(places)) for view in _VIEWS), key=lambda pair: merit(*pair))
        scene = self._scene(self.now, view, box, floor=self.floor, near=(places[k], max(0.25 * size, 0.8 * high)))
        # A mark on the far side would be read as one on the near side.
        near = [p for p, out in zip(scene.at(places), outward, strict=True) if out @ view.axes[2] > 0.1]
        return scene.with_marks(crimp_mark(p) for p in near if scene.frame.grown(-4.0).holds(p))


def _strokes(scene: Scene, lines: Sequence[TableLine], kind: str) -> Iterator[Mark]:
    """An arrow for each line, as long as they can be told apart."""
    placed: list[Point] = []
    middle = scene.on_table([scene.folded.faces.floor_at])[0]
    longest = ARROW_MM[1] if len(lines) == 1 else 0.2 * (scene.picture.box.width - 2 * MARGIN_MM)
    if kind == "crease" and not folds_over(lines):
        return  # pressed in where they lie
    for line in lines:
        along = (line.end[0] - line.start[0], line.end[1] - line.start[1])
        foot = line.middle
        if line.corner:
            t = sum((c - s) * a for c, s, a in zip(line.corner, line.start, along, strict=True)) / line.length_mm**2
            foot = (line.start[0] + t * along[0], line.start[1] + t * along[1])
        (x, y), (bx, by) = scene.on_table([foot, (foot[0] + line.beyond[0], foot[1] + line.beyond[1])])
        bx, by = (bx - x) / scene.scale, (by - y) / scene.scale
        if len(placed) == MOST_ARROWS or any(math.dist((x, y), p) < APART_MM for p in placed):
            continue
        placed.append((x, y))
        reach = line.reach_mm if kind == "fold" else min(line.reach_mm, line.length_mm / 2)
        half = max(min(reach * scene.scale, longest), ARROW_MM[0])
        inward = half if len(lines) == 1 else max(min(half, 0.6 * math.dist((x, y), middle)), ARROW_MM[0])
        start, end = (x + half * bx, y + half * by), (x - inward * bx, y - inward * by)
        yield from (there_and_back if kind == "crease" else valley_arrow)(start, end)


def _inset(scene: Scene, lines: Sequence[TableLine]) -> tuple[Mark, ...]:
    """The smallest fold once more, larger, where it is too small to see."""
    if not lines:
        return ()
    line = min(lines, key=lambda each: (min(each.reach_mm, each.length_mm), sum(each.middle)))
    small = min(line.reach_mm, line.length_mm)
    if small * scene.scale >= SMALL_MM:
        return ()
    at = line.corner or min((line.start, line.end), key=lambda p: p[0] + p[1])
    half = max(2.0 * small, 5.0) * scene.scale
    place, middle = scene.on_table([at, scene.folded.faces.floor_at])
    x, y = (a + math.copysign(0.6 * half, b - a) for a, b in zip(place, middle, strict=True))
    return scene.inset((x, y), half)


def _shown_flap(was: Folded, flaps: Sequence[Flap], view: View) -> tuple[Flap, View]:
    """A flap, and a view in which it is seen broad, in front, and from the side of the wall on which it is laid."""

    def merit(flap: Flap, view_from: View) -> float:
        eye = view_from.axes[2]
        middle = flap.at - [*was.faces.floor_at, 0.0]
        broad = np.abs(was.normals[flap.faces] @ eye).mean()
        ahead = 0.3 * middle @ eye / (np.linalg.norm(middle) or 1.0)
        return float(min(flap.away @ eye, _ENOUGH) + min(broad, _ENOUGH) + ahead) + _usual(view_from, view)

    return max(((flap, view_from) for flap in flaps for view_from in _VIEWS), key=lambda pair: merit(*pair))


def _usual(view_from: View, view: View) -> float:
    """A little more for a view like the one of the other pictures."""
    return 0.1 * math.cos(view_from.around_rad - view.around_rad) + 0.3 * view_from.above_rad


def _tip(folded: Folded, faces: Bools, far_from: Floats | None = None) -> Floats:
    """The corner of some faces that lies farthest from a place, by default from the middle of the floor.

    Faces (f,), places (3,) mm.
    """
    corners = folded.corners[faces[folded.faces.triangle_face]].reshape(-1, 3)
    middle = np.array([*folded.faces.floor_at, 0.0]) if far_from is None else far_from
    tip: Floats = corners[np.linalg.norm(corners - middle, axis=1).argmax()]
    return tip


def _crimps(folded: Folded, pattern: Pattern) -> tuple[Floats, Floats]:
    """Where the crimps come to lie (n, 3) mm, and the way out of the hull from there (n, 3)."""
    at = np.array(pattern.crimps).reshape(-1, 2)
    face = folded.faces.faces_at(at)
    at, face = at[face >= 0], face[face >= 0]
    places, normals = carry(folded.motions[face], at), folded.normals[face]
    outward = np.sign(((places - [*folded.faces.floor_at, 0.0]) * normals).sum(axis=1))[:, None] * normals
    return places, outward
