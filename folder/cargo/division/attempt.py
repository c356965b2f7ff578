"""A pupil's own try at a division, and what is said of it: checked by multiplying back, never by showing the answer."""

from __future__ import annotations

from decimal import localcontext
from typing import Literal

from msgspec import Struct

from folder.cargo.division.arithmetic import EXACT, WorkedDivision
from folder.cargo.division.tables import plain


class Attempt(Struct, frozen=True):
    """A number that was tried, how it stands to the answer, and a sentence that says why."""

    number: int
    side: Literal["right", "high", "low"]
    text: str


def attempt(working: WorkedDivision, number: int) -> Attempt:
    """What is said of a number: multiplied back it is too much, or so much is left over. A hint where it is far off."""
    held, each = working.held_g, working.each_g
    with localcontext(EXACT):
        product = number * each
        left = held - product
        times = f"{number} × {plain(each)} = {plain(product)}"
        if number == working.answer:
            rest = f"exactly {plain(held)}" if not left else f"and {plain(left)} is left: too little for one more"
            return Attempt(number, "right", f"Right! {times}, {rest}.")
        hint = "" if working.low <= number <= working.high else " Round the mass of one up and down: where must it lie?"
        if left < 0:
            return Attempt(number, "high", f"Too many: {times}, which is more than {plain(held)}.{hint}")
        return Attempt(number, "low", f"More go in: {times}, and {plain(left)} is still left.{hint}")
