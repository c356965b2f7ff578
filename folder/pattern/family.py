"""The families of ready-made hulls: a name, a sheet and parameters in, a pattern out."""

from __future__ import annotations

from collections.abc import Mapping

from folder.errors import BadRequest
from folder.pattern import layered, trays
from folder.pattern.parameter import Family
from folder.pattern.pattern import FamilyRef, Pattern, Sheet

FAMILIES: dict[str, Family] = {
    f.name: f
    for f in (
        trays.SQUARE_TRAY,
        trays.LEANING_TRAY,
        layered.HEMMED_TRAY,
        layered.PLEATED_FLOOR_TRAY,
        layered.DOUBLE_SHEET_TRAY,
        layered.TALL_BOX,
    )
}
"""Every family by name, simplest first."""


def find_family(name: str) -> Family:
    """The family of that name."""
    if name not in FAMILIES:
        raise BadRequest("no such family of patterns", found=repr(name), remedy=f"There are: {', '.join(FAMILIES)}")
    return FAMILIES[name]


def make(
    family: str, parameters: Mapping[str, object] | None = None, *, sheet: Sheet | None = None, name: str = "", note: str = ""
) -> Pattern:
    """A pattern of a family. Numbers in mm and degrees, as in files. BadRequest when the parameters make no hull."""
    kind = find_family(family)
    sheet = sheet or Sheet()
    values = kind.values(parameters or {})
    drawing = kind.build(sheet, values)
    return Pattern(
        name or kind.title, note, sheet, drawing.floor_at, drawing.creases, drawing.crimps, FamilyRef(family, values)
    )
