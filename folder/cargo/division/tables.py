"""What a pupil knows by heart, and how a number is written: the times tables up to ten times ten, and their tens.

Exact decimals throughout: an arithmetic that refuses to round stands round the work (see `arithmetic`).
"""

from __future__ import annotations

from decimal import Decimal

TABLES = 10
"""Pupils know the tables up to ten times ten."""


def plain(number: Decimal) -> str:
    """Without needless zeros and never as 1E+5."""
    return f"{number.normalize():f}"


def is_whole(number: Decimal) -> bool:
    """Whether nothing stands behind the point."""
    return number == number.to_integral_value()


def times_in(number: int, prime: int) -> int:
    """How often a prime divides a number above 0."""
    times = 0
    while number % prime == 0:
        number, times = number // prime, times + 1
    return times


def in_tables(each: Decimal) -> bool:
    """A number of the times tables, 1 to 10, or ten times one of them."""
    return is_whole(each) and (each <= TABLES or (each <= TABLES * TABLES and each % TABLES == 0))


def table_of(each: Decimal) -> str:
    """A number of the tables in words: where a pupil finds it."""
    if each <= TABLES:
        return f"{plain(each)}, which is in the times tables"
    return f"{plain(each)}, which is ten times {plain(each / TABLES)}"


def whole_part(held: Decimal, each: Decimal) -> int:
    """How many whole times `each` goes into `held`."""
    return int(held // each)


def at_least(held: Decimal, each: Decimal) -> int:
    """The smallest whole number that is no less than held / each."""
    return -int(-held // each) if held % each == 0 else int(held // each) + 1
