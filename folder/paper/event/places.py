"""The places to read out: from the last to the first, down the page, so that nobody's finger runs ahead."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from folder.draw.picture import CAP_HEIGHT, PUPIL_MM, Area, Box, Label, Line, Mark, Picture
from folder.draw.style import SHADE
from folder.draw.text import clean, shortened, wrapped
from folder.event.places import Standing
from folder.event.rules import Rules
from folder.event.words import objects_words, order_words, ordinal, title_of
from folder.paper.event.kinds import EventJob
from folder.paper.pages import LEADING_MM, Page

ROW_MM = 8.4
HEAD_MM = 8.0
PLACE_MM = 24.0
NUMBERS = (("Guess", 18.0), ("Held", 16.0), ("Off", 14.0), ("Sheets", 20.0))
POINTS_MM = 24.0


def places_pages(job: EventJob) -> Sequence[Page]:
    """The places, the last first; who has no result stands at the end."""
    placed = [standing for standing in job.standings if standing.place is not None]
    ordered = [*reversed(placed), *(standing for standing in job.standings if standing.place is None)]
    blank = Page("", "", job.paper)
    body = blank.body
    notes = [*wrapped(f"Places: {order_words(job.rules)}. Read down the page: the last is read first.", PUPIL_MM, body.width)]
    notes += wrapped(clean(objects_words(job.rules)), PUPIL_MM, body.width)[:2]
    top = body.top - len(notes) * LEADING_MM - 2.0
    rows = int((top - HEAD_MM - body.bottom) / ROW_MM)
    sheets = [ordered[k : k + rows] for k in range(0, len(ordered), rows)] or [[]]
    shared = {place for place in (s.place for s in placed) if sum(s.place == place for s in placed) > 1}
    pages = []
    for k, on_page in enumerate(sheets, 1):
        kind = "Places" if len(sheets) == 1 else f"Places {k} of {len(sheets)}"
        page = Page(title_of(job.rules), kind, job.paper)
        marks: list[Mark] = [Label(line, (body.left, body.top - (n + 0.75) * LEADING_MM)) for n, line in enumerate(notes)]
        box = Box(body.left, top - HEAD_MM - len(on_page) * ROW_MM, body.right, top)
        marks += _table(on_page, job.rules, shared, box)
        pages.append(page.showing(Picture(tuple(marks), body)))
    return pages


def _table(standings: Sequence[Standing], rules: Rules, shared: set[int | None], box: Box) -> Iterator[Mark]:
    numbers = [column for column in NUMBERS if rules.guess or column[0] not in ("Guess", "Off")]
    if rules.points is not None:
        numbers.append(("Points", POINTS_MM))
    room = box.width - PLACE_MM - sum(width for _, width in numbers)
    head = box.top - HEAD_MM
    for k in range(0, len(standings), 2):
        yield Area((Box(box.left, head - (k + 1) * ROW_MM, box.right, head - k * ROW_MM).corners,), SHADE)
    yield Label("Place", (box.left + 1.5, head + 2.2), weight="bold")
    yield Label("Team", (box.left + PLACE_MM, head + 2.2), weight="bold")
    right = box.left + PLACE_MM + room
    for heading, width in numbers:
        right += width
        yield Label(heading, (right - 1.5, head + 2.2), anchor="end", weight="bold")
    for k, standing in enumerate(standings):
        y, team = head - (k + 0.5) * ROW_MM - CAP_HEIGHT * PUPIL_MM / 2, standing.result.team
        place = "no result" if standing.place is None else ordinal(standing.place)
        if standing.place in shared:
            place += " ="
        yield Label(place, (box.left + 1.5, y), weight="regular" if standing.place is None else "bold")
        yield Label(shortened(clean(team.name), PUPIL_MM, room - 3.0, "bold"), (box.left + PLACE_MM, y), weight="bold")
        right = box.left + PLACE_MM + room
        for heading, width in numbers:
            right += width
            yield _number(_value(standing, heading), right - 1.5, y)
    yield Line(((box.left, head), (box.right, head)))
    yield Line(((box.left, box.bottom), (box.right, box.bottom)), "thin")


def _value(standing: Standing, heading: str) -> float | None:
    if heading == "Points":
        return standing.points
    value: int | None = getattr(standing.result, heading.lower())
    return value


def _number(value: float | None, right: float, y: float) -> Label:
    return Label("–" if value is None else f"{value:g}", (right, y), anchor="end")
