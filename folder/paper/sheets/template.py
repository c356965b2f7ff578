"""The template: the pattern at its true size, to lay the foil on.

Foil is opaque: ticks outside the sheet show where each crease ends, and every step has its number.
A sheet larger than the paper comes in tiles that overlap, each with crosses to lay over those of the next, after a
page that shows the whole.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import chain, pairwise, product, takewhile

from msgspec.structs import replace

from folder.draw.clip import clipped
from folder.draw.picture import PUPIL_MM, Area, Box, Label, Line, Mark, Picture, box_round, centred, disc
from folder.draw.sheet.flat import FaceRing, crease_sheet, crease_style, face_rings, free_spot
from folder.draw.sheet.key import key, names_used
from folder.draw.sheet.mark import CRIMP_REACH_MM, DOT_MM, side_dot
from folder.draw.sheet.numbers import Fold, Inside, edge_ticks, number_marks
from folder.draw.steps.sentences import mm_text
from folder.draw.text import width_mm, wrapped
from folder.findings import Point
from folder.paper.pages import BLANK, FOLDING, GAP_MM, LEADING_MM, Page, PaperName
from folder.pattern.faces.faces import faces_of
from folder.pattern.pattern import Pattern

SIDE_UP = "this side up"
OVERLAP_MM = 12.0
"""How much of one tile is seen again on the next."""
HOW_TO = (
    "Lay this page on the foil, on something soft: go over each line with a blunt point. "
    "Or lay the foil on the page: ticks outside show where each crease ends."
)
DIMPLES = " Last, press a dimple at each small ring: there round things stay."
DIMPLE_MM = 1.5
"""Radius of the ring that marks a dimple: seen, and out of the way of every crease."""
NARROW_MM = 100.0
"""A sheet narrower than this leaves room for words beside it."""
NUMBERS_MM = 9.0
"""Round the sheet, for ticks and numbers."""


def template(
    pattern: Pattern,
    paper: PaperName = "a4",
    *,
    floor: Sequence[FaceRing] | None = (),
    dimples: Sequence[Point] = (),
    warning: str = "",
    dot: Point | None = None,
    first: str = "",
) -> tuple[Page, ...]:
    """The pages of a pattern's template: one when the sheet fits the paper, upright or lying, else tiles.

    floor    rings of the floor on the sheet, mm; without them, the face the pattern names as floor; None: it is not on this sheet
    dimples  places on the sheet, mm, where round objects come to rest
    warning  said across each page
    dot      the place on the sheet's edge that the pictures of the steps mark
    first    what the template is for, where there is another one for the folded sheet
    """
    rings = () if floor is None else tuple(floor) or _named_floor(pattern)
    sheet = _sheet(pattern, rings, dimples, dot)
    size = f"{mm_text(pattern.sheet.width_mm)} × {mm_text(pattern.sheet.height_mm)} mm"
    page = Page(pattern.name, f"Template 1:1, {size}{first}", paper, scale="both", cautions=FOLDING, warning=warning)
    names = names_used(pattern, floor=bool(rings), dimples=bool(dimples), dot=dot is not None)
    return true_size_pages(page, sheet, names, bool(dimples))


def true_size_pages(page: Page, sheet: Picture, names: Sequence[str], dimpled: bool = False) -> tuple[Page, ...]:
    """A sheet at its true size, with what to do and what its signs mean: on one page, upright or lying, else in tiles."""
    pages = [replace(page, landscape=landscape) for landscape in (False, True)]
    for tried in pages:
        below = _below(names, tried.body.width, dimpled)
        if _fits(sheet, tried, below.box.height + GAP_MM):
            return (_stacked(tried, sheet, below),)
    for tried in (replace(page, scale="across", cautions=()) for page in pages):
        if _fits(sheet, tried, 0.0):
            return (_overview(page, sheet, names), _stacked(tried, sheet, BLANK))
    return (_overview(page, sheet, names), *_tiles(page, sheet))


def _fits(sheet: Picture, page: Page, below_mm: float) -> bool:
    return sheet.box.width <= page.body.width and sheet.box.height + below_mm <= page.body.height


def _named_floor(pattern: Pattern) -> tuple[FaceRing, ...]:
    faces = faces_of(pattern)
    return face_rings(faces, faces.root) if faces.root >= 0 else ()


def _sheet(pattern: Pattern, floor: Sequence[FaceRing], dimples: Sequence[Point], dot: Point | None) -> Picture:
    """The sheet at its true size, with ticks and numbers round it and the words that say which side is up."""
    folds = [Fold(c.start, c.end, crease_style(c), c.step) for c in pattern.creases]
    bare = crease_sheet(pattern, floor=floor, steps=False)
    edge = box_round(pattern.sheet.corners)
    marks = [disc(at, DIMPLE_MM, None, "thin") for at in dimples]
    taken = [box_round([crimp]).grown(CRIMP_REACH_MM) for crimp in pattern.crimps] + [
        box_round([at]).grown(DIMPLE_MM) for at in dimples
    ]
    return numbered_sheet(Picture((*bare.marks, *marks), bare.box), folds, edge, edge.holds, floor, pattern.floor_at, taken, dot)


def numbered_sheet(
    bare: Picture,
    folds: Sequence[Fold],
    edge: Box,
    inside: Inside,
    floor: Sequence[FaceRing],
    middle: Point,
    taken: Sequence[Box] = (),
    dot: Point | None = None,
    outline: FaceRing = (),
    *,
    under: bool = False,
) -> Picture:
    """A drawn sheet with ticks, numbers, the dot, and the words that say which side is up, in the floor where they fit.

    edge is the box the sheet fills, inside tells whether a place is on it, taken are boxes that must stay free.
    Words stand within the outline, by default that box. `under`: foil lies over the dot.
    """
    room = edge.grown(NUMBERS_MM)
    kept = [*taken, *([box_round([dot]).grown(1.6 * DOT_MM)] if dot else [])]
    outside = [line for _, line in edge_ticks(folds, inside)]
    numbers = list(number_marks(folds, inside, room, kept))
    marks: list[Mark] = [*bare.marks, *outside, *(side_dot(dot, hidden=under) if dot else ()), *numbers]
    lines = [mark for mark in marks if isinstance(mark, Line)]
    lines += [line for mark in marks if isinstance(mark, Area) for line in mark.outlines]
    within = max(floor, key=lambda ring: box_round(ring).width * box_round(ring).height) if floor else outline or edge.corners
    for times in (1.5, 1.0):
        size = times * PUPIL_MM
        for ring in (within, outline or edge.corners):
            spot = free_spot(width_mm(SIDE_UP, size, "bold") + 3.0, size + 3.0, ring, middle, lines)
            if spot:
                return Picture((*marks, centred(SIDE_UP, spot, size, "bold")), room)
    # There is no room on the sheet itself: then beside a narrow one, above a wide one.
    text = f"{SIDE_UP[0].upper()}{SIDE_UP[1:]}."
    if edge.width < NARROW_MM:
        words = Label(text, (room.right + 1.0, edge.middle[1]), weight="bold")
        return Picture((*marks, words), room._replace(right=room.right + 1.0 + width_mm(text, PUPIL_MM, "bold")))
    words = Label(text, (edge.left, room.top + 1.0), weight="bold")
    return Picture((*marks, words), room._replace(top=room.top + LEADING_MM))


def _below(names: Sequence[str], room_mm: float, dimpled: bool) -> Picture:
    """What to do with the sheet, and what its lines mean; the upper left corner is at the origin."""
    lines = wrapped(HOW_TO + DIMPLES if dimpled else HOW_TO, PUPIL_MM, room_mm)
    words = tuple(Label(line, (0.0, -(k + 0.8) * LEADING_MM)) for k, line in enumerate(lines))
    text = Picture(words, Box(0.0, -len(lines) * LEADING_MM, room_mm, 0.0))
    return text + key(names, room_mm).moved(0.0, text.box.bottom - GAP_MM / 2)


def _stacked(page: Page, sheet: Picture, below: Picture) -> Page:
    """The sheet at the top of the page, in the middle, and the words under it."""
    body = page.body
    sheet = sheet.moved(body.middle[0] - sheet.box.middle[0], body.top - sheet.box.top)
    return page.showing(sheet + below.moved(body.left, sheet.box.bottom - GAP_MM))


def _overview(page: Page, sheet: Picture, names: Sequence[str]) -> Page:
    """The whole sheet, smaller than it is, before the tiles."""
    page = replace(page, kind=page.kind.replace("Template 1:1", "The whole sheet"), scale="none")
    below = _below(names, page.body.width, False)
    room = page.body.grown(-2 * GAP_MM)
    # Numbers and words keep their size: on a small sheet they would hide it. The lines, the edge and its dot tell enough.
    plain = Picture(tuple(m for m in sheet.marks if isinstance(m, Line) or (isinstance(m, Area) and _on_overview(m))), sheet.box)
    small = plain.fitted(Box(0.0, 0.0, room.width, room.height - below.box.height), 1.0)
    return _stacked(page, small, below)


def _on_overview(mark: Area) -> bool:
    """The ground, the floor and the dot: what is more is too large for a small sheet."""
    box = box_round(chain.from_iterable(mark.rings))
    return mark.edge is None or max(box.width, box.height) < 2.5 * DOT_MM


def _tiles(page: Page, sheet: Picture) -> Iterator[Page]:
    """The sheet in as few tiles as fit, upright or lying, row by row from the top; they overlap."""
    whole = sheet.box.grown(1.0)  # the sheet's edge must not lie on the edge of a tile

    def spans(page: Page) -> tuple[list[tuple[float, float]], list[tuple[float, float]]]:
        body = page.body
        return _spans(whole.left, whole.right, body.width), _spans(whole.bottom, whole.top, body.height - 2 * LEADING_MM)

    # The cautions stand on the page before.
    ways = [replace(page, landscape=landscape, scale="across", cautions=()) for landscape in (False, True)]
    page = min(ways, key=lambda way: math.prod(map(len, spans(way))))
    body, (across, up) = page.body, spans(page)
    ground = tuple(takewhile(lambda mark: isinstance(mark, Area), sheet.marks))
    crossed = Picture((*ground, *_crosses(across, up), *sheet.marks[len(ground) :]), whole)
    for row, (bottom, top) in enumerate(reversed(up), 1):
        for column, (left, right) in enumerate(across, 1):
            tile = Box(left, bottom, right, top)
            part = clipped(crossed, tile)
            frame = Line(tile.corners, "guide", closed=True)
            shown = Picture((frame, *part.marks), tile).moved(body.middle[0] - tile.middle[0], body.top - top)
            note = f"Row {row} of {len(up)}, column {column} of {len(across)}. Lay the crosses over one another."
            named = replace(page, kind=f"{page.kind}, row {row}, column {column}")
            yield named.showing(shown + Picture.of([Label(note, (body.left, shown.box.bottom - 1.5 * LEADING_MM))]))


def _spans(low: float, high: float, room: float) -> list[tuple[float, float]]:
    """A stretch in equal spans no longer than the room, each sharing OVERLAP_MM with the next."""
    n = max(1, math.ceil((high - low - OVERLAP_MM) / (room - OVERLAP_MM)))
    span = (high - low + (n - 1) * OVERLAP_MM) / n
    return [(low + k * (span - OVERLAP_MM), low + k * (span - OVERLAP_MM) + span) for k in range(n)]


def _crosses(across: list[tuple[float, float]], up: list[tuple[float, float]]) -> Iterator[Line]:
    """Crosses in the middle of each overlap: they stand on the tiles of both sides."""
    seams = [[(a[1] + b[0]) / 2 for a, b in pairwise(spans)] for spans in (across, up)]
    quarters = [[low + (high - low) * t for low, high in spans for t in (1 / 4, 3 / 4)] for spans in (across, up)]
    for x, y in chain(product(seams[0], quarters[1]), product(quarters[0], seams[1])):
        yield Line(((x - 4.0, y), (x + 4.0, y)), "thin")
        yield Line(((x, y - 4.0), (x, y + 4.0)), "thin")
