"""The places to read out: from the last to the first, down the page, so that nobody's finger runs ahead."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import accumulate

from folder.draw.picture import CAP_HEIGHT, PUPIL_MM, Area, Box, FontWeight, Label, Line, Mark, Picture
from folder.draw.style import SHADE
from folder.draw.text import clean, unwritable, wrapped
from folder.event.entry import Team
from folder.event.places import Standing
from folder.event.rules import Rules
from folder.event.words import objects_words, order_words, ordinal, title_of
from folder.paper.event.job import EventJob
from folder.paper.event.slips import name_lines
from folder.paper.pages import LEADING_MM, Page

ROWS_MM = (8.4, 10.2, 14.9)
"""Height of the rows where a name needs one line, two, three."""
HEAD_MM = 8.0
PLACE_MM = 24.0
NUMBERS = (("Guess", 18.0), ("Held", 16.0), ("Off", 14.0), ("Sheets", 20.0))
POINTS_MM = 24.0
NAME_GAP_MM = 3.0
TIGHT_MM = 4.7
"""From line to line of such a name."""


def places_pages(job: EventJob) -> Sequence[Page]:
    """The places, the last first; who has no result stands at the end."""
    placed = [standing for standing in job.standings if standing.place is not None]
    ordered = [*reversed(placed), *(standing for standing in job.standings if standing.place is None)]
    blank = Page("", "", job.paper)
    body = blank.body
    notes = [*wrapped(f"Places: {order_words(job.rules)}. Read down the page: the last is read first.", PUPIL_MM, body.width)]
    notes += wrapped(clean(objects_words(job.rules)), PUPIL_MM, body.width)[:2]
    top = body.top - len(notes) * LEADING_MM - 2.0
    room = _name_room(job.rules, body.width)
    sheets: list[list[Standing]] = [[]]
    left = top - HEAD_MM - body.bottom
    for standing in ordered:
        high = _row_mm(standing, room)
        if high > left:
            sheets.append([])
            left = top - HEAD_MM - body.bottom
        sheets[-1].append(standing)
        left -= high
    shared = {place for place in (s.place for s in placed) if sum(s.place == place for s in placed) > 1}
    pages = []
    for k, on_page in enumerate(sheets, 1):
        kind = "Places" if len(sheets) == 1 else f"Places {k} of {len(sheets)}"
        page = Page(title_of(job.rules), kind, job.paper)
        marks: list[Mark] = [Label(line, (body.left, body.top - (n + 0.75) * LEADING_MM)) for n, line in enumerate(notes)]
        box = Box(body.left, top - HEAD_MM - sum(_row_mm(each, room) for each in on_page), body.right, top)
        marks += _table(on_page, job.rules, shared, box)
        pages.append(page.showing(Picture(tuple(marks), body)))
    return pages


def _numbers(rules: Rules) -> list[tuple[str, float]]:
    """The columns of numbers, and how wide they are, mm."""
    asked = [column for column in NUMBERS if rules.guess or column[0] not in ("Guess", "Off")]
    return asked if rules.points is None else [*asked, ("Points", POINTS_MM)]


def _name_room(rules: Rules, row_w: float) -> float:
    """What is left of a row for the name, mm."""
    return row_w - PLACE_MM - sum(width for _, width in _numbers(rules)) - NAME_GAP_MM


def _name(team: Team) -> str:
    """What is read out: the name, and the number where the page has no letters for it."""
    name = clean(team.name)
    return f"Team {team.number} {name}" if unwritable(name, "bold") else name


def _row_mm(standing: Standing, room_mm: float) -> float:
    """Height of a row: as many lines as the name needs."""
    name = _name(standing.result.team)
    lines = 1 if unwritable(clean(standing.result.team.name), "bold") else len(wrapped(name, PUPIL_MM, room_mm, "bold"))
    return ROWS_MM[min(max(lines, 1), len(ROWS_MM)) - 1]


def _table(standings: Sequence[Standing], rules: Rules, shared: set[int | None], box: Box) -> Iterator[Mark]:
    numbers = _numbers(rules)
    room = _name_room(rules, box.width) + NAME_GAP_MM
    head = box.top - HEAD_MM
    tops = list(accumulate((-_row_mm(each, room - NAME_GAP_MM) for each in standings), initial=head))
    for k in range(0, len(standings), 2):
        yield Area((Box(box.left, tops[k + 1], box.right, tops[k]).corners,), SHADE)
    yield Label("Place", (box.left + 1.5, head + 2.2), weight="bold")
    yield Label("Team", (box.left + PLACE_MM, head + 2.2), weight="bold")
    right = box.left + PLACE_MM + room
    for heading, width in numbers:
        right += width
        yield Label(heading, (right - 1.5, head + 2.2), anchor="end", weight="bold")
    for k, standing in enumerate(standings):
        y, team = (tops[k] + tops[k + 1]) / 2 - CAP_HEIGHT * PUPIL_MM / 2, standing.result.team
        place = "no result" if standing.place is None else ordinal(standing.place)
        if standing.place in shared:
            place += " ="
        yield Label(place, (box.left + 1.5, y), weight="regular" if standing.place is None else "bold")
        most = 1 if unwritable(clean(team.name), "bold") else len(ROWS_MM)
        yield from row_name(_name(team), box.left + PLACE_MM, y, room - NAME_GAP_MM, "bold", most)
        right = box.left + PLACE_MM + room
        for heading, width in numbers:
            right += width
            yield _number(_value(standing, heading), right - 1.5, y)
    yield Line(((box.left, head), (box.right, head)))
    yield Line(((box.left, box.bottom), (box.right, box.bottom)), "thin")


def row_name(name: str, left: float, y: float, room_mm: float, weight: FontWeight, most: int = 2) -> Iterator[Label]:
    """A name in a row of a table, on so many lines at most; `y` is where a single line stands."""
    lines = name_lines(name, PUPIL_MM, room_mm, most, weight)
    for k, line in enumerate(lines):
        yield Label(line, (left, y + TIGHT_MM * ((len(lines) - 1) / 2 - k)), weight=weight)


def _value(standing: Standing, heading: str) -> float | None:
    if heading == "Points":
        return standing.points
    value: int | None = getattr(standing.result, heading.lower())
    return value


def _number(value: float | None, right: float, y: float) -> Label:
    return Label("–" if value is None else f"{value:g}", (right, y), anchor="end")
