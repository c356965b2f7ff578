"""Panes: upright rectangles of the window in logical pixels, and the cuts that lay a page out.

A pane is cut into a piece and the rest, shared out in columns or rows, or drawn in. y runs down.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple


class Pane(NamedTuple):
    """An upright rectangle: left, top, width, height in logical px. Never of negative size."""

    x: float
    y: float
    w: float
    h: float

    @property
    def right(self) -> float:
        """The x of the right side."""
        return self.x + self.w

    @property
    def bottom(self) -> float:
        """The y of the lower side."""
        return self.y + self.h

    @property
    def middle(self) -> tuple[float, float]:
        """The point in the middle."""
        return self.x + self.w / 2, self.y + self.h / 2

    def holds(self, x: float, y: float) -> bool:
        """Whether a point lies in it; the right and lower sides belong to the neighbour."""
        return self.x <= x < self.right and self.y <= y < self.bottom

    def covers(self, other: Pane) -> bool:
        """Whether the other pane lies wholly in it, to half a pixel."""
        return (
            self.x - 0.5 <= other.x
            and self.y - 0.5 <= other.y
            and other.right <= self.right + 0.5
            and other.bottom <= self.bottom + 0.5
        )

    def meet(self, other: Pane) -> Pane:
        """The part that lies in both; empty if they are apart."""
        x, y = max(self.x, other.x), max(self.y, other.y)
        return Pane(x, y, max(min(self.right, other.right) - x, 0.0), max(min(self.bottom, other.bottom) - y, 0.0))

    def moved(self, dx: float, dy: float) -> Pane:
        """This pane, moved."""
        return Pane(self.x + dx, self.y + dy, self.w, self.h)

    def inset(self, dx: float, dy: float | None = None) -> Pane:
        """This pane with its sides drawn in by dx left and right, dy (as dx if not said) above and below."""
        dx, dy = min(dx, self.w / 2), min(dx if dy is None else dy, self.h / 2)
        return Pane(self.x + dx, self.y + dy, self.w - 2 * dx, self.h - 2 * dy)

    def cut_left(self, w: float, gap: float = 0) -> tuple[Pane, Pane]:
        """A piece of width w at the left, and what is left over past a gap."""
        w = min(w, self.w)
        rest = max(self.w - w - gap, 0.0)
        return Pane(self.x, self.y, w, self.h), Pane(self.right - rest, self.y, rest, self.h)

    def cut_right(self, w: float, gap: float = 0) -> tuple[Pane, Pane]:
        """A piece of width w at the right, and what is left over."""
        w = min(w, self.w)
        return Pane(self.right - w, self.y, w, self.h), Pane(self.x, self.y, max(self.w - w - gap, 0.0), self.h)

    def cut_top(self, h: float, gap: float = 0) -> tuple[Pane, Pane]:
        """A piece of height h at the top, and what is left over."""
        h = min(h, self.h)
        rest = max(self.h - h - gap, 0.0)
        return Pane(self.x, self.y, self.w, h), Pane(self.x, self.bottom - rest, self.w, rest)

    def cut_bottom(self, h: float, gap: float = 0) -> tuple[Pane, Pane]:
        """A piece of height h at the bottom, and what is left over."""
        h = min(h, self.h)
        return Pane(self.x, self.bottom - h, self.w, h), Pane(self.x, self.y, self.w, max(self.h - h - gap, 0.0))

    def columns(self, shares: int | Sequence[float], gap: float = 0) -> list[Pane]:
        """Side by side: n alike, or in these shares."""
        return [Pane(self.x + a, self.y, w, self.h) for a, w in _shared(self.w, shares, gap)]

    def rows(self, shares: int | Sequence[float], gap: float = 0) -> list[Pane]:
        """One below the other: n alike, or in these shares."""
        return [Pane(self.x, self.y + a, self.w, h) for a, h in _shared(self.h, shares, gap)]

    def centred(self, w: float, h: float) -> Pane:
        """A pane of this size, at most as large as this one, in its middle."""
        w, h = min(w, self.w), min(h, self.h)
        return Pane(self.x + (self.w - w) / 2, self.y + (self.h - h) / 2, w, h)


def _shared(length: float, shares: int | Sequence[float], gap: float) -> list[tuple[float, float]]:
    """Where each share starts, and its length."""
    weights = [1.0] * shares if isinstance(shares, int) else list(shares)
    free = max(length - gap * (len(weights) - 1), 0.0)
    spans, at = [], 0.0
    for weight in weights:
        size = free * weight / sum(weights)
        spans.append((at, size))
        at += size + gap
    return spans
