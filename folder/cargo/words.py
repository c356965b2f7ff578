"""Counts in words: how many objects a load makes, for people.

by mass   the load over the mass of one, rounded down; whether there is room for so many is not asked (see `predict`)
noun      what a number of objects is called: "cents", "M8 washers"
"""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

from folder.cargo.item import Item

_HISSES = ("s", "x", "z", "ch", "sh")


def counts_by_mass(each_g: float, *loads_g: float) -> tuple[int, ...]:
    """How many objects of a mass each load, g, makes: exact in the decimals as they are written, rounded down, never below 0."""
    each = Fraction(Decimal(repr(float(each_g))))
    return tuple(Fraction(Decimal(repr(max(float(load), 0.0)))) // each for load in loads_g)


def count_words(item: Item, low_g: float, likely_g: float, high_g: float, each_g: float | None = None) -> str:
    """A working load, g, in objects: "about 66 cents, 51 to 82". "" where the mass of one is not known.

    `each_g` is the user's own mass of one, in place of the list's. Quick: by mass alone, until `predict` has counted them.
    """
    each = item.mass_g if each_g is None else each_g
    if each is None:
        return ""
    low, likely, high = counts_by_mass(each, low_g, likely_g, high_g)
    return span_words(item, low, likely, high, about=True)


def about_words(item: Item, count: int) -> str:
    """A count by mass alone: "about 66 cents"."""
    return f"about {number_of(item, count)}"


def span_words(item: Item, low: int, likely: int, high: int, *, about: bool = False) -> str:
    """Counts as they are told: "likely 66 cents, 51 to 82"; `about` 66 where they have not been counted in full."""
    return f"{about_words(item, likely) if about else f'likely {number_of(item, likely)}'}, {low} to {high}"


def number_of(item: Item, count: int) -> str:
    """So many objects: "66 cents"; "66 × 2p coins" where two numbers would run into each other."""
    name = noun(item, count)
    return f"{count} × {name}" if name[0].isdigit() else f"{count} {name}"


def noun(item: Item, count: int) -> str:
    """What so many of an object are called."""
    one = item.label.partition(",")[0].strip()
    return one if count == 1 else item.many or _plural(one)


def _plural(one: str) -> str:
    """English, as far as the names of small objects go; a list says `many` where this would be wrong."""
    if re.search(r"[^aeiou\W\d_]y$", one, re.IGNORECASE):
        return f"{one[:-1]}ies"
    return f"{one}es" if one.lower().endswith(_HISSES) else f"{one}s"
