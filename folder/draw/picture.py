"""Pictures as plain data, in mm: what is on paper and on screen is painted from the same marks.

picture   marks from back to front, and the box they fill
line      points joined in order, in a named style
area      rings filled by the even-odd rule (a second ring is a hole)
label     one line of text; `at` is on its baseline
style     width, dashes and colour of a line, known by its name

Places are mm, x to the right and y UP, like the sheet; a painter whose y runs down flips. Line widths and text sizes
are mm on the paper: scaling or turning a picture moves its places and leaves widths and sizes alone.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from itertools import pairwise
from typing import Literal, NamedTuple, TypeAlias

from msgspec import Struct
from msgspec.structs import replace

from folder.draw.style import INK, PAPER, SHADE, STYLES, Style, StyleName, dash_runs, dashes_for
from folder.findings import Point

MM_PER_PT = 25.4 / 72
PUPIL_MM = 12 * MM_PER_PT
"""12 pt: the smallest text on a pupils' page."""
SMALL_MM = 9 * MM_PER_PT
"""Text for the grown-up: sheet numbers, sources."""
CAP_HEIGHT = 0.7
"""Height of a capital over the text size, in the bundled font; centres a label on a place."""

Anchor = Literal["start", "middle", "end"]
FontWeight = Literal["regular", "bold"]


class Box(NamedTuple):
    """An upright rectangle, mm."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """How wide, mm."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """How high, mm."""
        return self.top - self.bottom

    @property
    def middle(self) -> Point:
        """The point in the middle."""
        return ((self.left + self.right) / 2, (self.bottom + self.top) / 2)

    @property
    def corners(self) -> tuple[Point, Point, Point, Point]:
        """The four corners, counter-clockwise from the lower left."""
        return ((self.left, self.bottom), (self.right, self.bottom), (self.right, self.top), (self.left, self.top))

    def grown(self, by_mm: float) -> Box:
        """This box with every side moved out (or in, if negative)."""
        return Box(self.left - by_mm, self.bottom - by_mm, self.right + by_mm, self.top + by_mm)

    def holds(self, point: Point) -> bool:
        """Whether a point is in the box or on its edge."""
        return self.nearest(point) == point

    def nearest(self, point: Point) -> Point:
        """The point of the box nearest to a point."""
        return (min(max(point[0], self.left), self.right), min(max(point[1], self.bottom), self.top))

    def touches(self, other: Box) -> bool:
        """Whether the two boxes share more than an edge."""
        across = self.left < other.right and other.left < self.right
        return across and self.bottom < other.top and other.bottom < self.top


def box_round(points: Iterable[Point]) -> Box:
    """The smallest box round some points; an empty box at the origin when there are none."""
    places = list(points) or [(0.0, 0.0)]
    xs, ys = [p[0] for p in places], [p[1] for p in places]
    return Box(min(xs), min(ys), max(xs), max(ys))


class Line(Struct, frozen=True, tag=True):
    """Points joined in order. `weight` multiplies the width of the style, and so its dashes."""

    points: tuple[Point, ...]
    style: StyleName = "outline"
    closed: bool = False
    weight: float = 1.0
    colour: str | None = None

    @property
    def look(self) -> Style:
        """The style with this line's own weight and colour; dashes that would not show on a short fold are shorter."""
        style = STYLES[self.style]
        drawn = Style(style.width_mm * self.weight, style.dashes, self.colour or style.colour)
        if self.style in ("valley", "mountain"):
            return Style(drawn.width_mm, dashes_for(self.length_mm, drawn), drawn.colour)
        return drawn

    @property
    def path(self) -> tuple[Point, ...]:
        """The points, with the first again at the end of a closed line."""
        return (*self.points, self.points[0]) if self.closed else self.points

    @property
    def length_mm(self) -> float:
        """The length along the line."""
        return sum(math.dist(a, b) for a, b in pairwise(self.path))


class Area(Struct, frozen=True, tag=True):
    """Rings filled by the even-odd rule; `edge` names the style of an outline, if any."""

    rings: tuple[tuple[Point, ...], ...]
    fill: str | None = SHADE
    edge: StyleName | None = None

    @property
    def outlines(self) -> tuple[Line, ...]:
        """The edge as lines."""
        return tuple(Line(ring, self.edge, closed=True) for ring in self.rings) if self.edge else ()


class Label(Struct, frozen=True, tag=True):
    """One line of text. `at` lies on its baseline at the start, middle or end; it turns about `at`."""

    text: str
    at: Point
    size_mm: float = PUPIL_MM
    anchor: Anchor = "start"
    weight: FontWeight = "regular"
    colour: str = INK
    rotation_rad: float = 0.0


Mark: TypeAlias = Line | Area | Label


def centred(text: str, at: Point, size_mm: float = PUPIL_MM, weight: FontWeight = "regular", colour: str = INK) -> Label:
    """A label whose capitals stand with their middle at `at`."""
    return Label(text, (at[0], at[1] - CAP_HEIGHT * size_mm / 2), size_mm, "middle", weight, colour)


class Picture(Struct, frozen=True):
    """Items from back to front and the box they fill. A label counts in the box with its place only."""

    marks: tuple[Mark, ...]
    box: Box

    @classmethod
    def of(cls, marks: Iterable[Mark], box: Box | None = None) -> Picture:
        """A picture of these marks; without a box, the smallest that holds their places."""
        held = tuple(marks)
        return cls(held, box or box_round(p for mark in held for p in _places(mark)))

    def __add__(self, over: Picture) -> Picture:
        return Picture(self.marks + over.marks, box_round((*self.box.corners, *over.box.corners)))

    def moved(self, dx_mm: float, dy_mm: float) -> Picture:
        """This picture, moved."""
        return self._mapped(lambda p: (p[0] + dx_mm, p[1] + dy_mm), 0.0)

    def scaled(self, times: float) -> Picture:
        """This picture with its places scaled about the origin."""
        return self._mapped(lambda p: (p[0] * times, p[1] * times), 0.0)

    def rotated(self, rotation_rad: float) -> Picture:
        """This picture rotated counter-clockwise about the origin, text and all."""
        c, s = math.cos(rotation_rad), math.sin(rotation_rad)
        return self._mapped(lambda p: (c * p[0] - s * p[1], s * p[0] + c * p[1]), rotation_rad)

    def fitted(self, into: Box, at_most: float = math.inf) -> Picture:
        """This picture scaled to fit a box, in its middle; `at_most` bounds the scale."""
        times = min(into.width / max(self.box.width, 1e-9), into.height / max(self.box.height, 1e-9), at_most)
        (x, y), (to_x, to_y) = self.box.middle, into.middle
        return self.scaled(times).moved(to_x - times * x, to_y - times * y)

    def _mapped(self, where: Callable[[Point], Point], rotation_rad: float) -> Picture:
        marks = tuple(_mapped(mark, where, rotation_rad) for mark in self.marks)
        return Picture(marks, box_round(where(p) for p in self.box.corners))


def overlaid(pictures: Iterable[Picture]) -> Picture:
    """Pictures laid over one another, the first at the back."""
    stack = list(pictures)
    marks = tuple(mark for picture in stack for mark in picture.marks)
    return Picture(marks, box_round(p for picture in stack for p in picture.box.corners))


def arc(middle: Point, radius_mm: float, from_rad: float, to_rad: float, step_rad: float = math.pi / 36) -> tuple[Point, ...]:
    """Points along an arc, ends included."""
    n = max(1, math.ceil(abs(to_rad - from_rad) / step_rad))
    turns = [from_rad + (to_rad - from_rad) * i / n for i in range(n + 1)]
    return tuple((middle[0] + radius_mm * math.cos(t), middle[1] + radius_mm * math.sin(t)) for t in turns)


def disc(middle: Point, radius_mm: float, fill: str | None = PAPER, edge: StyleName | None = None) -> Area:
    """A filled circle."""
    return Area((arc(middle, radius_mm, 0.0, 2 * math.pi)[:-1],), fill, edge)


def dashes(line: Line) -> tuple[tuple[Point, ...], ...]:
    """The inked stretches of a line, for painters that draw no dashes themselves."""
    return tuple(stretch(line.path, start, end) for start, end in dash_runs(line.length_mm, line.look))


def stretch(path: tuple[Point, ...], from_mm: float, to_mm: float) -> tuple[Point, ...]:
    """The part of a path between two lengths along it."""
    points: list[Point] = []
    along = 0.0
    for a, b in pairwise(path):
        length = math.dist(a, b)
        if along + length > from_mm and along < to_mm:
            for t in (max(from_mm - along, 0.0) / length, min(to_mm - along, length) / length):
                point = b if t == 1 else (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))
                if not points or point != points[-1]:
                    points.append(point)
        along += length
    return tuple(points)


def _places(mark: Mark) -> Iterable[Point]:
    match mark:
        case Line():
            return mark.points
        case Area():
            return (point for ring in mark.rings for point in ring)
        case Label():
            return (mark.at,)


def _mapped(mark: Mark, where: Callable[[Point], Point], rotation_rad: float) -> Mark:
    match mark:
        case Line():
            return replace(mark, points=tuple(where(p) for p in mark.points))
        case Area():
            return replace(mark, rings=tuple(tuple(where(p) for p in ring) for ring in mark.rings))
        case Label():
            return replace(mark, at=where(mark.at), rotation_rad=mark.rotation_rad + rotation_rad)
