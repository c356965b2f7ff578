"""What would mend the whole drawing: the hull that comes of it as a picture, what it will carry, and one press to take it."""

from __future__ import annotations

from collections.abc import Sequence

import pygame

from folder.cargo.item import Item
from folder.cargo.words import about_words, counts_by_mass
from folder.draw.style import PAPER
from folder.units import rounded_down
from folder.window import theme
from folder.window.background.identity import IdentityKey
from folder.window.background.offers import Offer
from folder.window.commands import change
from folder.window.editor import Editor
from folder.window.paint.foil import paint_foil
from folder.window.paint.layer import PaintLayer
from folder.window.widgets import Pane, Ui, focus_ring

MOST_OFFERED = 2
BESIDE_W = 400.0
"""From this width on two stand side by side."""
PICTURE_H = 84.0
LINE_H = theme.SIZES["small"] * theme.LEADING


def worth_showing(offers: Sequence[Offer]) -> Sequence[Offer]:
    """The best few: beside one that makes a hull, one that makes none is no choice."""
    best = [offer for k, offer in enumerate(offers) if k == 0 or offer.remedy.good or not offers[0].remedy.good]
    return best[:MOST_OFFERED]


def remedies_h(ui: Ui, width: float, editor: Editor) -> float:
    """How high they are at a width, with the room below them."""
    shown = worth_showing(editor.offers)
    if not shown:
        return 0.0
    across = _across(width, len(shown))
    cell_w = (width - 8 * (across - 1)) / across
    high = max(_card_h(ui, cell_w, offer) for offer in shown)
    return (high + 8) * -(-len(shown) // across)


def remedy_cards(ui: Ui, inside: Pane, editor: Editor) -> float:
    """The cards, the best first; the height they take."""
    shown = worth_showing(editor.offers)
    if not shown:
        return 0.0
    cells = inside.columns(_across(inside.w, len(shown)), 8)
    high = max(_card_h(ui, cells[0].w, offer) for offer in shown)
    for k, offer in enumerate(shown):
        cell = Pane(cells[k % len(cells)].x, inside.y + (k // len(cells)) * (high + 8), cells[0].w, high)
        ui.spread(cell)
        if _card(ui, f"remedy/{k}", cell, offer, editor.state.object_choice.item, first=k == 0):
            change.take_remedy(editor, offer.remedy)
            break  # the drawing is another one now
    return (high + 8) * -(-len(shown) // len(cells))


def _across(width: float, count: int) -> int:
    return 2 if count > 1 and width >= BESIDE_W else 1


def _is_wide(width: float) -> bool:
    """Whether a card has its picture beside the words."""
    return width >= 250.0


def _words_w(width: float) -> float:
    return width - 24 - (_picture_w(width) + 10 if _is_wide(width) else 0.0)


def _picture_w(width: float) -> float:
    return min(PICTURE_H * 1.3, width * 0.32)


def _card_h(ui: Ui, width: float, offer: Offer) -> float:
    words = ui.display_list.text_h(offer.remedy.text, _words_w(width), "small", True) + LINE_H + 4
    return 16 + (max(words, PICTURE_H) if _is_wide(width) else PICTURE_H + 6 + words)


def _card(ui: Ui, name: str, pane: Pane, offer: Offer, item: Item | None, *, first: bool) -> bool:
    """One of them; whether it is taken."""
    text, load = offer.remedy.text, remedy_load(offer, item)
    record = ui.place(
        name, pane, "button", text=text, value=load, tip="Press to change the drawing like this. Undo takes it back"
    )
    if ui.drawing:
        edge = theme.INK if first or record.hovered else theme.EDGE
        ui.display_list.plate(pane, theme.PAPER, edge, width=2 if first or record.hovered else 1)
        inner = pane.inset(12, 8)
        wide = _is_wide(pane.w)
        picture, words = inner.cut_left(_picture_w(pane.w), 10) if wide else inner.cut_top(PICTURE_H, 6)
        _picture(ui, name, picture, offer)
        foot, words = words.cut_bottom(LINE_H, 4)
        ui.display_list.text(text, words, "small", bold=True, wrap=True, top=True)
        colour = theme.GOOD if offer.remedy.good else theme.SOFT_INK
        ui.display_list.text(load, foot, "small", colour=colour)
        focus_ring(ui, record)
    return ui.fired(record)


def remedy_load(offer: Offer, item: Item | None) -> str:
    """What the hull that comes out will likely carry, or what is still in its way."""
    if not offer.remedy.good:
        return offer.remedy.verdict.short
    likely = offer.remedy.likely_g
    if item is None or item.mass_g is None:
        return f"likely {rounded_down(likely)} g"
    return about_words(item, *counts_by_mass(item.mass_g, likely))


def _picture(ui: Ui, name: str, pane: Pane, offer: Offer) -> None:
    layer: PaintLayer = ui.memory(f"{name}/layer", PaintLayer)
    key = (IdentityKey(offer), pane.w, pane.h, ui.scale)

    def made(surface: pygame.Surface) -> None:
        paint_foil(surface, offer.snapshot.picture, ui.display_list.renderer.glyph_cache, ui.scale, ground=PAPER)

    ui.display_list.custom(pane, key, lambda surface, rect: layer.show(surface, rect, key, made))
