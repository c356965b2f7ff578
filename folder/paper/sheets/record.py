"""The trial record sheet: a table to fill in by hand at the tub."""

from __future__ import annotations

import math
from collections.abc import Iterator

from folder.draw.picture import CAP_HEIGHT, PUPIL_MM, Area, Box, Label, Line, Mark, Picture
from folder.draw.style import PAPER, SHADE
from folder.draw.text import clean, shortened
from folder.paper.pages import FLOATING, LEADING_MM, Page, PaperName
from folder.practice.trial import HAPPENED

TITLE = "Trials at the tub"
COLUMNS = (
    ("Date", 22.0),
    ("Name", 36.0),
    ("Pattern", 38.0),
    ("Object", 30.0),
    ("each, g", 19.0),
    ("Guess", 17.0),
    ("Held", 15.0),
    ("Sheets", 18.0),
)
"""What is written, and the least width of its column, mm. Together with the ticks they fit Letter on its side."""
REASONS = HAPPENED[:-1]
"""Why hulls of pupils fail; that there was no more room is seen from the count."""
WHAT_HAPPENED = "What happened first?"
TICK_MM = 4.2
REASON_MM = 40.0
"""Height of a reason that stands upright."""
ROW_MM = 10.5
"""Least height of a row: room for a wet hand."""
HOW_TO = "Say your guess before you load. Count what it held: the one that let the water in does not count."


def record_page(name: str = "", paper: PaperName = "a4", *, warning: str = "") -> Page:
    """The sheet, with the name of a pattern in its column when all trials are of one; `warning` is said across it."""
    title = clean(name) or TITLE
    page = Page(title, "Trial record", paper, landscape=True, cautions=FLOATING, warning=warning)
    body = page.body
    tick = (body.width - sum(width for _, width in COLUMNS)) / len(REASONS)
    head = Box(body.left, body.top - LEADING_MM - REASON_MM - 2 * LEADING_MM, body.right, body.top - 1.5 * LEADING_MM)
    rows = math.floor((head.bottom - body.bottom) / ROW_MM)
    high = (head.bottom - body.bottom) / rows
    marks: list[Mark] = [Label(HOW_TO, (body.left, body.top - 0.75 * LEADING_MM))]
    marks += _rows(head, body.bottom, rows, high)
    x = body.left
    for heading, width in COLUMNS:
        marks.append(Label(heading, (x + 1.5, head.bottom + 2.0), weight="bold"))
        if heading == "Pattern" and name:
            text = shortened(clean(name), PUPIL_MM, width - 3.0)
            marks += [Label(text, (x + 1.5, y)) for y in _baselines(head, rows, high)]
        x += width
        marks.append(Line(((x, body.bottom), (x, head.top)), "thin"))
    marks.append(Label(WHAT_HAPPENED, (x + 2.0, head.top - LEADING_MM), weight="bold"))
    marks += _ticks(head, x, tick, rows, high)
    return page.showing(Picture(tuple(marks), body))


def _baselines(head: Box, rows: int, high: float) -> list[float]:
    return [head.bottom - (k + 0.5) * high - CAP_HEIGHT * PUPIL_MM / 2 for k in range(rows)]


def _rows(head: Box, bottom: float, rows: int, high: float) -> Iterator[Mark]:
    """The ground of every other row, and the frame."""
    for k in range(0, rows, 2):
        yield Area((Box(head.left, head.bottom - (k + 1) * high, head.right, head.bottom - k * high).corners,), SHADE)
    yield Line(((head.left, head.bottom), (head.right, head.bottom)))
    yield Line(Box(head.left, bottom, head.right, head.top).corners, "outline", closed=True)


def _ticks(head: Box, left: float, width: float, rows: int, high: float) -> Iterator[Mark]:
    """The reasons upright, and under each a box to tick in every row."""
    for k, reason in enumerate(REASONS):
        x = left + (k + 0.5) * width
        yield Label(reason, (x + CAP_HEIGHT * PUPIL_MM / 2, head.bottom + 2.0), rotation_rad=math.pi / 2)
        for row in range(rows):
            y = head.bottom - (row + 0.5) * high
            half = TICK_MM / 2
            yield Area((Box(x - half, y - half, x + half, y + half).corners,), PAPER, "thin")
