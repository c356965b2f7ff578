"""What a family of patterns is made of: parameters with limits, and a builder.

family      parametric patterns: a sheet and parameters make a pattern
parameter   a number (mm, deg or a count) with limits, or a word from a list
drawing     what a builder returns: creases, floor and crimps
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from msgspec import Struct

from folder.errors import BadRequest, nearest
from folder.findings import Point
from folder.pattern.pattern import Crease, Sheet

Value = float | str

_LAST_DIGITS = 1e-9
"""A limit that is meant to be round may miss it by rounding."""


class Parameter(Struct, frozen=True):
    """One knob of a family. Numbers have limits, counts are whole; words have choices, or a check in the builder."""

    name: str
    text: str
    default: Value
    unit: str = "mm"
    low: float = 0.0
    high: float = 0.0
    whole: bool = False
    choices: tuple[str, ...] = ()

    def accepted(self, value: object, family: str) -> Value:
        """The value as a number or word of this parameter, or a BadRequest that says what would be."""
        where = f"{family}, parameter {self.name}"
        if isinstance(self.default, str):
            if not isinstance(value, str):
                raise BadRequest("a word is wanted", where=where, found=repr(value), remedy=f"For example: {self.default}")
            if self.choices and value not in self.choices:
                raise BadRequest("the choice is not known", where=where, found=value, remedy=nearest(value, self.choices))
            return value
        limits = f"{self.low:g} to {self.high:g} {self.unit}".strip()
        try:
            number = float(value)  # type: ignore[arg-type]
        except (TypeError, ValueError):
            raise BadRequest("a number is wanted", where=where, found=repr(value), remedy=f"Give {limits}") from None
        if not self.low <= number <= self.high:
            raise BadRequest("the number is out of range", where=where, found=f"{number:g}", remedy=f"Give {limits}")
        if self.whole and not number.is_integer():
            raise BadRequest("a whole number is wanted", where=where, found=f"{number:g}", remedy=f"Give {limits}")
        return number


class Drawing(Struct, frozen=True):
    """What a builder lays on the sheet."""

    creases: tuple[Crease, ...]
    floor_at: Point
    crimps: tuple[Point, ...] = ()


class Family(Struct, frozen=True):
    """Parametric patterns of one kind. `text` says in a sentence when to use it."""

    name: str
    title: str
    text: str
    parameters: tuple[Parameter, ...]
    build: Callable[[Sheet, Mapping[str, Value]], Drawing]
    corners: int
    """How many corners its floor has; each has a flap, and a crimp that holds it."""
    ready: str
    """The ready pattern that shows it, by its short name."""
    has_level_rim: bool = True
    """All its walls are of one height."""
    has_flat_flaps: bool = True
    """Each flap lies flat on a wall; ears may stand off."""

    has_scaled_lengths: bool = False
    """Its lengths are those for a sheet of 150 mm, and where none are given they grow with the sheet: few others would fold."""

    volume: Callable[[Sheet, Mapping[str, Value]], float] | None = None
    """What it holds up to its rim, mm3, in closed form; it refuses what cannot be built, flaps in each other's way aside."""
    fill: Callable[[Sheet, Mapping[str, Value]], dict[str, Value]] | None = None
    """Puts numbers in the place of what was left to the family, if anything can be."""

    def usual(self, sheet: Sheet) -> dict[str, Value]:
        """The parameters that are not at their defaults on this sheet, unless others are given."""
        part = sheet.width_mm / Sheet().width_mm
        if not self.has_scaled_lengths or part == 1.0:
            return {}
        lengths = [p for p in self.parameters if p.unit == "mm"]
        return {p.name: min(max(round(part * float(p.default), 2), p.low), p.high) for p in lengths}

    def filled(self, sheet: Sheet, values: Mapping[str, Value]) -> dict[str, Value]:
        """All parameters, what was left to the family as the numbers that it takes on this sheet."""
        return dict(values) if self.fill is None else self.fill(sheet, values)

    def values(self, given: Mapping[str, object]) -> dict[str, Value]:
        """All parameters, the given ones checked, the others at their defaults."""
        names = {p.name for p in self.parameters}
        for name in given:
            if name not in names:
                raise BadRequest(
                    "no such parameter", where=self.name, found=name, remedy=nearest(name, sorted(names), among="It has")
                )
        return {p.name: p.accepted(given[p.name], self.name) if p.name in given else p.default for p in self.parameters}


def no_more(limit: float) -> str:
    """The largest number of two decimals that is no more than a limit: what an error tells is taken when it is given."""
    return f"{math.floor(limit * 100.0 + _LAST_DIGITS) / 100.0:.10g}"


def no_less(limit: float) -> str:
    """The smallest number of two decimals that is no less than a limit."""
    return f"{math.ceil(limit * 100.0 - _LAST_DIGITS) / 100.0:.10g}"


def number(values: Mapping[str, Value], name: str) -> float:
    """A parameter that is a number."""
    return float(values[name])


def word(values: Mapping[str, Value], name: str) -> str:
    """A parameter that is a word."""
    return str(values[name])
