"""Colours of the tub: the objects, the water, and things as they look through it."""

from __future__ import annotations

from folder.draw.hull.light import Tones, mixed
from folder.draw.style import WATER

OBJECT = Tones("#96602F", "#C78C50", "#E2B079")
"""Copper: it stands out from foil and water."""
HOLLOW = "#7A4E28"
"""The inside of a cup."""
GLINT = "#FFF3E2"
LIT = "#FFE9A8"
"""The place that comes next."""
DEEP = "#9CC7D8"
"""Water seen through a lot of it."""
BOTTOM = "#BBDCE8"
_THROUGH = mixed(WATER, DEEP, 0.35)


def wet(colour: str, share: float = 0.6) -> str:
    """As it looks through the water."""
    return mixed(colour, _THROUGH, share)


def wet_tones(tones: Tones, share: float = 0.6) -> Tones:
    """The tones of a surface as they look through the water."""
    return Tones(wet(tones.dark, share), wet(tones.mid, share), wet(tones.light, share))
