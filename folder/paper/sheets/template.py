"""The template: the pattern at its true size, to lay the foil on.

A sheet larger than the paper comes in tiles that overlap, each with crosses to lay over those of the next, after a
page that shows the whole.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import chain, pairwise, product, takewhile

from msgspec.structs import replace

from folder.draw.clip import clipped
from folder.draw.picture import PUPIL_MM, Area, Box, Label, Line, Picture, centred, disc
from folder.draw.sheet.flat import FaceRing, crease_sheet, face_rings, free_spot
from folder.draw.sheet.key import key, names_used
from folder.draw.text import width_mm, wrapped
from folder.findings import Point
from folder.paper.pages import BLANK, FOLDING, GAP_MM, LEADING_MM, Page, PaperName
from folder.pattern.faces.faces import faces_of
from folder.pattern.pattern import Pattern

SIDE_UP = "this side up"
OVERLAP_MM = 15.0
"""How much of one tile is seen again on the next."""
HOW_TO = (
    "Lay the foil on the drawn sheet. Crease the lines with a fingertip, in the order of the numbers. "
    "The side that faces you becomes the inside."
)

DIMPLES = " When the hull is folded, press a dimple at each small ring, so that round things stay where they are laid."
DIMPLE_MM = 1.5
"""Radius of the ring that marks a dimple: seen, and out of the way of every crease."""


def template(
    pattern: Pattern,
    paper: PaperName = "a4",
    *,
    floor: Sequence[FaceRing] = (),
    dimples: Sequence[Point] = (),
    warning: str = "",
) -> tuple[Page, ...]:
    """The pages of a pattern's template: one when the sheet fits the paper, upright or lying, else tiles.

    floor    rings of the floor on the sheet, mm; without them, the face the pattern names as floor
    dimples  places on the sheet, mm, where round objects come to rest
    warning  said across each page
    """
    rings = tuple(floor) or _named_floor(pattern)
    sheet = _sheet(pattern, rings, dimples)
    size = f"{pattern.sheet.width_mm:g} × {pattern.sheet.height_mm:g} mm"
    page = Page(pattern.name, f"Template 1:1, {size}", paper, scale="both", cautions=FOLDING, warning=warning)
    pages = [replace(page, landscape=landscape) for landscape in (False, True)]
    for tried in pages:
        below = _below(pattern, tried.body.width, bool(dimples))
        if _fits(sheet, tried, below.box.height + GAP_MM):
            return (_stacked(tried, sheet, below),)
    for tried in pages:
        if _fits(sheet, tried, 0.0):
            return (_overview(page, pattern, rings), _stacked(tried, sheet, BLANK))
    return (_overview(page, pattern, rings), *_tiles(page, sheet))


def _fits(sheet: Picture, page: Page, below_mm: float) -> bool:
    return sheet.box.width <= page.body.width and sheet.box.height + below_mm <= page.body.height


def _named_floor(pattern: Pattern) -> tuple[FaceRing, ...]:
    faces = faces_of(pattern)
    return face_rings(faces, faces.root) if faces.root >= 0 else ()


def _sheet(pattern: Pattern, floor: Sequence[FaceRing], dimples: Sequence[Point]) -> Picture:
    """The sheet at its true size, with the words that say which side is up."""
    marks = tuple(disc(at, DIMPLE_MM, None, "thin") for at in dimples)
    bare = crease_sheet(pattern, floor=floor)
    sheet = Picture((*bare.marks, *marks), bare.box)
    size = 1.5 * PUPIL_MM
    lines = [mark for mark in sheet.marks if isinstance(mark, Line)]
    lines += [line for mark in sheet.marks if isinstance(mark, Area) for line in mark.outlines]
    within = floor[0] if floor else pattern.sheet.corners
    spot = free_spot(width_mm(SIDE_UP, size, "bold") + 4.0, size + 4.0, within, pattern.floor_at, lines)
    words = (centred(SIDE_UP, spot, size, "bold"),) if spot else ()
    return Picture((*sheet.marks, *words), sheet.box)


def _below(pattern: Pattern, room_mm: float, dimpled: bool) -> Picture:
    """What to do with the sheet, and what its lines mean; the upper left corner is at the origin."""
    lines = wrapped(HOW_TO + DIMPLES if dimpled else HOW_TO, PUPIL_MM, room_mm)
    words = tuple(Label(line, (0.0, -(k + 0.8) * LEADING_MM)) for k, line in enumerate(lines))
    text = Picture(words, Box(0.0, -len(lines) * LEADING_MM, room_mm, 0.0))
    return text + key(names_used(pattern), room_mm).moved(0.0, text.box.bottom - GAP_MM)


def _stacked(page: Page, sheet: Picture, below: Picture) -> Page:
    """The sheet at the top of the page, in the middle, and the words under it."""
    body = page.body
    sheet = sheet.moved(body.middle[0] - sheet.box.middle[0], body.top - sheet.box.top)
    return page.showing(sheet + below.moved(body.left, sheet.box.bottom - GAP_MM))


def _overview(page: Page, pattern: Pattern, floor: Sequence[FaceRing]) -> Page:
    """The whole sheet, smaller than it is, before the tiles."""
    page = replace(page, kind="Template, the whole sheet", scale="none")
    below = _below(pattern, page.body.width, False)
    room = page.body.grown(-2 * GAP_MM)
    high = room.height - below.box.height
    scale = min(room.width / pattern.sheet.width_mm, high / pattern.sheet.height_mm, 1.0)
    return _stacked(page, crease_sheet(pattern, floor=floor, scale=scale), below)


def _tiles(page: Page, sheet: Picture) -> Iterator[Page]:
    """The sheet in tiles that overlap, row by row from the top."""
    body, whole = page.body, sheet.box.grown(1.0)  # the sheet's edge must not lie on the edge of a tile
    across = _spans(whole.left, whole.right, body.width)
    up = _spans(whole.bottom, whole.top, body.height - 2 * LEADING_MM)
    ground = tuple(takewhile(lambda mark: isinstance(mark, Area), sheet.marks))
    crossed = Picture((*ground, *_crosses(across, up), *sheet.marks[len(ground) :]), whole)
    for row, (bottom, top) in enumerate(reversed(up), 1):
        for column, (left, right) in enumerate(across, 1):
            tile = Box(left, bottom, right, top)
            part = clipped(crossed, tile)
            frame = Line(tile.corners, "guide", closed=True)
            shown = Picture((frame, *part.marks), tile).moved(body.middle[0] - tile.middle[0], body.top - top)
            note = f"Row {row} of {len(up)}, column {column} of {len(across)}. Lay the crosses over one another."
            named = replace(page, kind=f"Template 1:1, row {row}, column {column}")
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
