"""The shapes of objects: one row of SHAPES says all that the program knows of a shape.

sizes     the numbers that give a shape its size, mm, in the order they are asked for
extents   length, width and height of the box around one as it lies by itself, mm
outline   what it covers of a floor: a ball settles in hollows, a disc is round, a block is length by width
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Literal

from msgspec import Struct

Sizes = tuple[float, ...]
"""The sizes of one object, mm."""

SHANK = 0.5
"""A screw's shank is taken to be half as wide as its head (common practice)."""


class Shape(Struct, frozen=True):
    """One kind of form an object may have."""

    group: str
    """What objects of it are listed under."""
    sizes: tuple[str, ...]
    """What each number of the sizes is called."""
    outline: Literal["ball", "disc", "block"]
    extents_mm: Callable[[Sizes], tuple[float, float, float]]
    volume_mm3: Callable[[Sizes], float]
    """The object's own volume, its holes and hollows filled."""
    heap_fraction: float
    """How much of a heap is object, the rest air."""
    stands: bool = False
    """A column of it stands by itself, and may topple; what is round or lies is held by the walls."""
    nests: bool = False
    """One may fit into the next."""
    poured: bool = True
    """Loose ones that do not stack are poured in; otherwise they stay one layer."""


def _cylinder_mm3(width: float, length: float) -> float:
    return math.pi / 4.0 * width**2 * length


SHAPES: dict[str, Shape] = {
    "disc": Shape(
        "Discs", ("diameter", "thickness"), "disc", lambda s: (s[0], s[0], s[1]), lambda s: _cylinder_mm3(s[0], s[1]), 0.4,
        stands=True,
    ),
    "ball": Shape(
        "Balls and marbles", ("diameter",), "ball", lambda s: (s[0], s[0], s[0]), lambda s: math.pi / 6.0 * s[0] ** 3, 0.6,
    ),
    "block": Shape(
        "Blocks and dice", ("length", "width", "height"), "block", lambda s: (s[0], s[1], s[2]), math.prod, 0.6, stands=True,
    ),
    "tube": Shape(
        "Tubes", ("diameter", "length"), "block", lambda s: (s[1], s[0], s[0]), lambda s: _cylinder_mm3(s[0], s[1]), 0.55,
    ),
    "cup": Shape(
        "Cups", ("rim diameter", "height"), "disc", lambda s: (s[0], s[0], s[1]), lambda s: _cylinder_mm3(s[0], s[1]), 0.3,
        stands=True, nests=True, poured=False,
    ),
    "screw": Shape(
        "Screws", ("head diameter", "length"), "block", lambda s: (s[1], s[0], s[0]),
        lambda s: _cylinder_mm3(SHANK * s[0], s[1]), 0.35,
    ),
}  # fmt: skip
"""Every shape by its name in files and on the command line. A tube is any round bar, hollow or not; a nut is a disc across
its corners. Tubes and screws lie on their side.

Heap fractions: spheres .55 to .64: Song, Wang, Makse, Nature 453 (2008) 629; dice .54 to .67: Baker & Kudrolli,
Phys. Rev. E 82 (2010) 061304; screws and nuts .3 to .45, tubes and cups: from memory. The user may change it."""
