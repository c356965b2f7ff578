"""The compare sheet: 2 to 8 designs under one another, each with its hull, its numbers and a bar with its spread.

All hulls are drawn to one scale, and all bars stand on one axis, so that they can be compared by eye.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from folder.draw.chart import AXIS_MM, KEY_MM, bars, chart_key, key_rows
from folder.draw.picture import PUPIL_MM, Box, Label, Line, Mark, Picture, overlaid
from folder.draw.style import FOIL
from folder.draw.text import clean, shortened, wrapped
from folder.errors import BadRequest
from folder.hull.shape import measures_of
from folder.paper.design import Design
from folder.paper.pages import GAP_MM, LEADING_MM, Page, PaperName
from folder.paper.sheets.blank import BLANK_MM, blank
from folder.units import rounded_down

FEWEST, MOST = 2, 8
HULL_MM, LARGE_HULL_MM = 44.0, 62.0
FEW = 4
"""Up to so many designs have large hulls."""
WORDS_MM = 58.0
TALLEST_MM = 54.0
"""A row is no higher than this, even when there is room."""


def compare_sheet(designs: Sequence[Design], paper: PaperName = "a4") -> Page:
    """The sheet that puts designs side by side."""
    check_number(len(designs))
    page = Page("Which hull?", f"{len(designs)} designs compared", paper)
    body = page.body
    foot = key_rows(body.width) * KEY_MM + 2 * LEADING_MM + GAP_MM
    row = min((body.height - foot - AXIS_MM) / len(designs), TALLEST_MM)
    hull = LARGE_HULL_MM if len(designs) <= FEW else HULL_MM
    chart = Box(body.left + hull + WORDS_MM + 2 * GAP_MM, body.top - row * len(designs) - AXIS_MM, body.right, body.top)
    parts = [bars([design.spread for design in designs], chart)]
    parts += _hulls(designs, Box(body.left, body.top - row, body.left + hull, body.top))
    for k, design in enumerate(designs):
        top = body.top - k * row
        if k:
            parts.append(Picture.of([Line(((body.left, top), (body.right, top)), "thin", colour=FOIL)]))
        left = body.left + hull + GAP_MM
        parts.append(_words(design, Box(left, top - row, left + WORDS_MM, top)))
    parts.append(chart_key(body.width).moved(body.left, chart.bottom - GAP_MM))
    text = "All hulls are drawn to one scale. A real build carries less than the brim load: folds are uneven, loads lie off the middle."
    y = parts[-1].box.bottom
    marks: list[Mark] = []
    for line in wrapped(text, PUPIL_MM, body.width):
        y -= LEADING_MM
        marks.append(Label(line, (body.left, y)))
    for words in ("We take", "because", ""):
        y -= BLANK_MM + 1.0
        if y > body.bottom:
            marks += blank(words, body.left, y, body.right)
    return page.showing(overlaid([*parts, Picture(tuple(marks), body)]))


def check_number(count: int) -> None:
    """BadRequest unless so many designs can be compared."""
    if not FEWEST <= count <= MOST:
        remedy = f"Give {FEWEST} to {MOST}"
        raise BadRequest("too few or too many designs to compare", where="compare", found=str(count), remedy=remedy)


def _hulls(designs: Sequence[Design], first: Box) -> Iterator[Picture]:
    """The folded sheets, all to one scale, from the box of the first row down."""
    drawn = [design.drawn() for design in designs]
    scale = min(min(first.width / one.box.width, (first.height - GAP_MM) / one.box.height) for one in drawn)
    for k, one in enumerate(drawn):
        down = k * first.height
        yield one.fitted(Box(first.left, first.bottom - down, first.right, first.top - down), scale)


def _words(design: Design, box: Box) -> Picture:
    """The name and the numbers of a design, in the middle of a row."""
    measures = measures_of(design.pattern, design.folded, design.hull, folds=design.folds)
    sheet = design.pattern.sheet
    wall = f", wall {measures.wall_height_mm:.0f} mm" if design.folds else ""
    lines = [f"floor {measures.floor_area_mm2 / 100:.0f} cm²{wall}"]
    lines.append(f"sheet {sheet.width_mm:g} × {sheet.height_mm:g}, {measures.creases} folds")
    if design.load is not None:
        lines.append(f"brim {rounded_down(design.load.brim_g)} g, limit: {design.load.limited_by}")
    if design.standing:
        lines.append("turns over empty: hold it")
    y = box.middle[1] + (len(lines) + 1) * LEADING_MM / 2 - 0.75 * LEADING_MM
    if design.warning:
        lines[1:] = wrapped(design.warning, PUPIL_MM, box.width)[:3]
    name = shortened(clean(design.pattern.name), PUPIL_MM, box.width, "bold")
    marks: list[Mark] = [Label(name, (box.left, y), weight="bold")]
    for k, line in enumerate(lines, 1):
        marks.append(Label(shortened(line, PUPIL_MM, box.width), (box.left, y - k * LEADING_MM)))
    return Picture(tuple(marks), box)
