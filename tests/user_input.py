"""The hand: events as a user makes them, at widgets found by name. For tests and for the demo that plays itself."""

from __future__ import annotations

import pygame
from pygame.event import Event

from folder.window.widgets.keys import ALIKE, WORDS, code
from folder.window.widgets.ui import Ui

MOD_KEYS = {"ctrl": pygame.KMOD_LCTRL, "shift": pygame.KMOD_LSHIFT, "alt": pygame.KMOD_LALT}
BUTTONS = {1: (1, 0, 0), 2: (0, 1, 0), 3: (0, 0, 1)}
Place = tuple[float, float]


def middle(ui: Ui, name: str) -> Place:
    """The middle of what is seen of a widget, logical px."""
    record = ui.find(name)
    if record.visible.w < 1 or record.visible.h < 1:
        raise LookupError(f"{name!r} is scrolled out of sight")
    return record.visible.middle


def press(ui: Ui, name: str, times: int = 1, button: int = 1) -> list[Event]:
    """Press a widget in its middle."""
    at = middle(ui, name)
    return [move(ui, at), *(event for _ in range(times) for event in (down(ui, at, button), up(ui, at, button)))]


def drag(ui: Ui, start: Place, end: Place, button: int = 1, steps: int = 8) -> list[Event]:
    """Press at a place, move on in steps, let go."""
    (x0, y0), (x1, y1) = start, end
    way = [(x0 + (x1 - x0) * i / steps, y0 + (y1 - y0) * i / steps) for i in range(1, steps + 1)]
    return [move(ui, start), down(ui, start, button), *(move(ui, at, button) for at in way), up(ui, end, button)]


def move(ui: Ui, at: Place, button: int = 0) -> Event:
    """The pointer moves to a place."""
    return Event(pygame.MOUSEMOTION, pos=_px(ui, at), rel=(0, 0), buttons=BUTTONS.get(button, (0, 0, 0)), touch=False)


def down(ui: Ui, at: Place, button: int = 1) -> Event:
    """A button goes down."""
    return Event(pygame.MOUSEBUTTONDOWN, pos=_px(ui, at), button=button, touch=False)


def up(ui: Ui, at: Place, button: int = 1) -> Event:
    """A button comes up."""
    return Event(pygame.MOUSEBUTTONUP, pos=_px(ui, at), button=button, touch=False)


def wheel(ui: Ui, name: str, notches: float) -> list[Event]:
    """Turn the wheel over a widget."""
    turned = Event(pygame.MOUSEWHEEL, x=0, y=int(notches), precise_x=0.0, precise_y=float(notches), flipped=False)
    return [move(ui, middle(ui, name)), turned]


def key(keys: str) -> list[Event]:
    """A key with its modifiers, down and up: "ctrl+s", "shift+tab", "left", "v", "+"."""
    name = "+" if keys.endswith("+") else keys.rpartition("+")[2]
    mod = sum(MOD_KEYS[word] for word in WORDS if word in keys.removesuffix(name).split("+"))
    number = ALIKE[name][0] if name in ALIKE else code(name)
    text = name if len(name) == 1 else {"space": " "}.get(name, "")
    text = text.upper() if mod & pygame.KMOD_SHIFT else text
    typed = [] if mod & ~pygame.KMOD_SHIFT or not text else [Event(pygame.TEXTINPUT, text=text)]
    pressed = Event(pygame.KEYDOWN, key=number, mod=mod, unicode=text, scancode=0)
    return [pressed, *typed, Event(pygame.KEYUP, key=number, mod=mod, unicode=text, scancode=0)]


def typed(text: str) -> list[Event]:
    """Letters typed one after the other."""
    return [
        event
        for c in text
        for event in (
            Event(pygame.KEYDOWN, key=ord(c.lower()), mod=0, unicode=c, scancode=0),
            Event(pygame.TEXTINPUT, text=c),
            Event(pygame.KEYUP, key=ord(c.lower()), mod=0, unicode=c, scancode=0),
        )
    ]


def _px(ui: Ui, at: Place) -> tuple[int, int]:
    return round(at[0] * ui.scale), round(at[1] * ui.scale)
