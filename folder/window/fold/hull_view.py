"""The hull the sheet makes, turned with the hand, and the slider that folds it from flat to hull."""

from __future__ import annotations

import math

import pygame
from msgspec import Struct
from msgspec.structs import replace

from folder.fold.place import Folded, folded
from folder.fold.sequence.steps import FoldSequence
from folder.geometry.space import Bools
from folder.window import theme
from folder.window.background.result import Result
from folder.window.editor import Editor
from folder.window.identity import IdentityKey
from folder.window.paint.surface import PEN_PX, PaintLayer, paint
from folder.window.snapshot import Snapshot, snapshot_from
from folder.window.viewport import Viewport
from folder.window.widgets import Pane, Ui, slider, touch_area
from folder.window.widgets.glyph_cache import GlyphCache

TURN_RAD_PER_PX = 0.01
LOWEST_RAD, HIGHEST_RAD = math.radians(-60.0), math.radians(89.0)
KEY_TURN_RAD = math.radians(15.0)


class _Kept(Struct):
    """The hull as it was last folded and drawn."""

    layer: PaintLayer
    state: tuple[object, Folded] | None = None
    from_px: tuple[float, float] = (0.0, 0.0)


def hull_view(ui: Ui, pane: Pane, desk: Editor) -> None:
    """The hull, and below it the slider."""
    kept = ui.memory("hull/kept", lambda: _Kept(PaintLayer()))
    row, pane = pane.cut_bottom(30, 4)
    touch = touch_area(ui, "hull", pane, text="The hull", tip="Drag to turn the hull round")
    if touch.down == 1:
        kept.from_px = touch.at
    elif touch.held == 1 and touch.at != kept.from_px:
        dx, dy = touch.at[0] - kept.from_px[0], touch.at[1] - kept.from_px[1]
        turn_view(desk, -dx * TURN_RAD_PER_PX, dy * TURN_RAD_PER_PX)
        kept.from_px = touch.at
        ui.redraw()
    right, down = ui.arrow(touch.spot)
    if right or down:
        turn_view(desk, -right * KEY_TURN_RAD, -down * KEY_TURN_RAD)
    _slider(ui, row, desk)
    if ui.drawing:
        _draw(ui, pane, desk, kept)
        if ui.shows_focus(touch.spot):
            ui.pen.ring(pane.inset(4, 4))


def turn_view(desk: Editor, around_rad: float, above_rad: float) -> None:
    """Turn the hull."""
    view = desk.view
    above = min(max(view.above_rad + above_rad, LOWEST_RAD), HIGHEST_RAD)
    desk.right.mode = "hull"
    desk.view = replace(view, around_rad=(view.around_rad + around_rad) % (2 * math.pi), above_rad=above)


def _slider(ui: Ui, row: Pane, desk: Editor) -> None:
    flat, row = row.cut_left(ui.pen.text_w("flat", "small") + 4, 4)
    hull, row = row.cut_right(ui.pen.text_w("hull", "small") + 4, 4)
    ui.pen.text("flat", flat, "small", colour=theme.SOFT_INK)
    ui.pen.text("hull", hull, "small", colour=theme.SOFT_INK, align="right")
    share = slider(ui, "fold", row, desk.share, 0.0, 1.0, step=0.01, tip="Fold the sheet: from flat to hull")
    if share != desk.share:
        fold_to(desk, share)


def fold_to(desk: Editor, share: float) -> None:
    """Show the sheet this far on its way from flat to hull."""
    desk.share, desk.moment = min(max(share, 0.0), 1.0), None
    desk.right.mode = "hull"
    if desk.share < 1.0:
        desk.worker.want_path()


def _draw(ui: Ui, pane: Pane, desk: Editor, kept: _Kept) -> None:
    result = desk.result
    ui.pen.plate(pane, theme.PAPER, theme.HAIR)
    inner = pane.inset(3)
    if result is None or result.study is None:
        ui.pen.text("…", inner, "title", align="middle", colour=theme.SOFT_INK)
        return
    state = _state(desk, result, kept)
    key = (IdentityKey(state), desk.view, ui.scale)
    floor = _floor(result)

    def draw(surface: pygame.Surface, rect: pygame.Rect) -> None:
        kept.layer.show(surface, rect, key, lambda s: paint_seen(s, seen(), ui.pen.brush.letters, ui.scale))

    def seen() -> Snapshot:
        ready = result.seen
        if ready is not None and ready.view == desk.view and result.study is not None and state is result.study.folded:
            return ready
        return snapshot_from(state, desk.view, floor)

    ui.pen.custom(inner, key, draw)
    if desk.fresh is None and desk.live is None:
        note = Pane(inner.x + 6, inner.y + 4, 120, 20)
        ui.pen.text("working …" if result.failed is None else "as it was", note, "small", colour=theme.SOFT_INK)
    elif desk.moment is not None:
        note = Pane(inner.x + 6, inner.y + 4, inner.w - 12, 20)
        ui.pen.text(f"after step {desk.moment + 1}", note, "small", colour=theme.SOFT_INK)


def _state(desk: Editor, result: Result, kept: _Kept) -> Folded:
    """The folded sheet that is to be shown."""
    study = result.study
    assert study is not None
    order = result.order if desk.moment is not None else None
    key = (IdentityKey(study), desk.share, desk.moment, IdentityKey(order), IdentityKey(result.path if desk.share < 1.0 else None))
    if kept.state is None or kept.state[0] != key:
        kept.state = (key, _folded(desk, result, order))
    return kept.state[1]


def _folded(desk: Editor, result: Result, order: FoldSequence | None) -> Folded:
    study = result.study
    assert study is not None
    if order is not None and desk.moment is not None and desk.moment < len(order.steps):
        return folded(study.faces, order.steps[desk.moment].turn.copy())
    if desk.share >= 1.0:
        return study.folded
    if result.path is not None:
        return folded(study.faces, result.path.at(desk.share).turn.copy())
    return folded(study.faces, study.folded.turn * desk.share)


def _floor(result: Result) -> Bools | None:
    hull = result.study.hull if result.study is not None else None
    return None if hull is None else hull.floor_faces


def paint_seen(surface: pygame.Surface, seen: Snapshot, letters: GlyphCache, scale: float) -> None:
    """Paint a picture of a folded sheet in the middle of a surface."""
    surface.fill(theme.PAPER)
    width, height = surface.get_size()
    # Seen from above it is less high than wide.
    zoom = min(width, height * 1.25) / (2.1 * seen.reach_mm)
    lens = Viewport(zoom, (width / 2 - zoom * seen.middle[0], height / 2 + zoom * seen.middle[1]))
    paint(surface, seen.picture, lens, letters, PEN_PX * 0.75 * scale)
