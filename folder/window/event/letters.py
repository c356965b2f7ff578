"""How large letters must be so that the whole room can read them. No pygame.

Letters are read with ease when their height fills some 20 to 22 minutes of arc (ISO 9241-303, legibility of Latin letters,
from memory; 16 is the least). How large a px is nobody tells a program, so the height is asked for as a share of the screen's
width: the smallest laptops in use are 13.3 in screens of 16 to 10, 286 mm wide.
"""

from __future__ import annotations

import math

from folder.draw.picture import CAP_HEIGHT

READ_FROM_M = 5.0
"""From the front of a class room to its last row (common practice)."""
ARC_MIN = 22.0
SCREEN_W_MM = 286.0


def letter_height_mm(distance_m: float = READ_FROM_M) -> float:
    """Height of a capital that is read with ease from so far, mm."""
    return 1000.0 * distance_m * math.tan(math.radians(ARC_MIN / 60.0))


def type_size(screen_w: float, distance_m: float = READ_FROM_M) -> float:
    """The type size of such letters, in the units of the screen's width."""
    return letter_height_mm(distance_m) / SCREEN_W_MM * screen_w / CAP_HEIGHT


def read_from_m(size: float, screen_w: float) -> float:
    """From how far letters of a type size are read with ease, m."""
    return READ_FROM_M * size / type_size(screen_w)
