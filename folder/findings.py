"""Findings: what is wrong with a pattern, where, how bad, and what would mend it.

finding   one thing to know about a pattern, with a place on the sheet
level     stop (this cannot be folded or cannot float as drawn), warn (it will cost load), note (good to know)
report    all findings of one pattern
remedy    an edit, as plain data, that mends a finding: lines to drop, lines to add, crimps to add
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from msgspec import Struct, field

Level = Literal["stop", "warn", "note"]
Point = tuple[float, float]
"""A place on the sheet, mm."""

LEVELS: tuple[Level, ...] = ("stop", "warn", "note")


class Stroke(Struct, frozen=True):
    """A crease a remedy would add: ends in mm on the sheet, its sense, its turn in rad (None = free)."""

    start: Point
    end: Point
    sense: str
    turn_rad: float | None


class Remedy(Struct, frozen=True):
    """An edit that mends a finding, in words and as data.

    `drop` holds indices into the pattern's creases, `add` the new ones, `crimps` places to pinch.
    `pattern.edit.apply_remedy` carries it out.
    """

    text: str
    drop: tuple[int, ...] = ()
    add: tuple[Stroke, ...] = ()
    crimps: tuple[Point, ...] = ()


class Finding(Struct, frozen=True):
    """One thing to know about a pattern.

    `text` is one sentence a ten-year-old follows; `detail` one line with numbers for the coach.
    """

    code: str
    level: Level
    at: Point | None
    text: str
    detail: str = ""
    remedy: Remedy | None = None


class Report(Struct, frozen=True):
    """All findings of one stage or of the whole trip, worst first."""

    findings: tuple[Finding, ...] = field(default=())

    @classmethod
    def of(cls, findings: Iterable[Finding]) -> Report:
        """A report with the findings sorted: stops, then warnings, then notes; otherwise as they came."""
        return cls(tuple(sorted(findings, key=lambda f: LEVELS.index(f.level))))

    def __add__(self, other: Report) -> Report:
        return Report.of(self.findings + other.findings)

    @property
    def stops(self) -> tuple[Finding, ...]:
        """The findings that stop the fold or the float."""
        return tuple(f for f in self.findings if f.level == "stop")

    def having(self, *codes: str) -> tuple[Finding, ...]:
        """The findings with one of these codes."""
        return tuple(f for f in self.findings if f.code in codes)
