"""A command: something that can be done, with its words and its keys. The rows of them stand with the page they belong to."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from folder.window.editor import Editor
from folder.window.view_state import WORK_PAGES, PageName


class Command(Struct, frozen=True):
    """Something that can be done, with its keys. `group` is its heading on the page of keys."""

    name: str
    words: str
    keys: tuple[str, ...]
    group: str
    do: Callable[[Editor], None]
    pages: tuple[PageName, ...] = WORK_PAGES
    """Where its keys are heard."""

    @property
    def tip(self) -> str:
        """What a button for it says when the pointer rests on it."""
        return f"{self.words} ({keys_text(self.keys[0])})" if self.keys else self.words


def keys_text(keys: str) -> str:
    """Keys as they are written for people: "ctrl+shift+s" as "Ctrl Shift S"."""
    sign = "+" if keys.endswith("+") else ""
    parts = [part for part in keys.removesuffix("+").split("+") if part]
    return " ".join([*(part.capitalize() if len(part) > 1 else part.upper() for part in parts), *([sign] if sign else [])])
