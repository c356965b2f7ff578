"""Near numbers: close, and easy to divide by."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from folder.cargo.division.arithmetic import NEAR_NUMBER, work_division
from folder.cargo.division.guess import bracket, near_number, near_way
from folder.cargo.division.tables import at_least, in_tables, whole_part

hundredths = st.integers(1, 99_999).map(lambda n: Decimal(n) / 100)


@pytest.mark.parametrize(
    ("each", "near"),
    [
        ("1.83", "2"),
        ("3.56", "3.5"),
        ("45.93", "50"),
        ("23.68", "24"),
        ("12.17", "12"),
        ("0.443", "0.4"),
        ("9.96", "10"),
        ("127", "125"),
    ],
)
def test_a_near_number_is_the_one_a_person_would_take(each: str, near: str) -> None:
    """One figure where that is within a tenth of it, else with a half or a quarter."""
    assert Decimal(near) == near_number(Decimal(each))


@given(hundredths)
def test_a_near_number_is_within_a_tenth_and_the_tables_reach_it(each: Decimal) -> None:
    near = near_number(each)
    assert abs(near - each) <= each * Decimal("0.125")
    reached = [near * factor * Decimal(10) ** k for factor in (1, 2, 4, Decimal("0.5"), Decimal("0.25")) for k in range(-5, 8)]
    assert any(map(in_tables, reached))


@given(hundredths, hundredths)
def test_the_guess_is_put_right_in_the_end(held: Decimal, each: Decimal) -> None:
    lines = near_way(held, each)
    if lines is None:
        assert held < each or held > 1000 * each or near_number(each) == each or held < near_number(each)
    else:
        assert f"So the hull takes {held // each}." == lines[-1]
        assert NEAR_NUMBER in [step.way for step in work_division(held, each).steps]


@given(hundredths, hundredths)
def test_low_and_high_hold_the_quotient_and_rounding_makes_them_two(held: Decimal, each: Decimal) -> None:
    low, high, lines = bracket(held, each)
    exact = Fraction(held) / Fraction(each)
    assert low <= exact <= high
    assert (low < high) or exact == low
    assert lines[-1].startswith("So it is ")


@given(hundredths, hundredths)
def test_whole_parts_are_taken_down_and_up(held: Decimal, each: Decimal) -> None:
    exact = Fraction(held) / Fraction(each)
    assert exact - 1 < whole_part(held, each) <= exact <= at_least(held, each) < exact + 1
