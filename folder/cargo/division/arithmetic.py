"""The division "what the hull holds, by the mass of one object" worked as a pupil would on paper.

pair     the two numbers of the division: held, each
way      one road to the answer: a few lines, each of them true
fact     a line of the times tables, up to ten times ten
near     a number close to the divisor that is easy to divide by; the guess is put right by multiplying back
bracket  a number the answer cannot be below and one it cannot be above

Everything is exact: decimals from the first character read to the answer, in an arithmetic that refuses to round, and a
fraction for the quotient; never floats. The answer is the number of whole objects held; the object that lets the water
in does not count.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Context, Decimal, Inexact, InvalidOperation, localcontext
from fractions import Fraction
from typing import Any

from msgspec import Struct

from folder.cargo.division.guess import bracket, near_number, near_way, nearer_of
from folder.cargo.division.tables import in_tables, is_whole, plain, table_of, times_in
from folder.errors import BadRequest

HEAVIEST_G = 100_000
"""More than the largest sheet could float."""

SMALLEST_G = Decimal("0.000001")
"""No balance in a school shows more decimals."""

MOST_HALVED = 3
"""Halving a load more often gives more figures than it saves."""

BUILD_UP = "build up by tens and fives"
ROUND = "round up and down"
NEAR_NUMBER = "guess with a near number, then check"

EXACT = Context(prec=50, traps=[Inexact, InvalidOperation])
"""Fifty figures are more than any line needs, and rounding would be an error."""

_NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)(e[+-]?\d{1,4})?", re.ASCII | re.IGNORECASE)
_THOUSANDS_OR_DECIMALS = re.compile(r"[1-9]\d{0,2},\d{3}", re.ASCII)


class WorkedStep(Struct, frozen=True):
    """One way of working it, in the lines a pupil would write."""

    way: str
    lines: tuple[str, ...]


class WorkedDivision(Struct, frozen=True):
    """A division worked in several ways.

    `answer` is the whole number of objects held; `exact` and `answer` lie in the bracket `low` to `high`, which comes from
    rounding. `nearer` is that one of the two that `exact` is nearer to, None where it is right in the middle.
    `suggestion` is the way that is least work here, `reason` says why in a sentence.
    """

    held_g: Decimal
    each_g: Decimal
    exact: Fraction
    answer: int
    low: int
    high: int
    nearer: int | None
    steps: tuple[WorkedStep, ...]
    suggestion: str
    reason: str

    def as_json(self) -> dict[str, Any]:
        """The working in plain types. `exact` is a number for reading; `exact_fraction` is exact always, as "55/8"."""
        return {
            "exact": int(self.exact) if self.exact.denominator == 1 else float(self.exact),
            "exact_fraction": str(self.exact),
            "answer": self.answer,
            "low": self.low,
            "high": self.high,
            "nearer": self.nearer,
            "steps": [{"way": step.way, "lines": list(step.lines)} for step in self.steps],
            "suggestion": self.suggestion,
            "reason": self.reason,
        }


def work_division(held: str | int | Decimal, each: str | int | Decimal) -> WorkedDivision:
    """How many objects of `each` grams go into a hull that holds `held` grams, worked in several ways."""
    held_g, each_g = read_mass(held, "what the hull holds"), read_mass(each, "the mass of one object")
    with localcontext(EXACT):
        return _work(held_g, each_g)


def _work(held: Decimal, each: Decimal) -> WorkedDivision:
    steps: list[WorkedStep] = []
    suggestion, reason = BUILD_UP, f"No short cut makes {plain(each)} a number of the times tables."
    # From the last way to the first, so that the easiest that reaches the tables has the last word.
    for way, begin in reversed(_WAYS.items()):
        pair = begin(held, each)
        if pair is None:
            continue
        lines, held_now, each_now = pair
        by_table = way != BUILD_UP and in_tables(each_now)
        steps.insert(0, WorkedStep(way, (*lines, *_collect(held_now, each_now, by_table))))
        if by_table:
            suggestion, reason = way, f"It ends with dividing by {table_of(each_now)}."
    near = near_way(held, each)
    if near is not None:
        steps.insert(-1, WorkedStep(NEAR_NUMBER, tuple(near)))
        if suggestion == BUILD_UP:
            suggestion = NEAR_NUMBER
            reason = (
                f"{plain(each)} is nearly {plain(near_number(each))}, which is easy to divide by; multiplying back puts it right."
            )
    if each > held:
        suggestion, reason = BUILD_UP, "One object already weighs more than the hull holds."
    low, high, lines = bracket(held, each)
    steps.append(WorkedStep(ROUND, tuple(lines)))
    exact, nearer = Fraction(held) / Fraction(each), nearer_of(held, each, low, high)
    return WorkedDivision(held, each, exact, int(held // each), low, high, nearer, tuple(steps), suggestion, reason)


def read_mass(value: str | int | Decimal, what: str) -> Decimal:
    """A mass in g, exactly as written: "4.5", "4,5", "4.5 g". BadRequest for anything that no hull or balance shows."""
    text = str(value).strip().removesuffix("g").strip()
    if isinstance(value, (float, bool)) or not _NUMBER.fullmatch(text):
        remedy = "Write it in digits, as text, like '4.5'"
        raise BadRequest("this is not a number of grams", where=what, found=repr(value), remedy=remedy)
    if _THOUSANDS_OR_DECIMALS.fullmatch(text):
        remedy = "Write 1000 or 1.0 instead"
        raise BadRequest("the comma could mean thousands or a decimal", where=what, found=text, remedy=remedy)
    number = Decimal(text.replace(",", "."))
    if number <= 0:
        remedy = "Weigh it and try again"
        raise BadRequest("the mass must be more than 0 g", where=what, found=f"{text} g", remedy=remedy)
    if number > HEAVIEST_G:
        remedy = f"Give at most {HEAVIEST_G} g"
        raise BadRequest("no foil hull floats that much", where=what, found=f"{text} g", remedy=remedy)
    if number % SMALLEST_G:
        raise BadRequest("too many decimals", where=what, found=f"{text} g", remedy="Give at most 6")
    return number


def show(number: Fraction | int) -> str:
    """A number for people: "8", "6.875", or with a fraction where the decimals never end: "33 1/3"."""
    whole, rest = divmod(Fraction(number), 1)
    if not rest:
        return str(whole)
    twos, fives = times_in(rest.denominator, 2), times_in(rest.denominator, 5)
    if rest.denominator != 2**twos * 5**fives:
        return f"{whole} {rest}" if whole else str(rest)
    places = max(twos, fives)
    return f"{whole}.{int(rest * 10**places):0{places}d}"


Pair = tuple[list[str], Decimal, Decimal]
"""The lines written so far, then held and each as they stand now."""


def _same_to_both(word: str, factor: Decimal, times: int, held: Decimal, each: Decimal) -> Pair | None:
    """Halve, double or multiply both numbers: the answer stays. None when there is nothing to do."""
    lines = []
    for _ in range(times):
        before = f"{plain(held)} ÷ {plain(each)}"
        held, each = held * factor, each * factor
        lines.append(f"{word}: {before} = {plain(held)} ÷ {plain(each)}.")
    return (lines, held, each) if lines else None


def _table_fact(held: Decimal, each: Decimal) -> Pair | None:
    return ([], held, each) if in_tables(each) else None


def _halve(held: Decimal, each: Decimal) -> Pair | None:
    if not is_whole(each):
        return None
    halves, times = times_in(int(each), 2), 0
    if is_whole(held):
        times = min(times_in(int(held), 2), halves)
        if times and each == 2**times:
            times -= 1  # halving 2 to 1 is left to the tables
    while times < halves and not in_tables(each / 2**times) and times < MOST_HALVED:
        times += 1  # an odd load too: 95 / 16 = 47.5 / 8
    return _same_to_both("Halve both", Decimal("0.5"), times, held, each)


def _double(held: Decimal, each: Decimal) -> Pair | None:
    # Worth it for halves, quarters and eighths, and for what ends in 5: 15 becomes 30. 0.3 would never become whole.
    if in_tables(each):
        return None
    times = next((times for times in range(1, 4) if in_tables(each * 2**times)), 0)
    times = times or next((times for times in range(4) if is_whole(each * 2**times)), 0)
    return _same_to_both("Double both", Decimal(2), times, held, each)


def _times_ten(held: Decimal, each: Decimal) -> Pair | None:
    times = next(times for times in range(7) if is_whole(held * 10**times) and is_whole(each * 10**times))
    return _same_to_both("Times ten", Decimal(10), times, held, each)


def _as_it_is(held: Decimal, each: Decimal) -> Pair:
    return [], held, each


_WAYS: dict[str, Callable[[Decimal, Decimal], Pair | None]] = {
    "nearest table fact": _table_fact,
    "halve both": _halve,
    "double both": _double,
    "times ten": _times_ten,
    BUILD_UP: _as_it_is,
}
"""The roads to the answer, easiest first."""


def _collect(held: Decimal, each: Decimal, by_table: bool) -> list[str]:
    """Take portions away until nothing fits: table facts and their tens, or 5, 2 and 1 and their tens."""
    portion = 1
    while portion * 10 * each <= held:
        portion *= 10
    lines, counts, left = [], [], held
    while portion:
        for count in range(9 * portion, 0, -portion) if by_table else (5 * portion, 2 * portion, portion):
            while count * each <= left:
                took, before = count * each, left
                left -= took
                counts.append(count)
                fact = f"Nearest table fact: {count}" if by_table else f"{count}"
                lines.append(f"{fact} × {plain(each)} = {plain(took)}, and {plain(before)} - {plain(took)} = {plain(left)}.")
        portion //= 10
    answer = sum(counts)
    if len(counts) == 1 and not left:
        lines = [f"{plain(held)} ÷ {plain(each)} = {answer}, because {answer} × {plain(each)} = {plain(held)}."]
    if left:
        lines.append(f"{plain(left)} is less than {plain(each)}: no more.")
    if len(counts) > 1:
        lines.append(f"Together: {' + '.join(map(str, counts))} = {answer}.")
    return [*lines, f"So the hull takes {answer}."]
