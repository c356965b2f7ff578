"""The folds in their order, as small pictures; the one that is picked shows the hull at that moment."""

from __future__ import annotations

from functools import partial

import pygame
from msgspec import Struct, field

from folder.fold.sequence.steps import FoldSequence
from folder.window import theme
from folder.window.background.result import Result
from folder.window.editor import Editor
from folder.window.fold.hull_view import paint_seen
from folder.window.identity import IdentityKey
from folder.window.paint.surface import PaintLayer
from folder.window.snapshot import Snapshot
from folder.window.widgets import DisplayList, Pane, Tile, Ui, strip

WORDS = {
    "fold": "fold over",
    "turn over": "turn over",
    "crease": "fold, unfold",
    "raise": "walls up",
    "lay": "tuck flaps",
    "crimp": "pinch",
}


class _Kept(Struct):
    """The tiles of the order last shown."""

    order: FoldSequence | None = None
    result: Result | None = None
    tiles: list[Tile] = field(default_factory=list)


def strip_view(ui: Ui, pane: Pane, desk: Editor) -> None:
    """The strip along the foot of the window."""
    kept = ui.memory("strip/kept", _Kept)
    result = desk.result
    # While the hand drags, the strip stays as it is: it shows the order of what will be, once the hand lets go.
    settled = result is not None and desk.live is None and result.order is not None
    if settled and result is not None and result.order is not kept.order:
        kept.order, kept.result = result.order, result
        kept.tiles = tiles_of(result, ui)
    ui.pen.plate(pane, theme.TRAY)
    inner = pane.inset(4, 3)
    if kept.order is None or not kept.tiles:
        note = kept.order.note if kept.order is not None else "The folds will stand here in their order."
        if not desk.pattern.creases:
            note = "The folds will stand here in their order."
        ui.pen.text(note, inner.inset(2 * theme.GAP, 0), colour=theme.INK, wrap=True)
        return
    if desk.moment is not None and desk.moment >= len(kept.tiles):
        desk.moment = None
    pick = strip(ui, "strip", inner, kept.tiles, desk.moment, w=132)
    if pick.opened and pick.at == desk.moment and ui.event is not None and ui.event.type == pygame.MOUSEBUTTONUP:
        desk.moment = None
    elif pick.at != desk.moment:
        desk.moment, desk.share, desk.right.mode = pick.at, 1.0, "hull"


def go(desk: Editor, by: int) -> None:
    """To the next step, or the one before; past the last the whole hull again."""
    order = desk.result.order if desk.result is not None else None
    if order is None or not order.steps:
        return
    count = len(order.steps)
    now = desk.moment if desk.moment is not None else (-1 if by > 0 else count)
    desk.moment = now + by if 0 <= now + by < count else None
    desk.share, desk.right.mode = 1.0, "hull"


def tiles_of(result: Result, ui: Ui) -> list[Tile]:
    """A tile for each step."""
    if result.order is None:
        return []
    pairs = zip(result.order.steps, result.moments, strict=True)
    return [Tile(f"{k}. {WORDS[step.kind]}", partial(_draw, ui, PaintLayer(), seen)) for k, (step, seen) in enumerate(pairs, 1)]


def _draw(ui: Ui, layer: PaintLayer, seen: Snapshot, pen: DisplayList, pane: Pane) -> None:
    key = (IdentityKey(seen), pane.w, pane.h, ui.scale)

    def draw(surface: pygame.Surface, rect: pygame.Rect) -> None:
        layer.show(surface, rect, key, lambda s: paint_seen(s, seen, ui.pen.brush.letters, 0.7 * ui.scale))

    pen.custom(pane, key, draw)
