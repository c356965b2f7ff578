"""The real pages as a wall of thumbnails, and one of them large."""

from __future__ import annotations

import math
from collections.abc import Iterator

import pygame
from msgspec.structs import replace

from folder.window import theme
from folder.window.background.identity import IdentityKey
from folder.window.editor import Editor
from folder.window.paint.layer import PaintLayer
from folder.window.paint.surface import painted_in_parts
from folder.window.print.commands import set_printing
from folder.window.print.printing import ShownPage, ShownPages
from folder.window.viewport import Viewport
from folder.window.widgets import DisplayList, Pane, Tile, Ui, button, button_w, tiles

TILE_WIDTHS = (340.0, 300.0, 260.0, 225.0, 190.0)
"""The largest at which all pages are seen at once, else the least."""
TILE_SHARE = 1.5
"""Height of a thumbnail with its words over its width."""
READABLE_PX_PER_MM = 3.6
"""A smaller page is painted this large and shrunk: type has no smaller sizes that keep their width."""
AT_ONCE = 1
"""So many thumbnails are painted in one frame; the others follow, so that nothing makes the hand wait."""


def page_wall(ui: Ui, pane: Pane, editor: Editor, found: ShownPages | None, wrong: str) -> None:
    """The pages as they will come out; the one that is pressed fills the room."""
    pages = found.pages if found is not None else ()
    large = editor.state.printing.large
    text = wrong or ("" if found is not None else "Making the pages …")
    shown_page = pages[large if large is not None and large < len(pages) else 0] if pages else None
    ui.place("paper/preview", pane, "picture", text=text, value=shown_page, stops=False, pointed=False)
    if text or not pages:
        ui.display_list.text(text, pane.cut_top(40)[0], "small", align="middle")
        return
    if large is not None and large < len(pages):
        _one(ui, pane, editor, pages, large)
        return
    budget = [AT_ONCE]
    wide = _tile_w(pane, len(pages))
    painted: set[object] = ui.memory("paper/painted", set[object])

    # A page keeps what was painted of it as long as it is shown, wherever it moves.
    kept: dict[IdentityKey, PaintLayer] = ui.memory("paper/layers", dict)
    layers = {IdentityKey(page.picture): kept.get(IdentityKey(page.picture)) or PaintLayer() for page in pages}
    kept.clear()
    kept.update(layers)

    def tile(page: ShownPage) -> Tile:
        layer = layers[IdentityKey(page.picture)]
        return Tile(
            page.caption, lambda display_list, room: _draw(ui, display_list, room, page, layer, painted, budget), page.hull
        )

    picked = tiles(ui, "paper/wall", pane, [tile(page) for page in pages], None, w=wide, h=TILE_SHARE * wide)
    if picked.opened and picked.at is not None:
        set_printing(editor, replace(editor.state.printing, large=picked.at))
        ui.redraw()


def _tile_w(pane: Pane, count: int) -> float:
    """How wide a thumbnail is."""
    for wide in TILE_WIDTHS:
        across = max(int((pane.w - 3 * theme.GAP) / (wide + theme.GAP)), 1)
        if math.ceil(count / across) * (TILE_SHARE * wide + theme.GAP) <= pane.h - theme.GAP:
            return wide
    return TILE_WIDTHS[-1]


def _one(ui: Ui, pane: Pane, editor: Editor, pages: tuple[ShownPage, ...], at: int) -> None:
    """One page as large as there is room, and the way to the others."""
    row, room = pane.cut_top(theme.PRESS_H, 8)
    back, rest = row.cut_left(button_w(ui, "All pages", "grid") + 6, 10)
    before, rest = rest.cut_left(46, 6)
    after, words = rest.cut_left(46, 12)
    to: int | None = at
    if button(ui, "paper/all", back, "All pages", icon="grid") or ui.shortcut("escape"):
        to = None
    if button(ui, "paper/before", before, icon="left", tip="The page before", enabled=at > 0):
        to = at - 1
    if button(ui, "paper/after", after, icon="right", tip="The next page", enabled=at + 1 < len(pages)):
        to = at + 1
    set_printing(editor, replace(editor.state.printing, large=to))
    of = f"{pages[at].hull}: " if pages[at].hull else ""
    ui.display_list.text(f"{of}{pages[at].caption}", words, bold=True)
    _draw(ui, ui.display_list, room, pages[at], ui.memory("paper/large", PaintLayer), set(), [1])


def _draw(
    ui: Ui, display_list: DisplayList, room: Pane, page: ShownPage, cache: PaintLayer, painted: set[object], budget: list[int]
) -> None:
    """A page in the middle of a room, with an edge; blank paper until it is its turn to be painted."""
    box = page.picture.box
    zoom = min(room.w / box.width, room.h / box.height)
    place = room.centred(zoom * box.width, zoom * box.height)
    key = (IdentityKey(page.picture), place.w, place.h, ui.scale)
    if not ui.drawing:
        return
    if key not in painted and not budget[0]:
        display_list.fill(place, theme.PAPER)
        ui.redraw_in(0.0)
    else:
        budget[0] -= key not in painted
        painted.add(key)
        renderer = display_list.renderer

        def made(surface: pygame.Surface) -> Iterator[int]:
            times = math.ceil(READABLE_PX_PER_MM * box.width / surface.get_width()) if surface.get_width() else 1
            fine = surface if times <= 1 else pygame.Surface((times * surface.get_width(), times * surface.get_height()))
            fine.fill(theme.PAPER)
            viewport = Viewport.fit(box, 0, 0, *fine.get_size())
            yield from painted_in_parts(fine, page.picture, viewport, renderer.glyph_cache, viewport.px_per_mm)
            if fine is not surface:
                pygame.transform.smoothscale(fine, surface.get_size(), surface)

        display_list.custom(place, (key, place), lambda surface, rect: cache.show(surface, rect, key, made, renderer))
    for start, end in (((place.x, place.y), (place.right, place.y)), ((place.x, place.bottom), (place.right, place.bottom)),
                       ((place.x, place.y), (place.x, place.bottom)), ((place.right, place.y), (place.right, place.bottom))):  # fmt: skip
        display_list.line(start, end, theme.EDGE)
