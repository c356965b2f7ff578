"""One step of the folding as a panel: the sheet as it lies now with what to do drawn on it, the sheet after it, and words.

before   what to do: on the table seen from above, in the hand seen from a side; arrows in the trade's notation
after    what it looks like then
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property, partial
from typing import Any

import numpy as np
from msgspec import Struct

from folder.draw.hull.scene import Scene
from folder.draw.hull.solid import ABOVE, BELOW, EdgeMark, View, good_view
from folder.draw.picture import Area, Box, Line, Mark, Picture, box_round
from folder.draw.sheet.mark import DOT_MM, side_dot
from folder.draw.steps.act import Act, crests, folding_acts, pinching_acts
from folder.draw.steps.arrow import turn_over
from folder.draw.steps.close_up import CloseUp, crimp_acts, crimping, laying, locator
from folder.draw.steps.dimension import Dimension, Measure, dimension_marks, dimensions, giving_way, room_within
from folder.draw.steps.dot import Dot, dot_on
from folder.draw.steps.height import Height, heights_of
from folder.draw.steps.lens import SHORT_MM, larger, lens_in, lens_on_floor, short_folds
from folder.draw.steps.sentences import StepWords, folds_over, pinched, step_words
from folder.draw.text import label_corners
from folder.findings import Point
from folder.fold.layers.order import Layering
from folder.fold.place import Folded, folded
from folder.fold.sequence.landmark import table_lines
from folder.fold.sequence.steps import FoldSequence, FoldStep
from folder.fold.sequence.table_line import TableLine, rounded_alike
from folder.geometry.space import Bools
from folder.pattern.pattern import Pattern
from folder.units import TOLERANCES

ROOM_MM = 1.4
"""Room round a hull: its dot may stand out by half."""
MEASURED_RAD = math.radians(33.0)
"""A ruler that stands on the table is seen long enough from so low."""
LOW_RAD = math.radians(6.0)
"""How far above the table an eye is that looks along a rim."""


class StepPicture(Struct, frozen=True, eq=False):
    """A picture of a step, with what stands in it as data."""

    picture: Picture
    scene: Scene
    acts: tuple[Act, ...] = ()
    sizes: tuple[Dimension, ...] = ()
    dot: Point | None = None
    """Where the dot on one edge is; None where a small picture in the corner has it."""
    dot_hidden: bool = False
    """A layer lies over that place."""


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
    states = [folded(order.faces, order.before(0))]
    for step in order.steps:
        now = states[-1] if step.turn is states[-1].turn else folded(order.faces, step.turn)
        states.append(hull if hull is not None and np.array_equal(now.turn, hull.turn) else now)
    view = good_view(states[-1])
    seen = [(state, view_of(state, step.over, view)) for state, step in zip(states[1:], order.steps, strict=True)]
    dot = dot_on(seen, layering)
    for k in range(len(order.steps)):
        yield Panel(pattern, order, k, states[k], states[k + 1], states[-1], view, floor, layering, dot)


def view_of(state: Folded, over: bool, view: View) -> View:
    """From where a state is drawn: what lies flat from above, like the sheet before it; what stands from a side."""
    if (np.abs(state.normals[:, 2]) < 0.99).any():
        return view
    return BELOW if over else ABOVE


class Panel:
    """One step, numbered from 1, with words and with pictures drawn to fill any box."""

    def __init__(
        self,
        pattern: Pattern,
        order: FoldSequence,
        k: int,
        was: Folded,
        now: Folded,
        hull: Folded,
        view: View,
        floor: Bools | None = None,
        layering: Layering | None = None,
        dot: Dot | None = None,
    ) -> None:
        self.pattern, self.order, self.k, self.was, self.now, self.view, self.floor = pattern, order, k, was, now, view, floor
        self.hull, self.layering, self.dot = hull, layering, dot
        self.step: FoldStep = order.steps[k]
        self.number = k + 1
        self.creased = order.creased(k)
        self.lines: list[TableLine] = []
        """What is folded or creased on the table, or the foot of each wall that is brought up."""
        if self.step.kind in ("fold", "crease"):
            self.lines = rounded_alike(table_lines(was, self.step.edges, self.creased, now if self.step.kind == "fold" else None))
        elif self.step.kind == "raise":
            self.lines = table_lines(was, self.step.edges & self._wall_feet, self.creased)

    @cached_property
    def heights(self) -> tuple[Height, ...]:
        """How high what comes up is to stand, measured in the picture of what it looks like then."""
        return heights_of(self.step, self.was, self.now, self._wall_feet, self.view)

    @cached_property
    def sentences(self) -> StepWords:
        """The words of the step, and what is measured in its picture."""
        return step_words(self.step, self.number, self.was, self.lines, self.now, self.heights)

    @property
    def words(self) -> tuple[str, ...]:
        """A sentence on what to do, then what to line up or to measure, then what to repeat."""
        return self.sentences.words

    @property
    def view_after(self) -> View:
        """From where the state after is seen: lower where a height is measured in it, along the rim where that is checked."""
        view = view_of(self.now, self.step.over, self.view)
        lowest = LOW_RAD if self.step.kind == "check" else MEASURED_RAD if self.heights else view.above_rad
        return View(view.around_rad, min(view.above_rad, lowest))

    @property
    def flat(self) -> bool:
        """The sheet lies flat on the table before the step and after it."""
        return self.step.kind in ("fold", "crease", "turn over")

    @property
    def _wall_feet(self) -> Bools:
        """(e,) the edges where a wall meets the floor of the hull."""
        hull, sides = self.hull, self.hull.faces.sides
        height = np.abs(hull.motions[:, 2, 3]) < TOLERANCES.closed_mm
        level = hull.placed & (np.abs(hull.normals[:, 2]) > math.cos(0.01)) & height
        feet: Bools = (sides >= 0).all(axis=1) & (level[sides[:, 0]] != level[sides[:, 1]])
        return feet

    def before(self, box: Box) -> StepPicture:
        """What to do."""
        match self.step.kind:
            case "lay":
                return self._close_up(laying(self.was, self.now, self.step.flaps, self.view, box, self.floor))
            case "crimp":
                return self._close_up(crimping(self.now, self.pattern, self.view, box, self.floor, self._layering(self.now)))
            case "check":
                return self._with_dot(self._scene(self.was, self.view, box, floor=self.floor))
            case _:
                return self._on_table(box)

    def _on_table(self, box: Box) -> StepPicture:
        """What to do with what lies on the table: it is as large as its sizes beside it leave room for."""
        over = self.step.over != (self.step.kind == "turn over")
        view = BELOW if over else ABOVE
        on_sheet = [Measure.of(span, partial(_seen, over=over)) for span in self.sentences.spans]
        sheet = box_round(_seen(self.was.corners.reshape(-1, 3)[:, :2].tolist(), over=over))
        room = room_within(box, on_sheet, sheet)
        if self.step.kind == "turn over":
            room = Box(room.left + 1.0, room.bottom + 5.0, room.right - 1.0, room.top - 1.0)
        edge_marks: list[EdgeMark] = [(self.creased & (np.abs(self.was.turn) < 0.1), "crease"), *self._new_folds(over=over)]
        lens, aside = None, False
        for _ in range(4):
            scene = self._scene(self.was, view, box, edge_marks=edge_marks, room=room)
            if self.step.kind == "crease" and not aside and short_folds(scene, self.lines, SHORT_MM):
                lens = lens_on_floor(scene)
                if lens is None:
                    # The sheet stands aside for what is too short to be seen on it.
                    lens, aside = lens_in(box), True
                    room = room._replace(right=min(room.right, lens.left - 1.0))
                    continue
            acts = tuple(self._acts(scene))
            measures = [Measure.of(span, scene.on_table) for span in self.sentences.spans]
            taken = [*self._taken(scene), *([lens] if lens else ())]
            sizes = tuple(dimensions(measures, scene.whole, list(_strokes(scene, acts)), taken))
            wider, room = room, giving_way(room, box, sizes)
            if room == wider:
                break
        marks: list[Mark] = []
        if lens or self.step.kind == "fold":
            labels = [box_round(label_corners(size.label)) for size in sizes]
            marks += larger(scene, self.lines, lens, labels, [(act.start, act.end) for act in acts])
        marks += dimension_marks(sizes)
        marks += [mark for act in acts for mark in act.marks]
        if self.step.kind == "turn over":
            marks += turn_over((room.middle[0], box.bottom + 2.5))
        return self._with_dot(scene, marks, acts, sizes)

    def after(self, box: Box) -> StepPicture:
        """What it looks like then."""
        edge_marks: list[EdgeMark] = [(self.order.creased(self.k + 1) & (np.abs(self.now.turn) < 0.1), "crease")]
        view = self.view_after
        standing = view not in (ABOVE, BELOW)
        # A flat sheet is as large as beside its measures, near enough; a hull fills its box.
        room = box.grown(-ROOM_MM)
        floor = self.floor if standing else None
        scene = self._scene(self.now, view, box, floor=floor, edge_marks=edge_marks, room=room)
        acts = tuple(crimp_acts(scene, self.now, self.pattern)) if self.step.kind == "crimp" else ()
        if self.heights:
            room = room_within(box, self._risen(scene), scene.whole)
            scene = self._scene(self.now, view, box, floor=floor, edge_marks=edge_marks, room=room)
        sizes = tuple(dimensions(self._risen(scene), scene.whole, list(_strokes(scene, acts)), self._taken(scene)))
        return self._with_dot(scene, [*dimension_marks(sizes), *(mark for act in acts for mark in act.marks)], acts, sizes)

    def _risen(self, scene: Scene) -> list[Measure]:
        """The heights as they are seen: from a place to the table below it."""
        ends = [scene.at(np.array([height.foot, height.at])) for height in self.heights]
        return [Measure(foot, top, height.size_mm) for (foot, top), height in zip(ends, self.heights, strict=True)]

    def _acts(self, scene: Scene) -> Iterator[Act]:
        """What the hands do on the table."""
        kind = self.step.kind
        dot = scene.at(self.dot.at(scene.folded)[None])[0] if self.dot else None
        if kind == "fold" or (kind == "crease" and folds_over(self.lines)) or kind == "raise":
            yield from folding_acts(scene, self.lines, kind, dot)
        if kind == "crease" and pinched(self.lines):
            yield from pinching_acts(scene, [(line.start, line.end) for line in self.lines], dot)
        if kind == "raise":
            yield from pinching_acts(scene, crests(scene, self.step))

    def _scene(self, state: Folded, view: View, box: Box, **options: Any) -> Scene:
        """A state in a box, with the order of its layers where that is known."""
        return Scene.of(state, view, box, layering=self._layering(state), **options)

    def _layering(self, state: Folded) -> Layering | None:
        return self.layering if state is self.hull else None

    def _taken(self, scene: Scene) -> list[Box]:
        """Where the dot is."""
        if not self.dot:
            return []
        (at,) = scene.at(self.dot.at(scene.folded)[None])
        return [box_round([at]).grown(1.3 * DOT_MM)]

    def _with_dot(
        self, scene: Scene, marks: Sequence[Mark] = (), acts: tuple[Act, ...] = (), sizes: tuple[Dimension, ...] = ()
    ) -> StepPicture:
        """A picture of all of the sheet, with its dot."""
        at, hidden, drawn = None, False, list(marks)
        if self.dot:
            (at,) = scene.at(self.dot.at(scene.folded)[None])
            hidden = self.dot.hidden(scene.folded, scene.view, self._layering(scene.folded))
            drawn = [*side_dot(at, hidden=hidden), *drawn]
        return StepPicture(scene.with_marks(drawn), scene, acts, sizes, at, hidden)

    def _close_up(self, close: CloseUp) -> StepPicture:
        """A picture of a part of the hull: a small one of all of it has the dot."""
        layering = self._layering(close.scene.folded)
        marks = [*locator(close, self.dot, layering), *(mark for act in close.acts for mark in act.marks)]
        hidden = self.dot is not None and self.dot.hidden(close.scene.folded, close.scene.view, layering)
        return StepPicture(close.scene.with_marks(marks), close.scene, close.acts, dot_hidden=hidden)

    def _new_folds(self, *, over: bool) -> list[EdgeMark]:
        """The step's edges as valleys and mountains, as they are seen on the layers where they lie."""
        edges = self.step.edges
        if self.step.kind == "crease":
            return [(edges, "valley")]
        up = np.sign(self.was.normals[self.order.faces.sides.max(axis=1), 2]) * (-1.0 if over else 1.0)
        sense = np.sign(self.order.steps[-1].turn) * up
        return [(edges & (sense > 0), "valley"), (edges & (sense < 0), "mountain")]


def _seen(points: Iterable[Sequence[float]], *, over: bool) -> list[Point]:
    """Places on the table as they are seen: from below, left and right change."""
    return [(-p[0] if over else p[0], p[1]) for p in points]


def _strokes(scene: Scene, acts: Iterable[Act]) -> Iterator[Line]:
    """The lines through which no number may run: those of the sheet, and of the arrows with their heads."""
    for mark in scene.picture.marks:
        if isinstance(mark, Line):
            yield mark
    for mark in (mark for act in acts for mark in act.marks):
        if isinstance(mark, Line):
            yield mark
        elif isinstance(mark, Area):
            yield from (Line(ring, closed=True) for ring in mark.rings)
