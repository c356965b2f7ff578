"""The rules of an event, as plain data: every event has its own, and they come first.

held     how many objects a hull took; the one that let water in does not count
off      how far a guess was from what was held
points   per_object for each object held, per_guess_off for each object the guess was off, per_extra_sheet for each sheet
         after the first, added up: a rule that takes points away gives a number below zero
"""

from __future__ import annotations

import codecs
from pathlib import Path
from typing import Literal

import msgspec
from msgspec import Struct

from folder.errors import BadRequest, UnreadableFile, one_line
from folder.places import read_whole

Criterion = Literal["points", "held", "sheets", "guess"]

LARGEST = 1e6
"""No size, mass, time or number of points of a foil event comes near."""

LONGEST_FOUND = 20
MOST_BYTES = 1_000_000


class EventObject(Struct, frozen=True, forbid_unknown_fields=True):
    """What the hulls are loaded with: its name, its mass as announced, and how many there are (None: enough)."""

    name: str
    mass_g: float | None = None
    count: int | None = None


class Points(Struct, frozen=True, forbid_unknown_fields=True):
    """What counts how much."""

    per_object: float = 1.0
    per_guess_off: float = 0.0
    per_extra_sheet: float = 0.0


class Rules(Struct, frozen=True, forbid_unknown_fields=True):
    """The rules of one event. What is None is not ruled. Raises BadRequest for what cannot be."""

    name: str = ""
    sheet_mm: tuple[float, float] = (150.0, 150.0)
    sheets: int = 2
    """How many sheets a team may use."""
    cuts: Literal["not-allowed", "allowed"] = "not-allowed"
    footprint_mm: tuple[float, float] | None = None
    """The folded hull, flaps and all, must fit this rectangle at some turn."""
    wall_most_mm: float | None = None
    one_hold: bool = False
    """One open floor, not several holds."""
    objects: tuple[EventObject, ...] = ()
    guess: bool = True
    """Whether teams say beforehand how many it will take."""
    build_min: float | None = None
    load_min: float | None = None
    order: tuple[Criterion, ...] = ("held", "sheets", "guess")
    """What decides the places, first to last."""
    points: Points | None = None

    def __post_init__(self) -> None:
        for key, least in (("wall_most_mm", 0.0), ("build_min", 0.0), ("load_min", 0.0)):
            _check(key, getattr(self, key), least)
        for key in ("sheet_mm", "footprint_mm"):
            for side in getattr(self, key) or ():
                _check(key, side, 0.0)
        if self.sheets < 1:
            raise BadRequest("a team needs at least one sheet", where="sheets", found=str(self.sheets))
        _check("sheets", self.sheets, 0.0)
        for thing in self.objects:
            if not thing.name.strip():
                raise BadRequest("an object needs a name", where="objects")
            _check("objects, mass_g", thing.mass_g, 0.0)
            _check("objects, count", thing.count, 0.0)
        if not self.order or len(set(self.order)) < len(self.order):
            raise BadRequest(
                "each of points, held, sheets, guess once, and at least one", where="order", found=", ".join(self.order)
            )
        if "points" in self.order and self.points is None:
            raise BadRequest("points decide, but nothing says what gives points", where="points", remedy="Add points")
        if not self.deciding:
            raise BadRequest(
                "the guess alone decides, but nobody is asked for one",
                where="order",
                found="guess",
                remedy="Add held or ask for a guess",
            )
        for value in msgspec.structs.astuple(self.points) if self.points else ():
            _check("points", value, -LARGEST)

    @property
    def deciding(self) -> tuple[Criterion, ...]:
        """The order that decides: a guess that nobody was asked for decides nothing."""
        return tuple(c for c in self.order if c != "guess" or self.guess)


def _check(where: str, value: float | None, above: float) -> None:
    if value is not None and not above < value <= LARGEST:  # nor is one that is no number
        found = f"{value:g}" if isinstance(value, float) else one_line(str(value), LONGEST_FOUND)
        raise BadRequest(f"a number over {above:g} and up to {LARGEST:g} is wanted", where=where, found=found)


def parse_rules(data: bytes, where: str) -> Rules:
    """Rules from JSON; UnreadableFile says what is wrong and where. What is left out keeps its default."""
    try:
        return msgspec.json.decode(data.removeprefix(codecs.BOM_UTF8), type=Rules)
    except msgspec.ValidationError as error:
        what, _, place = str(error).partition(" - at ")
        raise UnreadableFile(f"these are no rules: {what}", where=f"{where} {place}".strip()) from error
    except (msgspec.DecodeError, UnicodeDecodeError) as error:
        raise UnreadableFile("this is not JSON", where=where, found=str(error)) from error
    except BadRequest as error:
        raise UnreadableFile(error.what, where=f"{where}, {error.where}", found=error.found, remedy=error.remedy) from error


def read_rules(path: Path) -> Rules:
    """The rules in a JSON file."""
    return parse_rules(read_whole(path, MOST_BYTES, "the rules"), str(path))


def rules_json(rules: Rules) -> bytes:
    """Rules as JSON, every key written out, so that whoever opens it sees what can be ruled."""
    return msgspec.json.format(msgspec.json.encode(rules), indent=2) + b"\n"
