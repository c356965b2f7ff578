"""Certificates: one page for each team that has a result, with its place and what its hull held."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache

from folder.draw.picture import PUPIL_MM, Area, Box, Label, Line, Mark, Picture
from folder.draw.style import FOIL, GUIDE, PAPER, SHADE
from folder.draw.text import clean, shortened
from folder.event.places import Standing
from folder.event.rules import Rules
from folder.event.words import held_words, ordinal, title_of
from folder.findings import Point
from folder.paper.event.job import EventJob
from folder.paper.event.slips import sized_name
from folder.paper.pages import Page
from folder.paper.sheets.blank import blank

NAMES = ((17.0, 1), (13.0, 1), (13.0, 2), (10.0, 2), (7.5, 2))
"""Sizes of a name, mm, and in how many lines: it stays larger than what is said of it as long as it can."""
PLACE_MM = 12.0
SAID_MM = 6.4
HULL_MM = 120.0
LEAST_RESULTS = "There are no results yet: nobody has a certificate."


def certificate_pages(job: EventJob) -> Sequence[Page]:
    """One page a team, the first place first. With no result yet, one page that says so."""
    placed = [standing for standing in job.standings if standing.place is not None]
    shared = {standing.place for standing in placed if sum(s.place == standing.place for s in placed) > 1}
    blank_page = Page(title_of(job.rules), "Certificate", job.paper, landscape=True)
    if not placed:
        body = blank_page.body
        return (blank_page.showing(Picture((Label(LEAST_RESULTS, (body.left, body.top - 10.0)),), body)),)
    return [_certificate(blank_page, job.rules, standing, standing.place in shared) for standing in placed]


def _certificate(page: Page, rules: Rules, standing: Standing, shared: bool) -> Page:
    body, result = page.body, standing.result
    middle, y = body.middle[0], body.top - 16.0
    marks: list[Mark] = []
    size, lines = sized_name(result.team.name, body.width - 24.0, NAMES)
    for line in lines:
        y -= 0.8 * size
        marks.append(Label(line, (middle, y), size, "middle", "bold"))
        y -= 0.5 * size
    y -= 14.0
    place = f"{ordinal(standing.place)} place" if standing.place is not None else ""
    marks.append(Label(f"{place}, shared" if shared else place, (middle, y), PLACE_MM, "middle"))
    y -= 15.0
    held = shortened(f"Our hull held {clean(held_words(rules, result))}", SAID_MM, body.width)
    marks.append(Label(held, (middle, y), SAID_MM, "middle"))
    y -= 1.6 * SAID_MM
    if result.guess is not None and rules.guess:
        off = "exactly as guessed" if result.off == 0 else f"guessed {result.guess}, {result.off} off"
        marks.append(Label(off, (middle, y), PUPIL_MM, "middle", colour=GUIDE))
    foot = body.bottom + 4.0
    marks += blank("Date", body.left + 8.0, foot, body.left + 80.0)
    marks += blank("Signed", body.right - 110.0, foot, body.right - 8.0)
    room = Box(middle - HULL_MM / 2, foot + 14.0, middle + HULL_MM / 2, y - 6.0)
    return page.showing(Picture((*_afloat_in(room).marks, *marks), body))


@lru_cache(maxsize=16)
def _afloat_in(room: Box) -> Picture:
    """The tray afloat in the middle of its room: on most certificates of a day it is the same."""
    return _afloat().fitted(room)


def _afloat() -> Picture:
    """A tray afloat with its load, seen a little from above: lines only, so that it prints in any grey."""
    low, high, deep, rise = 34.0, 44.0, 8.0, 13.0
    floor = ((-low, -3.0), (low - 6.0, -3.0), (low, deep - 3.0), (-low + 6.0, deep - 3.0))
    rim = ((-high, rise - 3.0), (high - 8.0, rise - 3.0), (high, rise + 1.6 * deep), (-high + 8.0, rise + 1.6 * deep))
    marks: list[Mark] = [Area((rim,), SHADE), Area((floor,), PAPER)]
    marks += [Area(((rim[k], rim[(k + 1) % 4], floor[(k + 1) % 4], floor[k]),), fill, "thin") for k, fill in _WALLS]
    marks += [mark for x, y in _LOAD for mark in _disc(x, y)]
    # The wall in front hides what stands behind it.
    marks += [Area(((rim[0], rim[1], floor[1], floor[0]),), PAPER, "outline"), Line(rim, "outline", closed=True)]
    for n, y in enumerate((3.0, -1.0, -5.0)):
        marks += _wave(y, -78.0 + 9.0 * n, 78.0 - 9.0 * n, n == 0)
    return Picture(tuple(marks), Box(-80.0, -8.0, 80.0, 30.0))


_WALLS = ((2, FOIL), (1, FOIL), (3, SHADE))
_LOAD = ((-22.0, 9.0), (-8.0, 9.0), (6.0, 9.0), (20.0, 9.0), (-15.0, 12.0), (-1.0, 12.0), (13.0, 12.0))


def _disc(x: float, y: float) -> Iterator[Mark]:
    """A flat round object."""
    ring = tuple((x + 6.5 * math.cos(t), y + 2.4 * math.sin(t)) for t in (2 * math.pi * k / 32 for k in range(32)))
    yield Area((tuple((px, py - 2.2) for px, py in ring),), PAPER, "thin")
    yield Area((ring,), PAPER, "thin")


def _wave(y: float, left: float, right: float, broken: bool) -> Iterator[Mark]:
    """A line of water; the highest is broken where the hull stands in it."""

    def line(start: float, end: float) -> Line:
        count = max(int((end - start) / 1.0), 2)
        places: list[Point] = []
        for k in range(count + 1):
            x = start + (end - start) * k / count
            places.append((x, y + 0.8 * math.sin(x / 3.2)))
        return Line(tuple(places), "outline", colour=GUIDE)

    if broken:
        yield from (line(left, -38.0), line(38.0, right))
    else:
        yield line(left, right)
