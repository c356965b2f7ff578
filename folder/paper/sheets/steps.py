"""The step sheet: how to fold the hull, panel by panel."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from folder.draw.picture import PUPIL_MM, Box, Label, Line, Mark, Picture, overlaid
from folder.draw.sheet.mark import BADGE_MM, step_badge
from folder.draw.steps.legend import legend, signs_in
from folder.draw.steps.panel import Drawn, Panel, panels
from folder.draw.text import wrapped
from folder.fold.layers.order import Layering
from folder.fold.place import Folded
from folder.fold.sequence.steps import FoldSequence, fold_sequence
from folder.geometry.space import Bools
from folder.paper.pages import FOLDING, GAP_MM, LEADING_MM, Page, PaperName
from folder.pattern.pattern import Pattern

COLUMNS = 2
MOST_ROWS = 3
"""Six steps on a page: more would be too small to show a fold."""
NUMBER_MM = 9.5
LEAST_MM = 34.0
"""Least height of a picture."""
BETWEEN_MM = 5.0
"""Between two columns, and between two rows."""
WIDE_SHARE, RAISE_SHARE, HALF_SHARE = 0.66, 0.51, 0.5
"""How much of a panel's width has the picture of what to do: more where its sizes stand beside it."""
START = (
    "The side that faces you becomes the inside. The dot is on the same edge in every picture: hollow where foil lies over it."
)

UNTRIED = "Not yet folded in foil by us"
"""What the note of a pattern says that is known from reckoning alone."""


def steps_pages(
    pattern: Pattern,
    folded: Folded,
    paper: PaperName = "a4",
    *,
    floor: Bools | None = None,
    warning: str = "",
    order: FoldSequence | None = None,
    layering: Layering | None = None,
    made: Sequence[Panel] | None = None,
    rules: str = "",
) -> tuple[Page, ...]:
    """The pages of a pattern's step sheet.

    floor    (f,) the faces that are the floor
    warning  said across each page
    order    the order of folds, worked out when not given
    layering the order of layers of the folded sheet, where it is known
    made     the panels, where they are there already
    rules    of the event they are for, said at the foot of each page
    """
    order = order or fold_sequence(pattern, folded)
    page = Page(pattern.name, "Steps", paper, cautions=FOLDING, warning=warning, rules=rules)
    if not order.found:
        return (page.showing(_text_block(order.note, page.body)),)
    start = _text_block(_start(pattern), page.body)
    body = page.body._replace(top=start.box.bottom - GAP_MM)
    made = made or list(panels(pattern, order, floor, folded, layering))
    each = _rows(made, body) * COLUMNS
    parts = [made[k : k + each] for k in range(0, len(made), each)]
    pages: list[Page] = []
    drawn: list[Drawn] = []
    for k, part in enumerate(parts, 1):
        boxes = _boxes(part, each // COLUMNS, body)
        cells = [
            _Cell(panel, _words_mm(part, n // COLUMNS, body), box)
            for n, (panel, box) in enumerate(zip(part, boxes, strict=False))
        ]
        pictures = [picture for cell in cells for picture in cell.pictures()]
        drawn += [of for cell in cells for of in cell.drawn]
        if k == len(parts) and len(part) % each:
            signs = signs_in(drawn, over=any(panel.step.kind == "turn over" for panel in made))
            pictures.append(legend(signs, boxes[len(part)]))
        kind = f"Steps {k} of {len(parts)}" if len(parts) > 1 else "Steps"
        pages.append(replace(page, kind=kind).showing(overlaid([start, *pictures])))
    return tuple(pages)


def _start(pattern: Pattern) -> str:
    """What is said before the first step."""
    return f"{START} {UNTRIED}." if UNTRIED in pattern.note else START


def _text_block(text: str, body: Box) -> Picture:
    """Words at the top of a page."""
    lines = wrapped(text, PUPIL_MM, body.width)
    words = tuple(Label(line, (body.left, body.top - (k + 0.8) * LEADING_MM)) for k, line in enumerate(lines))
    return Picture(words, body._replace(bottom=body.top - len(lines) * LEADING_MM))


def _rows(made: Sequence[Panel], body: Box) -> int:
    """How many rows of panels go on a page: as many as leave the pictures large, fewer where a last page would be all but blank."""
    most = next(rows for rows in range(MOST_ROWS, 0, -1) if rows == 1 or _fits(made, rows, body))
    pages = math.ceil(len(made) / (most * COLUMNS))
    # With a place for what the signs mean.
    return min(most, math.ceil((len(made) + 1) / (pages * COLUMNS)))


def _fits(made: Sequence[Panel], rows: int, body: Box) -> bool:
    """Whether so many rows on each page leave the pictures large enough."""
    parts = [made[k : k + rows * COLUMNS] for k in range(0, len(made), rows * COLUMNS)]
    return all(_picture_mm(part, rows, body) >= LEAST_MM for part in parts)


def _words_mm(part: Sequence[Panel], row: int, body: Box) -> float:
    """What the words of a row take; its pictures begin at the same height."""
    lines = (len(_lines(panel, _wide(body))) for panel in part[row * COLUMNS : (row + 1) * COLUMNS])
    return max(lines, default=0) * LEADING_MM + 2.0


def _picture_mm(part: Sequence[Panel], rows: int, body: Box) -> float:
    """How high each picture on a page is: what many words take in one row all rows give."""
    words = sum(_words_mm(part, row, body) for row in range(rows))
    return (body.height - BETWEEN_MM * (rows - 1) - words) / rows


def _wide(body: Box) -> float:
    """Width of a panel."""
    return (body.width - BETWEEN_MM * (COLUMNS - 1)) / COLUMNS


def _lines(panel: Panel, wide_mm: float) -> tuple[str, ...]:
    """The words of a panel line by line: what is done on lines of its own, then how and where."""
    room = wide_mm - NUMBER_MM
    return tuple(line for text in (panel.words[0], " ".join(panel.words[1:])) for line in wrapped(text, PUPIL_MM, room))


def _boxes(part: Sequence[Panel], rows: int, body: Box) -> list[Box]:
    """The boxes of the panels on a page, row by row."""
    picture, top, boxes = _picture_mm(part, rows, body), body.top, []
    for row in range(rows):
        bottom = top - _words_mm(part, row, body) - picture
        for column in range(COLUMNS):
            left = body.left + column * (_wide(body) + BETWEEN_MM)
            boxes.append(Box(left, bottom, left + _wide(body), top))
        top = bottom - BETWEEN_MM
    return boxes


class _Cell:
    """One panel on the page: number and words, and under them what to do and how it looks then."""

    def __init__(self, panel: Panel, words_mm: float, box: Box) -> None:
        self.panel, self.box = panel, box
        self.lines = _lines(panel, box.width)
        room = box.height - words_mm
        share = WIDE_SHARE if panel.flat else RAISE_SHARE if panel.step.kind == "raise" else HALF_SHARE
        self.split = share * (self.box.width - GAP_MM)
        self.drawn = (
            panel.before(Box(0.0, 0.0, self.split, room)),
            panel.after(Box(0.0, 0.0, self.box.width - GAP_MM - self.split, room)),
        )

    def pictures(self) -> Iterator[Picture]:
        """All that stands in the panel."""
        box = self.box
        marks: list[Mark] = [Line(((box.left, box.top + BETWEEN_MM / 2), (box.right, box.top + BETWEEN_MM / 2)), "thin")]
        marks += step_badge(self.panel.number, (box.left + BADGE_MM / 2, box.top - BADGE_MM / 2 - 0.6))
        for n, line in enumerate(self.lines):
            marks.append(Label(line, (box.left + NUMBER_MM, box.top - (n + 0.85) * LEADING_MM)))
        yield Picture(tuple(marks), box)
        before, after = self.drawn
        yield before.picture.moved(box.left, box.bottom)
        yield after.picture.moved(box.left + self.split + GAP_MM, box.bottom)
