"""A sheet for each station: the teams that come there in their order, and a place to write for all that is noted of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from folder.draw.picture import CAP_HEIGHT, PUPIL_MM, Area, Box, Label, Line, Mark, Picture
from folder.draw.style import SHADE
from folder.draw.text import clean, shortened, wrapped
from folder.event.entry import Team
from folder.event.rules import Rules
from folder.event.words import COUNT_RULE, objects_words, title_of
from folder.paper.event.job import EventJob
from folder.paper.event.places import row_name
from folder.paper.pages import FLOATING, LEADING_MM, Page

ROW_MM = 10.5
"""Room for a wet hand."""
HEAD_MM = 8.0
SPARE = 3
"""Rows without a name at the end, for teams that come from another station."""
HOW_TO = f"{COUNT_RULE} Wrong? Strike it out and write it beside."
WRITTEN = (("Guess", 30.0), ("Held", 30.0), ("Sheets", 22.0))
NUMBER_MM = 13.0


def station_pages(job: EventJob) -> Sequence[Page]:
    """The sheets of all stations: the teams are shared out evenly, in the order of their numbers."""
    teams = [standing.result.team for standing in job.by_number]
    pages: list[Page] = []
    for k in range(job.stations):
        first, last = (len(teams) * (k + n) // job.stations for n in (0, 1))
        pages += _station(k + 1, teams[first:last], job)
    return pages


def _station(number: int, teams: Sequence[Team], job: EventJob) -> Iterator[Page]:
    blank = Page(f"Station {number}", "", job.paper, cautions=FLOATING)
    body = blank.body
    notes = [*wrapped(clean(objects_words(job.rules) or "Object:"), PUPIL_MM, body.width, "bold")[:2]]
    notes += wrapped(HOW_TO, PUPIL_MM, body.width)
    top = body.top - len(notes) * LEADING_MM - 2.0
    event = shortened(clean(title_of(job.rules)), PUPIL_MM, body.width / 2)
    rows = int((top - HEAD_MM - body.bottom) / ROW_MM)
    asked: list[Team | None] = [*teams, *[None] * SPARE]
    asked += [None] * (-len(asked) % rows)
    sheets = [asked[k : k + rows] for k in range(0, len(asked), rows)]
    for k, on_page in enumerate(sheets, 1):
        of = "" if len(sheets) == 1 else f", {k} of {len(sheets)}"
        page = Page(f"Station {number}{of}", event, job.paper, cautions=FLOATING)
        marks: list[Mark] = []
        for n, line in enumerate(notes):
            at = (body.left, body.top - (n + 0.75) * LEADING_MM)
            marks.append(Label(line, at, weight="bold" if n == 0 else "regular"))
        marks += _table(on_page, job.rules, Box(body.left, top - HEAD_MM - rows * ROW_MM, body.right, top))
        yield page.showing(Picture(tuple(marks), body))


def _table(teams: Sequence[Team | None], rules: Rules, box: Box) -> Iterator[Mark]:
    written = [column for column in WRITTEN if rules.guess or column[0] != "Guess"]
    head = box.top - HEAD_MM
    for k in range(0, len(teams), 2):
        yield Area((Box(box.left, head - (k + 1) * ROW_MM, box.right, head - k * ROW_MM).corners,), SHADE)
    room = box.width - NUMBER_MM - sum(width for _, width in written)
    x = box.left
    for n, (heading, width) in enumerate((("No.", NUMBER_MM), ("Team", room), *written)):
        yield Label(heading, (x + 1.5, head + 2.2), weight="bold")
        if n:
            yield Line(((x, box.bottom), (x, box.top)), "thin")
        x += width
    for k, team in enumerate(teams):
        if team is None:
            continue
        y = head - (k + 0.5) * ROW_MM - CAP_HEIGHT * PUPIL_MM / 2
        yield Label(str(team.number), (box.left + NUMBER_MM - 2.0, y), anchor="end", weight="bold")
        yield from row_name(team.name, box.left + NUMBER_MM + 1.5, y, room - 3.0, "regular")
    yield Line(((box.left, head), (box.right, head)))
    yield Line(box.corners, "outline", closed=True)
