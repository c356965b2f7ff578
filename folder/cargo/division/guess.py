"""The guess before the sum: between which two numbers the answer lies, and a near number to begin with.

bracket  a number the quotient cannot be below and one it cannot be above, from rounding to one figure
near     a number close to the divisor that the tables reach: 1.83 is nearly 2, 3.56 is nearly 3.5
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

from folder.cargo.division.tables import at_least, in_tables, plain, whole_part

MOST_GUESSED = 1000
"""Past so many objects a near number leaves too much to put right."""

CLOSE = Decimal("0.1")
"""A number of one figure is near enough when it is off by no more than this share; else a half or a quarter helps."""

HALVES = tuple(map(Decimal, ("1", "1.2", "1.25", "1.4", "1.5", "1.6", "1.75", "1.8", "2.4", "2.5", "2.8", "3.5", "4.5")))
"""Numbers between 1 and 10 that doubling or halving brings to one figure; ten times and a tenth of them do as well."""

_FACTORS = tuple(
    Decimal(factor).scaleb(tens) for tens in (0, 1, -1, 2, -2, 3, -3, 4, 5, 6, 7) for factor in ("1", "2", "4", "0.5", "0.25")
)
"""What both numbers of a division may be multiplied by: doubling or halving up to twice, and tens."""

Bracket = tuple[int, int, list[str]]
"""Low, high, and the lines that lead there."""


def bracket(held: Decimal, each: Decimal) -> Bracket:
    """Round the divisor up and down to one figure: the quotient lies between what the two give.

    Where the divisor is round already the load is rounded, to 1, 2 and 5 times the divisor and their tens.
    """
    unit = Decimal(1).scaleb(each.adjusted())
    down = each // unit * unit
    if down == each:
        return _load_bracket(held, each)
    up = down + unit
    low, most, least = whole_part(held, up), whole_part(held, down), at_least(held, each)
    end = f"at most {most}" if least <= most else f"less than {least}"
    lines = [
        f"Round {plain(each)} up to {plain(up)}: {_multiple(held, up)}, so at least {low}.",
        f"Round {plain(each)} down to {plain(down)}: {_multiple(held, down)}, so {end}.",
    ]
    high = max(most, least)
    return low, high, [*lines, _between(held, each, low, high)]


def _load_bracket(held: Decimal, each: Decimal) -> Bracket:
    begin = f"{plain(each)} is round already"
    if held < each:
        return 0, 1, [f"{begin}: {plain(each)} is more than {plain(held)}.", _between(held, each, 0, 1)]
    ten = 10 ** (len(str(whole_part(held, each))) - 1)
    counts = [count * ten for count in (1, 2, 5, 10)]
    low = max(count for count in counts if count * each <= held)
    if low * each == held:
        return low, low, [f"{begin}: {low} × {plain(each)} = {plain(held)}.", f"So it is {low}."]
    high = counts[counts.index(low) + 1]
    lines = [
        f"{begin}: {low} × {plain(each)} = {plain(low * each)} and {high} × {plain(each)} = {plain(high * each)}.",
        f"{plain(held)} lies between {plain(low * each)} and {plain(high * each)}.",
    ]
    return low, high, [*lines, _between(held, each, low, high)]


def nearer_of(held: Decimal, each: Decimal, low: int, high: int) -> int | None:
    """Which of two numbers the quotient is nearer to; None where it is right in the middle."""
    twice, middle = 2 * held, (low + high) * each
    return None if twice == middle else low if twice < middle else high


def _between(held: Decimal, each: Decimal, low: int, high: int) -> str:
    if low == high:
        return f"So it is {low}."
    nearer = nearer_of(held, each, low, high)
    return f"So it is from {low} to {high}, " + ("right in the middle." if nearer is None else f"nearer to {nearer}.")


def _multiple(held: Decimal, each: Decimal) -> str:
    count, left = divmod(held, each)
    if count == 0:
        return f"{plain(each)} is more than {plain(held)}"
    return f"{count} × {plain(each)} = {plain(count * each)}" + (f" leaves {plain(left)}" if left else "")


def near_number(each: Decimal) -> Decimal:
    """A number near to a divisor that is easy to divide by: of one figure where that is close, else with a half or a quarter."""
    ten = Decimal(1).scaleb(each.adjusted())
    rounded = (each / ten).to_integral_value(ROUND_HALF_UP) * ten
    if abs(rounded - each) <= CLOSE * each:
        return rounded
    return min((number * ten for number in HALVES), key=lambda number: abs(number - each))


def near_way(held: Decimal, each: Decimal) -> list[str] | None:
    """Guess with a near number, then check by multiplying, then put right; None where there is nothing to guess."""
    near = near_number(each)
    if near == each or held < each or held > MOST_GUESSED * each:
        return None
    guess, begin = whole_part(held, near), _as_tables(held, near)
    count, lines = guess, [f"{plain(each)} is nearly {plain(near)}: guess with {begin}, about {guess}."]
    left = held - guess * each
    if not guess:
        return None
    if left < 0:
        count -= (away := at_least(-left, each))
        lines += [
            f"Check: {guess} × {plain(each)} = {plain(guess * each)}, which is {plain(-left)} too much.",
            f"Take {away} away, {away} × {plain(each)} = {plain(away * each)}: then {plain(held - count * each)} is left over.",
        ]
    else:
        check = f"Check: {guess} × {plain(each)} = {plain(guess * each)}"
        lines.append(f"{check}, and {plain(held)} - {plain(guess * each)} = {plain(left)}.")
        if more := whole_part(left, each):
            count += more
            rest = left - more * each
            room = f"Room for {more} more: {more} × {plain(each)} = {plain(more * each)}"
            lines.append(f"{room}, and {plain(left)} - {plain(more * each)} = {plain(rest)}.")
    if left := held - count * each:
        lines.append(f"{plain(left)} is less than {plain(each)}: no more.")
    return [*lines, f"So the hull takes {count}."]


def _as_tables(held: Decimal, near: Decimal) -> str:
    """The division by a near number, and the same with a divisor of the tables where tens, doubling or halving lead there."""
    text = f"{plain(held)} ÷ {plain(near)}"
    if in_tables(near):
        return text
    for factor in _FACTORS:
        if in_tables(near * factor):
            return f"{text} = {plain(held * factor)} ÷ {plain(near * factor)}"
    return text
