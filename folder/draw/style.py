"""How lines look: colours, and line styles by name, each mapped once to width and dashes.

A style's dashes are in line widths, so a line drawn thinner keeps its pattern.
"""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

INK = "#1E2A38"
VALLEY = "#0B6E69"
MOUNTAIN = "#A8480F"
CUT = "#8A1550"
GUIDE = "#6B7785"
GOOD = "#2F6B2F"
WARN = "#8A5A00"
STOP = "#9B1C31"
WATER = "#CFE6EF"
PAPER = "#FFFFFF"
SHADE = "#EEF2F5"
"""The lightest tint that still shows in a grey copy: floors, backgrounds."""
FOIL = "#D5DCE3"
"""The outside of the sheet, where a picture shows that it has been turned over."""

StyleName = Literal["valley", "mountain", "crease", "hidden", "cut", "guide", "edge", "outline", "thin", "thick"]


class Style(Struct, frozen=True):
    """How a line looks: its width, its dashes (on, off, on, off, ... in line widths; none: solid), its colour."""

    width_mm: float
    dashes: tuple[float, ...] = ()
    colour: str = INK


# Dash lengths in line widths from ISO 128-2. Which line means what: Yoshizawa 1954, Randlett 1961. The wide spacing
# of a guide is ours: it tells a guide from a hidden edge in a grey copy.
STYLES: dict[StyleName, Style] = {
    "valley": Style(0.5, (12, 3), VALLEY),
    "mountain": Style(0.5, (12, 3, 0.5, 3, 0.5, 3), MOUNTAIN),
    "crease": Style(0.25),
    "hidden": Style(0.5, (0.5, 3)),
    "cut": Style(0.7, (), CUT),
    "guide": Style(0.5, (1, 6), GUIDE),
    "edge": Style(0.7),
    "outline": Style(0.5),
    "thin": Style(0.25),
    "thick": Style(1.0),
}


_SHORT_PERIODS = 1.6
"""A line that holds fewer periods of its dashes than this has shorter dashes: with one alone it would look solid."""
_LEAST_GAP_MM = 0.5
"""Gaps are not closed up further: printers and copiers would fill them."""


def dashes_for(length_mm: float, style: Style) -> tuple[float, ...]:
    """The dashes of a style on a line so long, in line widths: shorter on a short line, its dots as they are."""
    period_mm = sum(style.dashes) * style.width_mm
    if not style.dashes or length_mm >= _SHORT_PERIODS * period_mm:
        return style.dashes
    least = min(1.0, _LEAST_GAP_MM / (style.dashes[1] * style.width_mm))
    times = max(length_mm / (_SHORT_PERIODS * period_mm), least)
    return tuple(part if part < 1.0 else times * part for part in style.dashes)


def dash_phase_mm(length_mm: float, style: Style) -> float:
    """How far into its dashes a line starts so that it looks alike from both ends and, where it can, ends in a dash.

    The middle of the line is laid on the middle of the first dash or half a period from there: of the two, the one
    that leaves the longer dash at the ends. Lines then meet in dashes, not in gaps, as drawing practice asks.
    """
    dash = style.dashes[0] * style.width_mm
    period = sum(style.dashes) * style.width_mm
    phases = [(centre - length_mm / 2) % period for centre in (dash / 2, (dash + period) / 2)]
    return max(phases, key=lambda phase: dash - phase)


def dash_runs(length_mm: float, style: Style) -> tuple[tuple[float, float], ...]:
    """The inked stretches of a line, each from and to a length along it, mm."""
    if not style.dashes:
        return ((0.0, length_mm),)
    runs = []
    k, at = 0, -dash_phase_mm(length_mm, style)
    while at < length_mm:
        end = at + style.dashes[k % len(style.dashes)] * style.width_mm
        if k % 2 == 0 and end > 0:
            runs.append((max(at, 0.0), min(end, length_mm)))
        k, at = k + 1, end
    return tuple(runs)
