"""The floor seen from above, with the load on it: where each object goes, or the pile, pushed about by hand or keys."""

from __future__ import annotations

import math

import pygame

from folder.draw.afloat import DrawnCargo, loading_map
from folder.draw.picture import Box, box_round
from folder.findings import Point
from folder.hull.hull import Hull
from folder.window import theme
from folder.window.background.identity import IdentityKey
from folder.window.paint.surface import PaintLayer, paint
from folder.window.viewport import Viewport
from folder.window.widgets import Pane, Ui, touch_area

PX_PER_MM = theme.SIZES["small"] / 4.2333
"""Logical px to a mm of the picture: its text of 12 pt is then as high as small text."""
ROOM = 13
"""Round the floor, for the drop."""
KEY_MM = 1.0
"""How far an arrow key pushes the load."""


def floor_map(
    ui: Ui, pane: Pane, hull: Hull, objects: tuple[DrawnCargo, ...], layer: int, at: Point, wet: Point | None, *, key: object
) -> Point:
    """Where the load's centre is wanted now, mm in the hull's frame.

    objects  what is drawn on the floor: none for a pile, which is drawn at `at`
    wet      where water comes in first
    key      names hull and objects
    """
    touch = touch_area(ui, "load/floor", pane, text="The floor", tip="Press or drag: put the load off the middle, in one pile")
    inner = pane.inset(ROOM)
    viewport = _lens(hull, objects, inner)
    wanted = at
    if touch.held == 1 or touch.up == 1:
        wanted = viewport.mm((touch.at[0] - inner.x, touch.at[1] - inner.y))
    right, down = ui.arrow(touch.record)
    if right or down:
        wanted = (at[0] + right * KEY_MM, at[1] - down * KEY_MM)
    if ui.drawing:
        _draw(ui, pane, inner, hull, objects, layer, at, wet, viewport, key)
        if ui.shows_focus(touch.record):
            ui.display_list.ring(pane.inset(4, 4))
    return wanted


def _lens(hull: Hull, objects: tuple[DrawnCargo, ...], inner: Pane) -> Viewport:
    """As `loading_map` fits its picture; in logical px from the corner of the pane."""
    around = box_round([*hull.cover.outline, *(p for thing in objects for p in thing.ring)])
    return Viewport.fit(around, 0, 0, inner.w, inner.h)


def _draw(
    ui: Ui, pane: Pane, inner: Pane, hull: Hull, objects: tuple[DrawnCargo, ...], layer: int, at: Point, wet: Point | None,
    viewport: Viewport, key: object,
) -> None:  # fmt: skip
    ui.display_list.plate(pane, theme.PAPER, theme.HAIR)
    cache: PaintLayer = ui.memory("load/floor/layer", PaintLayer)
    whole = (key, layer, inner.w, inner.h, ui.scale)

    def draw(surface: pygame.Surface, rect: pygame.Rect) -> None:
        cache.show(surface, rect, whole, made)

    def made(surface: pygame.Surface) -> None:
        surface.fill(theme.PAPER)
        into = Box(0.0, 0.0, inner.w / PX_PER_MM, inner.h / PX_PER_MM)
        picture = loading_map(hull.cover.outline, objects, layer, into)
        zoom = PX_PER_MM * ui.scale
        paint(surface, picture, Viewport(zoom, (0.0, surface.get_height())), ui.display_list.renderer.glyph_cache, zoom)

    ui.display_list.custom(inner, whole, draw)
    if not objects:
        x, y = viewport.px(at)
        place = (inner.x + x, inner.y + y)
        ui.display_list.dot(place, 11, theme.INK)
        ui.display_list.dot(place, 8, theme.PAPER)
        ui.display_list.dot(place, 3, theme.INK)
    if wet is not None:
        x, y = viewport.px(wet)
        far = math.hypot(x - inner.w / 2, y - inner.h / 2) or 1.0
        # Beyond the rim, so that it hides no object.
        x, y = inner.x + x + 9 * (x - inner.w / 2) / far, inner.y + y + 9 * (y - inner.h / 2) / far
        ui.display_list.icon(
            "drop", (min(max(x, pane.x + 9), pane.right - 9), min(max(y, pane.y + 9), pane.bottom - 9)), theme.STOP, 18
        )


def map_key(hull: Hull, thing: object) -> object:
    """Names a hull and what lies in it."""
    return IdentityKey(hull), IdentityKey(thing)
