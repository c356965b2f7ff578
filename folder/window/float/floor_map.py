"""The map of the loading plan: small beside the boat, with one layer; or as large as the boat, with all of them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

import numpy as np
import pygame

from folder.cargo.spot import Spot
from folder.draw.picture import Area, Box, Label, Line, Picture
from folder.draw.plan_map import around_all, plan_map
from folder.draw.style import INK
from folder.draw.tub.moment import Facet, InkLine
from folder.window import theme
from folder.window.background.identity import IdentityKey
from folder.window.editor import Editor
from folder.window.float.actions import add_at, print_plan, show_layer
from folder.window.float.knowledge import KnownHull, mapped, next_spot
from folder.window.paint.facets import paint_facets
from folder.window.paint.layer import PaintLayer
from folder.window.paint.surface import PEN_PX, paint
from folder.window.viewport import Viewport
from folder.window.widgets import Pane, Ui, button, button_w, touch_area

PX_PER_MM = theme.SIZES["small"] / 4.2333
"""Logical px to a mm of the picture: its text of 12 pt is then as high as small text."""
HEAD_H = 24.0
MARGIN_MM = 0.8
"""Round the floor, so that its outline is whole at the edge of the map."""


def small_map(ui: Ui, pane: Pane, editor: Editor, known: KnownHull) -> None:
    """One layer: that of the next object, or another that is leafed to."""
    state = editor.state.floating
    layers = _layers(known, editor)
    follow = next_spot(known.plan, state.loading.spots, known.item) if known.item is not None else None
    current = state.layer if state.layer is not None else follow.layer if follow is not None else layers - 1
    current = min(max(current, 0), layers - 1)
    head, rest = pane.cut_top(HEAD_H, 4)
    text = f"layer {current + 1} of {layers}"
    if layers > 1:
        up, left = head.cut_right(30, 2)
        down, head = left.cut_right(30, 4)
        if button(ui, "float/lower", down, icon="left", rank="quiet", enabled=current > 0, tip="The layer below"):
            show_layer(editor, current - 1)
        if button(ui, "float/upper", up, icon="right", rank="quiet", enabled=current + 1 < layers, tip="The layer above"):
            show_layer(editor, current + 1)
    side, title = head.cut_right(ui.display_list.text_w(text, "small") + 4, 6)
    words = next(
        (w for w in ("where the next one goes", "the next one", "next") if ui.display_list.text_w(w, "small") <= title.w), ""
    )
    ui.display_list.text(words, title, "small", colour=theme.SOFT_INK)
    ui.display_list.text(text, side, "small", colour=theme.SOFT_INK, align="right")
    _layer(ui, "float/plan", rest, editor, known, current)


def large_map(ui: Ui, pane: Pane, editor: Editor, known: KnownHull) -> None:
    """Every layer, side by side, each as large as it can be."""
    row, pane = pane.cut_top(theme.PRESS_H, 8)
    press, words = row.cut_right(button_w(ui, "Print the plan", "print"), 10)
    text = "Load by number, from 1 on; a press puts one there."
    fits = ui.display_list.text_w(text) <= words.w
    ui.display_list.text(text, words, "body" if fits else "small", wrap=True)
    if button(ui, "float/print", press, "Print the plan", icon="print", tip="With the card of this hull, on the page Print"):
        print_plan(editor)
    layers = _layers(known, editor)
    across = min(range(1, layers + 1), key=lambda n: (-_cell(pane, n, layers), n))
    rows = pane.rows(math.ceil(layers / across), 10)
    cells = [cell for row in rows for cell in row.columns(across, 10)]
    for layer, cell in zip(range(layers), cells, strict=False):
        head, rest = cell.cut_top(HEAD_H, 2)
        ui.display_list.text("on the floor" if layer == 0 else f"layer {layer + 1}", head, "small", align="middle")
        _layer(ui, f"float/layer/{layer}", rest, editor, known, layer)


def _cell(pane: Pane, across: int, layers: int) -> float:
    """How large the maps are with so many side by side."""
    return min(pane.w / across, pane.h / math.ceil(layers / across) - HEAD_H)


def _layers(known: KnownHull, editor: Editor) -> int:
    if known.item is None:
        return 1
    spots = mapped(known.plan, editor.state.floating.loading.spots, known.item)
    return 1 + max((spot.layer for spot in spots), default=0)


def _layer(ui: Ui, name: str, pane: Pane, editor: Editor, known: KnownHull, layer: int) -> None:
    """A layer of the map. A press lets an object go there."""
    state, item = editor.state.floating, known.item
    spots = mapped(known.plan, state.loading.spots, item) if item is not None else ()
    done = len(state.loading.spots)
    lit = done + 1 if len(spots) > done and not state.loading.ending else 0
    touch = touch_area(ui, name, pane, text=f"Layer {layer + 1} of the map", tip="Press to put one there", stops=False)
    floor = known.hull.cover.outline
    if item is None:
        return
    around = _around(ui, known, spots)
    inner = pane.inset(6)
    viewport = Viewport.fit(around, 0, 0, inner.w, inner.h)
    if touch.up == 1 and touch.over:
        add_at(editor, viewport.mm((touch.at[0] - inner.x, touch.at[1] - inner.y)))
    if not ui.drawing:
        return
    key = (IdentityKey(known.hull), IdentityKey(spots), item, layer, done, lit, inner.w, inner.h, ui.scale)
    cache: PaintLayer = ui.memory(f"{name}/layer", PaintLayer)

    def draw(surface: pygame.Surface, rect: pygame.Rect) -> None:
        cache.show(surface, rect, key, made)

    def made(surface: pygame.Surface) -> None:
        surface.fill(theme.PAPER)
        into = Box(0.0, 0.0, inner.w / PX_PER_MM, inner.h / PX_PER_MM)
        picture = plan_map(floor, item, spots, layer, into, done=done, lit=lit, around=around)
        zoom, foot = PX_PER_MM * ui.scale, (0.0, float(surface.get_height()))
        # Hundreds of outlines at every object: as facets they take a tenth of the time.
        paint_facets(surface, _facets(picture), zoom, foot, PEN_PX * ui.scale)
        numbers = Picture(tuple(mark for mark in picture.marks if isinstance(mark, Label)), picture.box)
        paint(surface, numbers, Viewport(zoom, foot), ui.display_list.renderer.glyph_cache, zoom)

    ui.display_list.custom(inner, key, draw)


def _facets(picture: Picture) -> Iterator[Facet | InkLine]:
    """The areas and lines of a map."""
    for mark in picture.marks:
        if isinstance(mark, Area) and mark.fill is not None:
            yield Facet(np.array(mark.rings[0]), mark.fill, INK if mark.edge else None)
        elif isinstance(mark, Line):
            yield from (InkLine(np.array(pair), INK, mark.look.width_mm) for pair in pairwise(mark.path))


def _around(ui: Ui, known: KnownHull, spots: tuple[Spot, ...]) -> Box:
    """What the map shows, worked out once for what lies on it."""
    held: dict[str, tuple[object, Box]] = ui.memory("float/around", dict)
    key = (IdentityKey(known.hull), IdentityKey(spots), known.item)
    if held.get("box", (None,))[0] != key:
        assert known.item is not None
        box, m = around_all(known.hull.cover.outline, known.item, spots), MARGIN_MM
        held["box"] = (key, Box(box.left - m, box.bottom - m, box.right + m, box.top + m))
    return held["box"][1]
