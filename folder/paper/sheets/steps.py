"""The step sheet: how to fold the hull, panel by panel."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from folder.draw.picture import PUPIL_MM, Box, Label, Line, Mark, Picture, overlaid
from folder.draw.sheet.mark import BADGE_MM, step_badge
from folder.draw.steps.legend import legend, signs_in
from folder.draw.steps.panel import Panel, StepPicture, panels
from folder.draw.text import wrapped
from folder.fold.layers.order import Layering
from folder.fold.place import Folded
from folder.fold.sequence.steps import FoldSequence, fold_sequence
from folder.geometry.space import Bools
from folder.paper.pages import FOLDING, GAP_MM, LEADING_MM, Page, PaperName
from folder.paper.sheets.step_cells import BETWEEN_MM, COLUMNS, NUMBER_MM, Cell, cells_on_a_page, rows_on_a_page
from folder.pattern.pattern import Pattern

START = "The side that faces you becomes the inside. The dot marks one edge: hollow under foil."

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
    start = _text_block(START, page.body)
    body = page.body._replace(top=start.box.bottom - GAP_MM)
    made = made or list(panels(pattern, order, floor, folded, layering))
    each = rows_on_a_page(made, body) * COLUMNS
    parts = [made[k : k + each] for k in range(0, len(made), each)]
    pages: list[Page] = []
    drawn: list[StepPicture] = []
    for k, part in enumerate(parts, 1):
        cells, free = cells_on_a_page(part, each // COLUMNS, body)
        pictures = [picture for cell in cells for picture in _pictures(cell, drawn)]
        if k == len(parts) and free:
            signs = signs_in(drawn, over=any(panel.step.kind == "turn over" for panel in made))
            pictures.append(legend(signs, free))
        kind = f"Steps {k} of {len(parts)}" if len(parts) > 1 else "Steps"
        kind = f"{UNTRIED}. {kind}" if UNTRIED in pattern.note else kind
        pages.append(replace(page, kind=kind).showing(overlaid([start, *pictures])))
    return tuple(pages)


def _text_block(text: str, body: Box) -> Picture:
    """Words at the top of a page."""
    lines = wrapped(text, PUPIL_MM, body.width)
    words = tuple(Label(line, (body.left, body.top - (k + 0.8) * LEADING_MM)) for k, line in enumerate(lines))
    return Picture(words, body._replace(bottom=body.top - len(lines) * LEADING_MM))


def _pictures(cell: Cell, drawn: list[StepPicture]) -> Iterator[Picture]:
    """All that stands in a panel: number and words, what to do and how it looks then; those two are added to what is drawn."""
    box = cell.box
    marks: list[Mark] = [Line(((box.left, box.top + BETWEEN_MM / 2), (box.right, box.top + BETWEEN_MM / 2)), "thin")]
    marks += step_badge(cell.panel.number, (box.left + BADGE_MM / 2, box.top - BADGE_MM / 2 - 0.6))
    marks += _lines(cell.lines, box.left + NUMBER_MM, box.top)
    marks += _lines(cell.side, cell.after.left, cell.before.top)
    yield Picture(tuple(marks), box)
    for made, at in ((cell.panel.before, cell.before), (cell.panel.after, cell.after)):
        picture = made(Box(0.0, 0.0, at.width, at.height))
        drawn.append(picture)
        yield picture.picture.moved(at.left, at.bottom)


def _lines(lines: Sequence[str], left: float, top: float) -> list[Label]:
    """Words line by line from a corner."""
    return [Label(line, (left, top - (n + 0.85) * LEADING_MM)) for n, line in enumerate(lines)]
