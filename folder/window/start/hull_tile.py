"""A hull as it stands on the start page: its picture, the lines it is folded from beside it, what it carries, how hard it is."""

from __future__ import annotations

from concurrent.futures import Future
from functools import cached_property
from pathlib import Path

import pygame
from msgspec import Struct, field
from msgspec.structs import replace

from folder.cargo.item import Item
from folder.cargo.words import counts_by_mass, noun, span_words
from folder.draw.picture import Picture
from folder.draw.sheet.flat import crease_sheet
from folder.draw.style import PAPER
from folder.pattern.difficulty import Difficulty, difficulty
from folder.pattern.pattern import Pattern
from folder.units import rounded_down
from folder.window import theme
from folder.window.background.identity import IdentityKey
from folder.window.paint.foil import paint_foil
from folder.window.paint.layer import PaintLayer
from folder.window.paint.surface import PEN_PX, paint
from folder.window.start.shelf import Counts, ShelvedHull, short_note
from folder.window.viewport import Viewport
from folder.window.widgets import Pane, Ui, WidgetRecord, focus_ring

LINE_H = theme.SIZES["small"] * theme.LEADING
DOT = 5.0


class HullOnShelf(Struct, dict=True):
    """A hull that can be taken: its drawing, and what has been worked out of it so far."""

    path: Path
    pattern: Pattern
    making: Future[ShelvedHull] | None = None
    counting: tuple[Item, Future[Counts]] | None = None
    """The object that is counted in, and how many of them it takes."""
    layers: dict[str, PaintLayer] = field(default_factory=dict)

    def layer(self, where: str) -> PaintLayer:
        """The picture of it that is kept for one place of the page."""
        return self.layers.setdefault(where, PaintLayer())

    @property
    def known(self) -> ShelvedHull | None:
        """What is known of it; None while it is being worked out, or where it is too much for the program."""
        done = self.making is not None and self.making.done() and not self.making.cancelled()
        return self.making.result() if done and self.making is not None and self.making.exception() is None else None

    def counts(self, item: Item | None) -> Counts:
        """How many objects it takes, low, likely and high: by mass alone until they are counted; None where one has no mass."""
        known = self.known
        if known is None or known.low_likely_high_g is None or item is None or item.mass_g is None:
            return None
        if self.counting is not None and self.counting[0] == item and (done := self.counting[1]).done():
            counted = None if done.cancelled() or done.exception() is not None else done.result()
            if counted is not None:
                return counted
        low, likely, high = counts_by_mass(item.mass_g, *known.low_likely_high_g)
        return low, likely, high

    @cached_property
    def difficulty(self) -> Difficulty:
        """How hard it is to fold."""
        return difficulty(self.pattern)

    @cached_property
    def lines(self) -> Picture:
        """The crease lines, small: without marks and numbers."""
        return crease_sheet(replace(self.pattern, crimps=()), steps=False)


def large_tile(ui: Ui, name: str, pane: Pane, hull: HullOnShelf, item: Item | None) -> bool:
    """The tile of a ready hull; whether it is taken."""
    tip = " ".join(text for text in (hull.pattern.note, _likely(hull, item)) if text)
    record = ui.place(name, pane, "tile", text=hull.pattern.name, value=hull.difficulty.level, tip=tip)
    if ui.drawing and record.visible.w and record.visible.h:
        _card(ui, record)
        inner = pane.inset(12, 8)
        note, inner = inner.cut_bottom(2 * LINE_H)
        title, upper = inner.cut_bottom(24, 4)
        ui.display_list.text(hull.pattern.name, title, bold=True)
        ui.display_list.text(short_note(hull.pattern.note), note, "small", colour=theme.SOFT_INK, wrap=True, top=True)
        number, rest = upper.cut_right(106, 8)
        lines, picture = rest.cut_right(min(rest.h * 0.72, rest.w * 0.34), 8)
        paint_hull(ui, picture, hull)
        _lines(ui, lines, hull)
        number = _how_hard(ui, number, hull)
        _number(ui, number, hull, item)
        focus_ring(ui, record)
    return ui.fired(record)


def small_tile(ui: Ui, name: str, pane: Pane, hull: HullOnShelf, item: Item | None) -> bool:
    """The tile of a work of one's own; whether it is taken."""
    likely = _likely(hull, item)
    record = ui.place(name, pane, "tile", text=hull.pattern.name, tip=f"{hull.path}")
    if ui.drawing and record.visible.w and record.visible.h:
        _card(ui, record)
        picture, words = pane.inset(10, 6).cut_left(pane.w * 0.36, 8)
        paint_hull(ui, picture, hull)
        name_h = min(ui.display_list.text_h(hull.pattern.name, words.w, "body", True), words.h - LINE_H)
        upper, lower = words.centred(words.w, name_h + LINE_H).cut_top(name_h)
        ui.display_list.text(hull.pattern.name, upper, bold=True, wrap=True, top=True)
        ui.display_list.text(likely.partition(",")[0], lower, "small", colour=theme.SOFT_INK)
        focus_ring(ui, record)
    return ui.fired(record)


def paint_hull(ui: Ui, pane: Pane, hull: HullOnShelf, where: str = "tile") -> None:
    """Its picture, as soon as it is known."""
    known = hull.known
    if known is None or known.snapshot is None:
        return
    snapshot, glyph_cache = known.snapshot, ui.display_list.renderer.glyph_cache
    key = (IdentityKey(known), pane.w, pane.h, ui.scale)

    def made(surface: pygame.Surface) -> None:
        paint_foil(surface, snapshot.picture, glyph_cache, ui.scale, ground=PAPER)

    layer = hull.layer(where)
    ui.display_list.custom(pane, key, lambda surface, rect: layer.show(surface, rect, key, made))


def _lines(ui: Ui, pane: Pane, hull: HullOnShelf) -> None:
    side = min(pane.w, pane.h)
    square = Pane(pane.x, pane.y + (pane.h - side) / 2, side, side)
    key = (IdentityKey(hull.pattern), side, ui.scale)

    def made(surface: pygame.Surface) -> None:
        surface.fill(theme.PAPER)
        width, height = surface.get_size()
        viewport = Viewport.fit(hull.lines.box, 0, 0, width, height, margin_px=2)
        paint(surface, hull.lines, viewport, ui.display_list.renderer.glyph_cache, 0.45 * PEN_PX * ui.scale)

    layer = hull.layer("lines")
    ui.display_list.custom(square, key, lambda surface, rect: layer.show(surface, rect, key, made))


def _card(ui: Ui, record: WidgetRecord) -> None:
    ui.display_list.plate(record.pane, theme.PAPER, theme.INK if record.hovered else theme.EDGE, width=2 if record.hovered else 1)


def _how_hard(ui: Ui, pane: Pane, hull: HullOnShelf) -> Pane:
    """Dots and the word for them, at the foot; what is left above them."""
    row, above = pane.cut_bottom(LINE_H, 4)
    word, step = hull.difficulty.word, 2 * DOT + 4
    right, left = row.cut_right(ui.display_list.text_w(word, "small") + 2, 6)
    dots, middle = left.cut_right(3 * step - 4)[0], row.middle[1]
    for k in range(3):
        on = k < hull.difficulty.level
        ui.display_list.dot((dots.x + DOT + k * step, middle), DOT, theme.INK if on else theme.HAIR)
    ui.display_list.text(word, right, "small", colour=theme.SOFT_INK, align="right")
    return above


def _number(ui: Ui, pane: Pane, hull: HullOnShelf, item: Item | None) -> None:
    """About how many it likely carries, large."""
    known = hull.known
    if known is None:
        return
    if known.low_likely_high_g is None:
        ui.display_list.text(known.verdict, pane, "small", colour=theme.STOP, wrap=True, align="right", top=True)
        return
    likely = known.low_likely_high_g[1]
    digits, unit = rounded_down(likely), "g"
    counts = hull.counts(item)
    if item is not None and counts is not None:
        digits, unit = f"{counts[1]}", noun(item, counts[1])
    upper, lower = pane.cut_top(34)
    about = "" if unit == "g" else "about"
    about_w = ui.display_list.text_w(about, "small") + 6 if about else 0.0
    size: theme.Size = "title" if ui.display_list.text_w(digits, "title", True) <= upper.w - about_w else "big"
    number, beside = upper.cut_right(ui.display_list.text_w(digits, size, True) + 2, 6)
    ui.display_list.text(digits, number, size, bold=True, align="right")
    ui.display_list.text(about, beside, "small", colour=theme.SOFT_INK, align="right")
    ui.display_list.text(unit, lower, "small", colour=theme.SOFT_INK, align="right", wrap=True, top=True)


def _likely(hull: HullOnShelf, item: Item | None) -> str:
    """ "About 66 cents, 51 to 82"."""
    known = hull.known
    if known is None:
        return ""
    if known.low_likely_high_g is None:
        return known.verdict
    counts = hull.counts(item)
    if item is None or counts is None:
        low, likely, high = known.low_likely_high_g
        return f"Likely {rounded_down(likely)} g, {rounded_down(low)} to {rounded_down(high)} g"
    words = span_words(item, *counts, about=True)
    return f"{words[0].upper()}{words[1:]}"
