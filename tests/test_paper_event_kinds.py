"""The pages of the day: every team is on them by name and number, whatever it is called, and nothing is in the way."""

from __future__ import annotations

import re

import pytest
from lxml import etree

from folder.draw.picture import PUPIL_MM, Label
from folder.draw.text import TO_WRITE, clean, printable
from folder.errors import BadRequest
from folder.event.entry import Result, Team
from folder.event.places import standings
from folder.event.rules import EventObject, Points, Rules
from folder.paper.event.job import EventJob
from folder.paper.event.kinds import EVENT_KINDS, write_event
from folder.paper.pages import PAPERS, Page
from folder.paper.svg import page_svg
from tests.overlap import overlaps
from tests.test_event_file import NAMES

RULES = Rules(name="Harbour Day", objects=(EventObject("2 cent coin", 3.06),))
LONG = Rules(
    name="x" * 300,
    objects=tuple(EventObject("a washer of a very long name indeed " * 3, 123.456) for _ in range(4)),
    order=("points", "held"),
    points=Points(1.5, -0.25, -10.0),
)
NAMED = [*NAMES, "Pike and the very long name of a team that cannot stop talking about itself", "W" * 40]


def job(rules: Rules = RULES, names: list[str] = NAMED, paper="a4", stations: int = 2, held: int | None = 40) -> EventJob:
    teams = [Team(f"{k:032x}", "", k, name) for k, name in enumerate(names, 1)]
    found = [Result(t, 50 + t.number % 7, None if held is None else held + t.number % 5, 1 + t.number % 2) for t in teams]
    return EventJob(rules, standings(rules, found), paper, stations)


def texts(pages: list[Page]) -> list[str]:
    return [mark.text for page in pages for mark in page.drawing().marks if isinstance(mark, Label)]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(
    "rules", [RULES, LONG, Rules(), Rules(guess=False, order=("held",))], ids=["plain", "long", "none", "unasked"]
)
@pytest.mark.parametrize("kind", EVENT_KINDS)
def test_nothing_is_in_the_way_whatever_teams_and_rules_are_called(kind, rules, paper):
    for names in (NAMED, []):
        for page in EVENT_KINDS[kind].maker(job(rules, names, paper)):
            assert not overlaps(page)
            etree.fromstring(page_svg(page, checked=True).encode())
            assert all(m.size_mm >= PUPIL_MM - 1e-9 for m in page.drawing().marks if isinstance(m, Label) and m.text != "!")


@pytest.mark.parametrize("kind", EVENT_KINDS)
def test_every_team_of_five_hundred_is_on_the_pages_once(kind):
    names = [f"Team {chr(65 + k % 26)}{k}" for k in range(500)]
    said = texts(list(EVENT_KINDS[kind].maker(job(names=names, stations=7))))
    assert sorted(names) == sorted(text for text in said if re.fullmatch(r"Team [A-Z]\d+", text))


def test_teams_are_shared_out_evenly_and_each_station_has_rows_to_spare():
    pages = EVENT_KINDS["stations"].maker(job(names=[f"Team {k}" for k in range(1, 12)], stations=3))
    assert ["Station 1", "Station 2", "Station 3"] == [page.title for page in pages]
    assert [3, 4, 4] == [sum(text.startswith("Team ") for text in texts([page])) for page in pages]
    with pytest.raises(BadRequest, match="stations"):
        job(stations=0)


def test_the_places_are_read_from_the_last_to_the_first_and_shared_ones_are_marked():
    rules = Rules(order=("held",))
    held = [10, 20, 20, None, 30]
    teams = [Team(f"{k:032x}", "", k, f"Team {k}") for k in range(1, 6)]
    places = standings(rules, [Result(team, held=h) for team, h in zip(teams, held, strict=True)])
    said = texts(list(EVENT_KINDS["places"].maker(EventJob(rules, places))))
    shown = [text for text in said if re.match(r"\d(st|nd|rd|th)|no result", text)]
    assert ["4th", "2nd =", "2nd =", "1st", "no result"] == shown


def test_a_name_the_font_has_no_letters_for_is_a_number_to_read_out_and_a_line_on_the_certificate():
    places = standings(RULES, [Result(Team("a", "", 7, "الزوارق"), 49, 50, 1)])
    said = {
        kind: [printable(clean(text)) for text in texts(EVENT_KINDS[kind].maker(EventJob(RULES, places)))] for kind in EVENT_KINDS
    }
    assert "Team 7" in said["places"]
    assert TO_WRITE in said["certificates"]
    assert {"7", TO_WRITE} <= set(said["slips"]) & set(said["stations"])


def test_a_certificate_says_team_place_and_what_was_held_in_grams_too():
    places = standings(RULES, [Result(Team("a", "", 1, "Otter"), 49, 50, 1), Result(Team("b", "", 2, "Pike"))])
    (page,) = EVENT_KINDS["certificates"].maker(EventJob(RULES, places))
    said = texts([page])
    assert {"Otter", "1st place", "guessed 49, 1 off", "Harbour Day"} <= set(said)
    assert f"Our hull held 50 × 2 cent coin, {50 * 3.06:g} g" in said
    assert "Pike" not in said


def test_where_nobody_is_asked_for_a_guess_no_page_asks_for_one():
    pages = [page for kind in EVENT_KINDS.values() for page in kind.maker(job(Rules(guess=False, order=("held",))))]
    assert not [text for text in texts(pages) if "guess" in text.lower()]


def test_names_stand_on_slips_as_they_are_up_to_what_fits():
    said = " ".join(texts(list(EVENT_KINDS["slips"].maker(job()))))
    for name in NAMES[:5]:
        assert clean(name) in said


def test_each_kind_is_a_pdf_of_its_own_and_a_second_printing_takes_a_number(tmp_path):
    first = write_event(job(names=["Otter"]), list(EVENT_KINDS), "Harbour Day", tmp_path)
    second = write_event(job(names=["Otter"]), ["places"], "Harbour Day", tmp_path)
    assert [f"harbour-day-{kind}-a4.pdf" for kind in EVENT_KINDS] == [path.name for path in first if path.suffix == ".pdf"]
    assert ["harbour-day-places-2-a4.svg", "harbour-day-places-2-a4.pdf"] == [path.name for path in second]


@pytest.mark.parametrize("kind", EVENT_KINDS)
def test_a_name_of_a_line_and_a_half_is_whole_on_every_page(kind):
    name = "The Very Unsinkable Paddle Steamers of Class 4b"
    said = " ".join(texts(list(EVENT_KINDS[kind].maker(job(names=["Heron", name, "Pike"])))))
    assert name in said
    assert "…" not in said


def test_a_name_on_a_certificate_is_larger_than_its_place():
    pages = EVENT_KINDS["certificates"].maker(job(names=["The Very Unsinkable Paddle Steamers of Class 4b"]))
    sizes = {mark.text: mark.size_mm for mark in pages[0].drawing().marks if isinstance(mark, Label)}
    assert sizes["1st place"] < min(size for text, size in sizes.items() if "Unsinkable" in text or "Class" in text)
