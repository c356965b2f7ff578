"""The trial record sheet: a table to fill in by hand at the tub, for one day and one object.

What is the same for all trials of the day stands once, at the head; the reasons why a hull fails stand upright, to be ticked.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from folder.draw.picture import CAP_HEIGHT, PUPIL_MM, SMALL_MM, Area, Box, Label, Line, Mark, Picture
from folder.draw.style import PAPER, SHADE
from folder.draw.text import clean, shortened, unwritable, width_mm, wrapped
from folder.paper.pages import FLOATING, LEADING_MM, Page, PaperName
from folder.paper.sheets.blank import blank
from folder.practice.trial import HAPPENED, HEADINGS

TITLE = "Trials at the tub"
DAY = tuple(HEADINGS[name] for name in ("date", "item", "mass_each_g"))
"""What is written once, at the head."""
WIDTHS_MM = {"pupil": 42.0, "pattern": 36.0, "guess": 17.0, "count": 15.0, "sheets_used": 18.0}
COLUMNS = tuple((HEADINGS[name], width) for name, width in WIDTHS_MM.items())
"""What is written in every row, and the width of its column, mm. Together with the ticks they fit A4 upright."""
REASONS = HAPPENED
"""Why hulls of pupils fail, and that there was no more room: then the hull could have held more."""
WHAT_HAPPENED = HEADINGS["happened"]
TICK_MM = 4.2
REASON_MM = 40.0
"""Height of a reason that stands upright."""
ROW_MM = 8.5
"""Height of a row for a wet hand, where the paper allows it."""
LEAST_ROWS = 20
"""Nearly a class on one page."""
WRITE_MM = 9.5
HOW_TO = "Say your guess before you load. Count what it held: the one that let the water in does not count."


def record_page(name: str = "", paper: PaperName = "a4", *, warning: str = "", names: Sequence[str] = ()) -> Page:
    """The sheet, with the name of a pattern in its column when all trials are of one; `warning` is said across it.

    `names` are written into their column from the top; those that do not fit are left out.
    """
    title = clean(name) or TITLE
    page = Page(title, "Trial record", paper, cautions=FLOATING, warning=warning)
    body = page.body
    written = sum(width for _, width in COLUMNS)
    head = Box(body.left, body.top - REASON_MM - 2 * LEADING_MM, body.right, body.top)
    rows = rows_of(page)
    high = (head.bottom - body.bottom) / rows
    marks = [*_rows(head, body.bottom, rows, high), *_day(Box(head.left, head.bottom, head.left + written - 4.0, head.top))]
    x = body.left
    for heading, width in COLUMNS:
        marks.append(Label(heading, (x + 1.5, head.bottom + 2.0), weight="bold"))
        column = {"Name": list(names[:rows]), "Pattern": [name] * rows if name else []}.get(heading, [])
        for text, y in zip(column, _baselines(head, rows, high), strict=False):
            marks += _entry(text, x + 1.5, y, width - 3.0)
        x += width
        marks.append(Line(((x, body.bottom), (x, head.bottom)), "thin"))
    marks.append(Line(((x, head.bottom), (x, head.top)), "thin"))
    marks.append(Label(WHAT_HAPPENED, (x + 2.0, head.top - LEADING_MM), weight="bold"))
    marks += _ticks(head, x, (body.right - x) / len(REASONS), rows, high)
    return page.showing(Picture(tuple(marks), body))


def rows_of(page: Page) -> int:
    """How many trials the page has room for."""
    return max(LEAST_ROWS, math.floor((page.body.height - REASON_MM - 2 * LEADING_MM) / ROW_MM))


def class_record(names: Sequence[str], name: str = "", paper: PaperName = "a4") -> tuple[Page, ...]:
    """The sheets of a class: a row for each pupil, by name where there is one, in as many sheets as that takes."""
    rows = rows_of(record_page(name, paper))
    return tuple(record_page(name, paper, names=names[k : k + rows]) for k in range(0, len(names), rows))


def _day(box: Box) -> Iterator[Mark]:
    """What is the same for all trials of the day, and how a trial goes, over the columns."""
    lines = wrapped(HOW_TO, PUPIL_MM, box.width)
    for k, line in enumerate(lines):
        yield Label(line, (box.left, box.top - (k + 0.75) * LEADING_MM))
    y = box.top - len(lines) * LEADING_MM - WRITE_MM
    yield from blank(DAY[0], box.left, y, box.left + 0.4 * box.width)
    yield from blank(DAY[2], box.left + 0.4 * box.width + 4.0, y, box.right)
    yield from blank(DAY[1], box.left, y - WRITE_MM, box.right)


def _entry(text: str, x: float, y: float, room_mm: float) -> Iterator[Label]:
    """What stands in a row already: a long name smaller, a longer one on two lines."""
    text = clean(text)
    if width_mm(text, PUPIL_MM) <= room_mm or unwritable(text):
        yield Label(shortened(text, PUPIL_MM, room_mm), (x, y))
        return
    first, *rest = wrapped(text, SMALL_MM, room_mm)
    if not rest:
        yield Label(first, (x, y + CAP_HEIGHT * (PUPIL_MM - SMALL_MM) / 2), SMALL_MM)
        return
    yield Label(first, (x, y + 2.3), SMALL_MM)
    yield Label(shortened(" ".join(rest), SMALL_MM, room_mm), (x, y - 1.0), SMALL_MM)


def _baselines(head: Box, rows: int, high: float) -> list[float]:
    return [head.bottom - (k + 0.5) * high - CAP_HEIGHT * PUPIL_MM / 2 for k in range(rows)]


def _rows(head: Box, bottom: float, rows: int, high: float) -> Iterator[Mark]:
    """The ground of every other row, and the frame."""
    for k in range(0, rows, 2):
        yield Area((Box(head.left, head.bottom - (k + 1) * high, head.right, head.bottom - k * high).corners,), SHADE)
    yield Line(((head.left, head.bottom), (head.right, head.bottom)))
    yield Line(Box(head.left, bottom, head.right, head.bottom).corners, "outline", closed=True)


def _ticks(head: Box, left: float, width: float, rows: int, high: float) -> Iterator[Mark]:
    """The reasons upright, and under each a box to tick in every row."""
    for k, reason in enumerate(REASONS):
        x = left + (k + 0.5) * width
        yield Label(reason, (x + CAP_HEIGHT * PUPIL_MM / 2, head.bottom + 2.0), rotation_rad=math.pi / 2)
        for row in range(rows):
            y = head.bottom - (row + 0.5) * high
            half = TICK_MM / 2
            yield Area((Box(x - half, y - half, x + half, y + half).corners,), PAPER, "thin")
