"""Where the load must stand for the hull to lie level, in words: a hull that is not symmetric is level off its middle."""

from __future__ import annotations

import math

import numpy as np

from folder.findings import Point
from folder.hull.skin import Skin
from folder.water.brim_load import BrimLoad

MIDDLE_MM = 1.0
"""Nearer to the floor's middle is the middle: hands set a load down no better."""


def level_words(skin: Skin, top: BrimLoad) -> str:
    """Where the brim load must have its centre; nothing where that is the middle of the floor, or no load is carried."""
    if top.load_g <= 0.0 or math.hypot(*top.level_at) < MIDDLE_MM:
        return ""
    where = _from_middle(top.level_at)
    if skin.over_floor(np.array([top.level_at]))[0]:
        return f"Put the load {where}: then it lies level."
    return f"No load on its floor keeps it level: it would have to lie {where}."


def _from_middle(place: Point) -> str:
    """A place off the floor's middle: 4 mm left and 2 mm up from the middle, as the sheet lies."""
    x, y = place
    parts = [
        f"{abs(value):.0f} mm {(words[0] if value < 0 else words[1])}"
        for value, words in ((x, ("left", "right")), (y, ("down", "up")))
        if abs(value) >= MIDDLE_MM / 2.0
    ]
    of = "of" if parts[0].endswith(("left", "right")) and len(parts) == 1 else "from"
    return f"{' and '.join(parts)} {of} the middle"
