"""Keys: what a key event means, and which keys are down."""

from __future__ import annotations

import pygame
from pygame.event import Event

COMMAND = pygame.KMOD_CTRL | pygame.KMOD_META
MODIFIERS = COMMAND | pygame.KMOD_SHIFT | pygame.KMOD_ALT
ENTER = (pygame.K_RETURN, pygame.K_KP_ENTER)
ARROWS = {pygame.K_LEFT: (-1, 0), pygame.K_RIGHT: (1, 0), pygame.K_UP: (0, -1), pygame.K_DOWN: (0, 1)}
WORDS = {"ctrl": COMMAND, "shift": pygame.KMOD_SHIFT, "alt": pygame.KMOD_ALT}
ALIKE = {
    "+": (pygame.K_PLUS, pygame.K_KP_PLUS, pygame.K_EQUALS),
    "-": (pygame.K_MINUS, pygame.K_KP_MINUS),
    "0": (pygame.K_0, pygame.K_KP0),
    "enter": ENTER,
}
"""Signs that several keys give, or that need shift on one keyboard and not on another."""
FIELD_COMMANDS = {
    pygame.K_a, pygame.K_c, pygame.K_x, pygame.K_v, pygame.K_z, pygame.K_y,
    pygame.K_LEFT, pygame.K_RIGHT, pygame.K_HOME, pygame.K_END, pygame.K_BACKSPACE, pygame.K_DELETE,
}  # fmt: skip


def code(name: str) -> int:
    """The key of this name: "a", "left", "delete", "f1"."""
    return int(getattr(pygame, f"K_{name if len(name) == 1 else name.upper()}"))


def matches(event: Event, keys: str) -> bool:
    """Whether a key event is this key with exactly these modifiers: "ctrl+shift+z", "f1", "v", "+", "ctrl++".

    "ctrl" is also the command key. A sign that is not a letter may be typed with or without shift.
    """
    key = "+" if keys.endswith("+") else keys.rpartition("+")[2]
    wanted = set(keys.removesuffix(key).split("+")) - {""}
    sign = len(key) == 1 and not key.isalpha()
    if any(bool(event.mod & bit) != (word in wanted) for word, bit in WORDS.items() if not (sign and word == "shift")):
        return False
    typed = getattr(event, "unicode", "")
    if len(key) == 1 and not wanted and typed:
        return bool(typed.lower() == key)
    return event.key in ALIKE.get(key, ()) or (key not in ALIKE and event.key == code(key))


def field_works_with(event: Event) -> bool:
    """Whether a text field does something of its own with a key that goes down."""
    if event.mod & COMMAND and not event.mod & (pygame.KMOD_ALT | pygame.KMOD_MODE):
        return event.key in FIELD_COMMANDS
    command = pygame.K_F1 <= event.key <= pygame.K_F12 or event.key in (*ENTER, pygame.K_TAB, pygame.K_ESCAPE)
    return not command


class Keys:
    """Which keys are down, so that a key held does not press twice, nor type into what it opened."""

    def __init__(self) -> None:
        self.down: set[int] = set()
        self.repeat = False
        self.mute = False
        """The key that is down was a command: the letter it types is dropped."""

    def hear(self, event: Event) -> None:
        """Note a key event before its pass."""
        if event.type == pygame.KEYDOWN:
            self.repeat, self.mute = event.key in self.down, False
            self.down.add(event.key)
        elif event.type == pygame.KEYUP:
            self.down.discard(event.key)
            self.mute = False
        elif event.type == pygame.WINDOWFOCUSLOST:
            self.down.clear()
