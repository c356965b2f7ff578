"""The sheet, large: looked at through a lens, drawn on with the tools.

layer   the drawing at rest, painted once and kept
over    what moves: the line being laid, what is dragged, where the hand rests
"""

from __future__ import annotations

import math

import pygame
from msgspec import Struct
from msgspec.structs import replace

from folder.draw.picture import Box
from folder.findings import Point
from folder.window import theme
from folder.window.editor import Editor
from folder.window.fold.card import card
from folder.window.fold.sheet_paint import MOST_MARKED, Resting, paint_over, paint_picked, paint_resting, reach_of
from folder.window.paint.surface import PaintLayer
from folder.window.tools.tool import Preview, SheetPointer
from folder.window.viewport import Viewport
from folder.window.widgets import Pane, Touch, Ui, button, touch_area
from folder.window.widgets.keys import ENTER

NEAR_PX = 9.0
SHIFTS = (pygame.K_LSHIFT, pygame.K_RSHIFT)
MARGIN_PX = 40.0
ZOOM_PX = 42.0
"""At the right of the pane, for the zoom buttons: the whole sheet stays clear of them."""
LITTLE_PX = 350.0
"""In a pane smaller than this the whole sheet gets a quarter of the margin, and no numbers of steps."""
NOTCH = 1.15
LEAST_ZOOM, MOST_ZOOM = 0.4, 40.0


class _Kept(Struct):
    """What the view remembers between passes."""

    layer: PaintLayer
    pan_from: Point | None = None


def sheet_view(ui: Ui, pane: Pane, desk: Editor) -> None:
    """The sheet and everything the hand does on it."""
    kept = ui.memory("sheet/kept", lambda: _Kept(PaintLayer()))
    touch = touch_area(ui, "sheet", pane, text="The sheet")
    lens = lens_of(desk, pane)
    if ui.event is not None:
        _heard(ui, desk, touch, pane, lens, kept)
    if ui.drawing:
        _draw(ui, desk, touch, pane, lens_of(desk, pane), kept)
    card(ui, pane, desk, lens_of(desk, pane))
    _zoom_buttons(ui, pane, desk)


def lens_of(desk: Editor, pane: Pane) -> Viewport:
    """How the sheet is looked at, logical px from the upper left of the pane."""
    if desk.lens is not None and desk.lens.is_sound:
        return desk.lens
    sheet = desk.pattern.sheet
    margin = MARGIN_PX if _is_roomy(pane) else MARGIN_PX / 4
    return Viewport.fit(Box(0.0, 0.0, sheet.width_mm, sheet.height_mm), 0.0, 0.0, pane.w - ZOOM_PX, pane.h, margin)


def _is_roomy(pane: Pane) -> bool:
    """Whether there is room round the whole sheet for what stands outside it."""
    return min(pane.w, pane.h) > LITTLE_PX


def zoom(desk: Editor, pane: Pane, times: float, about: Point | None = None) -> None:
    """Nearer or further off, about a place of the pane."""
    desk.lens = lens_of(desk, pane).zoomed(times, about or (pane.w / 2, pane.h / 2), LEAST_ZOOM, MOST_ZOOM)


def _heard(ui: Ui, desk: Editor, touch: Touch, pane: Pane, lens: Viewport, kept: _Kept) -> None:
    """What the event does."""
    here = (touch.at[0] - pane.x, touch.at[1] - pane.y)
    if touch.wheel:
        zoom(desk, pane, NOTCH**touch.wheel, here)
        ui.redraw()
        lens = lens_of(desk, pane)
    if touch.down in (2, 3):
        kept.pan_from = here
    elif touch.held in (2, 3) and kept.pan_from is not None:
        desk.lens = lens.panned(here[0] - kept.pan_from[0], here[1] - kept.pan_from[1])
        kept.pan_from = here
        ui.redraw()
        return
    _by_pointer(ui, desk, touch, here, lens)
    _by_keys(ui, desk, touch)


def _by_pointer(ui: Ui, desk: Editor, touch: Touch, here: Point, lens: Viewport) -> None:
    event = ui.event
    assert event is not None
    if event.type not in (pygame.MOUSEMOTION, pygame.MOUSEBUTTONDOWN, pygame.MOUSEBUTTONUP, pygame.MOUSEWHEEL):
        return
    ours = touch.over or touch.held == 1 or touch.up == 1
    if not ours:
        if not desk.by_keys and not desk.tool.busy and desk.hand is not None:
            desk.hand = None
            ui.redraw()
        return
    before = desk.sight
    shift = not ui.keys.down.isdisjoint(SHIFTS)
    desk.hand, desk.by_keys = SheetPointer(lens.mm(here), NEAR_PX / lens.px_per_mm, shift), False
    if touch.down == 1:
        desk.press()
    elif touch.up == 1:
        desk.release()
    elif touch.held == 1:
        desk.drag()
    if desk.sight != before or touch.held:
        ui.redraw()


def _by_keys(ui: Ui, desk: Editor, touch: Touch) -> None:
    event = ui.event
    if event is None or event.type != pygame.KEYDOWN or not touch.spot.focused or ui.used:
        return
    shift = bool(event.mod & pygame.KMOD_SHIFT)
    arrows = {pygame.K_LEFT: (-1, 0), pygame.K_RIGHT: (1, 0), pygame.K_UP: (0, 1), pygame.K_DOWN: (0, -1)}
    key = ui.key(touch.spot)
    if key in arrows and not event.mod & (pygame.KMOD_CTRL | pygame.KMOD_ALT | pygame.KMOD_META):
        step = (desk.setting.grid_mm or 1.0) * (5.0 if shift else 1.0)
        sheet = desk.pattern.sheet
        at = desk.hand.at if desk.hand is not None else (sheet.width_mm / 2, sheet.height_mm / 2)
        x = min(max(_on_step(at[0], desk) + arrows[key][0] * step, 0.0), sheet.width_mm)
        y = min(max(_on_step(at[1], desk) + arrows[key][1] * step, 0.0), sheet.height_mm)
        desk.hand, desk.by_keys = SheetPointer((x, y), 1.0), True
        if desk.tool.grip is not None:
            desk.drag()
        ui.take()
    elif key in (*ENTER, pygame.K_SPACE):
        if desk.hand is None:
            sheet = desk.pattern.sheet
            desk.hand = SheetPointer((sheet.width_mm / 2, sheet.height_mm / 2), 1.0)
        desk.hand, desk.by_keys = replace(desk.hand, shift=shift), True
        desk.press()
        if desk.tool.name == "pick":
            desk.release()
        ui.take()


def _on_step(value: float, desk: Editor) -> float:
    pitch = desk.setting.grid_mm or 1.0
    return round(value / pitch) * pitch


def _draw(ui: Ui, desk: Editor, touch: Touch, pane: Pane, lens: Viewport, kept: _Kept) -> None:
    resting = Resting.of(desk, lens, desk.lens is not None or _is_roomy(pane))
    letters = ui.pen.brush.letters
    scale = ui.scale

    def base(surface: pygame.Surface, rect: pygame.Rect) -> None:
        key = (resting, scale)
        kept.layer.show(surface, rect, key, lambda s: paint_resting(s, resting, lens, scale, letters))

    ui.pen.custom(pane, resting, base)
    moving, sight = desk.live, desk.sight
    if desk.work.picked:
        picked = desk.picked_creases
        ends = tuple(p for c in picked for p in (c.start, c.end))
        ui.pen.custom(
            _pane_of(ends, pane, lens), ("picked", picked, lens),
            lambda surface, _: paint_picked(surface, picked, _on_window(lens, pane, scale), scale),
        )  # fmt: skip
    drawn = tuple(c for i, c in enumerate(moving.creases) if i in resting.left_out) if moving is not None else ()
    if desk.hand is not None or drawn:
        places = reach_of(sight, drawn)
        busy = desk.tool.busy or desk.tool.name != "pick"
        ui.pen.custom(
            _pane_of(places, pane, lens), ("over", sight, drawn, lens, desk.by_keys, busy),
            lambda surface, _: paint_over(surface, sight, drawn, _on_window(lens, pane, scale), scale, desk.by_keys, busy),
        )  # fmt: skip
        _bubble(ui, sight, pane, lens)
    if desk.finding is not None and desk.finding < len(desk.findings) and desk.fresh is not None:
        for place in desk.findings[desk.finding].everywhere[:MOST_MARKED]:
            _ring(ui, place, pane, lens)
    if ui.shows_focus(touch.spot):
        ui.pen.ring(pane.inset(4, 4))


def _ring(ui: Ui, at: Point, pane: Pane, lens: Viewport) -> None:
    """A ring round a place of the finding that is pointed at."""
    x, y = lens.px(at)
    around = Pane(pane.x + x - 26, pane.y + y - 26, 52, 52)
    with ui.pen.clip(pane):
        ui.pen.ring(around, 26)


def _on_window(lens: Viewport, pane: Pane, scale: float) -> Viewport:
    """The lens in physical px of the window."""
    left, top = round(pane.x * scale), round(pane.y * scale)
    return Viewport(lens.px_per_mm * scale, (left + lens.origin_px[0] * scale, top + lens.origin_px[1] * scale))


def _pane_of(places: tuple[Point, ...], pane: Pane, lens: Viewport) -> Pane:
    """The part of the pane round some places on the sheet."""
    at = [lens.px(p) for p in places] or [(0.0, 0.0)]
    xs, ys = [x for x, _ in at], [y for _, y in at]
    left, top, right, bottom = min(xs) - 16, min(ys) - 16, max(xs) + 16, max(ys) + 16
    return Pane(pane.x + left, pane.y + top, right - left, bottom - top).meet(pane)


def _bubble(ui: Ui, sight: Preview, pane: Pane, lens: Viewport) -> None:
    """The word for where the hand rests, beside it, with the length and the angle of the line it is laying."""
    words = bubble_text(sight)
    if not words:
        return
    x, y = lens.px(sight.at)
    w, h = ui.pen.text_w(words, "small") + 2 * theme.GAP, theme.SIZES["small"] * theme.LEADING + 8
    left = pane.x + x + 18 if x + 18 + w <= pane.w else pane.x + x - 18 - w
    top = pane.y + y + 18 if y + 18 + h <= pane.h else pane.y + y - 18 - h
    left, top = max(left, pane.x + 2), max(top, pane.y + 2)
    card = Pane(left, top, w, h)
    ui.pen.plate(card, theme.INK)
    ui.pen.text(words, card.inset(theme.GAP, 0), "small", colour=theme.PAPER)


def bubble_text(sight: Preview) -> str:
    """What the bubble says."""
    parts = [sight.word]
    if sight.length_mm is not None:
        parts.append(f"{sight.length_mm:.1f} mm")
    if sight.angle_rad is not None and "°" not in sight.word:
        parts.append(f"{math.degrees(sight.angle_rad):.1f}°")
    return "   ".join(part for part in parts if part)


def _zoom_buttons(ui: Ui, pane: Pane, desk: Editor) -> None:
    """Nearer, further off, fit: one below the other at the upper right of the sheet's pane."""
    for k, (name, icon, tip) in enumerate((
        ("zoom/in", "zoom_in", "Closer (+)"), ("zoom/out", "zoom_out", "Further away (-)"), ("zoom/fit", "fit", "The whole sheet (0)"),
    )):  # fmt: skip
        if button(ui, name, Pane(pane.right - ZOOM_PX + 4, pane.y + 4 + 38 * k, 34, 34), icon=icon, tip=tip):
            if name == "zoom/fit":
                desk.lens = None
            else:
                zoom(desk, pane, 1.25 if name == "zoom/in" else 0.8)


