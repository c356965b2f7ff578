"""Finding an object by what is known of it: words of its name, its shape, its mass, its sizes.

wish      what was typed, taken apart: words, masses (g), sizes (mm), and numbers that may be either
matches   an object that answers to every part of a wish
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Sequence

from msgspec import Struct

from folder.cargo.item import Item

NEAR = 0.03
"""A number is that of an object when it is off by no more than this part, or by what its last digit hides."""

MOST_NEAREST = 6

_PART = re.compile(r"(?P<number>\d+(?:[.,]\d+)?)\s*(?P<unit>mm|cm|g)?(?![\w.,])|(?P<word>[^\W_][\w']*)", re.IGNORECASE)
_IDLE = frozenset({"by", "x", "a", "an", "the", "of", "and", "each", "g", "mm", "cm", "gram", "grams"})
_ALSO: dict[str, str] = {
    "disc": "round flat", "ball": "sphere round", "block": "cube brick box", "tube": "rod bar cylinder round", "cup": "beaker",
    "screw": "bolt",
}  # fmt: skip
"""Other words for a shape."""


class TypedNumber(Struct, frozen=True):
    """A number that was typed, as it was written: its last digit may have been rounded."""

    value: float
    hides: float
    """Half of one in its last digit."""
    unit: str = ""
    """"g", "mm", or "" where it may be either."""

    def is_near(self, number: float) -> bool:
        """Whether it means this number."""
        return abs(number - self.value) <= max(NEAR * number, self.hides)


class ItemWish(Struct, frozen=True):
    """What is wanted of an object."""

    words: tuple[str, ...] = ()
    numbers: tuple[TypedNumber, ...] = ()

    @property
    def mass_g(self) -> float | None:
        """The mass that was named, with its unit or as the only number; None where there was none."""
        grams = [number.value for number in self.numbers if number.unit == "g"]
        lone = [number.value for number in self.numbers if not number.unit]
        return grams[0] if grams else lone[0] if len(self.numbers) == 1 and lone else None

    @property
    def sizes_mm(self) -> tuple[float, ...]:
        """The sizes that were named, in their order."""
        named = any(number.unit for number in self.numbers)
        return tuple(n.value for n in self.numbers if n.unit == "mm" or (named and not n.unit))


def read_wish(text: str) -> ItemWish:
    """What was typed, taken apart: "3.92 g and 21.25 mm by 1.67 mm", "marble", "disc 2.5"."""
    words, numbers = [], []
    for part in _PART.finditer(text):
        if part["number"]:
            digits, unit = part["number"].replace(",", "."), (part["unit"] or "").lower()
            times, decimals = (10.0 if unit == "cm" else 1.0), len(digits.partition(".")[2])
            hides = 0.5 * 10.0**-decimals if decimals else 0.0
            numbers.append(TypedNumber(float(digits) * times, hides * times, "mm" if unit == "cm" else unit))
        elif part["word"].lower() not in _IDLE:
            words.append(part["word"].lower())
    return ItemWish(tuple(words), tuple(numbers))


def search_items(text: str, among: Sequence[Item]) -> tuple[Item, ...]:
    """The objects that answer to all that was typed, the best first; all of them, in their order, for nothing typed."""
    wish = read_wish(text)
    if not wish.words and not wish.numbers:
        return tuple(among) if not text.strip() else ()
    found = [(rank, k) for k, item in enumerate(among) if (rank := _rank(item, wish)) is not None]
    return tuple(among[k] for _, k in sorted(found))


def nearest_items(text: str, among: Sequence[Item]) -> tuple[Item, ...]:
    """Objects whose names look like what was typed, or whose mass is not far off; for when none answers to it."""
    wish = read_wish(text)
    by_word = {word: item for item in reversed(among) for word in (*_kinds_of(item), *_words_of(item))}
    close = [by_word[near] for word in wish.words for near in difflib.get_close_matches(word, by_word, 3, 0.7)]
    if wish.mass_g is not None:
        weighed = [item for item in among if item.mass_g is not None]
        close += sorted(weighed, key=lambda item: abs((item.mass_g or 0.0) - (wish.mass_g or 0.0)))[:3]
    return tuple(dict.fromkeys(close))[:MOST_NEAREST]


def _rank(item: Item, wish: ItemWish) -> tuple[int, float] | None:
    """How well an object answers, smaller is better; None where it does not."""
    names, kinds = _words_of(item), _kinds_of(item)
    worst, off = 0, 0.0
    for word in wish.words:
        how = _word_rank(word, names, kinds)
        if how is None:
            return None
        worst = max(worst, how)
    for number in wish.numbers:
        measures = _measures(item, number.unit)
        near = [value for value in measures if number.is_near(value)]
        if near:
            off += min(abs(value - number.value) / value for value in near)
        elif not number.unit and f"{number.value:g}" in names:
            off += NEAR  # as in "M8" or "5 cents": a number of its name
        else:
            return None
    return worst, round(off, 6)


def _word_rank(word: str, names: Sequence[str], kinds: Sequence[str]) -> int | None:
    """0 where a word is of an object's name, 1 where one there begins so, 2 where it is of its kind, 3 where it is inside a word."""
    forms = {word, word.removesuffix("s"), word.removesuffix("es")}
    if forms & set(names):
        return 0
    if any(one.startswith(word) for one in names):
        return 1
    if forms & set(kinds) or any(one.startswith(word) for one in kinds):
        return 2
    return 3 if len(word) > 2 and any(word in one for one in names) else None


def _measures(item: Item, unit: str) -> tuple[float, ...]:
    masses = () if item.mass_g is None else (item.mass_g,)
    return {"g": masses, "mm": item.size_mm}.get(unit, (*masses, *item.size_mm))


def _words_of(item: Item) -> tuple[str, ...]:
    """The words that name an object."""
    return _each_word(f"{item.label} {item.name} {item.many}")


def _kinds_of(item: Item) -> tuple[str, ...]:
    """The words for what kind of thing it is."""
    return _each_word(f"{item.group_name} {item.shape} {_ALSO[item.shape]}")


def _each_word(text: str) -> tuple[str, ...]:
    words = re.findall(r"[^\W_][\w']*", text.lower())
    return tuple(dict.fromkeys((*words, *(word.removesuffix("s") for word in words))))
