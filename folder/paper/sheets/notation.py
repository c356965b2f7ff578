"""The wall chart: what the lines, arrows and marks of every page mean, large enough for a class.

The signs are the paper-folding trade's own (Yoshizawa 1954; Randlett 1961), drawn by what draws them on all other pages.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from folder.draw.picture import Area, Box, Label, Line, Mark, Picture, overlaid
from folder.draw.sheet.mark import crimp_mark, cut_mark, side_dot, step_badge
from folder.draw.steps.arrow import mountain_arrow, there_and_back, turn_over, valley_arrow
from folder.draw.style import FOIL, PAPER, SHADE, StyleName
from folder.draw.text import wrapped
from folder.paper.pages import FOLDING, GAP_MM, Page, PaperName

TITLE = "How to read the folds"
NAME_MM, NAME_LEADING_MM = 7.0, 8.2
SAID_MM, SAID_LEADING_MM = 5.4, 6.9
"""Read from a few steps away."""
SIGN = Box(0.0, 0.0, 70.0, 22.0)
"""The room of a sign, mm."""
SHEET = Box(14.0, 1.0, 56.0, 21.0)
"""A piece of sheet in that room."""
LARGE = 1.6
"""How much wider than on a sheet the lines are drawn."""


class Sign(Struct, frozen=True):
    """A row of the chart: how it is called, what it means, and how it is drawn in the box SIGN."""

    name: str
    meaning: str
    drawn: Callable[[], Sequence[Mark]]


def notation_pages(paper: PaperName = "a4") -> tuple[Page, ...]:
    """The chart: one page of lines, one of arrows and marks."""
    page = Page(TITLE, "", paper, cautions=FOLDING)
    kinds = (("Wall chart 1 of 2: lines", LINES), ("Wall chart 2 of 2: arrows and marks", MARKS))
    return tuple(replace(page, kind=kind).showing(_rows(page.body, signs)) for kind, signs in kinds)


def _rows(body: Box, signs: Sequence[Sign]) -> Picture:
    high = body.height / len(signs)
    parts = []
    for k, sign in enumerate(signs):
        row = Box(body.left, body.top - (k + 1) * high, body.right, body.top - k * high)
        drawn = Picture(tuple(sign.drawn()), SIGN)
        parts.append(drawn.moved(row.left, row.middle[1] - SIGN.middle[1]))
        parts.append(Picture(tuple(_words(sign, row)), row))
        if k:
            parts.append(Picture.of([Line(((row.left, row.top), (row.right, row.top)), "thin", colour=FOIL)]))
    return overlaid(parts)


def _words(sign: Sign, row: Box) -> Iterator[Mark]:
    left = row.left + SIGN.width + 2 * GAP_MM
    lines = wrapped(sign.meaning, SAID_MM, row.right - left)
    y = row.middle[1] + (NAME_LEADING_MM + len(lines) * SAID_LEADING_MM) / 2 - 0.75 * NAME_MM
    yield Label(sign.name, (left, y), NAME_MM, weight="bold")
    y -= NAME_LEADING_MM - SAID_LEADING_MM
    for line in lines:
        y -= SAID_LEADING_MM
        yield Label(line, (left, y), SAID_MM)


def _line(style: StyleName) -> Callable[[], Sequence[Mark]]:
    """A long sample of a line."""
    return lambda: (Line(((2.0, 11.0), (68.0, 11.0)), style, weight=LARGE),)


def _fold(sense: StyleName, ends_mm: float, middle_mm: float) -> Callable[[], Sequence[Mark]]:
    """A sample of a fold's line, and beside it a piece of sheet folded so; its ends and its middle as high as given."""
    near = ((44.0, ends_mm), (54.0, middle_mm), (64.0, ends_mm))
    far = tuple((x + 5.0, y + 9.0) for x, y in near)
    halves = [Area(((near[k], near[k + 1], far[k + 1], far[k]),), PAPER, "outline") for k in (0, 1)]
    line = Line(((2.0, 11.0), (36.0, 11.0)), sense, weight=LARGE)
    return lambda: (line, *halves, Line((near[1], far[1]), sense))


def _on_sheet(*over: Mark, line: StyleName | None = None) -> Sequence[Mark]:
    """A piece of sheet, with a fold across it, and what stands on it."""
    x = SHEET.middle[0]
    ground: list[Mark] = [Area((SHEET.corners,), PAPER), Line(SHEET.corners, "edge", closed=True)]
    if line:
        ground.append(Line(((x, SHEET.bottom), (x, SHEET.top)), line))
    return (*ground, *over)


def _cut() -> Sequence[Mark]:
    ends = ((2.0, 11.0), (68.0, 11.0))
    return Line(ends, "cut", weight=LARGE), cut_mark(*ends)


def _floor() -> Sequence[Mark]:
    inner = Box(22.0, 5.0, 48.0, 17.0)
    return _on_sheet(Area((inner.corners,), SHADE), Line(inner.corners, "valley", closed=True))


def _dots() -> Sequence[Mark]:
    return _on_sheet(*side_dot((26.0, SHEET.bottom + 0.4)), *side_dot((46.0, SHEET.top - 0.4), hidden=True))


def _numbers() -> Sequence[Mark]:
    return _on_sheet(*step_badge(1, (35.0, 11.0)), *step_badge(2, (56.0, 11.0)), line="valley")


HEAD_MM = 6.0
_SWING = ((52.0, 6.0), (18.0, 6.0), -0.3, HEAD_MM)
"""An arrow over the fold, from right to left."""

LINES = (
    Sign(
        "Valley fold",
        "Fold toward you. The line lies at the bottom, like a stream in a valley.",
        _fold("valley", 10.0, 2.0),
    ),
    Sign("Mountain fold", "Fold away from you. The line stands on top, like a ridge.", _fold("mountain", 2.0, 10.0)),
    Sign("A crease from before", "Folded once and opened again. It helps the next fold.", _line("crease")),
    Sign("The edge of the sheet", "The widest black line.", _line("edge")),
    Sign("An edge behind", "You cannot see it: a layer lies over it.", _line("hidden")),
    Sign("A guide", "Only to measure by. Do not fold it.", _line("guide")),
    Sign("A cut", "Not allowed. We draw it to see what it would cost.", _cut),
)
MARKS = (
    Sign("Fold this toward you", "The arrow has a full head.", lambda: _on_sheet(*valley_arrow(*_SWING), line="valley")),
    Sign(
        "Fold this behind",
        "The arrow has half a head, hollow.",
        lambda: _on_sheet(*mountain_arrow(*_SWING), line="mountain"),
    ),
    Sign("Fold and unfold", "Press it well, then open it.", lambda: _on_sheet(*there_and_back(*_SWING), line="valley")),
    Sign("Turn it over", "Like a page. Look at the back.", lambda: turn_over((35.0, 8.0), 42.0, HEAD_MM)),
    Sign("Pinch here", "From both sides, between two fingers.", lambda: _on_sheet(crimp_mark((35.0, 21.0)))),
    Sign("Always this edge", "The dot finds left and right for you. Hollow: foil lies over it.", _dots),
    Sign("In this order", "The same number: fold them together.", _numbers),
    Sign("The floor", "Grey: here the load lies.", _floor),
)
