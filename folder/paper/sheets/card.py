"""The design card: one page, folded in the middle, that goes into the kit. In front the hull, on its back the count.

face        one half of the page
count table how many objects of a mass the working load makes: whole objects, divided exactly
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import pairwise

from msgspec.structs import replace

from folder.cargo.predict import Cargo, held_by_mass
from folder.draw.chart import AXIS_MM, ROW_MM, bars, brim_mark
from folder.draw.hull.solid import solid
from folder.draw.hull.view import ABOVE
from folder.draw.picture import (
    CAP_HEIGHT,
    PUPIL_MM,
    Area,
    Box,
    FontWeight,
    Label,
    Line,
    Mark,
    Picture,
    overlaid,
)
from folder.draw.sheet.size import sized_hull, sized_sheet
from folder.draw.style import GUIDE, SHADE
from folder.draw.text import width_mm, wrapped
from folder.errors import one_line
from folder.hull.shape import measures_of
from folder.paper.design import Design
from folder.paper.pages import FLOATING, GAP_MM, HEAD_MM, LEADING_MM, MARGIN_MM, Page, PaperName, caution
from folder.paper.sheets.blank import BLANK_MM, blank
from folder.paper.sheets.load_map import card_map
from folder.practice.estimate import LONGEST_PUPIL
from folder.units import rounded_down
from folder.water.working_load import Limit, WorkingLoad

FOLD_MM = 8.0
"""Free on both sides of the fold."""
MASSES = tuple(map(Decimal, ("0.5", "1", "1.5", "2", "2.5", "3", "4", "5", "6", "8", "10", "12", "15", "20")))
"""Masses of one object in the count table, g."""
LINE_MM = 5.9
"""Height of a row of the count table."""
LIKELY = 1
"""The column of the count table that is printed bold."""
KIND = "Design card: fold it in half"
BRIM = "brim load"
BIG_MM = 7.0
"""Text size of the large numbers."""
TRIALS = 3
LEAST_BLANKS, TIGHT_MM = 4, 7.4
"""So many lines to write on are wanted, and how near to each other they may stand then."""

LIMITS: dict[Limit, str] = {
    "rim": "The rim limits it: water comes in where the edge is lowest.",
    "tilt": "Tilt limits it: a load off the middle dips one side under.",
    "stability": "Tipping limits it: a high load turns the hull over.",
}


def design_card(
    design: Design, cargo: Cargo | None = None, paper: PaperName = "a4", *, warning: str = "", rules: str = ""
) -> Page:
    """The card of a design, with a loading map when there is a cargo; `warning` is said across it, the event's rules at its foot."""
    page = Page(design.pattern.name, KIND, paper, landscape=True, warning=warning)
    middle = page.width_mm / 2
    # The title belongs to the front alone: what crosses the fold cannot be read.
    page = replace(page, title_mm=middle - MARGIN_MM - FOLD_MM)
    body = page.body
    front = Box(body.left, MARGIN_MM, middle - FOLD_MM, body.top)
    back = Box(middle + FOLD_MM, MARGIN_MM, body.right, body.top)
    return page.showing(overlaid([_fold(page), _front(design, front), _back(design, cargo, back, rules)]))


def count_rows(load: WorkingLoad, masses: Sequence[Decimal] = MASSES) -> list[tuple[Decimal, int, int, int]]:
    """Mass of one object, and how many the low, the likely and the high working load make: whole objects."""
    return [
        (each, held_by_mass(load.low_g, each), held_by_mass(load.likely_g, each), held_by_mass(load.high_g, each))
        for each in masses
    ]


def _fold(page: Page) -> Picture:
    """The fold, marked where nothing is printed: behind, so that both faces look outward."""
    x, top = page.width_mm / 2, page.height_mm - MARGIN_MM - HEAD_MM - GAP_MM
    if page.warning:
        top = page.body.top
    return Picture.of([Line(((x, MARGIN_MM), (x, top)), "mountain", weight=0.6)])


def _front(design: Design, face: Box) -> Picture:
    load = design.load
    half = (face.width - GAP_MM) / 2
    high = min(0.38 * face.height, half + 6.0)
    left = Box(face.left, face.top - high, face.left + half, face.top)
    right = Box(face.right - half, face.top - high, face.right, face.top)
    parts = [design.drawn().fitted(left), _sized(design, right)]
    y = face.top - high - GAP_MM
    parts.append(_figures(design, Box(face.left, y - 15.0, face.right, y)))
    y -= 15.0 + GAP_MM
    if load is not None:
        box = Box(face.left, y - ROW_MM - AXIS_MM, face.right, y)
        parts.append(bars([design.spread], box))
        y = box.bottom - GAP_MM
    marks: list[Mark] = []
    for sentence in _sentences(design):
        for line in wrapped(sentence, PUPIL_MM, face.width):
            y -= LEADING_MM
            marks.append(Label(line, (face.left, y)))
    return overlaid([*parts, Picture(tuple(marks), face), _blanks(Box(face.left, face.bottom, face.right, y))])


def _sized(design: Design, box: Box) -> Picture:
    """The sizes that matter: on the sheet where it is one layer thick, else on the hull from above."""
    hull = design.hull
    if hull is None or hull.cover.layers_most < 2:
        return sized_sheet(replace(design.pattern, crimps=()), design.floor, box)
    plan = solid(design.folded, ABOVE, layering=design.layering, floor=hull.floor_faces)
    # The plan has its origin under `floor_at`, the outline of the floor in the hull's own frame.
    dx, dy = (float(a - b) for a, b in zip(hull.offset, design.pattern.floor_at, strict=True))
    return sized_hull(plan, [(x + dx, y + dy) for x, y in hull.cover.outline], box)


def _figures(design: Design, box: Box) -> Picture:
    """The large numbers: floor, wall, brim load."""
    measures = measures_of(design.pattern, design.folded, design.hull, folds=design.folds)
    low, high = measures.wall_height_mm, measures.wall_height_most_mm
    wall = f"{low:.0f}" if high - low < 0.5 else f"{low:.0f}–{high:.0f}"
    figures = [("floor", f"{measures.floor_area_mm2 / 100:.0f}", "cm²")]
    if design.folds:
        figures.append(("wall", wall, "mm"))
    if design.load is not None:
        figures.append((BRIM, rounded_down(design.load.brim_g), "g"))
    marks: list[Mark] = [Area((box.corners,), SHADE)]
    for k, (name, number, unit) in enumerate(figures):
        x = box.left + 4.0 + k * (box.width - 4.0) / 3
        marks.append(Label(name, (x, box.top - 5.0)))
        marks.append(Label(number, (x, box.bottom + 2.6), BIG_MM, weight="bold"))
        if name == BRIM:
            marks.append(brim_mark((x + width_mm(name, PUPIL_MM) + 4.0, box.top - 5.0 + CAP_HEIGHT * PUPIL_MM / 2)))
        marks.append(Label(unit, (x + width_mm(number, BIG_MM, "bold") + 1.5, box.bottom + 2.6)))
    return Picture(tuple(marks), box)


def _sentences(design: Design) -> Iterator[str]:
    load = design.load
    if design.verdict:
        yield design.verdict
    if load is None:
        yield "As drawn it carries nothing: there is no load to tell."
        return
    if design.standing:
        yield design.standing
    yield LIMITS[load.limited_by]
    if design.level_at:
        yield design.level_at
    if load.wins:
        best = load.wins[0]
        yield f"Worth most: {best.change}, {rounded_down(best.gain_g)} g more."
    if design.joined is not None and (estimate := design.joined.in_grams).n:
        joined = design.joined
        of = f"{estimate.n_own} of this hull, {estimate.n_others} of others"
        if joined.of_one:
            n = sum(joined.evidence.n_of(joined.pupil))
            of = f"{n} of {one_line(joined.pupil, LONGEST_PUPIL)}, {estimate.n - n} of the class"
        yield f"Rests on the model and trials: {of}. Count on {rounded_down(estimate.count_on or 0.0)} g."


def _blanks(box: Box) -> Picture:
    """Lines for name and trials, from the bottom of the box upward, as many as have room."""
    rows = [("Name", ""), ("Object", "each, g")]
    rows += [(f"Trial {k}: guess", "held") for k in range(1, TRIALS + 1)]
    fit, apart = min(len(rows), int(box.height / BLANK_MM)), BLANK_MM
    if fit < LEAST_BLANKS and box.height >= LEAST_BLANKS * TIGHT_MM:  # two trials rather than wide lines
        fit, apart = LEAST_BLANKS, box.height / LEAST_BLANKS
    marks: list[Mark] = []
    split = box.left + 0.62 * box.width
    for k, (one, other) in enumerate(rows[:fit]):
        y = box.bottom + 1.0 + (fit - 1 - k) * apart
        marks += blank(one, box.left, y, split - GAP_MM if other else box.right)
        marks += blank(other, split, y, box.right) if other else ()
    return Picture(tuple(marks), box)


def _back(design: Design, cargo: Cargo | None, face: Box, rules: str) -> Picture:
    parts = []
    y = face.top
    if design.load is not None:
        table = _table(count_rows(design.load), face.width).moved(face.left, y)
        parts.append(table)
        y = table.box.bottom - GAP_MM
    cautions = _cautions(face, rules)
    parts.append(cautions)
    if cargo is not None and design.hull is not None:
        parts.append(card_map(design.hull, cargo, Box(face.left, cautions.box.top + GAP_MM, face.right, y)))
    return overlaid(parts)


def _table(rows: list[tuple[Decimal, int, int, int]], room_mm: float) -> Picture:
    """The count table in two blocks side by side; the upper left corner is at the origin."""
    marks: list[Mark] = [Label("How many, by mass alone", (0.0, -0.75 * LEADING_MM), weight="bold")]
    top = -2 * LEADING_MM - 2.0
    per = -(-len(rows) // 2)
    wide = (room_mm - 2 * GAP_MM) / 2
    columns: tuple[float, ...] = (0.3 * wide, 0.56 * wide, wide - 1.0)
    entries: list[tuple[str, ...]] = [
        ("each", "likely", "spread"),
        *((f"{each} g", f"{n}", f"{low} to {high}") for each, low, n, high in rows),
    ]
    if not _fit(entries, columns):  # the numbers of a very large sheet: the spread gives way
        entries, columns = [entry[:2] for entry in entries], (0.4 * wide, wide - 1.0)
    for left in (0.0, wide + 2 * GAP_MM):
        marks += [Label(t, (left + x, top + 1.6), anchor="end", colour=GUIDE) for t, x in zip(entries[0], columns, strict=True)]
    for k, entry in enumerate(entries[1:]):
        left = (k // per) * (wide + 2 * GAP_MM)
        bottom = top - (k % per + 1) * LINE_MM
        if k % per % 2 == 0:
            marks.append(Area((Box(left, bottom, left + wide, bottom + LINE_MM).corners,), SHADE))
        for c, (text, x) in enumerate(zip(entry, columns, strict=True)):
            weight: FontWeight = "bold" if c == LIKELY else "regular"
            marks.append(Label(text, (left + x, bottom + 1.6), anchor="end", weight=weight))
    return Picture(tuple(marks), Box(0.0, top - per * LINE_MM, room_mm, 0.0))


def _fit(entries: Sequence[Sequence[str]], columns: Sequence[float]) -> bool:
    """Whether every entry has its column to itself; columns are told by their right ends."""
    rooms = [right - left for left, right in pairwise((0.0, *columns))]
    return all(width_mm(t, PUPIL_MM, "bold") < room for entry in entries for t, room in zip(entry, rooms, strict=True))


def _cautions(face: Box, rules: str) -> Picture:
    """The cautions at the foot of a face, each from a new line."""
    lines = [line for name in FLOATING for line in wrapped(caution(name, rules), PUPIL_MM, face.width - 8.0)]
    box = Box(face.left, face.bottom, face.right, face.bottom + len(lines) * LEADING_MM + 4.0)
    marks: list[Mark] = [Area((box.corners,), SHADE)]
    marks += [Label(line, (box.left + 4.0, box.top - 5.9 - k * LEADING_MM)) for k, line in enumerate(lines)]
    return Picture(tuple(marks), box)
