"""What the page Compare is about: the hulls that stand beside the one on the table. No pygame."""

from __future__ import annotations

from concurrent.futures import Future
from typing import Any

from msgspec import Struct

from folder.pattern.pattern import Pattern


class Other(Struct, frozen=True, eq=False):
    """A hull that stands beside the one on the table, as it was when it was put there."""

    pattern: Pattern
    ready: bool
    """One of the ready patterns: opened, it is a model and no work that could be lost."""
    future: Future[Any]
    """What is shown of it, once it has been worked out."""


class CompareState(Struct, frozen=True):
    """The hulls beside the one on the table."""

    others: tuple[Other, ...] = ()
