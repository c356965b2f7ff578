"""Drills: right, from the day, and of every way of working something in every grade."""

from __future__ import annotations

import math
import re
from collections import Counter
from decimal import Decimal
from fractions import Fraction

import pytest

from folder.cargo.division.arithmetic import ROUND
from folder.cargo.division.drill import GRADES, TWO_DIGITS, VARYING, WEIGHED, Problem, drill
from folder.cargo.division.tables import TABLES
from folder.cargo.item_list import items
from folder.errors import BadRequest

SEEDS = range(20)


@pytest.fixture(scope="module", params=GRADES)
def graded(request: pytest.FixtureRequest) -> tuple[int, list[Problem]]:
    """A grade and 2,000 of its problems."""
    return request.param, [problem for seed in SEEDS for problem in drill(request.param, 100, seed)]


def test_every_answer_is_right_and_its_bracket_holds_it_in_exact_arithmetic(graded: tuple[int, list[Problem]]) -> None:
    """Against whole-number division of hundredths."""
    for problem in graded[1]:
        held, each = int(problem.held_g * 100), int(problem.each_g * 100)
        assert (problem.held_g * 100, problem.each_g * 100) == (held, each)
        working = problem.working
        assert held // each == problem.answer == working.answer
        assert Fraction(held, each) == working.exact
        assert working.low <= working.answer <= working.exact <= working.high
        assert 2 <= problem.answer <= 170


def test_the_question_holds_its_numbers(graded: tuple[int, list[Problem]]) -> None:
    for problem in graded[1]:
        assert [problem.held_g, problem.each_g] == [Decimal(n) for n in re.findall(r"([\d.]+) g\b", problem.question)]


def test_rounding_rounds_in_every_problem(graded: tuple[int, list[Problem]]) -> None:
    """Two numbers that differ, and one of them nearer, or the answer right in the middle."""
    for problem in graded[1]:
        working = problem.working
        [rounded] = [step for step in working.steps if step.way == ROUND]
        assert working.low < working.high
        assert 3 == len(rounded.lines)
        assert working.nearer in (working.low, working.high) or working.exact * 2 == working.low + working.high


LEAST = {
    3: {"nearest table fact": 1.0, "halve both": 0.3, "round up and down": 1.0},
    4: {"nearest table fact": 0.15, "halve both": 0.4, "double both": 0.1, "round up and down": 1.0},
    5: {"double both": 1.0, "times ten": 1.0, "guess with a near number, then check": 0.5, "round up and down": 1.0},
    6: {"times ten": 1.0, "guess with a near number, then check": 1.0, "round up and down": 1.0},
}
"""The least share of a grade's problems that a way is to apply to."""


def test_every_grade_practises_its_ways(graded: tuple[int, list[Problem]]) -> None:
    grade, problems = graded
    applies = Counter(step.way for problem in problems for step in problem.working.steps)
    for way, share in LEAST[grade].items():
        assert share * len(problems) <= applies[way], (way, applies)


def test_a_short_cut_is_found_in_every_problem(graded: tuple[int, list[Problem]]) -> None:
    assert not any("No short cut" in problem.working.reason for problem in graded[1])


def test_divisors_have_two_digits_from_grade_4_on(graded: tuple[int, list[Problem]]) -> None:
    grade, problems = graded
    share = sum(problem.each_g >= 10 for problem in problems) / len(problems)
    assert share < 0.2 if grade == 3 else share > 0.5
    if grade == 4:
        met = {int(problem.each_g) for problem in problems if problem.each_g > TABLES}
        assert set(TWO_DIGITS) == met


def test_drills_grow_harder_with_the_grade() -> None:
    """Whole facts, then something left and two digits, then halves, then hundredths."""
    third, fourth, fifth, sixth = (drill(grade, 200, 11) for grade in GRADES)
    assert all(problem.held_g % problem.each_g == 0 and problem.each_g <= 10 for problem in third)
    assert all(problem.held_g % problem.each_g and problem.each_g % 1 == 0 for problem in fourth)
    assert all(problem.each_g % 1 == Decimal("0.5") for problem in fifth)
    assert all(problem.each_g * 10 % 1 for problem in sixth)


LISTED = {
    "US cent": "us-cent", "US quarter": "us-quarter", "US half dollar": "us-half-dollar", "US dollar coin": "us-dollar",
    "US nickel": "us-nickel", "1 euro cent": "euro-1-cent", "2 euro cent coin": "euro-2-cent", "5 euro cent coin": "euro-5-cent",
    "10 euro cent coin": "euro-10-cent", "20 euro cent coin": "euro-20-cent", "50 euro cent coin": "euro-50-cent",
    "1 euro coin": "euro-1", "2 euro coin": "euro-2", "UK penny": "uk-1p", "UK 2 pence coin": "uk-2p",
    "UK 5 pence coin": "uk-5p", "UK 10 pence coin": "uk-10p", "UK 50 pence coin": "uk-50p", "UK pound coin": "uk-1-pound",
    "UK 2 pound coin": "uk-2-pounds", "M8 washer": "washer-m8", "M10 washer": "washer-m10", "M12 washer": "washer-m12",
    "M5 nut": "nut-m5", "M6 nut": "nut-m6", "M8 nut": "nut-m8", "M10 nut": "nut-m10", "14 mm marble": "marble-14",
    "16 mm marble": "marble-16", "25 mm marble": "marble-25", "10 mm steel ball": "steel-ball-10",
    "table-tennis ball": "table-tennis-ball", "golf ball": "golf-ball", "20 mm glass tile": "glass-tile-20",
}  # fmt: skip


def test_the_masses_are_those_of_the_object_list() -> None:
    masses = {item.name: item.mass_g for item in items()}
    assert set(LISTED) == set(WEIGHED)
    assert {thing: masses[name] for thing, name in LISTED.items()} == {thing: float(mass) for thing, mass in WEIGHED.items()}


@pytest.mark.parametrize("thing", ["18 mm steel ball", "19 mm steel ball", "22 mm marble", "30 mm marble"])
def test_the_balls_weigh_what_their_size_and_density_say(thing: str) -> None:
    """pi d^3 / 6 times 7.8 g/cm3 for steel and 2.5 for glass (handbook values)."""
    mass = math.pi * (int(thing.split()[0]) / 10) ** 3 / 6 * (7.8 if "steel" in thing else 2.5)
    low, high = VARYING[thing]
    assert float(low) - 0.1 <= mass <= float(high)


def test_an_object_whose_mass_was_rounded_is_said_to_have_about_that(graded: tuple[int, list[Problem]]) -> None:
    for problem in graded[1]:
        thing = problem.question.split("One ")[1].split(" has")[0]
        rounded = thing in WEIGHED and Decimal(WEIGHED[thing]) != problem.each_g
        assert rounded == ("about" in problem.question)
        if rounded:
            assert abs(problem.each_g - Decimal(WEIGHED[thing])) <= Decimal(WEIGHED[thing]) / 10


@pytest.mark.parametrize("grade", GRADES)
def test_a_drill_is_the_same_for_a_seed_and_another_for_another(grade: int) -> None:
    assert drill(grade, 20, 7) == drill(grade, 20, 7)
    assert drill(grade, 20, 7) != drill(grade, 20, 8)


@pytest.mark.parametrize(("grade", "count"), [(3, 72), (4, 300), (5, 300), (6, 1000)])
def test_a_drill_does_not_ask_twice_while_there_is_something_new(grade: int, count: int) -> None:
    assert count == len({(problem.held_g, problem.each_g) for problem in drill(grade, count, 1)})


def test_a_drill_longer_than_the_tables_asks_everything_before_it_repeats() -> None:
    """Nine divisors, 2 to 10, with eight facts each; those times 2, 5 and 10 need no rounding."""
    pairs = [(problem.held_g, problem.each_g) for problem in drill(3, 200, 5)]
    assert 72 == len(set(pairs[:72])) == len(set(pairs[72:144]))
    assert 200 == len(pairs)


@pytest.mark.parametrize(("grade", "count"), [(2, 10), (7, 10), (3, 0), (3, -1), (3, 1001)])
def test_an_impossible_drill_is_refused_in_a_sentence(grade: int, count: int) -> None:
    with pytest.raises(BadRequest, match=r"Choose|Give 1 to 1000"):
        drill(grade, count, 1)
