"""Units, tolerances and physical constants, each with its reason or source.

Inside the program: millimetre, gram, radian. Degrees live in files, on the command line and on the screen only.
"""

from __future__ import annotations

import math

from msgspec import Struct

RAD_PER_DEG = math.pi / 180.0
"""A right angle is 90 deg; multiply degrees by this once, at the border of the program."""

DEG_PER_RAD = 180.0 / math.pi

FOIL_DENSITY_G_PER_CM3 = 2.70
"""Aluminium alloy 1235, the usual household foil (alloy data sheets; 8011 foil is 2.71)."""

FOIL_YOUNG_GPA = 69.0
"""Young's modulus of aluminium foil alloys (alloy data sheets)."""

FOIL_POISSON = 0.33
"""Poisson's ratio of aluminium foil alloys (alloy data sheets)."""

GRAVITY_M_PER_S2 = 9.80665
"""Standard gravity (3rd CGPM, 1901)."""

MM3_PER_CM3 = 1000.0


class Tolerances(Struct, frozen=True):
    """Every tolerance of the program in one place."""

    snap_mm: float = 0.05
    """Line ends closer than this are one point: half the width of a sharp pencil line."""

    closed_mm: float = 0.3
    """A closure gap up to here is closed: what rounding to a 0.5 mm grid does to a corner.
    Layers that overlap or stick out by less only touch."""

    take_up_mm: float = 1.5
    """A closure gap, or a strip too wide for the layers round it, up to here is taken up by the foil, which creeps and wrinkles
    (common practice); more is a stop."""

    vertex_rad: float = 1e-7
    """A vertex misfit below this is rounding of the arithmetic, not of the drawing."""

    too_close_mm: float = 3.0
    """Parallel creases nearer than this are hard for small hands (common practice)."""

    flat_rad: float = 1e-6
    """Turns that differ from 0 or from a half turn by less are flat, or folded flat."""

    folded_flat_rad: float = 178.0 * RAD_PER_DEG
    """A turn above this is a fold pressed flat for the rules of flat folding: no hand tells it from a half turn."""

    level_mm: float = 1e-6
    """Heights that differ by less are the same height in an exact pattern."""

    waterplane_mm2: float = 1e-6
    """A waterplane smaller than this is none: rounding leaves 1e-11 of layers that lie on each other."""


TOLERANCES = Tolerances()


def rounded_up(value: float) -> str:
    """A number for people, rounded up to a tenth: so much is wanted."""
    return f"{math.ceil(10.0 * value) / 10.0:g}"


def rounded_down(value: float) -> str:
    """A number for people, rounded down so that no more is promised: whole, with one decimal below ten."""
    if value >= 10.0:
        return f"{math.floor(value)}"
    return f"{math.floor(10.0 * value) / 10.0:g}"
