"""The division worked on paper: right, exact, and every line of it true."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from folder.cargo.division.arithmetic import WorkedDivision, WorkedStep, show, work_division
from folder.cli import main
from folder.errors import BadRequest

masses = st.one_of(
    st.integers(1, 100_000).map(Decimal),
    st.integers(1, 3000).map(lambda n: Decimal(n) / 10),
    st.integers(1, 99_999).map(lambda n: Decimal(n) / 100),
    st.integers(1, 99_999_999).map(lambda n: Decimal(n) / 1000),
)
"""Masses as balances show them: whole grams, tenths, hundredths, thousandths."""


def lines_of(working: WorkedDivision, way: str) -> tuple[str, ...]:
    [lines] = [step.lines for step in working.steps if step.way == way]
    return lines


def answer_of(step: WorkedStep) -> int:
    """The count that a way ends with."""
    found = re.fullmatch(r"So the hull takes (\d+)\.", step.lines[-1])
    assert found, step
    return int(found[1])


# --- The rules of thumb ---------------------------------------------------------------------------------------------


def test_96_g_by_12_g_is_halved_twice_to_24_by_3() -> None:
    """Common practice (CHECKS section 8)."""
    working = work_division(96, 12)
    assert (8, 8, 4, 9) == (working.exact, working.answer, working.low, working.high)
    assert (
        "Halve both: 96 ÷ 12 = 48 ÷ 6.",
        "Halve both: 48 ÷ 6 = 24 ÷ 3.",
        "24 ÷ 3 = 8, because 8 × 3 = 24.",
        "So the hull takes 8.",
    ) == lines_of(working, "halve both")
    assert "halve both" == working.suggestion


def test_110_g_by_16_g_is_halved_to_55_by_8_where_48_is_the_nearest_fact_and_5_and_11_bracket_it() -> None:
    """Common practice (CHECKS section 8)."""
    working = work_division("110", "16")
    assert (Fraction(55, 8), 6, 5, 11) == (working.exact, working.answer, working.low, working.high)
    assert (
        "Halve both: 110 ÷ 16 = 55 ÷ 8.",
        "Nearest table fact: 6 × 8 = 48, and 55 - 48 = 7.",
        "7 is less than 8: no more.",
        "So the hull takes 6.",
    ) == lines_of(working, "halve both")
    assert (
        "Round 16 up to 20: 5 × 20 = 100 leaves 10, so at least 5.",
        "Round 16 down to 10: 11 × 10 = 110, so at most 11.",
        "So it is from 5 to 11, nearer to 5.",
    ) == lines_of(working, "round up and down")


def test_90_g_by_4_5_g_is_900_by_45_or_better_180_by_9() -> None:
    """Common practice (CHECKS section 8)."""
    working = work_division(90, "4.5")
    assert 20 == working.answer
    assert "Times ten: 90 ÷ 4.5 = 900 ÷ 45." == lines_of(working, "times ten")[0]
    assert ("Double both: 90 ÷ 4.5 = 180 ÷ 9.", "180 ÷ 9 = 20, because 20 × 9 = 180.") == lines_of(working, "double both")[:2]
    assert ("double both", "It ends with dividing by 9, which is in the times tables.") == (
        working.suggestion,
        working.reason,
    )


def test_100_g_by_3_56_g_is_built_up_by_tens_and_fives() -> None:
    """The UK penny, 3.56 g (CHECKS section 7); the sums by hand."""
    assert (
        "20 × 3.56 = 71.2, and 100 - 71.2 = 28.8.",
        "5 × 3.56 = 17.8, and 28.8 - 17.8 = 11.",
        "2 × 3.56 = 7.12, and 11 - 7.12 = 3.88.",
        "1 × 3.56 = 3.56, and 3.88 - 3.56 = 0.32.",
        "0.32 is less than 3.56: no more.",
        "Together: 20 + 5 + 2 + 1 = 28.",
        "So the hull takes 28.",
    ) == lines_of(work_division(100, "3.56"), "build up by tens and fives")


def test_100_g_by_3_56_g_is_guessed_with_3_5_and_put_right_by_multiplying_back() -> None:
    """The sums by hand; 3.56 is 12 % from 4 and under 2 % from 3.5, twice which is 7."""
    working = work_division(100, "3.56")
    assert (
        "3.56 is nearly 3.5: guess with 100 ÷ 3.5 = 200 ÷ 7, about 28.",
        "Check: 28 × 3.56 = 99.68, and 100 - 99.68 = 0.32.",
        "0.32 is less than 3.56: no more.",
        "So the hull takes 28.",
    ) == lines_of(working, "guess with a near number, then check")
    assert "guess with a near number, then check" == working.suggestion
    assert "3.56 is nearly 3.5" in working.reason


def test_1_83_g_is_rounded_to_2_g_and_the_guess_is_filled_up() -> None:
    """An M8 washer (CHECKS section 7); the sums by hand."""
    working = work_division(110, "1.83")
    assert (60, 55, 110, 55) == (working.answer, working.low, working.high, working.nearer)
    assert (
        "1.83 is nearly 2: guess with 110 ÷ 2, about 55.",
        "Check: 55 × 1.83 = 100.65, and 110 - 100.65 = 9.35.",
        "Room for 5 more: 5 × 1.83 = 9.15, and 9.35 - 9.15 = 0.2.",
        "0.2 is less than 1.83: no more.",
        "So the hull takes 60.",
    ) == lines_of(working, "guess with a near number, then check")


def test_a_guess_that_is_too_high_is_taken_back() -> None:
    """200 / 11 = 18 2/11; ten times as easy: 200 / 10 = 20, two too many."""
    assert (
        "11 is nearly 10: guess with 200 ÷ 10, about 20.",
        "Check: 20 × 11 = 220, which is 20 too much.",
        "Take 2 away, 2 × 11 = 22: then 2 is left over.",
        "2 is less than 11: no more.",
        "So the hull takes 18.",
    ) == lines_of(work_division(200, 11), "guess with a near number, then check")


@pytest.mark.parametrize(
    ("held", "each", "first"),
    [
        (137, "15", ("double both", "Double both: 137 ÷ 15 = 274 ÷ 30.")),
        (95, "16", ("halve both", "Halve both: 95 ÷ 16 = 47.5 ÷ 8.")),
        (212, "12.5", ("double both", "Double both: 212 ÷ 12.5 = 424 ÷ 25.")),
        (122, "20", ("nearest table fact", "Nearest table fact: 6 × 20 = 120, and 122 - 120 = 2.")),
    ],
)
def test_divisors_of_two_digits_come_into_the_tables(held: int, each: str, first: tuple[str, str]) -> None:
    working = work_division(held, each)
    assert first == (working.suggestion, lines_of(working, working.suggestion)[0])


def test_where_the_divisor_is_round_already_the_load_is_rounded() -> None:
    assert (
        "8 is round already: 5 × 8 = 40 and 10 × 8 = 80.",
        "59 lies between 40 and 80.",
        "So it is from 5 to 10, nearer to 5.",
    ) == lines_of(work_division(59, 8), "round up and down")


def test_a_bracket_that_misses_the_quotient_is_widened_to_hold_it() -> None:
    """95 / 21 = 4.52: four of 20 g fit, yet the quotient lies above 4."""
    working = work_division(95, 21)
    assert (4, 3, 5, 5) == (working.answer, working.low, working.high, working.nearer)
    assert "Round 21 down to 20: 4 × 20 = 80 leaves 15, so less than 5." == lines_of(working, "round up and down")[1]


def test_a_fact_of_the_tables_is_looked_up_at_once() -> None:
    working = work_division(56, 8)
    assert ("56 ÷ 8 = 7, because 7 × 8 = 56.", "So the hull takes 7.") == lines_of(working, "nearest table fact")
    assert "nearest table fact" == working.suggestion


def test_a_hull_too_weak_for_one_object_holds_none() -> None:
    working = work_division(5, 12)
    assert (0, 0, 1, 0) == (working.answer, working.low, working.high, working.nearer)
    assert "One object already weighs more than the hull holds." == working.reason


# --- Right in all cases ---------------------------------------------------------------------------------------------


@settings(max_examples=100)
@given(st.lists(st.tuples(masses, masses), min_size=100, max_size=100))
def test_every_suggested_count_is_the_whole_part_of_the_exact_quotient(pairs: list[tuple[Decimal, Decimal]]) -> None:
    """10,000 cases against whole-number division of thousandths."""
    for held, each in pairs:
        count = int(held * 1000) // int(each * 1000)
        working = work_division(held, each)
        [suggested] = [step for step in working.steps if step.way == working.suggestion]
        assert (count, count) == (working.answer, answer_of(suggested)), (held, each)


@settings(max_examples=500)
@given(masses, masses)
def test_all_ways_agree_and_the_bracket_holds_the_answer(held: Decimal, each: Decimal) -> None:
    working = work_division(str(held), str(each))
    *ways, bracket = working.steps
    assert {working.answer} == {answer_of(step) for step in ways}
    assert working.low <= working.answer <= working.exact <= working.high
    middle = Fraction(working.low + working.high, 2)
    side = None if working.exact == middle else working.low if working.exact < middle else working.high
    assert side == working.nearer
    assert str(working.low) in bracket.lines[-1]
    assert str(working.high) in bracket.lines[-1]
    assert working.exact * Fraction(each) == Fraction(held)


N = r"(\d+(?:\.\d+)?)"
TRUE_LINES: dict[str, Callable[..., bool]] = {
    rf"Halve both: {N} ÷ {N} = {N} ÷ {N}\.": lambda a, b, c, d: (a, b) == (2 * c, 2 * d),
    rf"Double both: {N} ÷ {N} = {N} ÷ {N}\.": lambda a, b, c, d: (2 * a, 2 * b) == (c, d),
    rf"Times ten: {N} ÷ {N} = {N} ÷ {N}\.": lambda a, b, c, d: (10 * a, 10 * b) == (c, d),
    rf"{N} ÷ {N} = {N}, because {N} × {N} = {N}\.": lambda a, b, q, r, c, d: q * b == a and (q, b, a) == (r, c, d),
    rf"(?:Nearest table fact: )?{N} × {N} = {N}, and {N} - {N} = {N}\.": lambda q, b, p, a, r, left: (
        q * b == p == r and a - p == left
    ),
    rf"{N} is less than {N}: no more\.": lambda a, b: a < b,
    rf"Round {N} up to {N}: {N} × {N} = {N}(?: leaves {N})?, so at least {N}\.": lambda b, up, q, u, p, left, low: (
        b < up == u and q * u == p and q == low and (left or 0) < up
    ),
    rf"Round {N} down to {N}: {N} × {N} = {N}(?: leaves {N})?, so at most {N}\.": lambda b, dn, q, u, p, left, high: (
        b > dn == u and q * u == p and q == high and (left or 0) < dn
    ),
    rf"Round {N} up to {N}: {N} is more than {N}, so at least 0\.": lambda b, up, u, a: b < up == u > a,
    rf"Round {N} down to {N}: {N} is more than {N}, so at most 0\.": lambda b, dn, u, a: b > dn == u > a,
    rf"{N} is round already: {N} is more than {N}\.": lambda b, u, a: b == u > a,
    rf"So the hull takes {N}\.": lambda n: n >= 0,
    rf"Round {N} down to {N}: {N} × {N} = {N}(?: leaves {N})?, so less than {N}\.": lambda b, dn, q, u, p, left, high: (
        b > dn == u and q * u == p and q + 1 == high and 0 < (left or 0) < dn
    ),
    rf"Round {N} down to {N}: {N} is more than {N}, so less than 1\.": lambda b, dn, u, a: b > dn == u > a,
    rf"{N} is round already: {N} × {N} = {N} and {N} × {N} = {N}\.": lambda b, c, u, p, d, v, q: (
        b == u == v and c * u == p < q == d * v
    ),
    rf"{N} is round already: {N} × {N} = {N}\.": lambda b, c, u, p: b == u and c * u == p,
    rf"{N} lies between {N} and {N}\.": lambda a, low, high: low < a < high,
    rf"So it is from {N} to {N}, nearer to {N}\.": lambda low, high, nearer: low < high and nearer in (low, high),
    rf"So it is from {N} to {N}, right in the middle\.": lambda low, high: low < high,
    rf"{N} is nearly {N}: guess with {N} ÷ {N}, about {N}\.": lambda b, near, a, n, q: (
        near == n and abs(b - n) <= b / 8 and q == a // n
    ),
    rf"{N} is nearly {N}: guess with {N} ÷ {N} = {N} ÷ {N}, about {N}\.": lambda b, near, a, n, c, d, q: (
        near == n and abs(b - n) <= b / 8 and a / n == c / d and q == c // d
    ),
    rf"Check: {N} × {N} = {N}, and {N} - {N} = {N}\.": lambda q, b, p, a, r, left: q * b == p == r and a - p == left,
    rf"Check: {N} × {N} = {N}, which is {N} too much\.": lambda q, b, p, over: q * b == p and over > 0,
    rf"Room for {N} more: {N} × {N} = {N}, and {N} - {N} = {N}\.": lambda m, q, b, p, a, r, left: (
        m == q and q * b == p == r and a - p == left < b
    ),
    rf"Take {N} away, {N} × {N} = {N}: then {N} is left over\.": lambda m, q, b, p, left: m == q and q * b == p and left < b,
    rf"So it is {N}\.": lambda n: n >= 0,
}
"""Every kind of line there is, and what must hold between its numbers."""


def assert_true(line: str, held: Decimal) -> None:
    if line.startswith("Together: "):
        parts, total = line.removeprefix("Together: ").removesuffix(".").split(" = ")
        assert sum(map(int, parts.split(" + "))) == int(total), line
        return
    kinds = [(found, holds) for kind, holds in TRUE_LINES.items() if (found := re.fullmatch(kind, line))]
    assert kinds, f"a line of no known kind: {line}"
    found, holds = kinds[0]
    assert holds(*(None if number is None else Fraction(number) for number in found.groups())), line
    if leaves := re.search(rf"= {N} leaves {N}", line):
        assert Fraction(leaves[1]) + Fraction(leaves[2]) == Fraction(held), line


@settings(max_examples=500)
@given(masses, masses)
def test_every_line_is_short_and_true(held: Decimal, each: Decimal) -> None:
    for step in work_division(held, each).steps:
        for line in step.lines:
            assert_true(line, held)
            assert len(line) <= 100 or line.startswith("Together")


def test_a_false_line_would_be_found() -> None:
    for line in ("24 ÷ 3 = 9, because 9 × 3 = 24.", "Halve both: 96 ÷ 12 = 48 ÷ 7.", "Together: 5 + 2 = 8.", "About 8."):
        with pytest.raises(AssertionError):
            assert_true(line, Decimal(24))


@given(masses, masses, st.integers(1, 50))
def test_a_stronger_hull_never_takes_fewer(held: Decimal, each: Decimal, more: int) -> None:
    if held + more <= 100_000:
        assert work_division(held, each).answer <= work_division(held + more, each).answer


# --- What cannot be divided -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ("0", "more than 0 g"),
        (0, "more than 0 g"),
        ("-0.0", "more than 0 g"),
        ("-12", "more than 0 g"),
        (Decimal("-1"), "more than 0 g"),
        ("1e9", "floats that much"),
        (10**9, "floats that much"),
        ("1e9999", "floats that much"),
        ("1e-9", "too many decimals"),
        ("0.1234567", "too many decimals"),
        ("twelve", "not a number"),
        ("", "not a number"),
        ("nan", "not a number"),
        (Decimal("inf"), "not a number"),
        ("1_000", "not a number"),
        ("1 2", "not a number"),
        ("1.2.3", "not a number"),
        ("١٢", "not a number"),
        ("1,000", "thousands or a decimal"),
    ],
)
def test_an_impossible_mass_gets_one_sentence(said: str | int | Decimal, sentence: str) -> None:
    for pair in ((said, 12), (96, said)):
        with pytest.raises(BadRequest, match=sentence) as caught:
            work_division(*pair)
        assert "\n" not in str(caught.value)
        assert str(caught.value).startswith(("what the hull holds", "the mass of one object"))


@pytest.mark.parametrize("inexact", [4.5, True, None, float("nan")])
def test_floats_are_refused_since_they_are_not_what_was_written(inexact: object) -> None:
    with pytest.raises(BadRequest, match=r"as text, like '4\.5'"):
        work_division(90, inexact)  # type: ignore[arg-type]


@pytest.mark.parametrize("said", ["4.5", "4,5", " 4.50 ", "4.5 g", "4.5g", "45e-1", Decimal("4.5")])
def test_one_mass_may_be_written_in_many_ways(said: str | Decimal) -> None:
    assert work_division(90, "4.5") == work_division("90", said)


def test_a_tenth_is_a_tenth() -> None:
    """As floats, 0.3 / 0.1 is 2.9999999999999996 and 2 objects would be counted."""
    assert 3 == work_division("0.3", "0.1").answer


# --- Numbers for people and machines --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (8, "8"),
        (Fraction(55, 8), "6.875"),
        (Fraction(1, 20), "0.05"),
        (Fraction(100, 3), "33 1/3"),
        (Fraction(2, 3), "2/3"),
        (Fraction(100_000), "100000"),
        (Fraction(1_000_001, 1_000_000), "1.000001"),
    ],
)
def test_a_number_is_shown_without_rounding(number: Fraction | int, text: str) -> None:
    assert text == show(number)


@given(st.fractions(min_value=0, max_value=10**6, max_denominator=10**4))
def test_a_shown_number_reads_back_as_itself(number: Fraction) -> None:
    assert number == sum(map(Fraction, show(number).split()))


def test_a_thousand_is_never_written_as_1e3(capsys: pytest.CaptureFixture[str]) -> None:
    assert 0 == main(["count", "--holds", "1e3", "--each", "4.50"])
    out = capsys.readouterr().out
    assert out.startswith("1000 g to carry, 4.5 g each: 222 objects; the division lies from 200 to 250.")
    assert "E+" not in out


def test_the_json_of_a_count_has_the_promised_keys() -> None:
    document = json.loads(json.dumps(work_division(110, 16).as_json()))
    assert (6.875, "55/8", 6, 5, 11) == tuple(document[key] for key in ("exact", "exact_fraction", "answer", "low", "high"))
    assert {"way": "halve both", "lines": list(lines_of(work_division(110, 16), "halve both"))} in document["steps"]
