"""Slips: one for each team, to be cut apart, filled in by hand at the tub and handed in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from folder.draw.picture import PUPIL_MM, Box, FontWeight, Label, Line, Mark, Picture
from folder.draw.text import clean, shortened, width_mm, wrapped
from folder.event.entry import Team
from folder.event.rules import Rules
from folder.event.words import objects_words, title_of
from folder.paper.event.job import EventJob
from folder.paper.pages import LEADING_MM, Page
from folder.paper.sheets.blank import blank

ACROSS = 2
DOWN = 4
PAD_MM = 5.0
NAME_MM = 5.4
NUMBER_MM = 9.0
RAISED_MM = 3.0
"""How much higher a name of three lines begins."""
WRITE_MM = 13.5
"""From one line to write on to the next."""


def slip_pages(job: EventJob) -> Sequence[Page]:
    """The slips, eight to a page; without teams, a page of blank ones."""
    teams: list[Team | None] = [standing.result.team for standing in job.by_number] or [None] * (ACROSS * DOWN)
    sheets = [teams[k : k + ACROSS * DOWN] for k in range(0, len(teams), ACROSS * DOWN)]
    pages = []
    for k, on_page in enumerate(sheets, 1):
        kind = "Slips" if len(sheets) == 1 else f"Slips {k} of {len(sheets)}"
        page = Page(title_of(job.rules), kind, job.paper)
        body = page.body
        wide, high = body.width / ACROSS, body.height / DOWN
        marks: list[Mark] = []
        for n, team in enumerate(on_page):
            left, top = body.left + n % ACROSS * wide, body.top - n // ACROSS * high
            marks += _slip(team, job.rules, Box(left, top - high, left + wide, top))
        pages.append(page.showing(Picture(tuple(marks), body)))
    return pages


def _slip(team: Team | None, rules: Rules, box: Box) -> Iterator[Mark]:
    yield Line(box.corners, "crease", closed=True)
    inner = box.grown(-PAD_MM)
    y = inner.top - 0.72 * NUMBER_MM
    if team is None:
        yield from blank("Team", inner.left, y, inner.right)
    else:
        number = str(team.number)
        yield Label(number, (inner.left, y), NUMBER_MM, weight="bold")
        left = inner.left + width_mm(number, NUMBER_MM, "bold") + 4.0
        size, lines = sized_name(team.name, inner.right - left, ((NAME_MM, 2), (PUPIL_MM, 3)))
        first = y + (RAISED_MM if len(lines) > 2 else 0.0)
        for k, line in enumerate(lines):
            yield Label(line, (left, first - k * 1.2 * size), size, weight="bold")
    y -= 1.2 * NAME_MM + LEADING_MM + 3.0
    if rules.objects:
        yield Label(shortened(clean(objects_words(rules)), PUPIL_MM, inner.width), (inner.left, y))
    else:
        yield from blank("Object", inner.left, y, inner.right)
    middle = inner.middle[0]
    y -= WRITE_MM
    if rules.guess:
        yield from blank("Our guess", inner.left, y, middle - 2.0)
    yield from blank("It held", middle + 2.0, y, inner.right)
    y -= WRITE_MM
    yield from blank("Sheets", inner.left, y, middle - 2.0)
    yield from blank("Station", middle + 2.0, y, inner.right)


def sized_name(name: str, room_mm: float, sizes: Sequence[tuple[float, int]]) -> tuple[float, tuple[str, ...]]:
    """A bold name in the first of the sizes in which it is whole in so many lines, else shortened in the last; and its lines."""
    for size, most in sizes:
        lines = wrapped(clean(name), size, room_mm, "bold")
        if len(lines) <= most:
            return size, lines
    size, most = sizes[-1]
    return size, name_lines(name, size, room_mm, most)


def name_lines(name: str, size_mm: float, room_mm: float, most: int, weight: FontWeight = "bold") -> tuple[str, ...]:
    """A name in at most so many lines, the last shortened where it goes on."""
    lines = wrapped(clean(name), size_mm, room_mm, weight)
    if len(lines) <= most:
        return lines
    rest = " ".join(lines[most - 1 :])
    return (*lines[: most - 1], shortened(rest, size_mm, room_mm, weight))
