"""Start the drawing library: the right one, and only the parts of it that are needed."""

from __future__ import annotations

import pygame

from folder.errors import BadRequest

LEAST_VERSION = (2, 5, 6)
REMEDY = "Run: python -m pip uninstall -y pygame pygame-ce, then: python -m pip install pygame-ce"


def start_pygame() -> None:
    """Check that pygame comes from pygame-ce and is new enough; start its display and fonts and nothing else."""
    if not getattr(pygame, "IS_CE", False):
        raise BadRequest("the window needs pygame-ce", found=f"pygame {pygame.version.ver}", remedy=REMEDY)
    if tuple(pygame.version.vernum) < LEAST_VERSION:
        raise BadRequest("the window needs pygame-ce 2.5.6 or newer", found=pygame.version.ver, remedy=REMEDY)
    pygame.display.init()
    pygame.font.init()
