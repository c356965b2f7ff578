"""Teams from a spreadsheet, and results to one."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable
from decimal import Decimal
from pathlib import Path

from folder.errors import UnreadableFile
from folder.event.entry import plain_name
from folder.event.places import Standing
from folder.places import read_whole, write_whole
from folder.practice.exchange import FILE_LIMIT_BYTES, cell_meaning, cell_text, csv_lines

HEADS = ("team", "team name", "name", "pupil", "pupil name", "teams", "names", "pupils")
"""What the column of names may be called; a table without such a head has the names in its first column."""
PARTS = (("first name", "forename", "given name"), ("last name", "surname", "family name"))
"""Or what the two columns of names in two parts are called, as school lists have them."""

COLUMNS = ("place", "number", "team", "guess", "held", "held g", "off", "sheets", "points")


def read_names(path: Path, of: str = "teams") -> tuple[str, ...]:
    """The names of teams or pupils in a table, empty rows left out; UnreadableFile where there are none."""
    return parse_names(read_whole(path, FILE_LIMIT_BYTES, "the table"), str(path), of)


def parse_names(data: bytes, where: str, of: str = "teams") -> tuple[str, ...]:
    """The same from what stands in a table, or was pasted."""
    lines, delimiter, _ = csv_lines(data, where)
    try:
        rows = [row for row in csv.reader(lines, delimiter=delimiter, strict=True) if any(map(str.strip, row))]
    except csv.Error as error:
        remedy = "Look for a quotation mark without its partner"
        raise UnreadableFile("the table is broken", where=where, found=str(error), remedy=remedy) from error
    columns = _name_columns(rows[0]) if rows else []
    names = [" ".join(row[k] for k in columns or [0] if k < len(row)) for row in rows[1 if columns else 0 :]]
    plain = tuple(plain_name(cell_meaning(name)) for name in names if name.strip())
    if not plain:
        raise UnreadableFile(f"there are no {of} in this table", where=where, remedy="One name a row, under the head name")
    return plain


def _name_columns(cells: list[str]) -> list[int]:
    """Where the names stand by the head of a table; nowhere where it has no head."""
    heads = [" ".join(re.sub(r"\W|_", " ", cell).lower().split()) for cell in cells]
    if whole := [heads.index(head) for head in HEADS if head in heads]:
        return whole[:1]
    parts = [[heads.index(head) for head in part if head in heads][:1] for part in PARTS]
    return [k for part in parts for k in part]


def standing_row(standing: Standing, mass_g: float | None) -> dict[str, object]:
    """A place as plain values; `held_g` with the announced mass of one object, None where that is not known."""
    result = standing.result
    held_g = None if result.held is None or mass_g is None else float(Decimal(repr(float(mass_g))) * result.held)
    return {
        "place": standing.place, "number": result.team.number, "team": result.team.name, "guess": result.guess,
        "held": result.held, "held_g": held_g, "off": result.off, "sheets": result.sheets, "points": standing.points,
    }  # fmt: skip


def write_standings(standings: Iterable[Standing], mass_g: float | None, path: Path) -> None:
    """The places as a table that a spreadsheet opens; replaced in one step."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for standing in standings:
        row = standing_row(standing, mass_g)
        writer.writerow([cell_text(row[head.replace(" ", "_")], False) for head in COLUMNS])  # type: ignore[arg-type]
    write_whole(path, out.getvalue().encode("utf-8-sig"))
