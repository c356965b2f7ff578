"""The families of ready-made hulls: a name, a sheet and parameters in, a pattern out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from importlib import import_module

from folder.errors import BadRequest, nearest
from folder.pattern.families.parameter import Family
from folder.pattern.families.weld import LEAST_GAP_MM, too_fine
from folder.pattern.pattern import FamilyRef, Pattern, Sheet

_SHELF = {
    "square-tray": "trays",
    "leaning-tray": "trays",
    "hemmed-tray": "layered",
    "pleated-floor-tray": "layered",
    "double-sheet-tray": "layered",
    "tall-box": "layered",
    "long-barge": "barge",
    "bevelled-tray": "bowls",
    "pinched-barge": "bowls",
    "six-sided-bowl": "bowls",
    "eight-sided-bowl": "bowls",
    "two-bend-tray": "bent.bends",
    "bent-tray": "bent.bends",
    "diamond-bowl": "bent.stars",
    "fan-bowl": "bent.stars",
}
"""Every family and the module that holds it, as a constant of its name."""


class _Families(Mapping[str, Family]):
    """Families by name. A module is imported when a family of it is asked for: reading one pattern needs one of them."""

    def __getitem__(self, name: str) -> Family:
        module = import_module(f"folder.pattern.families.{_SHELF[name]}")
        family: Family = getattr(module, name.upper().replace("-", "_"))
        return family

    def __iter__(self) -> Iterator[str]:
        return iter(_SHELF)

    def __len__(self) -> int:
        return len(_SHELF)


FAMILIES: Mapping[str, Family] = _Families()
"""Every family by name, simplest first."""


def find_family(name: str) -> Family:
    """The family of that name."""
    if name not in FAMILIES:
        raise BadRequest("no such family of patterns", found=repr(name), remedy=nearest(name, FAMILIES))
    return FAMILIES[name]


def make(
    family: str, parameters: Mapping[str, object] | None = None, *, sheet: Sheet | None = None, name: str = "", note: str = ""
) -> Pattern:
    """A pattern of a family. Numbers in mm and degrees, as in files. BadRequest when the parameters make no hull."""
    kind = find_family(family)
    sheet = sheet or Sheet()
    values = kind.values({**kind.usual(sheet), **(parameters or {})})
    drawing = kind.build(sheet, values)
    fine = too_fine(drawing.creases, sheet)
    if fine:
        raise BadRequest(
            "two lines come too near to each other to be folded",
            where=f"{family}, at {fine[0]:.1f}, {fine[1]:.1f} mm on the sheet",
            found=f"less than {LEAST_GAP_MM:g} mm",
            remedy="Change one of the numbers a little",
        )
    return Pattern(name or kind.title, note, sheet, drawing.floor_at, drawing.creases, drawing.crimps, FamilyRef(family, values))
