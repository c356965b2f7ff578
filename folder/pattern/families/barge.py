"""The long barge: four walls of different widths that all reach one height, so that the rim is level.

A wide wall leans out more than a narrow one. The floor lies off the middle of the sheet when opposite walls differ.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from folder.errors import BadRequest
from folder.pattern.families.parameter import Drawing, Family, Parameter, Value, no_less, no_more, number, word
from folder.pattern.families.prefold import rectangle
from folder.pattern.families.trays import LEAST_FLOOR_MM, LEAST_WALL_MM, TUCK, four_walls, no_floor
from folder.pattern.pattern import Sheet

_LEAST_TURN_RAD = math.radians(30.0)


def _long_barge(sheet: Sheet, values: Mapping[str, Value]) -> Drawing:
    height = number(values, "height")
    turns = {}
    for name in ("bow", "right", "stern", "left"):
        wall = number(values, name)
        if not height <= wall <= height / math.sin(_LEAST_TURN_RAD):
            raise BadRequest(
                "a wall of this width cannot reach the rim's height"
                if wall < height
                else "a wall of this width lies down too far",
                where=f"long-barge, parameter {name}",
                found=f"{wall:g} mm for a rim {height:g} mm high",
                remedy=f"Give {no_less(height)} to {no_more(height / math.sin(_LEAST_TURN_RAD))} mm, or change the height",
            )
        turns[name] = math.asin(height / wall)
    left, right, bow, stern = (number(values, name) for name in ("left", "right", "bow", "stern"))
    for name, size, other in (("left", sheet.width_mm, right), ("bow", sheet.height_mm, stern)):
        wall = number(values, name)
        if size - wall - other < LEAST_FLOOR_MM:
            raise no_floor("long-barge", name, wall, size - other - LEAST_FLOOR_MM)
    floor = rectangle(left, bow, sheet.width_mm - right, sheet.height_mm - stern)
    return four_walls(sheet.corners, floor, list(turns.values()), word(values, "tuck"), "long-barge")


def _wall(name: str, text: str, default: float) -> Parameter:
    return Parameter(name, f"how wide {text} is, from the floor line to the sheet's edge", default, "mm", LEAST_WALL_MM, 400.0)


LONG_BARGE = Family(
    "long-barge",
    "Long barge",
    "A long floor with ends that rise like a ramp: take it for a row of long things laid one way.",
    (
        Parameter("height", "how high the rim stands above the floor", 25.0, "mm", LEAST_WALL_MM, 400.0),
        _wall("left", "the left wall", 38.0),
        _wall("right", "the right wall", 38.0),
        _wall("bow", "the lower end wall", 25.0),
        _wall("stern", "the upper end wall", 30.0),
        TUCK,
    ),
    _long_barge,
    corners=4,
    ready="long-barge",
)
