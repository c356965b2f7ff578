"""The hull the sheet makes, as foil, turned with the hand; and the folding as a film.

ghost   the hull as it was before the hand began to drag, behind and over the new one
"""

from __future__ import annotations

from collections.abc import Iterator

import pygame
from msgspec import Struct

from folder.draw.hull.light import GROUND
from folder.draw.hull.marks.ghost import ghost_over, ghost_under
from folder.draw.hull.rough import takes_long
from folder.draw.hull.view import View, whole_frame
from folder.draw.picture import Box, box_round
from folder.findings import Point
from folder.fold.sequence.film import FilmState
from folder.studies import Study
from folder.units import DEG_PER_RAD
from folder.window import theme
from folder.window.background.identity import IdentityKey
from folder.window.background.result import Progress
from folder.window.commands.look import KEY_TURN_RAD, turn_camera
from folder.window.editor import Editor
from folder.window.fold.at_hand.bubble import words_at
from folder.window.fold.at_hand.note import hand_note
from folder.window.fold.film.picture import film_in_parts, film_state
from folder.window.fold.film.player import Player
from folder.window.fold.hull_seen import hull_seen
from folder.window.fold.leaning import LeanGrip, drag_lean, drop_lean, lean_at, lean_grip
from folder.window.paint.foil import foil_in_parts, frame_viewport, paint_foil
from folder.window.paint.layer import PaintLayer
from folder.window.viewport import Viewport
from folder.window.widgets import Pane, Touch, Ui, touch_area

TURN_RAD_PER_PX = 0.01
INSET = 3.0
FADED = ", faded over: here the foil gives way little by little"
REACH_PX = 9.0
"""A rim this near is under the hand."""


class _Cache(Struct):
    """What is remembered between passes."""

    layer: PaintLayer
    from_px: tuple[float, float] = (0.0, 0.0)
    before: Study | None = None
    """The last study of the drawing at rest."""
    viewport: Viewport | None = None
    """How the hull was last painted, logical px from the upper left of the pane."""
    grip: LeanGrip | None = None
    """The wall in the hand, or under it."""
    holds: bool = False
    leans: bool = False
    """It is shown leaning."""
    lean_rad: float = 0.0
    """How far the wall in the hand leans out."""


def hull_view(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The hull."""
    cache = ui.memory("hull/kept", lambda: _Cache(PaintLayer()))
    touch = touch_area(ui, "hull", pane, text="The hull", tip="Drag to turn the hull round, or a wall's rim to lean it")
    if ui.event is not None:
        _by_pointer(ui, pane, editor, touch, cache)
    right, down = ui.arrow(touch.record)
    if right or down:
        turn_camera(editor, -right * KEY_TURN_RAD, -down * KEY_TURN_RAD)
    if ui.drawing:
        _draw(ui, pane, editor, touch, cache)
        if ui.shows_focus(touch.record):
            ui.display_list.ring(pane.inset(4, 4))


def _by_pointer(ui: Ui, pane: Pane, editor: Editor, touch: Touch, cache: _Cache) -> None:
    """A drag turns the hull, or leans the wall whose rim is under the hand."""
    view, place = editor.state.camera, _place(cache, pane, touch)
    if touch.held == 0 and touch.up == 0:
        over = _grip(editor, cache, place) if touch.over and place is not None else None
        if (over is None) != (cache.grip is None) or (
            over is not None and cache.grip is not None and over.crease != cache.grip.crease
        ):
            ui.redraw()
        cache.grip, cache.holds = over, False
    if cache.leans and editor.state.drag_pattern is None:  # put back by a key
        cache.grip, cache.holds, cache.leans, cache.from_px = None, False, False, touch.at
    if touch.down == 1:
        cache.from_px, cache.holds = touch.at, cache.grip is not None
    elif touch.held == 1 and touch.at != cache.from_px:
        if cache.holds and cache.grip is not None and place is not None:
            cache.lean_rad = lean_at(cache.grip, view, place)
            drag_lean(editor, cache.grip, cache.lean_rad)
            cache.leans = editor.state.drag_pattern is not None
        else:
            dx, dy = touch.at[0] - cache.from_px[0], touch.at[1] - cache.from_px[1]
            turn_camera(editor, -dx * TURN_RAD_PER_PX, dy * TURN_RAD_PER_PX)
        cache.from_px = touch.at
        ui.redraw()
    if touch.up == 1 and cache.holds:
        drop_lean(editor)
        cache.grip, cache.holds, cache.leans = None, False, False
        ui.redraw()


def _place(cache: _Cache, pane: Pane, touch: Touch) -> Point | None:
    """Where the pointer is in the picture, mm."""
    if cache.viewport is None:
        return None
    inner = pane.inset(INSET)
    return cache.viewport.mm((touch.at[0] - inner.x, touch.at[1] - inner.y))


def _grip(editor: Editor, cache: _Cache, place: Point) -> LeanGrip | None:
    """The wall under the hand; none while the folding is shown, unless all of it is done."""
    if not _is_whole(editor) or cache.viewport is None:
        return None
    return lean_grip(editor, editor.state.camera, place, REACH_PX / cache.viewport.px_per_mm)


def _is_whole(editor: Editor) -> bool:
    """Whether the whole hull is seen: no step of the folding is shown, or the last one, done."""
    player, result = editor.state.player, editor.result
    if player.step is None:
        return True
    steps = result.order.steps if result is not None and result.order is not None else ()
    return player.step == len(steps) - 1 and player.share >= 1.0 and not player.runs


def _draw(ui: Ui, pane: Pane, editor: Editor, touch: Touch, cache: _Cache) -> None:
    result, state = editor.result, editor.state
    ui.display_list.plate(pane, theme.rgb(GROUND), theme.HAIR)
    inner = pane.inset(INSET)
    if result is None or result.study is None:
        ui.display_list.text("…", inner, "title", align="middle", colour=theme.SOFT_INK)
        return
    study = result.study
    if state.drag_pattern is None and result.pattern is editor.document.pattern:
        cache.before = study
    ghost = cache.before if state.drag_pattern is not None and cache.before is not study else None
    if ghost is not None and takes_long(ghost.folded):
        ghost = None
    player = state.player if result.order is not None and result.order.steps else Player()
    frame = whole_frame(study.folded, state.camera)
    if ghost is not None:
        frame = _both(frame, whole_frame(ghost.folded, state.camera))
    cache.viewport = frame_viewport(frame, (inner.w, inner.h))
    moment = film_state(result, player) if player.step is not None else None
    # While the hand turns a large one it is shown roughly; what it is in full is asked for when the hand rests.
    at_rest = not touch.held and state.drag_pattern is None
    in_full, picture_of = hull_seen(editor.worker, result, study, state.camera, resting=at_rest)
    key = (IdentityKey(study), IdentityKey(result.film), player, state.camera, IdentityKey(ghost), ui.scale, in_full)

    renderer = ui.display_list.renderer

    def fresh(surface: pygame.Surface) -> Iterator[int] | None:
        glyph_cache = renderer.glyph_cache
        if moment is not None and result.order is not None:
            return film_in_parts(surface, moment, result.order.steps[player.step or 0], state.camera, glyph_cache, ui.scale)
        picture = picture_of()
        if ghost is None:
            return foil_in_parts(surface, picture, glyph_cache, ui.scale)
        paint_foil(surface, ghost_under(ghost.folded, state.camera, ghost.layering), glyph_cache, ui.scale, frame)
        paint_foil(surface, picture, glyph_cache, ui.scale, frame, ground=None)
        paint_foil(surface, ghost_over(ghost.folded, state.camera, ghost.layering), glyph_cache, ui.scale, frame, ground=None)
        return None

    ui.display_list.custom(inner, key, lambda surface, rect: cache.layer.show(surface, rect, key, fresh, renderer))
    if cache.grip is not None and not cache.holds and _is_whole(editor):
        _light_rim(ui, inner, cache, state.camera)
    row = Pane(inner.x + 8, inner.bottom - 26, inner.w - 16, 20)
    text = _note(editor, result, player, moment)
    ui.display_list.text(text, row, "small", colour=theme.SOFT_INK)
    if cache.holds and cache.leans:
        words = f"leans out {cache.lean_rad * DEG_PER_RAD:.0f}°", hand_note(editor)
        words_at(ui, tuple(line for line in words if line), (touch.at[0] - pane.x, touch.at[1] - pane.y), pane)
    elif not text:
        ui.display_list.text("turn me", row, "small", colour=theme.SOFT_INK, align="right")


def _light_rim(ui: Ui, inner: Pane, cache: _Cache, view: View) -> None:
    """The rim under the hand lights up: it can be dragged."""
    grip, viewport = cache.grip, cache.viewport
    assert grip is not None
    assert viewport is not None
    ends = view.project(grip.study.folded, grip.wall.rim)[..., :2]
    lines = [tuple(viewport.px((x, y)) for x, y in pair) for pair in ends.tolist()]

    def draw(surface: pygame.Surface, rect: pygame.Rect) -> None:
        for (ax, ay), (bx, by) in lines:
            a, b = ((rect.x + x * ui.scale, rect.y + y * ui.scale) for x, y in ((ax, ay), (bx, by)))
            pygame.draw.aaline(surface, theme.FOCUS, a, b, round(5 * ui.scale))

    ui.display_list.custom(inner, ("rim", grip.crease, IdentityKey(grip.study), view), draw)


def _note(editor: Editor, result: Progress, player: Player, moment: FilmState | None) -> str:
    if editor.fresh is None and editor.state.drag_pattern is None:
        return "working …" if result.failed is None else "as it was"
    if player.step is None or result.order is None:
        return ""
    faded = FADED if moment is not None and moment.other is not None else ""
    return f"step {player.step + 1} of {len(result.order.steps)}{faded}"


def _both(one: Box, other: Box) -> Box:
    return box_round((*one.corners, *other.corners))
