"""A trial: one float test of one build, as noted down.

held mass   count times the mass of one object; the object that let the water in is not in the count
held share  held mass over the brim load its design had: what one design teaches about another
"""

from __future__ import annotations

import re
from datetime import date
from typing import Literal, get_args

from msgspec import Struct
from msgspec.structs import fields

from folder.errors import BadRequest

HandName = Literal["careful", "usual", "hurried"]
HAND_NAMES: tuple[HandName, ...] = get_args(HandName)

NO_ROOM = "no more room"
HAPPENED = (
    "a corner caved in",
    "a corner leaked",
    "sides too low",
    "floor too small",
    "it tipped",
    "it tore",
    "wet objects",
    "all in one pile",
    NO_ROOM,
)
"""What ended a trial: why hulls of pupils fail (published children's science pages), or that no more would go in."""

LARGEST_NUMBER = 1e6
"""No mass, size or count of a foil hull comes near."""

LONGEST_NAME, LONGEST_NOTE = 200, 10_000

_UNFIT = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff]")
"""Characters that are no text: control characters other than tab and line ends, and halves of a surrogate pair."""

_KEY = re.compile(r"[0-9a-f]{16}", re.ASCII)

_DATE = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)


class Trial(Struct, frozen=True):
    """One float test. `date` is ISO (2025-03-14); `count` is what was held.

    `guess` is what was said beforehand, `brim_g` the brim load of the design at the time; both may be unknown (None).
    `sheets_used` counts the sheets it took to get this build. `design` is the key of creases and sheet (`identity`), empty where
    nothing is known but a name. `happened` is what ended the trial, one of HAPPENED or nothing.
    """

    date: str
    pattern: str
    item: str
    mass_each_g: float
    count: int
    guess: int | None = None
    sheet_width_mm: float = 150.0
    sheet_height_mm: float = 150.0
    thickness_um: float = 16.0
    sheets_used: int = 1
    hand: HandName = "usual"
    brim_g: float | None = None
    note: str = ""
    design: str = ""
    pupil: str = ""
    happened: str = ""

    def __post_init__(self) -> None:
        if not _is_date(self.date):
            remedy = "Write it like 2025-03-14"
            raise BadRequest("this is not a date", where="date", found=repr(self.date), remedy=remedy)
        _check_name("pattern", self.pattern)
        _check_name("item", self.item)
        if len(self.note) > LONGEST_NOTE or _UNFIT.search(self.note):
            remedy = f"Give plain text, at most {LONGEST_NOTE} characters"
            raise BadRequest("this is not a note", where="note", found=ascii(self.note[:40]), remedy=remedy)
        _check_measure("mass_each_g", self.mass_each_g)
        _check_measure("sheet_width_mm", self.sheet_width_mm)
        _check_measure("sheet_height_mm", self.sheet_height_mm)
        _check_measure("thickness_um", self.thickness_um)
        _check_whole("count", self.count, least=0)
        _check_whole("sheets_used", self.sheets_used, least=1)
        if self.guess is not None:
            _check_whole("guess", self.guess, least=0)
        if self.brim_g is not None:
            _check_measure("brim_g", self.brim_g)
        if self.design and not _KEY.fullmatch(self.design):
            remedy = "Leave it as the program wrote it, or empty"
            raise BadRequest("this is not the key of a design", where="design", found=ascii(self.design[:40]), remedy=remedy)
        if self.pupil:
            _check_name("pupil", self.pupil)
        if self.happened and self.happened not in HAPPENED:
            remedy = f"Use one of: {', '.join(HAPPENED)}"
            raise BadRequest("no such end of a trial", where="happened", found=ascii(self.happened[:40]), remedy=remedy)
        if self.hand not in HAND_NAMES:
            remedy = f"Use {', '.join(HAND_NAMES[:-1])} or {HAND_NAMES[-1]}"
            raise BadRequest("no such hand", where="hand", found=repr(self.hand), remedy=remedy)

    @property
    def held_g(self) -> float:
        """What it held, g."""
        return self.count * self.mass_each_g


def pupil_key(name: str) -> str:
    """By this names are compared: small and large letters and the number of spaces make no other pupil."""
    return " ".join(name.casefold().split())


def grams(mass_g: float) -> str:
    """A mass for people: no more than two decimals, thousands with commas, and never as a power of ten."""
    text = f"{mass_g:,.2f}"
    return text.rstrip("0").rstrip(".")


COLUMNS: tuple[str, ...] = tuple(field.name for field in fields(Trial))
"""The columns of a trial, in the log and in CSV."""

HEADINGS: dict[str, str] = {
    "date": "Date", "pupil": "Name", "pattern": "Pattern", "item": "Object", "mass_each_g": "each, g", "guess": "Guess", "count": "Held",
    "sheets_used": "Sheets", "happened": "What happened first?", "hand": "Hand", "note": "Note", "sheet_width_mm": "Sheet width, mm",
    "sheet_height_mm": "Sheet height, mm", "thickness_um": "Foil, um", "brim_g": "Brim load, g", "design": "Design",
}  # fmt: skip
"""What the columns are called on paper and in CSV, in this order: the printed record has those up to what happened first."""
assert set(HEADINGS) == set(COLUMNS)


def _is_date(text: str) -> bool:
    if not _DATE.fullmatch(text):
        return False
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True


def _check_name(where: str, text: str) -> None:
    one_line = text == text.strip() and [text] == text.splitlines()
    if not one_line or len(text) > LONGEST_NAME or _UNFIT.search(text):
        remedy = f"Give one line of plain text, at most {LONGEST_NAME} characters"
        raise BadRequest("this is not a name", where=where, found=ascii(text[:40]), remedy=remedy)


def _check_measure(where: str, number: float) -> None:
    if not 0 < number <= LARGEST_NUMBER:  # also refuses nan
        remedy = f"Give more than 0 and at most {LARGEST_NUMBER:.0f}"
        raise BadRequest("the number is not possible", where=where, found=f"{number:g}", remedy=remedy)


def _check_whole(where: str, number: int, least: int) -> None:
    if not least <= number <= LARGEST_NUMBER:
        remedy = f"Give a whole number from {least}"
        raise BadRequest("the number is not possible", where=where, found=str(number), remedy=remedy)
