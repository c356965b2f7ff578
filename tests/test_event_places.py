"""Who comes where: worked by hand, and against a ranking of its own."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from folder.event.entry import Entry, Result, Team, numbered, results
from folder.event.places import points_of, standings
from folder.event.rules import Points, Rules
from tests.strategies import tried

POINTS = Points(per_object=2.0, per_guess_off=-0.5, per_extra_sheet=-10.0)


def result(number: int, guess: int | None = None, held: int | None = None, sheets: int | None = None) -> Result:
    return Result(Team(f"{number:032x}", "", number, f"Team {number}"), guess, held, sheets)


def places(rules: Rules, *rows: tuple[int | None, int | None, int | None]) -> list[int | None]:
    """The places of rows of guess, held, sheets, in the order of the rows."""
    found = {s.result.team.number: s.place for s in standings(rules, [result(i, *row) for i, row in enumerate(rows)])}
    return [found[i] for i in range(len(rows))]


@pytest.mark.parametrize(
    ("expected", "rules", "rows"),
    [
        ([], Rules(), []),
        ([1], Rules(), [(50, 50, 1)]),
        ([2, 1], Rules(), [(50, 50, 1), (50, 51, 2)]),  # more held wins, sheets and guess aside
        ([2, 1], Rules(), [(50, 50, 2), (9, 50, 1)]),  # the same held: fewer sheets
        ([2, 1], Rules(), [(40, 50, 1), (55, 50, 1)]),  # the same sheets: the nearer guess, above or below
        ([1, 1], Rules(), [(45, 50, 1), (55, 50, 1)]),  # as far above as below: shared
        ([1, 2, 2, 4], Rules(), [(50, 60, 1), (50, 50, 1), (50, 50, 1), (50, 40, 1)]),
        ([1, 1, 1, 4], Rules(), [(5, 5, 1), (5, 5, 1), (5, 5, 1), (5, 4, 1)]),
        ([None, 1], Rules(), [(50, None, 1), (None, 0, None)]),  # without a result no place; holding none is a result
        ([None, None], Rules(), [(50, None, 1), (None, None, None)]),
        ([2, 1], Rules(), [(None, 50, 1), (99, 50, 1)]),  # no guess is worse than any
        ([1, 1], Rules(guess=False), [(50, 50, 1), (10, 50, 1)]),  # nobody was asked: the guess decides nothing
        ([2, 1], Rules(), [(50, 50, None), (50, 50, 2)]),  # sheets that nobody noted are worse than any
        ([1, 2], Rules(order=("guess", "held")), [(10, 10, 2), (50, 60, 1)]),
        ([1, 1], Rules(order=("guess",)), [(10, 11, 2), (50, 51, 1)]),
        ([1, 1], Rules(order=("held",)), [(10, 50, 2), (50, 50, 1)]),
        ([1, 2], Rules(order=("sheets", "held")), [(0, 1, 1), (0, 99, 2)]),
        ([2, 1], Rules(order=("points",), points=POINTS), [(50, 50, 2), (44, 46, 1)]),  # 100 - 10 = 90; 92 - 1 = 91
        ([1, 1], Rules(order=("points",), points=POINTS), [(50, 50, 2), (45, 45, 1)]),  # 90; 90
        ([2, 1], Rules(order=("points", "sheets"), points=POINTS), [(50, 50, 2), (45, 45, 1)]),
        ([2, 1], Rules(order=("points",), points=POINTS), [(None, 20, 1), (5, 20, 1)]),  # no guess: 20 off
        ([1, 2, 3], Rules(), [(9, 30, 2), (30, 29, 1), (28, 28, 1)]),  # held before all else
        ([1, 1, 3, 3, 5], Rules(order=("held",)), [(1, 9, 1), (2, 9, 2), (3, 8, 1), (4, 8, 2), (5, 7, 1)]),
        ([None, None, 1], Rules(), [(4, None, 2), (None, None, 1), (None, 0, None)]),  # none held is a result, none noted is none
        ([1, 2, 3], Rules(order=("guess", "sheets")), [(12, 10, 1), (12, 10, 2), (None, 10, 1)]),
        ([2, 1, 3], Rules(order=("sheets", "guess")), [(40, 50, 1), (51, 50, 1), (50, 50, 2)]),
        ([1, 2], Rules(order=("points", "held"), points=Points(1.0, -1.0)), [(30, 30, 1), (None, 60, 1)]),  # 30 - 0; 60 - 60
        (
            [1, 1],
            Rules(order=("points",), points=Points(0.0, 0.0, -1.0)),
            [(1, 9, 1), (1, 2, None)],
        ),  # a sheet nobody noted is the first
        (
            [2, 3, 1],
            Rules(order=("points",), points=Points(-1.0)),
            [(1, 5, 1), (1, 9, 1), (1, 2, 1)],
        ),  # fewest is best where points say so
        ([1, 2, 2], Rules(order=("points", "guess"), points=Points(1.0), guess=False), [(1, 9, 1), (8, 8, 1), (2, 8, 1)]),
        ([1, 2, 2, 2, 5], Rules(sheets=3), [(1, 9, 1), (8, 9, 2), (10, 9, 2), (8, 9, 2), (9, 9, 3)]),
    ],
)
def test_places_worked_by_hand(expected, rules, rows):
    assert expected == places(rules, *rows)


def test_points_worked_by_hand():
    rules = Rules(points=POINTS)
    assert 100.0 - 2.0 - 10.0 == points_of(result(1, 46, 50, 2), rules)
    assert 0.0 == points_of(result(1, 0, 0, 1), rules)
    assert points_of(result(1, 5, None, 1), rules) is None
    assert points_of(result(1, 5, 5, 1), Rules()) is None


def test_points_that_are_equal_in_decimals_share_a_place():
    """0.1 times 3 is 0.3 on paper, and so it is here; as binary numbers it comes out larger."""
    assert 0.1 * 3 > 0.3
    rules = Rules(order=("points",), points=Points(0.1, 0.3, 0.0))
    assert [1, 1] == places(rules, (3, 3, 1), (1, 0, 1))


def test_where_nobody_is_asked_for_a_guess_nobody_is_off():
    rules = Rules(order=("points",), guess=False, points=Points(1.0, -1.0))
    assert [2, 1] == places(rules, (30, 30, 1), (None, 31, 1))


NUMBERS = st.none() | st.integers(0, 4)


@given(st.lists(st.tuples(NUMBERS, NUMBERS, st.none() | st.integers(1, 2)), max_size=12))
@tried(100)
def test_a_place_is_one_more_than_the_teams_that_are_better(rows):
    """The definition of standard competition ranking, counted pair by pair."""

    def better(one, other):
        guess_1, held_1, sheets_1 = one
        guess_2, held_2, sheets_2 = other
        if held_1 != held_2:
            return held_1 > held_2
        if sheets_1 != sheets_2:
            return sheets_2 is None or (sheets_1 is not None and sheets_1 < sheets_2)
        if guess_1 is None or guess_2 is None:
            return guess_1 is not None and guess_2 is None
        return abs(guess_1 - held_1) < abs(guess_2 - held_2)

    expected = [
        None if held is None else 1 + sum(o[1] is not None and better(o, (guess, held, sheets)) for o in rows)
        for guess, held, sheets in rows
    ]
    assert expected == places(Rules(), *rows)


def test_what_was_noted_last_counts_and_a_correction_touches_nothing_else():
    team = Team("a", "2026-01-01", 1, "Reef")
    entries = [
        Entry("2", "2026-01-01T10:02", "B", "a", held=44),
        Entry("1", "2026-01-01T10:01", "A", "a", guess=40, held=4, sheets=2),
        Entry("3", "2026-01-01T10:03", "B", "nobody", held=99),
    ]
    assert (Result(team, 40, 44, 2),) == results([team], entries)


def test_of_two_teams_with_one_number_the_earlier_keeps_it_in_whatever_order_they_come():
    early, late, third = Team("a", "10:00", 1, "Reef"), Team("b", "10:01", 1, "Tern"), Team("c", "10:02", 2, "Skua")
    expected = [(1, "Reef"), (2, "Skua"), (3, "Tern")]
    assert expected == [(t.number, t.name) for t in numbered([early, late, third])]
    assert expected == [(t.number, t.name) for t in numbered([third, late, early])]
    assert [*expected, (4, "Auk")] == [(t.number, t.name) for t in numbered([early, late, third, Team("d", "11:00", 4, "Auk")])]
