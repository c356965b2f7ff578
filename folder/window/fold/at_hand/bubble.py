"""Words beside the hand on the sheet."""

from __future__ import annotations

import math

from folder.findings import Point
from folder.window import theme
from folder.window.tools.tool import Preview
from folder.window.viewport import Viewport
from folder.window.widgets import Pane, Ui


def hand_bubble(ui: Ui, preview: Preview, note: str, pane: Pane, viewport: Viewport) -> None:
    """The word for where the hand rests, beside it, with what the line measures; while something is dragged, what that does."""
    word_plate(ui, tuple(words for words in (bubble_text(preview), note) if words), preview.at, pane, viewport)


def word_plate(ui: Ui, lines: tuple[str, ...], at: Point, pane: Pane, viewport: Viewport) -> None:
    """A few words on ink beside a place on the sheet; of two lines the first is bold."""
    if lines:
        words_at(ui, lines, viewport.px(at), pane)


def words_at(ui: Ui, lines: tuple[str, ...], at: Point, pane: Pane) -> None:
    """A few words on ink beside a place, logical px from the upper left of the pane in which they stay."""
    x, y = at
    bold = len(lines) > 1
    line_h = theme.SIZES["small"] * theme.LEADING
    w = max(ui.display_list.text_w(words, "small", bold and k == 0) for k, words in enumerate(lines)) + 2 * theme.GAP
    h = len(lines) * line_h + 8
    left = pane.x + x + 18 if x + 18 + w <= pane.w else pane.x + x - 18 - w
    top = pane.y + y + 18 if y + 18 + h <= pane.h else pane.y + y - 18 - h
    left, top = max(left, pane.x + 2), max(top, pane.y + 2)
    ui.display_list.plate(Pane(left, top, w, h), theme.INK)
    for k, words in enumerate(lines):
        row = Pane(left + theme.GAP, top + 4 + k * line_h, w - theme.GAP, line_h)
        ui.display_list.text(words, row, "small", bold=bold and k == 0, colour=theme.PAPER)


def bubble_text(preview: Preview) -> str:
    """What the bubble says."""
    parts = [preview.word]
    if preview.length_mm is not None:
        parts.append(f"{preview.length_mm:.1f} mm")
    if preview.angle_rad is not None and "°" not in preview.word:
        parts.append(f"{math.degrees(preview.angle_rad):.1f}°")
    return "   ".join(part for part in parts if part)
