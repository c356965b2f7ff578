"""Trials to and from CSV, as spreadsheets write and open it.

cell    one field of a row, as text
header  the first row: it names the columns, in any order, as the printed record does or by the names of their fields

Read: commas, semicolons or tabs between cells; decimal points or commas; a byte-order mark; UTF-8, UTF-16 with its
mark, or else Windows-1252. Written: UTF-8 with a byte-order mark.

A column that is none of ours is passed over and named. The mass of an object that is in the list need not be given.

A text that begins like a formula (= + - @) gets an apostrophe in front, which a spreadsheet shows as text and reading
takes away again. A wrong row stops the whole reading: nothing is half imported.
"""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, NamedTuple

from msgspec import NODEFAULT
from msgspec.structs import fields

from folder.cargo.item_list import find_item
from folder.errors import BadRequest, UnreadableFile, one_line
from folder.places import read_whole, write_whole
from folder.practice.trial import COLUMNS, HEADINGS, Trial

REQUIRED = tuple(field.name for field in fields(Trial) if field.default is NODEFAULT and field.name != "mass_each_g")
"""The columns without which a row is no trial."""

FILE_LIMIT_BYTES = 64_000_000
"""Some six times 100,000 trials with short notes."""

LONGEST_HEADING = 40

LINES_NAMED = 5
"""So many further wrong lines are named beside the first."""

_FORMULA = re.compile(r"'*\s*[=+\-@]|'*[\t\r\n]")
"""What a spreadsheet could take for a formula, and what stands for it here: the apostrophes make it reversible."""

_NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)(e[+-]?\d{1,3})?", re.ASCII | re.IGNORECASE)
_THOUSANDS_OR_DECIMALS = re.compile(r"[1-9]\d{0,2},\d{3}", re.ASCII)
_DAY_FIRST = re.compile(r"(\d{1,2})\.(\d{1,2})\.(\d{4})", re.ASCII)


class TrialTable(NamedTuple):
    """What was read of a table, and the names of the columns that are none of ours."""

    trials: tuple[Trial, ...]
    passed_over: tuple[str, ...] = ()


def read_csv(path: Path) -> TrialTable:
    """The trials of a CSV file; UnreadableFile says which line is wrong and why."""
    data = read_whole(path, FILE_LIMIT_BYTES, "the table")
    return parse_csv(data, str(path))


def export_csv(trials: Iterable[Trial], path: Path, *, decimal_comma: bool = False) -> None:
    """Write trials as a table that a spreadsheet opens; the file is replaced in one step.

    With `decimal_comma` semicolons part the cells and numbers have commas, as many of Europe's spreadsheets want it.
    """
    write_whole(path, format_csv(trials, decimal_comma=decimal_comma))


def format_csv(trials: Iterable[Trial], *, decimal_comma: bool = False) -> bytes:
    """The table as it stands in the file."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, delimiter=";" if decimal_comma else ",", lineterminator="\r\n")
    writer.writerow(HEADINGS.values())
    for trial in trials:
        writer.writerow([cell_text(getattr(trial, name), decimal_comma) for name in HEADINGS])
    return codecs.BOM_UTF8 + text.getvalue().encode()


def parse_csv(data: bytes, where: str) -> TrialTable:
    """The trials of a table; `where` is named in errors."""
    lines, delimiter, before = csv_lines(data, where)
    rows = csv.reader(lines, delimiter=delimiter, strict=True)
    trials: list[Trial] = []
    masses: dict[str, float] = {}
    wrong: list[tuple[int, BadRequest]] = []
    last = before  # the last line of the row before; a text in quotation marks may run over several
    try:
        columns = _header(next(rows, []), where)
        last = before + rows.line_num
        for row in rows:
            line, last = last + 1, before + rows.line_num
            if not any(map(str.strip, row)):
                continue
            try:
                trials.append(_trial(columns, row, masses, comma_is_decimal=delimiter == ";"))
            except BadRequest as error:
                wrong.append((line, error))
    except csv.Error as error:
        raise UnreadableFile(
            "the table is broken, and nothing was imported",
            where=f"{where}, line {last + 1}",
            found=str(error),
            remedy="Look for a quotation mark without its partner",
        ) from error
    if wrong:
        raise _refusal(wrong, where)
    return TrialTable(tuple(trials), tuple(column.said for column in columns if column.said and not column.field))


def _refusal(wrong: list[tuple[int, BadRequest]], where: str) -> UnreadableFile:
    """One error for all wrong lines: the first in full, the next by their numbers."""
    (line, first), *others = wrong
    remedy = first.remedy
    if others:
        named = ", ".join(str(number) for number, _ in others[:LINES_NAMED])
        more = f" and {len(others) - LINES_NAMED} more" if len(others) > LINES_NAMED else ""
        remedy = f"{remedy}. Also wrong: line {named}{more}" if remedy else f"Also wrong: line {named}{more}"
    what = f"{first.what}, and nothing was imported"
    return UnreadableFile(what, where=f"{where}, line {line}, {first.where}", found=first.found, remedy=remedy)


def csv_lines(data: bytes, where: str) -> tuple[io.StringIO, str, int]:
    """A table from its head on, what parts its cells, and how many lines stand before the head; UnreadableFile where it is none."""
    lines = io.StringIO(_decode(data, where), newline="")  # ends lines only where CSV does, and keeps their ends
    first_line = lines.readline()
    before = 0
    if first_line.lower().startswith("sep="):  # some spreadsheets announce the delimiter
        first_line, before = lines.readline(), 1
    delimiter = max(";,\t", key=first_line.count)
    lines.seek(lines.tell() - len(first_line))
    return lines, delimiter, before


def _decode(data: bytes, where: str) -> str:
    """The text of a table as spreadsheets save it; UnreadableFile where it is none."""
    utf_16 = data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    for encoding in ("utf-16",) if utf_16 else ("utf-8-sig", "cp1252"):
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise UnreadableFile("this is not a table in text", where=where, remedy="Save it as CSV UTF-8")


class _Column(NamedTuple):
    """A column: the field it is, "" for none of ours, and what it is called in the table."""

    field: str
    said: str


def _plain(heading: str) -> str:
    return re.sub(r"[^\w]+", "_", heading.strip().lower()).strip("_")


_FIELD_OF = {name: name for name in COLUMNS} | {_plain(heading): name for name, heading in HEADINGS.items()}


def _header(cells: list[str], where: str) -> list[_Column]:
    """The columns. Spreadsheets leave empty ones at the end."""
    columns = [_Column(_FIELD_OF.get(_plain(cell), ""), one_line(cell, LONGEST_HEADING)) for cell in cells]
    names = [column.field for column in columns]
    problem = ""
    if missing := [HEADINGS[name] for name in REQUIRED if name not in names]:
        problem = f"no column {', '.join(missing)}"
    elif twice := [HEADINGS[name] for name in COLUMNS if names.count(name) > 1]:
        problem = f"column {', '.join(twice)} twice"
    if problem:
        needed, wanted = (", ".join(HEADINGS[n] for n in HEADINGS if (n in REQUIRED) == must) for must in (True, False))
        remedy = f"It needs {needed}; it may have {wanted}"
        raise UnreadableFile("the first line must name the columns", where=where, found=problem, remedy=remedy)
    return columns


def _trial(columns: list[_Column], row: list[str], masses: dict[str, float], comma_is_decimal: bool) -> Trial:
    values: dict[str, Any] = {}
    said = {column.field: column.said for column in columns}
    for column, cell in zip(columns + [_Column("", "")] * (len(row) - len(columns)), row, strict=False):
        name = column.field
        text = cell if name == "note" else cell.strip()
        if not text or (column.said and not name):
            continue
        if not name:
            remedy = "Put a text that holds the delimiter in quotation marks"
            raise BadRequest("a cell outside the named columns", where="row", found=repr(cell), remedy=remedy)
        read = _READ[name]
        ambiguous = "," in text and not comma_is_decimal and _THOUSANDS_OR_DECIMALS.fullmatch(text)
        if ambiguous and read in (_number, _whole):
            remedy = "Write 1000 or 1.0 instead"
            raise BadRequest("the comma could mean thousands or decimals", where=column.said, found=text, remedy=remedy)
        try:
            values[name] = read(text)
        except ValueError as error:
            raise BadRequest(str(error), where=column.said, found=repr(text)) from error
    for name in REQUIRED:
        if name not in values:
            raise BadRequest("the cell is empty", where=said[name])
    if "mass_each_g" not in values:
        values["mass_each_g"] = _listed_mass(values["item"], masses)
    return Trial(**values)


def _listed_mass(item: str, masses: dict[str, float]) -> float:
    """The mass of an object that is in the list; `masses` has those that were looked up before."""
    if item not in masses:
        try:
            mass = find_item(item).mass_g
        except BadRequest:
            mass = None
        if mass is None:
            what = "the mass of this object is not in the list"
            raise BadRequest(what, where=HEADINGS["mass_each_g"], found=repr(item), remedy="Weigh yours and fill in the column")
        masses[item] = mass
    return masses[item]


def _number(text: str) -> float:
    if not _NUMBER.fullmatch(text):
        raise ValueError("this is not a number")
    return float(text.replace(",", "."))


def _whole(text: str) -> int:
    number = _number(text)
    if not number.is_integer():
        raise ValueError("this is not a whole number")
    return int(number)


def _date(text: str) -> str:
    """ISO with hyphens or slashes, or day.month.year. Dates like 3/4/2025 mean two things and are left to fail."""
    if day_first := _DAY_FIRST.fullmatch(text):
        day, month, year = day_first.groups()
        return f"{year}-{month:0>2}-{day:0>2}"
    return text.replace("/", "-") if text[:4].isdigit() else text


def cell_meaning(text: str) -> str:
    """What a text in a cell stands for: an apostrophe before what would be a formula is the cell's, not the text's."""
    return text[1:] if text.startswith("'") and _FORMULA.match(text, 1) else text


_READ: dict[str, Callable[[str], Any]] = {
    "date": _date,
    "pattern": cell_meaning,
    "item": cell_meaning,
    "mass_each_g": _number,
    "count": _whole,
    "guess": _whole,
    "sheet_width_mm": _number,
    "sheet_height_mm": _number,
    "thickness_um": _number,
    "sheets_used": _whole,
    "hand": str.lower,
    "brim_g": _number,
    "note": cell_meaning,
    "design": str.lower,
    "pupil": cell_meaning,
    "happened": str.lower,
}
"""How the cells of each column are read."""


def cell_text(value: str | float | None, decimal_comma: bool) -> str:
    """A value as a cell that no spreadsheet takes for a formula."""
    if value is None:
        return ""
    if isinstance(value, str):
        return f"'{value}" if _FORMULA.match(value) else value
    text = repr(value).removesuffix(".0")
    return text.replace(".", ",") if decimal_comma else text
