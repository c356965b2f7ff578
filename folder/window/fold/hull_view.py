"""The hull the sheet makes, turned with the hand, and the slider that folds it from flat to hull."""

from __future__ import annotations

import pygame
from msgspec import Struct

from folder.fold.place import Folded, folded
from folder.fold.sequence.steps import FoldSequence
from folder.geometry.space import Bools
from folder.window import theme
from folder.window.background.identity import IdentityKey
from folder.window.background.result import Progress
from folder.window.background.snapshot import Snapshot, snapshot_from
from folder.window.commands.look import KEY_TURN_RAD, fold_to, turn_camera
from folder.window.editor import Editor
from folder.window.paint.surface import PEN_PX, PaintLayer, paint
from folder.window.viewport import Viewport
from folder.window.widgets import Pane, Ui, slider, touch_area
from folder.window.widgets.glyph_cache import GlyphCache

TURN_RAD_PER_PX = 0.01


class _Cache(Struct):
    """The hull as it was last folded and drawn."""

    layer: PaintLayer
    state: tuple[object, Folded] | None = None
    from_px: tuple[float, float] = (0.0, 0.0)


def hull_view(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The hull, and below it the slider."""
    cache = ui.memory("hull/kept", lambda: _Cache(PaintLayer()))
    row, pane = pane.cut_bottom(30, 4)
    touch = touch_area(ui, "hull", pane, text="The hull", tip="Drag to turn the hull round")
    if touch.down == 1:
        cache.from_px = touch.at
    elif touch.held == 1 and touch.at != cache.from_px:
        dx, dy = touch.at[0] - cache.from_px[0], touch.at[1] - cache.from_px[1]
        turn_camera(editor, -dx * TURN_RAD_PER_PX, dy * TURN_RAD_PER_PX)
        cache.from_px = touch.at
        ui.redraw()
    right, down = ui.arrow(touch.record)
    if right or down:
        turn_camera(editor, -right * KEY_TURN_RAD, -down * KEY_TURN_RAD)
    _slider(ui, row, editor)
    if ui.drawing:
        _draw(ui, pane, editor, cache)
        if ui.shows_focus(touch.record):
            ui.display_list.ring(pane.inset(4, 4))


def _slider(ui: Ui, row: Pane, editor: Editor) -> None:
    flat, row = row.cut_left(ui.display_list.text_w("flat", "small") + 4, 4)
    hull, row = row.cut_right(ui.display_list.text_w("hull", "small") + 4, 4)
    ui.display_list.text("flat", flat, "small", colour=theme.SOFT_INK)
    ui.display_list.text("hull", hull, "small", colour=theme.SOFT_INK, align="right")
    share = slider(ui, "fold", row, editor.state.share, 0.0, 1.0, step=0.01, tip="Fold the sheet: from flat to hull")
    if share != editor.state.share:
        fold_to(editor, share)


def _draw(ui: Ui, pane: Pane, editor: Editor, cache: _Cache) -> None:
    result = editor.result
    ui.display_list.plate(pane, theme.PAPER, theme.HAIR)
    inner = pane.inset(3)
    if result is None or result.study is None:
        ui.display_list.text("…", inner, "title", align="middle", colour=theme.SOFT_INK)
        return
    state = _state(editor, result, cache)
    key = (IdentityKey(state), editor.state.camera, ui.scale)
    floor = _floor(result)

    def draw(surface: pygame.Surface, rect: pygame.Rect) -> None:
        cache.layer.show(
            surface, rect, key, lambda s: paint_snapshot(s, snapshot(), ui.display_list.renderer.glyph_cache, ui.scale)
        )

    def snapshot() -> Snapshot:
        ready = result.snapshot
        if result.study is None or state is not result.study.folded:
            return snapshot_from(state, editor.state.camera, floor)
        if ready is not None and ready.view == editor.state.camera:
            return ready
        return snapshot_from(state, editor.state.camera, floor, layering=result.study.layering)

    ui.display_list.custom(inner, key, draw)
    if editor.fresh is None and editor.state.drag_pattern is None:
        note = Pane(inner.x + 6, inner.y + 4, 120, 20)
        ui.display_list.text("working …" if result.failed is None else "as it was", note, "small", colour=theme.SOFT_INK)
    elif editor.state.step_index is not None:
        note = Pane(inner.x + 6, inner.y + 4, inner.w - 12, 20)
        ui.display_list.text(f"after step {editor.state.step_index + 1}", note, "small", colour=theme.SOFT_INK)


def _state(editor: Editor, result: Progress, cache: _Cache) -> Folded:
    """The folded sheet that is to be shown."""
    study = result.study
    assert study is not None
    order = result.order if editor.state.step_index is not None else None
    path = IdentityKey(result.path if editor.state.share < 1.0 else None)
    key = (IdentityKey(study), editor.state.share, editor.state.step_index, IdentityKey(order), path)
    if cache.state is None or cache.state[0] != key:
        cache.state = (key, _folded(editor, result, order))
    return cache.state[1]


def _folded(editor: Editor, result: Progress, order: FoldSequence | None) -> Folded:
    study = result.study
    assert study is not None
    if order is not None and editor.state.step_index is not None and editor.state.step_index < len(order.steps):
        return folded(study.faces, order.steps[editor.state.step_index].turn.copy())
    if editor.state.share >= 1.0:
        return study.folded
    if result.path is not None:
        return folded(study.faces, result.path.at(editor.state.share).turn.copy())
    return folded(study.faces, study.folded.turn * editor.state.share)


def _floor(result: Progress) -> Bools | None:
    hull = result.study.hull if result.study is not None else None
    return None if hull is None else hull.floor_faces


def paint_snapshot(surface: pygame.Surface, snapshot: Snapshot, glyph_cache: GlyphCache, scale: float) -> None:
    """Paint a picture of a folded sheet in the middle of a surface."""
    surface.fill(theme.PAPER)
    width, height = surface.get_size()
    # Seen from above it is less high than wide.
    zoom = min(width, height * 1.25) / (2.1 * snapshot.reach_mm)
    box, (_, middle) = snapshot.picture.box, snapshot.middle
    # A tall one is not: it stays whole.
    zoom = min(zoom, 0.48 * height / max(box.top - middle, middle - box.bottom, 1e-3))
    viewport = Viewport(zoom, (width / 2 - zoom * snapshot.middle[0], height / 2 + zoom * snapshot.middle[1]))
    paint(surface, snapshot.picture, viewport, glyph_cache, PEN_PX * 0.75 * scale)
