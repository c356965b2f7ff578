"""A moment in the tub: how the hull lies, what is in it, how far water has come in. And what it is painted of.

picture   mm, x to the right, y up; a place h mm over the water is drawn h cos(above) over its foot on the water
facet     a flat piece of one colour
"""

from __future__ import annotations

import math
from typing import NamedTuple

from msgspec import Struct

from folder.cargo.item import Item
from folder.cargo.spot import Spot
from folder.draw.hull.view import View
from folder.draw.tub.attitude import Attitude
from folder.draw.tub.shell import Shell
from folder.geometry.space import Floats
from folder.water.tub import Tub

USUAL = View(math.radians(-24.0), math.radians(46.0))
"""From where the tub is looked at."""


class Facet(NamedTuple):
    """A polygon (n, 2) mm with its colour; `opacity` below 1 lets through what is behind."""

    points: Floats
    fill: str
    edge: str | None = None
    opacity: float = 1.0


class InkLine(NamedTuple):
    """A line (2, 2) mm; `width` in mm of the pen, however large the picture is."""

    points: Floats
    colour: str
    width: float


Mark = Facet | InkLine


class Body(NamedTuple):
    """An object in the picture: on its spot in the hull, or lifted over it, or loose in the world."""

    spot: Spot
    lift_mm: float = 0.0
    loose: tuple[float, float, float] | None = None
    """Where its centre is in the world, when it has left the hull."""


class Moment(Struct, frozen=True, eq=False):
    """All that there is to see at one moment."""

    shell: Shell
    attitude: Attitude
    item: Item | None = None
    bodies: tuple[Body, ...] = ()
    next_spot: Spot | None = None
    """The place that is lit."""
    pool_mm: float | None = None
    """How high water stands inside the hull, over the water outside; None when it is dry."""
    stream: tuple[float, float, float] | None = None
    """Where water runs in over the rim, in the hull's frame."""
    drowned: float = 0.0
    tub: Tub | None = None
    rise_mm: float = 0.0
    view: View = USUAL


def picture_of(moment: Moment, points: Floats) -> Floats:
    """Places (..., 3) mm of the hull's frame in the picture (..., 2)."""
    placed: Floats = moment.attitude.world(points) @ moment.view.axes[:2].T
    return placed
