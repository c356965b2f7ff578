"""How walls, counts and lists are said."""

from __future__ import annotations

import math
from collections.abc import Iterable

from folder.geometry.space import Floats

_ALL = {2: "both", 3: "all three", 4: "all four", 5: "all five", 6: "all six", 7: "all seven", 8: "all eight"}
_ROUND = ("right", "back right", "back", "back left", "left", "front left", "front", "front right")
"""Names of walls by where they stand, seen from above, anticlockwise from the right."""
_LISTED = ("left", "right", "front", "back", "front left", "front right", "back left", "back right")
_MOST_NAMED = 4


def wall_name(outward: Floats) -> str:
    """The name of a wall that faces outward in a direction (3,), seen from above."""
    return _ROUND[round(math.atan2(float(outward[1]), float(outward[0])) / (math.pi / 4)) % 8]


def wall_names(outward: Iterable[Floats]) -> list[str]:
    """The names of walls that face outward in some directions (3,) each, each name once; none where they are too many to say."""
    names = {wall_name(direction) for direction in outward}
    return [name for name in _LISTED if name in names] if len(names) <= _MOST_NAMED else []


def open_to_doubt(places: Iterable[Floats], names: Iterable[str]) -> bool:
    """Whether of two walls that meet at one of some corners (2,) both are named, so that either may be meant there."""
    named = set(names)
    return any(len(set(wall_name(place).split()) & named) > 1 for place in places)


def how_many(count: int) -> str:
    """All of so many."""
    return _ALL.get(count, "all the")


def listed_words(names: Iterable[str], last_word: str = "and") -> str:
    """Names in a list with an `and`, or another word before the last."""
    *most, last = names
    return f"{', '.join(most)} {last_word} {last}" if most else last
