"""The step sheet: how to fold the hull, panel by panel."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from folder.draw.picture import PUPIL_MM, Box, Label, Line, Mark, Picture, overlaid
from folder.draw.sheet.mark import BADGE_MM, step_badge
from folder.draw.steps.panel import Panel, panels
from folder.draw.text import wrapped
from folder.fold.layers.order import Layering
from folder.fold.place import Folded
from folder.fold.sequence.steps import FoldSequence, fold_sequence
from folder.geometry.space import Bools
from folder.paper.pages import FOLDING, GAP_MM, LEADING_MM, Page, PaperName
from folder.pattern.pattern import Pattern

MOST_ROWS = 5
"""Panels on a page: more would be too small to show a fold."""
NUMBER_MM = 10.0
WORDS_MM = 56.0
BETWEEN_MM = LEADING_MM / 3
"""Between two sentences."""
START = "The side that faces you becomes the inside. Each row: what to do, how it looks then."


def steps_pages(
    pattern: Pattern,
    folded: Folded,
    paper: PaperName = "a4",
    *,
    floor: Bools | None = None,
    warning: str = "",
    order: FoldSequence | None = None,
    layering: Layering | None = None,
) -> tuple[Page, ...]:
    """The pages of a pattern's step sheet.

    floor    (f,) the faces that are the floor
    warning  said across each page
    order    the order of folds, worked out when not given
    layering the order of layers of the folded sheet, where it is known
    """
    order = order or fold_sequence(pattern, folded)
    page = Page(pattern.name, "Steps", paper, cautions=FOLDING, warning=warning)
    if not order.found:
        return (page.showing(_text_block(order.note, page.body)),)
    start = _text_block(START, page.body)
    body = page.body._replace(top=start.box.bottom - GAP_MM)
    made = list(panels(pattern, order, floor, folded, layering))
    rows = _rows(made, body)
    parts = [made[k : k + rows] for k in range(0, len(made), rows)]
    return tuple(
        replace(page, kind=f"Steps {k} of {len(parts)}" if len(parts) > 1 else "Steps").showing(
            overlaid([start, *_laid_out(part, rows, body)])
        )
        for k, part in enumerate(parts, 1)
    )


def _text_block(text: str, body: Box) -> Picture:
    """Words at the top of a page."""
    lines = wrapped(text, PUPIL_MM, body.width)
    words = tuple(Label(line, (body.left, body.top - (k + 0.8) * LEADING_MM)) for k, line in enumerate(lines))
    return Picture(words, body._replace(bottom=body.top - len(lines) * LEADING_MM))


def _rows(made: Sequence[Panel], body: Box) -> int:
    """How many panels go on a page: as many as have room for their words, all pages filled alike."""
    need = max(len(_lines(panel)) * LEADING_MM + len(panel.words) * BETWEEN_MM for panel in made)
    most = min(MOST_ROWS, max(1, int((body.height + GAP_MM) / (need + GAP_MM))))
    return math.ceil(len(made) / math.ceil(len(made) / most))


def _lines(panel: Panel) -> list[tuple[str, bool]]:
    """The words of a panel line by line, and whether a sentence starts there."""
    return [(line, k == 0) for sentence in panel.words for k, line in enumerate(wrapped(sentence, PUPIL_MM, WORDS_MM))]


def _laid_out(part: Sequence[Panel], rows: int, body: Box) -> Iterator[Picture]:
    """Panels below each other: number, what to do, how it looks then, words."""
    high = (body.height - GAP_MM * (rows - 1)) / rows
    wide = (body.width - NUMBER_MM - WORDS_MM - 2 * GAP_MM) / 2
    room = Box(0.0, 0.0, wide, min(high, wide))
    for k, panel in enumerate(part):
        top = body.top - k * (high + GAP_MM)
        marks: list[Mark] = [Line(((body.left, top + GAP_MM / 2), (body.right, top + GAP_MM / 2)), "thin")]
        marks += step_badge(panel.number, (body.left + BADGE_MM / 2, top - BADGE_MM / 2 - 1.0))
        y = top - LEADING_MM + BETWEEN_MM
        for line, starts in _lines(panel):
            y -= BETWEEN_MM if starts else 0.0
            marks.append(Label(line, (body.right - WORDS_MM, y)))
            y -= LEADING_MM
        yield Picture(tuple(marks), Box(body.left, top - high, body.right, top))
        yield panel.before(room).moved(body.left + NUMBER_MM, top - room.height)
        yield panel.after(room).moved(body.left + NUMBER_MM + wide + GAP_MM, top - room.height)
