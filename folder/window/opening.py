"""The window opened: the drawing library checked and started, the first frame on the screen before anything heavy is loaded."""

from __future__ import annotations

import os

import pygame

from folder.errors import BadRequest
from folder.window import theme
from folder.window.widgets.frame import frame
from folder.window.widgets.message import notice
from folder.window.widgets.ui import Ui

USUAL_SIZE = (1280, 800)
_UNSEEN = ("offscreen", "dummy", "evdev", "KMSDRM")
"""Drivers that the library falls back to where there is no desktop: a window there would wait for ever, unseen."""

TITLE = "Fold a hull from one square of foil"
RULES = "Your event's own rules come first."
SAFETY = "Foil edges cut fingers. An adult stays near water, and small objects stay away from small children."

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


def open_window() -> pygame.Surface:
    """Open the window and show the title and the safety line; BadRequest where there is no screen."""
    try:
        start_pygame()
        if pygame.display.get_driver() in _UNSEEN and "SDL_VIDEODRIVER" not in os.environ:
            raise pygame.error("no screen")
        surface = pygame.display.set_mode(_first_size(), pygame.RESIZABLE)
    except pygame.error as error:
        remedy = "A screen is needed; `folder check` needs none"
        raise BadRequest("no window can be opened here", found=str(error), remedy=remedy) from error
    pygame.display.set_caption("Folder")
    frame(Ui(), _page, [], 0.0, surface)
    pygame.display.flip()
    return surface


def safety_h(ui: Ui, width: float, rules: str = RULES) -> float:
    """How high the safety line is at a width, with the rules of the open event or that they come first."""
    room = width - theme.ICON - 3 * theme.GAP
    return ui.display_list.text_h(rules, room, "body", True) + ui.display_list.text_h(SAFETY, room, "small") + 2 * theme.GAP


def _page(ui: Ui) -> None:
    whole = ui.page.inset(12, 10)
    foot, rest = whole.cut_bottom(safety_h(ui, whole.w))
    ui.display_list.text(TITLE, rest.cut_top(50)[0], "title", bold=True)
    notice(ui, foot, RULES, "note", SAFETY)


def _first_size() -> tuple[int, int]:
    """As large as usual, or as the screen allows."""
    sizes = pygame.display.get_desktop_sizes()
    if not sizes:
        return USUAL_SIZE
    width, height = sizes[0]
    return min(USUAL_SIZE[0], width), min(USUAL_SIZE[1], max(height - 60, 480))
