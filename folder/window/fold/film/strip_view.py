"""The player of the folding: play, one back, one on, and the steps in their order as small pictures with a word each."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import pygame
from msgspec import Struct, field

from folder.draw.picture import Picture
from folder.draw.style import PAPER
from folder.fold.sequence.steps import FoldSequence
from folder.window import theme
from folder.window.background.identity import IdentityKey
from folder.window.background.result import Progress
from folder.window.commands.look import play_step, set_player
from folder.window.commands.table import COMMANDS
from folder.window.editor import Editor
from folder.window.fold.film.player import FRAME_S, Player
from folder.window.paint.foil import foil_in_parts
from folder.window.paint.layer import PaintLayer
from folder.window.widgets import DisplayList, Pane, Tile, Ui, button, strip

WORDS = {
    "fold": "fold over",
    "turn over": "turn over",
    "crease": "fold, unfold",
    "raise": "walls up",
    "lay": "tuck flaps",
    "crimp": "pinch",
    "check": "look",
}
TILE_W = 138.0
BUTTONS_W = 92.0


class _Cache(Struct):
    """The tiles of the order last shown."""

    order: FoldSequence | None = None
    result: Progress | None = None
    tiles: list[Tile] = field(default_factory=list)


def strip_view(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The strip along the foot of the page."""
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
        if not editor.document.pattern.creases:
            note = "The folds will stand here in their order."
        ui.display_list.text(note, inner.inset(2 * theme.GAP, 0), colour=theme.INK, wrap=True)
        return
    player = editor.state.player
    if player.step is not None and player.step >= len(cache.tiles):
        set_player(editor, Player())
    keys, inner = inner.cut_left(BUTTONS_W, 4)
    _buttons(ui, keys, editor)
    pick = strip(ui, "strip", inner, cache.tiles, player.step, w=TILE_W)
    if pick.opened and pick.at is not None:
        play_step(editor, pick.at)
    elif pick.at != player.step:
        set_player(editor, Player(pick.at))
    _progress(ui, editor.state.player)


def run_player(ui: Ui, editor: Editor) -> None:
    """Let the film go on with the clock. Asked once a pass, before what shows it."""
    player, result = editor.state.player, editor.result
    if not player.runs:
        return
    if editor.state.drag_pattern is not None or result is None or (result.film is None and not editor.worker.wants_film):
        set_player(editor, Player(player.step))
    elif result.film is not None:
        seconds = [result.film.seconds(k) for k in range(len(result.film.steps))]
        set_player(editor, player.at(ui.now_s, seconds))
    if editor.state.player.runs:
        ui.redraw_in(FRAME_S)


def _buttons(ui: Ui, pane: Pane, editor: Editor) -> None:
    """Play or pause, large; under it one back and one on."""
    large, small = pane.inset(4, 4).cut_top((pane.h - 8) * 0.56, 4)
    word = "pause" if editor.state.player.runs else "play"
    tip = COMMANDS["play"].tip
    if button(ui, "film/play", large, icon=word, rank="main", tip=tip):
        COMMANDS["play"].do(editor)
    left, right = small.columns([1, 1], 4)
    for name, place, icon in (("step-back", left, "left"), ("step-on", right, "right")):
        if button(ui, f"film/{name}", place, icon=icon, tip=COMMANDS[name].tip):
            COMMANDS[name].do(editor)


def _progress(ui: Ui, player: Player) -> None:
    """How far along the step that is shown is: a bar at the foot of its tile."""
    record = ui.records.get(f"strip/{player.step}")
    if not ui.drawing or record is None or (player.share >= 1.0 and not player.runs):
        return
    track = Pane(record.pane.x + 8, record.pane.bottom - 7, record.pane.w - 16, 4).meet(record.visible)
    if track.w > 0 and track.h > 0:
        ui.display_list.fill(track, theme.HAIR)
        ui.display_list.fill(Pane(track.x, track.y, track.w * player.share, track.h), theme.VALLEY)


def tiles_of(result: Progress, ui: Ui) -> list[Tile]:
    """A tile for each step."""
    if result.order is None:
        return []
    pairs = zip(result.order.steps, result.snapshots, strict=True)
    return [
        Tile(f"{k} {WORDS[step.kind]}", partial(_draw, ui, PaintLayer(), snapshot.picture))
        for k, (step, snapshot) in enumerate(pairs, 1)
    ]


def _draw(ui: Ui, layer: PaintLayer, picture: Picture, display_list: DisplayList, pane: Pane) -> None:
    key, renderer = (IdentityKey(picture), pane.w, pane.h, ui.scale), ui.display_list.renderer

    def fresh(surface: pygame.Surface) -> Iterator[int]:
        return foil_in_parts(surface, picture, renderer.glyph_cache, ui.scale, ground=PAPER)

    display_list.custom(pane, key, lambda surface, rect: layer.show(surface, rect, key, fresh, renderer))
