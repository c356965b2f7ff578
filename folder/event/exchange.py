"""Teams from a spreadsheet, and results to one."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from pathlib import Path

from folder.errors import UnreadableFile
from folder.event.entry import plain_name
from folder.event.places import Standing
from folder.places import read_whole, write_whole
from folder.practice.exchange import FILE_LIMIT_BYTES, cell_text, csv_lines

HEADS = ("team", "name", "pupil")
"""What the column of names may be called; a table without such a head has the names in its first column."""

COLUMNS = ("place", "number", "team", "guess", "held", "held g", "off", "sheets", "points")


def read_names(path: Path, of: str = "teams") -> tuple[str, ...]:
    """The names of teams or pupils in a table, empty rows left out; UnreadableFile where there are none."""
    return parse_names(read_whole(path, FILE_LIMIT_BYTES, "the table"), str(path), of)


def parse_names(data: bytes, where: str, of: str = "teams") -> tuple[str, ...]:
    """The same from what stands in a table, or was pasted."""
    lines, delimiter, _ = csv_lines(data, where)
    try:
        rows = [row for row in csv.reader(lines, delimiter=delimiter) if any(map(str.strip, row))]
    except csv.Error as error:
        raise UnreadableFile("the table is broken", where=where, found=str(error)) from error
    heads = [cell.strip().lower() for cell in rows[0]] if rows else []
    column = next((heads.index(head) for head in HEADS if head in heads), None)
    names = [row[column or 0] for row in rows[0 if column is None else 1 :] if len(row) > (column or 0)]
    plain = tuple(plain_name(name) for name in names if name.strip())
    if not plain:
        raise UnreadableFile(f"there are no {of} in this table", where=where, remedy="One name a row, under the head name")
    return plain


def standing_row(standing: Standing, mass_g: float | None) -> dict[str, object]:
    """A place as plain values; `held_g` with the announced mass of one object, None where that is not known."""
    result = standing.result
    held_g = None if result.held is None or mass_g is None else result.held * mass_g
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
