"""The folds in their order, as small pictures; the one that is picked shows the hull at that moment."""

from __future__ import annotations

from functools import partial

import pygame
from msgspec import Struct, field
from msgspec.structs import replace

from folder.fold.sequence.steps import FoldSequence
from folder.window import theme
from folder.window.background.identity import IdentityKey
from folder.window.background.result import Progress
from folder.window.background.snapshot import Snapshot
from folder.window.commands.look import show_step
from folder.window.editor import Editor
from folder.window.fold.hull_view import paint_snapshot
from folder.window.paint.surface import PaintLayer
from folder.window.widgets import DisplayList, Pane, Tile, Ui, strip

WORDS = {
    "fold": "fold over",
    "turn over": "turn over",
    "crease": "fold, unfold",
    "raise": "walls up",
    "lay": "tuck flaps",
    "crimp": "pinch",
    "check": "check the rim",
}


class _Cache(Struct):
    """The tiles of the order last shown."""

    order: FoldSequence | None = None
    result: Progress | None = None
    tiles: list[Tile] = field(default_factory=list)


def strip_view(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The strip along the foot of the window."""
    cache = ui.memory("strip/kept", _Cache)
    result = editor.result
    # While the hand drags, the strip stays as it is: it shows the order of what will be, once the hand lets go.
    settled = result is not None and editor.state.drag_pattern is None and result.order is not None
    if settled and result is not None and result.order is not cache.order:
        cache.order, cache.result = result.order, result
        cache.tiles = tiles_of(result, ui)
    ui.display_list.plate(pane, theme.TRAY)
    inner = pane.inset(4, 3)
    if cache.order is None or not cache.tiles:
        note = cache.order.note if cache.order is not None else "The folds will stand here in their order."
        if not editor.pattern.creases:
            note = "The folds will stand here in their order."
        ui.display_list.text(note, inner.inset(2 * theme.GAP, 0), colour=theme.INK, wrap=True)
        return
    if editor.state.step_index is not None and editor.state.step_index >= len(cache.tiles):
        show_step(editor, None)
    pick = strip(ui, "strip", inner, cache.tiles, editor.state.step_index, w=132)
    if pick.opened and pick.at == editor.state.step_index and ui.event is not None and ui.event.type == pygame.MOUSEBUTTONUP:
        show_step(editor, None)
    elif pick.at != editor.state.step_index:
        editor.show(replace(editor.state, step_index=pick.at, share=1.0))


def tiles_of(result: Progress, ui: Ui) -> list[Tile]:
    """A tile for each step."""
    if result.order is None:
        return []
    pairs = zip(result.order.steps, result.snapshots, strict=True)
    return [
        Tile(f"{k}. {WORDS[step.kind]}", partial(_draw, ui, PaintLayer(), snapshot))
        for k, (step, snapshot) in enumerate(pairs, 1)
    ]


def _draw(ui: Ui, layer: PaintLayer, snapshot: Snapshot, display_list: DisplayList, pane: Pane) -> None:
    key = (IdentityKey(snapshot), pane.w, pane.h, ui.scale)

    def draw(surface: pygame.Surface, rect: pygame.Rect) -> None:
        layer.show(
            surface, rect, key, lambda s: paint_snapshot(s, snapshot, ui.display_list.renderer.glyph_cache, 0.7 * ui.scale)
        )

    display_list.custom(pane, key, draw)
