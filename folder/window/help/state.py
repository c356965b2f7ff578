"""What the help shows. No pygame."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

HelpPage = Literal["steps", "words", "keys"]
HELP_PAGES: dict[HelpPage, str] = {"steps": "First steps", "words": "Words", "keys": "Keys"}


class HelpState(Struct, frozen=True):
    """Which of its pages is in front, and the word that was asked about."""

    page: HelpPage = "steps"
    word: str = ""
