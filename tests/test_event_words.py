"""Rules in plain words: each rule once, none that is not ruled."""

from __future__ import annotations

import pytest

from folder.event.entry import Result, Team
from folder.event.rules import EventObject, Points, Rules
from folder.event.words import held_words, order_words, ordinal, rule_lines, rules_line

CENT = EventObject("cent", 2.5)


@pytest.mark.parametrize(
    ("expected", "place"),
    [("1st", 1), ("2nd", 2), ("3rd", 3), ("4th", 4), ("11th", 11), ("12th", 12), ("13th", 13), ("21st", 21), ("111th", 111)],
)
def test_a_place_is_read_as_it_is_said(expected, place):
    assert expected == ordinal(place)


def test_the_order_is_said_from_first_to_last_without_a_guess_nobody_was_asked_for():
    assert "most held, then fewest sheets, then nearest guess" == order_words(Rules())
    assert "most points, then most held" == order_words(Rules(order=("points", "guess", "held"), guess=False, points=Points()))


def test_what_is_not_ruled_is_not_said():
    plain = " ".join(rule_lines(Rules()))
    full = " ".join(
        rule_lines(Rules(footprint_mm=(75, 100), wall_most_mm=25, one_hold=True, objects=(CENT,), build_min=20, load_min=5))
    )
    for words in ("75 × 100 mm", "25 mm", "One open floor", "cent, 2.5 g each", "20 min to build, 5 min to load"):
        assert words in full
        assert words not in plain


def test_the_short_line_names_the_event_and_what_binds_the_hull():
    line = rules_line(Rules(name="Harbour Day", sheets=1, cuts="allowed", footprint_mm=(75, 100), wall_most_mm=25))
    assert "Harbour Day: sheet 150 × 150 mm, 1 sheet, cuts allowed, fits 75 × 100 mm, walls up to 25 mm." == line


@pytest.mark.parametrize(
    ("expected", "held", "objects"),
    [
        ("50 × cent, 125 g", 50, (CENT,)),
        ("0 × cent", 0, (CENT,)),
        ("7 × bean", 7, (EventObject("bean"),)),
        ("7 objects", 7, (CENT, CENT)),
        ("7 objects", 7, ()),
        ("", None, (CENT,)),
    ],
)
def test_what_was_held_is_said_in_grams_where_one_mass_is_announced(expected, held, objects):
    assert expected == held_words(Rules(objects=objects), Result(Team("a", "", 1, "Otter"), held=held))
