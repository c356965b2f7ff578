"""One line of a step on the table, how a hand finds it, and what a ruler is laid along for it.

guide     how a hand finds the line
span      what a ruler is laid along: from a landmark to a place on the line
landmark  something on the sheet that a hand can find without a ruler: a corner, an edge, the end or crossing of creases
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from folder.findings import Point
from folder.units import TOLERANCES

_SAME_MM = 1e-3
"""Sizes nearer to each other differ by nothing but the arithmetic."""

Guide = Literal[
    "edge to edge",
    "edge to crease",
    "corner to mark",
    "through",
    "from edge",
    "from fold",
    "corner cut",
    "to side",
    "ends",
    "template",
]

Along = Literal["edge", "crease", ""]
Landmark = Literal["corner", "crease", "edge"]


class Span(Struct, frozen=True):
    """A length to measure, from a landmark to a place on the line."""

    start: Point
    end: Point
    along: Along = ""
    """What the ruler lies along; nothing where it goes straight across the sheet from an edge."""
    mark: Landmark = "edge"
    """The landmark: a corner, the end or crossing of a crease, an edge."""
    line: tuple[Point, Point] | None = None
    """The ends of a line that is as far away all along: it may be measured anywhere between them."""
    side: Point | None = None
    """Unit: on which side of the sheet the edge lies along which is measured."""
    rounded_mm: float | None = None
    """What is said of it where others of the step differ by no more than the rounding of a hand."""

    @property
    def size_mm(self) -> float:
        """How long."""
        return math.dist(self.start, self.end) if self.rounded_mm is None else self.rounded_mm


class TableLine(Struct, frozen=True):
    """One line of a step."""

    start: Point
    end: Point
    beyond: Point
    """Unit, square to the line."""
    reach_mm: float
    """How far the sheet reaches beyond the line."""
    whole: bool
    """It runs from edge to edge, so that the sheet can be folded over along it."""
    corner: Point | None
    """The one corner that is folded in; None where it is an edge or more."""
    guide: Guide
    """How a hand finds the line."""
    sizes_mm: tuple[float, ...]
    """What is to be measured for it: the distance from an edge, or from a corner along its two edges."""
    toward: Point
    """Unit: on which side of the line the edge lies from which it is measured."""
    spans: tuple[Span, ...] = ()
    """Where a ruler is laid for the sizes."""
    at_corner: bool = False
    """It starts or ends at a corner of what lies on the table."""
    swings: bool = False
    """A layer that has no crease there hangs on what is folded over, and comes out from under it."""

    @property
    def middle(self) -> Point:
        """Half way along."""
        return ((self.start[0] + self.end[0]) / 2, (self.start[1] + self.end[1]) / 2)

    @property
    def length_mm(self) -> float:
        """How long."""
        return math.dist(self.start, self.end)


def rounded_alike(lines: Sequence[TableLine]) -> list[TableLine]:
    """The lines with one size for all sizes that differ by less than foil takes up: nobody measures 25 here and 25.1 there."""
    sizes = sorted({size for line in lines for size in (*line.sizes_mm, *(span.size_mm for span in line.spans))})
    one: dict[float, float] = {}
    while sizes:
        near = [size for size in sizes if size - sizes[0] < TOLERANCES.closed_mm]
        sizes = sizes[len(near) :]
        if near[-1] - near[0] > _SAME_MM:
            one |= dict.fromkeys(near, round(sum(near) / len(near), 1))
    return [
        replace(
            line,
            sizes_mm=tuple(one.get(size, size) for size in line.sizes_mm),
            spans=tuple(replace(span, rounded_mm=one.get(span.size_mm)) for span in line.spans),
        )
        if one
        else line
        for line in lines
    ]
