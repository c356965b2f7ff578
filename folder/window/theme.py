"""How the window looks: colours, sizes, faces of type, and the rule that text must stand out from its ground.

table   the pale slate everything lies on
paper   the white of the sheet, of cards and of fields
ink     what is written and drawn
edge    the border of a thing that can be pressed
tint    a pale ground that goes with a state

Nothing here knows pygame: sizes are logical pixels at 100 %, colours are red, green, blue from 0 to 255. The colours of
creases are those of `draw.style`, so that paper and screen agree.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Literal

from folder.draw import style
from folder.places import ASSETS

Rgb = tuple[int, int, int]
MessageLevel = Literal["good", "note", "warn", "stop"]
Size = Literal["small", "body", "big", "title", "number"] | float
"""A size by its name, or in logical px."""


@lru_cache(maxsize=1024)
def rgb(code: str) -> Rgb:
    """The colour written as #RRGGBB."""
    return int(code[1:3], 16), int(code[3:5], 16), int(code[5:7], 16)


TABLE = rgb("#DCE3E9")
TRAY = rgb("#CBD5DD")
"""A hollow in the table that holds choices or the track of a slider."""
PAPER = rgb(style.PAPER)
HOVER = rgb("#EDF4F8")
"""Paper under the pointer."""
PRESSED = rgb("#CFDAE3")
FADED = rgb("#E7ECF0")
"""The ground of a thing that cannot be pressed now."""
INK = rgb(style.INK)
INK_HOVER = rgb("#33455A")
SOFT_INK = rgb("#475566")
"""Second-rank text: units, notes."""
FADED_INK = rgb("#5C6875")
"""Text of a thing that cannot be pressed now."""
EDGE = rgb("#75828F")
"""Borders; 3:1 on paper and on the table (WCAG 2.2, 1.4.11)."""
HAIR = rgb("#C3CDD6")
"""Lines that only order the page."""
FOCUS = rgb("#1557B0")
PICKED = rgb("#D3E7E5")
"""The tint of what is picked; picked things also carry a turned-down corner or a bar."""

STOP_HOVER = rgb("#7A1526")
SELECTED = rgb("#BCD6F2")
"""Behind selected text."""

VALLEY, MOUNTAIN, CUT, GUIDE = rgb(style.VALLEY), rgb(style.MOUNTAIN), rgb(style.CUT), rgb(style.GUIDE)
GOOD, WARN, STOP, WATER = rgb(style.GOOD), rgb(style.WARN), rgb(style.STOP), rgb(style.WATER)

LEVEL_INK: dict[MessageLevel, Rgb] = {"good": GOOD, "note": INK, "warn": WARN, "stop": STOP}
LEVEL_TINT: dict[MessageLevel, Rgb] = {
    "good": rgb("#E2F0E0"),
    "note": rgb("#E4ECF3"),
    "warn": rgb("#FAEFD5"),
    "stop": rgb("#FAE4E7"),
}
LEVEL_ICON: dict[MessageLevel, str] = {"good": "good", "note": "note", "warn": "warn", "stop": "stop"}
"""Each level has its own shape besides its colour: a ticked disc, a dotted ring, a triangle, an octagon."""

TEXT_PAIRS: tuple[tuple[Rgb, Rgb], ...] = (
    *((ink, ground) for ink in (INK, SOFT_INK) for ground in (TABLE, PAPER, HOVER)),
    *((INK, ground) for ground in (TRAY, PRESSED, PICKED, SELECTED, WATER)),
    *((FADED_INK, ground) for ground in (FADED, PAPER)),
    *((PAPER, ground) for ground in (INK, INK_HOVER, STOP, STOP_HOVER)),
    *((LEVEL_INK[level], ground) for level in LEVEL_INK for ground in (LEVEL_TINT[level], PAPER, TABLE)),
    *((crease, PAPER) for crease in (VALLEY, MOUNTAIN, CUT)),
)
"""Every text colour with every ground the widgets put it on: 4.5:1 (WCAG 2.2, 1.4.3)."""

SHAPE_PAIRS: tuple[tuple[Rgb, Rgb], ...] = (
    *((EDGE, ground) for ground in (TABLE, PAPER)),
    *((FOCUS, ground) for ground in (TABLE, PAPER, TRAY, PICKED)),
    (GUIDE, PAPER),
    (INK, TRAY),
)
"""Borders and marks that carry meaning, with their grounds: 3:1 (WCAG 2.2, 1.4.11)."""


class _Sizes(dict[Size, float]):
    """Sizes by name; a number is a size by itself."""

    def __missing__(self, size: Size) -> float:
        return float(size)


SIZES = _Sizes({"small": 15, "body": 17, "big": 21, "title": 28, "number": 38})
"""Text sizes, logical px from line to line's em."""
LEADING = 1.3
"""Height of a line of text over its size."""

PRESS_H = 42
"""Height of a button or field: a finger-wide mark for a hand still learning the pointer."""
ROW_H = 36
GAP = 10
RADIUS = 8
EAR = 15
"""Side of a turned-down corner."""
ICON = 24
RING = 3
"""Width of the focus ring."""

FONTS = {False: ASSETS / "fonts" / "Lexend-Regular.ttf", True: ASSETS / "fonts" / "Lexend-Bold.ttf"}
"""The regular and the bold face: Lexend, drawn for early readers; OFL 1.1, its text lies beside it."""


def contrast_ratio(one: Rgb, other: Rgb) -> float:
    """Contrast of two colours, 1 to 21 (WCAG 2.2, definition of contrast ratio)."""
    dark, light = sorted((_luminance(one), _luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour: Rgb) -> float:
    parts = (value / 255 for value in colour)
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
