"""The sheet, large: looked at through a viewport, drawn on with the tools.

layer   the drawing at rest, painted once and kept
over    what moves: the line being laid, what is dragged, where the hand rests
"""

from __future__ import annotations

import math
from functools import partial

import pygame
from msgspec import Struct
from msgspec.structs import replace

from folder.findings import Point
from folder.pattern.pattern import Crease, Pattern
from folder.window.commands import change, look
from folder.window.commands.table import COMMANDS
from folder.window.editor import Editor
from folder.window.fold.at_hand.bubble import hand_bubble, word_plate
from folder.window.fold.at_hand.note import hand_note
from folder.window.fold.better.view import better_lines
from folder.window.fold.card import card
from folder.window.fold.first_gesture import first_gesture
from folder.window.fold.sheet_paint import (
    MOST_MARKED,
    RestingDrawing,
    paint_fading,
    paint_over,
    paint_picked,
    reach_of,
    resting_in_parts,
)
from folder.window.paint.layer import PaintLayer
from folder.window.tools.tool import Correction, SheetPointer
from folder.window.viewport import Viewport
from folder.window.widgets import Pane, Touch, Ui, button, touch_area
from folder.window.widgets.keys import ENTER

NEAR_PX = 14.0
"""The hand's reach: what is nearer than this is meant."""
LONG_S = 1.0
"""A press held this long without moving asks what can be done here: longer than a slow hand rests before it drags."""
STILL_PX = 6.0
SHOWN_S = 1.2
"""How long a correction is shown."""
FADES = 6
SHIFTS = (pygame.K_LSHIFT, pygame.K_RSHIFT)
NOTCH = 1.15
ZOOM_BUTTONS = (("zoom/in", "closer", "zoom_in"), ("zoom/out", "further", "zoom_out"), ("zoom/fit", "whole", "fit"))


class _Cache(Struct):
    """What the view remembers between passes."""

    layer: PaintLayer
    pan_from: Point | None = None
    panned: bool = False
    held_at: Point | None = None
    """Where the button went down, while it has not moved since."""
    held_s: float = 0.0
    correction: Correction | None = None
    """The correction that is shown, and since when."""
    since_s: float = 0.0


def sheet_view(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The sheet and everything the hand does on it."""
    look.set_sheet_size(editor, (pane.w, pane.h))
    cache = ui.memory("sheet/kept", lambda: _Cache(PaintLayer()))
    touch = touch_area(ui, "sheet", pane, text="The sheet")
    viewport = look.viewport_of(editor, (pane.w, pane.h))
    if ui.event is not None:
        _handle(ui, editor, touch, pane, viewport, cache)
    if ui.drawing:
        _long_press(ui, editor, touch, cache)
        _draw(ui, editor, touch, pane, look.viewport_of(editor, (pane.w, pane.h)), cache)
    card(ui, pane, editor, look.viewport_of(editor, (pane.w, pane.h)))
    _zoom_buttons(ui, pane, editor)


def _long_press(ui: Ui, editor: Editor, touch: Touch, cache: _Cache) -> None:
    """A button held still asks what can be done here; what it had begun is dropped."""
    if cache.held_at is None or touch.held != 1 or editor.state.menu is not None:
        return
    left = cache.held_s + LONG_S - ui.now_s
    if left > 0.0:
        ui.redraw_in(left)
        return
    cache.held_at = None
    pointer = editor.state.pointer
    editor.drop_gesture()
    if pointer is not None:
        look.point(editor, pointer)
        change.open_menu(editor)
        ui.redraw()


def _handle(ui: Ui, editor: Editor, touch: Touch, pane: Pane, viewport: Viewport, cache: _Cache) -> None:
    """What the event does."""
    here = (touch.at[0] - pane.x, touch.at[1] - pane.y)
    if touch.wheel:
        look.zoom(editor, NOTCH**touch.wheel, here)
        ui.redraw()
        viewport = look.viewport_of(editor, (pane.w, pane.h))
    if touch.down in (2, 3):
        cache.pan_from, cache.panned = here, False
    elif touch.up == 3 and not cache.panned:
        look.point(editor, SheetPointer(viewport.mm(here), NEAR_PX / viewport.px_per_mm))
        change.open_menu(editor)
        ui.redraw()
        return
    elif touch.held in (2, 3) and cache.pan_from is not None:
        if math.dist(here, cache.pan_from) < STILL_PX and not cache.panned:
            return
        cache.panned = True
        look.look_through(editor, viewport.panned(here[0] - cache.pan_from[0], here[1] - cache.pan_from[1]))
        cache.pan_from = here
        ui.redraw()
        return
    _by_pointer(ui, editor, touch, here, viewport, cache)
    _by_keys(ui, editor, touch)


def _by_pointer(ui: Ui, editor: Editor, touch: Touch, here: Point, viewport: Viewport, cache: _Cache) -> None:
    event = ui.event
    assert event is not None
    if event.type not in (pygame.MOUSEMOTION, pygame.MOUSEBUTTONDOWN, pygame.MOUSEBUTTONUP, pygame.MOUSEWHEEL):
        return
    ours = touch.over or touch.held == 1 or touch.up == 1
    if not ours:
        if not editor.state.by_keys and not editor.state.tool.busy and editor.state.pointer is not None:
            look.point(editor, None)
            ui.redraw()
        return
    before = editor.preview
    shift = not ui.keys.down.isdisjoint(SHIFTS)
    look.point(editor, SheetPointer(viewport.mm(here), NEAR_PX / viewport.px_per_mm, shift))
    if touch.down == 1:
        cache.held_at, cache.held_s = here, ui.now_s
    elif not touch.held or (cache.held_at is not None and math.dist(here, cache.held_at) > STILL_PX):
        cache.held_at = None
    if touch.down == 1:
        editor.press()
    elif touch.up == 1:
        editor.release()
    elif touch.held == 1:
        editor.drag()
    if editor.preview != before or touch.held:
        ui.redraw()


def _by_keys(ui: Ui, editor: Editor, touch: Touch) -> None:
    event = ui.event
    if event is None or event.type != pygame.KEYDOWN or not touch.record.focused or ui.used:
        return
    shift = bool(event.mod & pygame.KMOD_SHIFT)
    arrows = {pygame.K_LEFT: (-1, 0), pygame.K_RIGHT: (1, 0), pygame.K_UP: (0, 1), pygame.K_DOWN: (0, -1)}
    key = ui.key(touch.record)
    if key in arrows and not event.mod & (pygame.KMOD_CTRL | pygame.KMOD_ALT | pygame.KMOD_META):
        step = (editor.state.setting.grid_mm or 1.0) * (5.0 if shift else 1.0)
        sheet = editor.pattern.sheet
        at = editor.state.pointer.at if editor.state.pointer is not None else (sheet.width_mm / 2, sheet.height_mm / 2)
        x = min(max(_on_step(at[0], editor) + arrows[key][0] * step, 0.0), sheet.width_mm)
        y = min(max(_on_step(at[1], editor) + arrows[key][1] * step, 0.0), sheet.height_mm)
        look.point(editor, SheetPointer((x, y), 1.0), by_keys=True)
        if editor.state.tool.drag_state is not None:
            editor.drag()
        ui.take()
    elif key in ENTER or (key == pygame.K_SPACE and editor.state.by_keys):
        sheet = editor.pattern.sheet
        pointer = editor.state.pointer or SheetPointer((sheet.width_mm / 2, sheet.height_mm / 2), 1.0)
        look.point(editor, replace(pointer, shift=shift), by_keys=True)
        editor.press()
        if editor.state.tool.name == "pick":
            editor.release()
        ui.take()


def _on_step(value: float, editor: Editor) -> float:
    pitch = editor.state.setting.grid_mm or 1.0
    return round(value / pitch) * pitch


def _draw(ui: Ui, editor: Editor, touch: Touch, pane: Pane, viewport: Viewport, cache: _Cache) -> None:
    resting = RestingDrawing.of(editor, viewport, editor.state.viewport is not None or look.is_roomy((pane.w, pane.h)))
    renderer, scale = ui.display_list.renderer, ui.scale

    def base(surface: pygame.Surface, rect: pygame.Rect) -> None:
        key = (resting, scale)
        draw = partial(resting_in_parts, resting=resting, viewport=viewport, scale=scale, glyph_cache=renderer.glyph_cache)
        cache.layer.show(surface, rect, key, draw, renderer)

    ui.display_list.custom(pane, resting, base)
    first_gesture(ui, editor, pane, viewport)
    better_lines(ui, pane, editor, viewport)
    moving, preview = editor.state.drag_pattern, editor.preview
    if editor.document.picked:
        picked = editor.picked_creases
        ends = tuple(p for c in picked for p in (c.start, c.end))
        ui.display_list.custom(
            _pane_of(ends, pane, viewport), ("picked", picked, viewport, moving is not None),
            lambda surface, _: paint_picked(surface, picked, _on_window(viewport, pane, scale), scale, moving=moving is not None),
        )  # fmt: skip
    drawn = () if moving is None else _moving(editor.document.pattern, moving)
    if editor.state.pointer is not None or drawn:
        places = reach_of(preview, drawn)
        here = editor.state.pointer is not None  # not where a wall is leaned in the picture of the hull
        busy = here and (editor.state.tool.busy or editor.state.tool.name != "pick")
        ui.display_list.custom(
            _pane_of(places, pane, viewport), ("over", preview, drawn, viewport, editor.state.by_keys, busy),
            lambda surface, _: paint_over(surface, preview, drawn, _on_window(viewport, pane, scale), scale, editor.state.by_keys, busy),
        )  # fmt: skip
        if here:
            hand_bubble(ui, preview, hand_note(editor), pane, viewport)
    _correction(ui, editor, pane, viewport, cache)
    if editor.state.finding is not None and editor.state.finding < len(editor.findings) and editor.fresh is not None:
        for place in editor.findings[editor.state.finding].everywhere[:MOST_MARKED]:
            _ring(ui, place, pane, viewport)
    if ui.shows_focus(touch.record):
        ui.display_list.ring(pane.inset(4, 4))


def _ring(ui: Ui, at: Point, pane: Pane, viewport: Viewport) -> None:
    """A ring round a place of the finding that is pointed at."""
    x, y = viewport.px(at)
    around = Pane(pane.x + x - 26, pane.y + y - 26, 52, 52)
    with ui.display_list.clip(pane):
        ui.display_list.ring(around, 26)


def _on_window(viewport: Viewport, pane: Pane, scale: float) -> Viewport:
    """The viewport in physical px of the window."""
    left, top = round(pane.x * scale), round(pane.y * scale)
    return Viewport(viewport.px_per_mm * scale, (left + viewport.origin_px[0] * scale, top + viewport.origin_px[1] * scale))


def _pane_of(places: tuple[Point, ...], pane: Pane, viewport: Viewport) -> Pane:
    """The part of the pane round some places on the sheet."""
    at = [viewport.px(p) for p in places] or [(0.0, 0.0)]
    xs, ys = [x for x, _ in at], [y for _, y in at]
    left, top, right, bottom = min(xs) - 16, min(ys) - 16, max(xs) + 16, max(ys) + 16
    return Pane(pane.x + left, pane.y + top, right - left, bottom - top).meet(pane)


def _moving(before: Pattern, shown: Pattern) -> tuple[Crease, ...]:
    """The creases that a drag has put where none lay before."""
    there = set(before.creases)
    return tuple(c for c in shown.creases if c not in there)


def _correction(ui: Ui, editor: Editor, pane: Pane, viewport: Viewport, cache: _Cache) -> None:
    """The line as the hand drew it, fading, and in a word what was made of it."""
    correction = editor.state.correction
    if correction is not cache.correction:
        cache.correction, cache.since_s = correction, ui.now_s
    share = (ui.now_s - cache.since_s) / SHOWN_S
    if correction is None or share >= 1.0:
        return
    step = int(share * FADES)
    ui.redraw_in(SHOWN_S / FADES)
    scale = ui.scale
    ui.display_list.custom(
        _pane_of(correction.drawn, pane, viewport), ("drawn", correction.drawn, step, viewport),
        lambda surface, _: paint_fading(surface, correction.drawn, 1.0 - step / FADES, _on_window(viewport, pane, scale), scale),
    )  # fmt: skip
    (ax, ay), (bx, by) = correction.laid
    word_plate(ui, (correction.words,), ((ax + bx) / 2.0, (ay + by) / 2.0), pane, viewport)


def _zoom_buttons(ui: Ui, pane: Pane, editor: Editor) -> None:
    """Nearer, further off, fit: one below the other at the upper right of the sheet's pane."""
    for k, (name, command, icon) in enumerate(ZOOM_BUTTONS):
        place = Pane(pane.right - look.ZOOM_PX + 4, pane.y + 4 + 38 * k, 34, 34)
        if button(ui, name, place, icon=icon, tip=COMMANDS[command].tip):
            COMMANDS[command].do(editor)
