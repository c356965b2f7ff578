"""Drills: division problems of the kind the day will bring, harder with the school grade, always the same for a seed.

grade 3  whole table facts: 56 / 8
grade 4  with something left over: 59 / 8
grade 5  halves: 59 / 4.5
grade 6  two decimals, as a balance shows them: 95 / 3.56
"""

from __future__ import annotations

import random
from decimal import Decimal
from functools import cache

from msgspec import Struct

from folder.cargo.arithmetic import Working, work_division
from folder.errors import BadRequest

GRADES = (3, 4, 5, 6)
MOST = 1000
"""Problems in one drill: some fifty pages."""

OBJECTS = ("bead", "button", "counter", "cube", "marble", "nut", "tile", "washer")


class Problem(Struct, frozen=True):
    """One problem, its answer, and the way to it."""

    question: str
    held_g: Decimal
    each_g: Decimal
    answer: int
    working: Working


def drill(grade: int, count: int, seed: int) -> tuple[Problem, ...]:
    """`count` problems for a school grade. No two are alike until the grade has no more, then it starts again."""
    if grade not in GRADES:
        remedy = "Choose 3 (whole facts), 4 (left over), 5 (halves) or 6 (two decimals)"
        raise BadRequest("there is no drill for this grade", where="grade", found=str(grade), remedy=remedy)
    if not 1 <= count <= MOST:
        raise BadRequest("too few or too many problems", where="count", found=str(count), remedy=f"Give 1 to {MOST}")
    draw = random.Random(seed)
    pairs = _pairs(grade)
    chosen: list[tuple[Decimal, Decimal]] = []
    while len(chosen) < count:
        chosen += draw.sample(pairs, min(count - len(chosen), len(pairs)))
    return tuple(_problem(held, each, draw.choice(OBJECTS)) for held, each in chosen)


def _problem(held: Decimal, each: Decimal, thing: str) -> Problem:
    question = (
        f"A foil hull holds {held} g. One {thing} has a mass of {each} g. "
        f"How many {thing}s does it take before the water comes in?"
    )
    working = work_division(held, each)
    return Problem(question, held, each, working.answer, working)


@cache
def _pairs(grade: int) -> tuple[tuple[Decimal, Decimal], ...]:
    """Every pair (held, each) of a grade, g."""
    tables = range(2, 11)
    if grade == 3:
        pairs = [(each * fact, each) for each in tables for fact in tables]
        decimals = 0
    elif grade == 4:
        pairs = [(each * fact + left, each) for each in tables for fact in tables for left in range(1, each)]
        decimals = 0
    elif grade == 5:  # tenths: 1.5 to 9.5
        pairs = [(held * 10, each) for each in range(15, 100, 10) for held in range(20, 100)]
        decimals = 1
    else:  # hundredths: 2.01 to 9.99, the last figure never 0
        pairs = [(held * 100, each) for each in range(201, 1000) if each % 10 for held in range(25, 151, 5)]
        decimals = 2
    unit = Decimal(1).scaleb(-decimals)
    return tuple((Decimal(held // 10**decimals), each * unit) for held, each in pairs)
