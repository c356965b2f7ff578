"""Drills: division problems as the day will bring them, harder with the school grade, always the same for a seed.

grade 3  table facts, masses rounded to whole grams: 56 / 8
grade 4  with something left over, most divisors of two digits: 137 / 15
grade 5  halves of a gram, of one digit and of two: 137 / 12.5
grade 6  hundredths, as a balance shows them: 95 / 3.56

Each begins with a guess: between which two numbers, and which of the two is nearer. The objects are those of the day
with their own masses, the loads those that foil hulls of 15 cm carry: up to 250 g, in grade 3 what the tables reach.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from functools import cache

from msgspec import Struct

from folder.cargo.division.arithmetic import WorkedDivision, work_division
from folder.cargo.division.tables import plain
from folder.errors import BadRequest

GRADES = (3, 4, 5, 6)
MOST = 1000
"""Problems in one drill: some fifty pages."""

LEAST_TIMES = 2
"""No answer is smaller: one object alone is no division."""

GUESS = "Guess first: between which two numbers will it be, and which of the two is nearer?"

WEIGHED: dict[str, str] = {
    "US cent": "2.5", "US quarter": "5.67", "US half dollar": "11.34", "US dollar coin": "8.1", "US nickel": "5",
    "1 euro cent": "2.3", "2 euro cent coin": "3.06", "5 euro cent coin": "3.92", "10 euro cent coin": "4.1",
    "20 euro cent coin": "5.74", "50 euro cent coin": "7.8", "1 euro coin": "7.5", "2 euro coin": "8.5",
    "UK penny": "3.56", "UK 2 pence coin": "7.12", "UK 5 pence coin": "3.25", "UK 10 pence coin": "6.5",
    "UK 50 pence coin": "8", "UK pound coin": "8.75", "UK 2 pound coin": "12",
    "M8 washer": "1.83", "M10 washer": "3.57", "M12 washer": "6.27",
    "M5 nut": "1.46", "M6 nut": "2.62", "M8 nut": "5.65", "M10 nut": "10.4",
    "14 mm marble": "3.59", "16 mm marble": "5.36", "25 mm marble": "20.45",
    "10 mm steel ball": "4.08", "table-tennis ball": "2.7", "golf ball": "45.93", "20 mm glass tile": "4",
}  # fmt: skip
"""Objects with the mass of the object list, g, where its sources stand. US and UK coins are coins of those countries."""

VARYING: dict[str, tuple[str, str]] = {
    "16 mm die": ("4.23", "5.3"), "bottle cork": ("3.24", "5.3"), "stick of chalk": ("8.21", "10.8"),
    "25 mm wooden cube": ("8.33", "12.3"), "game chip": ("8.82", "14.3"), "domino tile": ("9.26", "15.3"),
    "tea light": ("11.27", "17.3"), "wooden brick": ("13.19", "18.8"),
    "22 mm marble": ("13.94", "14.2"), "30 mm marble": ("34.63", "35.6"),
    "18 mm steel ball": ("23.68", "24.2"), "19 mm steel ball": ("27.72", "28.4"),
}  # fmt: skip
"""Objects that one must weigh, from and to which mass, g: size times density (wood 0.5 to 0.7, glass 2.5, steel 7.8 g/cm3), judgement."""

TWO_DIGITS = (12, 14, 15, 16, 18, 20, 24, 28, 35)
"""Whole divisors that halving, doubling or tens bring into the tables."""


class Problem(Struct, frozen=True):
    """One problem, its answer, and the way to it."""

    question: str
    held_g: Decimal
    each_g: Decimal
    answer: int
    working: WorkedDivision


def drill(grade: int, count: int, seed: int) -> tuple[Problem, ...]:
    """`count` problems for a school grade. No two are alike until the grade has no more, then it starts again."""
    if grade not in GRADES:
        remedy = "Choose 3 (whole facts), 4 (left over, two digits), 5 (halves) or 6 (two decimals)"
        raise BadRequest("there is no drill for this grade", where="grade", found=str(grade), remedy=remedy)
    if not 1 <= count <= MOST:
        raise BadRequest("too few or too many problems", where="count", found=str(count), remedy=f"Give 1 to {MOST}")
    draw = random.Random(seed)
    pairs = _pairs(grade)
    chosen: list[tuple[Decimal, Decimal]] = []
    while len(chosen) < count:
        chosen += draw.sample(pairs, min(count - len(chosen), len(pairs)))
    return tuple(_problem(held, each, draw.choice(_things(grade)[each])) for held, each in chosen)


def _problem(held: Decimal, each: Decimal, thing: str) -> Problem:
    about = "about " if WEIGHED.get(thing) and Decimal(WEIGHED[thing]) != each else ""
    question = (
        f"A foil hull holds {plain(held)} g. One {thing} has a mass of {about}{plain(each)} g. "
        "How many of them does it take before the water comes in?"
    )
    working = work_division(held, each)
    return Problem(question, held, each, working.answer, working)


@cache
def _things(grade: int) -> dict[Decimal, tuple[str, ...]]:
    """The masses of one object that a grade divides by, g, each with the objects that have it."""
    step = {3: Decimal(1), 4: Decimal(1), 5: Decimal("0.5"), 6: Decimal("0.01")}[grade]
    found: dict[Decimal, list[str]] = {}
    for thing, each in _masses(step):
        if _fits(grade, each):
            found.setdefault(each, []).append(thing)
    return {each: tuple(things) for each, things in sorted(found.items())}


def _masses(step: Decimal) -> Iterator[tuple[str, Decimal]]:
    """Every object with a mass it may be given: its own, rounded to a step where that is within a tenth of it."""
    for thing, text in WEIGHED.items():
        own = Decimal(text)
        rounded = (own / step).to_integral_value(ROUND_HALF_UP) * step
        if abs(rounded - own) <= own / 10:
            yield thing, rounded
    # Of hundredths not every one: the masses of the list are to be met as often.
    few = step if step > Decimal("0.01") else Decimal("0.97")
    for thing, (low, high) in VARYING.items():
        each = (Decimal(low) / step).to_integral_value(ROUND_CEILING) * step
        while each <= Decimal(high):
            yield thing, each
            each += few


def _fits(grade: int, each: Decimal) -> bool:
    if grade == 3:
        return 2 <= each <= 10
    if grade == 4:
        return 3 <= each <= 9 or each in TWO_DIGITS
    if grade == 5:
        return each % 1 == Decimal("0.5")
    return bool(each * 10 % 1)


@cache
def _pairs(grade: int) -> tuple[tuple[Decimal, Decimal], ...]:
    """Every pair (held, each) of a grade, g."""
    return tuple((Decimal(held), each) for each in _things(grade) for held in _loads(grade, each))


def _loads(grade: int, each: Decimal) -> Iterator[int]:
    """The loads that go with a mass: such that rounding is not done before it begins."""
    if grade == 3:
        yield from (int(each) * fact for fact in (3, 4, 6, 7, 8, 9, 11, 12))
        return
    if grade == 4 and each < 10:  # the tables and something left over: a quarter of the problems
        yield from (held for held in range(20, 100) if held % each and held > LEAST_TIMES * each)
        return
    step = 5 if grade == 6 else 1
    for held in range(40, 251, step):
        if held >= LEAST_TIMES * each and held % each:
            yield held
