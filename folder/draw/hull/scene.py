"""A state of the sheet put on paper: seen from somewhere, in a box, whole or close up."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import product

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from folder.draw.clip import clipped
from folder.draw.hull.solid import EdgeMark, View, solid
from folder.draw.picture import Area, Box, Line, Mark, Picture
from folder.draw.style import PAPER
from folder.findings import Point
from folder.fold.layers.order import Layering
from folder.fold.place import Folded
from folder.geometry.space import Bools, Floats

MARGIN_MM = 5.0
"""Room round a picture for its arrows."""
FOLD_WEIGHT = 0.6
"""New folds are drawn thinner than on the template, so that short ones still show their dashes."""
_INSET = 0.36
"""Size of an inset over the width of the picture."""
_ASIDE = (0.0, -0.25, 0.25, -0.3, 0.3, -0.2, 0.2)
"""How far from the middle of a sheet an inset below it may stand, over its width, the best first."""


class Scene(Struct, frozen=True, eq=False):
    """A picture of the sheet and how places get onto it."""

    folded: Folded
    view: View
    picture: Picture
    frame: Box
    """The box within the picture's box that a close-up fills."""
    whole: Box
    """What the whole sheet fills in the picture."""
    scale: float
    shift: Point

    @classmethod
    def of(
        cls,
        folded: Folded,
        view: View,
        box: Box,
        *,
        floor: Bools | None = None,
        edge_marks: Sequence[EdgeMark] = (),
        near: tuple[Floats, float] | None = None,
        layering: Layering | None = None,
        room: Box | None = None,
    ) -> Scene:
        """The whole sheet in the room within a box, or close up what lies within so many mm of a place in space."""
        drawn = solid(folded, view, layering=layering, floor=floor, edge_marks=edge_marks)
        room = room or box.grown(-MARGIN_MM)
        if near is None:
            shown = drawn.box
        else:
            x, y, _ = view.project(folded, near[0]).tolist()
            shown = Box(x, y, x, y).grown(near[1])
        scale = min(room.width / max(shown.width, 1e-9), room.height / max(shown.height, 1e-9))
        (x, y), (to_x, to_y) = shown.middle, room.middle
        shift = (to_x - scale * x, to_y - scale * y)
        placed = drawn.scaled(scale).moved(*shift)
        marks = tuple(_thinner(mark) for mark in placed.marks)
        if near is not None:
            marks = (*clipped(Picture(marks, placed.box), room).marks, Line(room.corners, "thin", closed=True))
        return cls(folded, view, Picture(marks, box), room, placed.box, scale, shift)

    def at(self, points: Floats) -> list[Point]:
        """Places in space (n, 3) in the picture."""
        projected = self.view.project(self.folded, points)[:, :2] * self.scale + self.shift
        return [(float(x), float(y)) for x, y in projected]

    def on_table(self, points: Iterable[Point]) -> list[Point]:
        """Places on the table in the picture."""
        return self.at(np.array([(x, y, 0.0) for x, y in points]).reshape(-1, 3))

    def with_marks(self, marks: Iterable[Mark]) -> Picture:
        """The picture with more on top of it."""
        return Picture((*self.picture.marks, *marks), self.picture.box)

    def inset(self, middle: Point, half_mm: float, lens: Box | None = None, busy: Sequence[Box] = ()) -> tuple[Mark, ...]:
        """What lies within `half_mm` on paper of a place in the picture, once more and larger, in a frame where there is room.

        `lens`: the frame, where room has been left for it; else it may stand in the middle of the sheet.
        `busy`: what it gives way to, below a narrow sheet.
        """
        to, size_mm = (lens.middle, lens.width) if lens else self._room_for_inset(busy)
        if not size_mm:
            return ()
        (x, y), (to_x, to_y), half = middle, to, size_mm / 2
        source = Box(x, y, x, y).grown(half_mm)
        frame = Box(to_x, to_y, to_x, to_y).grown(half)
        part = clipped(self.picture, source).moved(-x, -y).scaled(half / half_mm).moved(to_x, to_y)
        link = Line((source.nearest(to), frame.nearest(middle)), "thin")
        around = Line(source.corners, "thin", closed=True)
        return (around, link, Area((frame.corners,), PAPER), *part.marks, Line(frame.corners, closed=True))

    def _room_for_inset(self, busy: Sequence[Box]) -> tuple[Point, float]:
        """The middle and the size of an inset: below or beside a narrow sheet, else in the middle of it."""
        size = _INSET * self.frame.width
        x, y = self.whole.middle
        below, beside = self.whole.bottom - self.frame.bottom, self.frame.right - self.whole.right
        if below > 0.6 * size:
            most = min(size, below - 1.0)
            for size, share in product((most, 0.85 * most, 0.7 * most), _ASIDE):
                at = (x + share * self.whole.width, self.frame.bottom + size / 2)
                if not any(Box(*at, *at).grown(size / 2).touches(box) for box in busy):
                    return at, size
            return (x, self.frame.bottom + most / 2), most
        if beside > 0.6 * size:
            size = min(size, beside - 1.0)
            return (self.frame.right - size / 2, y), size
        return (x, y), min(size, 0.6 * self.whole.height)


def _thinner(mark: Mark) -> Mark:
    """New folds drawn thinner."""
    if isinstance(mark, Line) and mark.style in ("valley", "mountain"):
        return replace(mark, weight=FOLD_WEIGHT)
    return mark
