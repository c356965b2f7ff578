"""Families of trays from a sheet that is folded flat first: a hem, a pleat, two or more layers everywhere."""

from __future__ import annotations

import math
from collections.abc import Mapping

from folder.errors import BadRequest
from folder.pattern.families.parameter import Drawing, Family, Parameter, Value, no_less, no_more, number, word
from folder.pattern.families.prefold import SIDES, hemmed, pleated, rolled
from folder.pattern.families.trays import LEAST_FLOOR_MM, LEAST_WALL_MM, SQUARE, TUCK, WALL, four_walls, inset_floor
from folder.pattern.pattern import Sheet

_HEMS = {"all": SIDES, "sides": ("right", "left"), "ends": ("lower", "upper"), **{side: (side,) for side in SIDES}}


def _hemmed_tray(sheet: Sheet, values: Mapping[str, Value]) -> Drawing:
    wall, hem = number(values, "wall"), number(values, "hem")
    # A hem no deeper than the finished wall stays off the floor.
    if wall - hem < max(hem, LEAST_WALL_MM):
        raise BadRequest(
            "the hem is deeper than the wall that is left",
            where="hemmed-tray, parameter hem",
            found=f"{hem:g} mm on a wall of {wall:g} mm",
            remedy=f"Give at most {no_more(min(wall / 2.0, wall - LEAST_WALL_MM))} mm, or a higher wall",
        )
    stack, outline = hemmed(sheet, hem, _HEMS[word(values, "edges")])
    # Sides without a hem get the same finished wall, so that the rim is level.
    floor = inset_floor(outline, wall - hem, "hemmed-tray", hem)
    turn = math.radians(number(values, "turn"))
    return four_walls(outline, floor, [turn] * 4, word(values, "tuck"), "hemmed-tray", stack)


def _pleated_floor_tray(sheet: Sheet, values: Mapping[str, Value]) -> Drawing:
    wall, pleat, shift = number(values, "wall"), number(values, "pleat"), number(values, "shift")
    room = sheet.width_mm - 3.0 * pleat - 2.0 * wall
    if room < LEAST_FLOOR_MM:
        raise BadRequest(
            "the pleat leaves no floor",
            where="pleated-floor-tray, parameter pleat",
            found=f"{pleat:g} mm",
            remedy=f"Give at most {no_more(max(0.0, (sheet.width_mm - 2.0 * wall - LEAST_FLOOR_MM) / 3.0))} mm, or lower walls",
        )
    if abs(shift) > room / 2.0 - 1.0:
        raise BadRequest(
            "the pleat runs into a wall",
            where="pleated-floor-tray, parameter shift",
            found=f"{shift:g} mm",
            remedy=f"Give {no_less(1.0 - room / 2.0)} to {no_more(room / 2.0 - 1.0)} mm",
        )
    stack, outline = pleated(sheet, pleat, shift)
    floor = inset_floor(outline, wall, "pleated-floor-tray")
    turn = math.radians(number(values, "turn"))
    return four_walls(outline, floor, [turn] * 4, word(values, "tuck"), "pleated-floor-tray", stack)


def _double_sheet_tray(sheet: Sheet, values: Mapping[str, Value]) -> Drawing:
    return _rolled(sheet, 1, 2, values, "double-sheet-tray")


def _tall_box(sheet: Sheet, values: Mapping[str, Value]) -> Drawing:
    across, along = int(number(values, "across")), int(number(values, "along"))
    return _rolled(sheet, across, along, values, "tall-box")


def _rolled(sheet: Sheet, across: int, along: int, values: Mapping[str, Value], family: str) -> Drawing:
    stack, outline = rolled(sheet, across, along)
    floor = inset_floor(outline, number(values, "wall"), family)
    turn = math.radians(number(values, "turn"))
    return four_walls(outline, floor, [turn] * 4, word(values, "tuck"), family, stack)


HEMMED_TRAY = Family(
    "hemmed-tray",
    "Hemmed tray",
    "The edge is folded over first: a stiff, smooth rim that keeps its shape. Take it when walls sag or fingers get cut.",
    (
        WALL,
        Parameter("hem", "how deep the sheet's edge is folded over; the wall gets lower by as much", 5.0, "mm", 2.0, 100.0),
        SQUARE,
        Parameter("edges", "which edges get a hem", "all", "", choices=tuple(_HEMS)),
        TUCK,
    ),
    _hemmed_tray,
    corners=4,
    ready="hemmed-tray",
)
PLEATED_FLOOR_TRAY = Family(
    "pleated-floor-tray",
    "Pleated-floor tray",
    "A pleat across the middle makes three layers there: a stiff keel for a few heavy things in a row.",
    (
        WALL,
        Parameter("pleat", "how wide the pleat is; it takes twice as much from the sheet", 8.0, "mm", 2.0, 200.0),
        Parameter("shift", "how far the pleat lies right of the middle", 0.0, "mm", -400.0, 400.0),
        SQUARE,
        TUCK,
    ),
    _pleated_floor_tray,
    corners=4,
    ready="keel-tray",
)
DOUBLE_SHEET_TRAY = Family(
    "double-sheet-tray",
    "Double-sheet tray",
    "The sheet is folded in half first: two layers everywhere. Take it for a small load with edges that could tear one layer.",
    (Parameter("wall", WALL.text, 18.0, "mm", LEAST_WALL_MM, 400.0), SQUARE, TUCK),
    _double_sheet_tray,
    corners=4,
    ready="double-sheet-tray",
)
TALL_BOX = Family(
    "tall-box",
    "Tall box",
    "Small, high and many layers thick: for a few sharp things such as screws, which would go through one layer.",
    (
        Parameter("wall", WALL.text, 24.0, "mm", LEAST_WALL_MM, 400.0),
        Parameter("across", "how many strips the sheet is rolled to from the side", 2.0, "", 1.0, 4.0, whole=True),
        Parameter("along", "how many strips it is rolled to from the top", 2.0, "", 1.0, 4.0, whole=True),
        SQUARE,
        TUCK,
    ),
    _tall_box,
    corners=4,
    ready="screw-box",
)
