"""What design a trial is of: its creases and its sheet, whatever it is called."""

from __future__ import annotations

import hashlib
import math

from msgspec import Struct

from folder.pattern.pattern import Crease, Pattern, Sheet

KEY_LETTERS = 16
"""64 bits: two designs of a million share a key with a chance of 3 in 10^8."""


class Identity(Struct, frozen=True):
    """A design as trials know it."""

    key: str
    name: str
    sheet: Sheet
    brim_g: float


def design_key(pattern: Pattern) -> str:
    """The same for two patterns of the same creases on the same sheet, to 0.001 mm and 0.001 deg; guides do not count."""
    sheet = pattern.sheet
    lines = sorted(_line(crease) for crease in pattern.creases if crease.sense != "guide")
    text = ";".join((f"{sheet.width_mm:.3f},{sheet.height_mm:.3f},{sheet.thickness_um:.3f}", *lines))
    return hashlib.sha256(text.encode()).hexdigest()[:KEY_LETTERS]


def identity_of(pattern: Pattern, brim_g: float) -> Identity:
    """A pattern with its brim load as trials know it."""
    return Identity(design_key(pattern), pattern.name, pattern.sheet, brim_g)


def _line(crease: Crease) -> str:
    """A crease as text, from whichever end it was drawn. Adding zero turns -0.0 into 0.0."""
    ends = sorted((round(x, 3) + 0.0, round(y, 3) + 0.0) for x, y in (crease.start, crease.end))
    turn = "free" if crease.turn_rad is None else f"{math.degrees(crease.turn_rad):.3f}"
    (x, y), (u, v) = ends
    return f"{x:.3f},{y:.3f},{u:.3f},{v:.3f},{crease.sense},{turn}"
