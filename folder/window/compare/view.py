"""The compare page: the hull on the table, first, and up to seven others below it, on one axis."""

from __future__ import annotations

import pygame

from folder.draw.chart import AXIS_MM, KEY_MM, Spread, bars, chart_key, key_rows
from folder.draw.picture import Box, Picture
from folder.errors import FolderError
from folder.paper.sheets.compare import MOST
from folder.pattern.file import read_pattern, ready_patterns
from folder.pattern.pattern import Pattern
from folder.units import rounded_down
from folder.window import theme
from folder.window.background.identity import IdentityKey
from folder.window.compare.compared import (
    WORKING,
    Measured,
    now,
    of_other,
    put_beside,
    shortened_spread,
    take_away,
    take_up,
)
from folder.window.editor import Editor
from folder.window.float.floor_map import PX_PER_MM
from folder.window.paint.surface import PaintLayer, paint
from folder.window.viewport import Viewport
from folder.window.widgets import Pane, Ui, button, button_w, drop_down, label, scroll

ROW_H = 96.0
BUTTON = 38.0
KEEP = "Keep this one"
HOW = "Add hulls to see them side by side. The first one is the one on the sheet: drag a wall and watch it."
Row = tuple[Measured | None, Spread]


def compare_page(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The page."""
    row, pane = pane.cut_top(theme.PRESS_H, 6)
    _adding(ui, row, editor)
    present = now(editor)
    name = editor.pattern.name
    rows: list[Row] = [(present, present.spread if present is not None else Spread(name, None, text=WORKING))]
    rows += [of_other(other.future, other.pattern.name) for other in editor.state.comparing.others]
    with scroll(ui, "compare/roll", pane) as inside:
        cells = [Pane(inside.x, inside.y + k * (ROW_H + 6), inside.w, ROW_H) for k in range(len(rows))]
        hull_w, words_w = (116.0, 178.0) if inside.w > 520 else (62.0, 108.0)
        left = inside.x + hull_w + words_w + 12
        chart = Pane(left, inside.y, inside.right - BUTTON - 8 - left, len(rows) * (ROW_H + 6) + AXIS_MM * PX_PER_MM)
        sheet = Pane(inside.x, inside.y - 3, inside.w, chart.h + 6)
        ui.spread(sheet)
        ui.display_list.plate(sheet, theme.PAPER, theme.HAIR)
        for k, (cell, one) in enumerate(zip(cells, rows, strict=True)):
            picture, rest = cell.inset(6, 4).cut_left(hull_w - 6, 6)
            _row(ui, cell, k, one)
            _hull(ui, picture, k, one[0])
            _numbers(ui, rest.cut_left(words_w)[0], k, one[0])
        _bars(ui, chart, [shortened_spread(spread) for _, spread in rows] if inside.w <= 520 else [s for _, s in rows])
        for k, (cell, one) in enumerate(zip(cells, rows, strict=True)):
            room = Pane(inside.x + hull_w + 6, cell.y + 4, chart.right - inside.x - hull_w - 8, 24)
            _name(ui, room, f"Now: {name}" if k == 0 else one[1].name)
        for k, cell in enumerate(cells[1:]):
            if _buttons(ui, cell.cut_right(BUTTON + 4)[0], editor, k):
                break  # the list is another one now
        y = _key(ui, Pane(inside.x, chart.bottom + 4, inside.w, 1e6))
        if len(rows) == 1:
            label(ui, Pane(inside.x, y + 8, inside.w, 1e6), HOW)


def _adding(ui: Ui, row: Pane, editor: Editor) -> None:
    """What puts another hull beside: a ready pattern, or this one as it is now."""
    ready = ui.memory("compare/ready", _ready)
    full = 1 + len(editor.state.comparing.others) >= MOST
    keep_w = button_w(ui, KEEP, "copy")
    keep, add = row.cut_right(keep_w, 8)
    names = {name: pattern.name for name, pattern in ready.items()}
    hint = "No more room" if full else "Add a ready pattern"
    picked = drop_down(ui, "compare/add", add, names, "", hint=hint, enabled=not full, tip="Put a ready pattern beside this hull")
    if picked in ready:
        put_beside(editor, ready[picked], ready=True)
    tip = "Put this hull on the list as it is now, so that you can change it and compare"
    lines = bool(editor.document.pattern.creases) and editor.state.drag_pattern is None
    if button(ui, "compare/keep", keep, KEEP, icon="copy", enabled=not full and lines, tip=tip):
        put_beside(editor, editor.document.pattern, ready=False)


def _ready() -> dict[str, Pattern]:
    found = {}
    for name, path in ready_patterns().items():
        try:
            found[name] = read_pattern(path)
        except FolderError:
            continue
    return found


def _row(ui: Ui, pane: Pane, index: int, one: Row) -> None:
    """The row itself: the first one, which is on the table, has a bar beside it."""
    spread = one[1]
    ui.place(f"compare/{index}", pane, "hull", text=spread.name, value=spread, stops=False, pointed=False)
    if index == 0:
        ui.display_list.plate(Pane(pane.x + 1, pane.y + 4, 5, pane.h - 8), theme.INK, radius=2)
    else:
        ui.display_list.line((pane.x + 8, pane.y - 3), (pane.right - 8, pane.y - 3), theme.HAIR)


def _hull(ui: Ui, pane: Pane, index: int, known: Measured | None) -> None:
    cache: PaintLayer = ui.memory(f"compare/hull/{index}", PaintLayer)
    if known is None:
        return
    picture = known.drawn
    key = (IdentityKey(picture), pane.w, pane.h, ui.scale)
    ui.display_list.custom(pane, key, lambda surface, rect: cache.show(surface, rect, key, lambda s: _painted(ui, s, picture)))


def _painted(ui: Ui, surface: pygame.Surface, picture: Picture, px_per_mm: float = 0.6 * PX_PER_MM) -> None:
    surface.fill(theme.PAPER)
    width, height = surface.get_size()
    viewport = Viewport.fit(picture.box, 0, 0, width, height, margin_px=3 * ui.scale)
    paint(surface, picture, viewport, ui.display_list.renderer.glyph_cache, px_per_mm * ui.scale)


def _name(ui: Ui, pane: Pane, name: str) -> None:
    """A name, on paper of its own, so that the lines of the axis do not run through it."""
    glyph_cache, px = ui.display_list.renderer.glyph_cache, ui.display_list.text_px("body")
    short = glyph_cache.shorten(name, px, True, int(pane.w * ui.scale) - 2)
    ui.display_list.fill(pane.cut_left(ui.display_list.text_w(short, "body", True))[0], theme.PAPER)
    ui.display_list.text(short, pane, bold=True)


def _numbers(ui: Ui, pane: Pane, index: int, known: Measured | None) -> None:
    """Floor, wall and brim load of a hull."""
    lines = ["…"]
    if known is not None:
        measures, most = known.measures, known.spread.most
        folds = known.verdict.level != "stop" or most is not None
        wall = f"{measures.wall_height_mm:.1f} mm" if folds else "–"
        lines = [f"floor {measures.floor_area_mm2 / 100:.0f} cm²", f"wall {wall}"]
        load = "load –" if most is None else f"brim {rounded_down(most)} g"
        lines.append(load if known.verdict.level == "good" else known.verdict.short)
    ui.place(f"compare/{index}/numbers", pane, "text", text=", ".join(lines), stops=False, pointed=False)
    for k, line in enumerate(lines):
        wrong = known is not None and known.verdict.level == "stop" and line == known.verdict.short
        row = Pane(pane.x, pane.y + 24 + 20 * k, pane.w, 20)
        ui.display_list.text(line, row, "small", colour=theme.STOP if wrong else theme.INK, bold=wrong)


def _bars(ui: Ui, pane: Pane, spreads: list[Spread]) -> None:
    """All rows on one axis, which stands under the last."""
    cache: PaintLayer = ui.memory("compare/bars", PaintLayer)
    key = (tuple(spreads), pane.w, pane.h, ui.scale)

    def made(surface: pygame.Surface) -> None:
        # Letters on the screen run a little wider than on paper.
        picture = bars(spreads, Box(0.0, 0.0, pane.w / PX_PER_MM - 2.0, pane.h / PX_PER_MM))
        zoom = PX_PER_MM * ui.scale
        surface.fill(theme.PAPER)
        paint(surface, picture, Viewport(zoom, (0.0, surface.get_height())), ui.display_list.renderer.glyph_cache, zoom)

    ui.display_list.custom(pane, key, lambda surface, rect: cache.show(surface, rect, key, made))


def _buttons(ui: Ui, pane: Pane, editor: Editor, index: int) -> bool:
    """Open one of the others, or take it away; whether one of them is pressed."""
    upper, lower = Pane(pane.x, pane.y + 6, BUTTON, pane.h - 12).rows(2, 6)
    name = editor.state.comparing.others[index].pattern.name
    if button(ui, f"compare/open/{index}", upper, icon="open", tip=f"Put “{name}” on the table"):
        take_up(editor, index)
        return True
    if button(ui, f"compare/drop/{index}", lower, icon="cross", tip=f"Take “{name}” off the list"):
        take_away(editor, index)
        return True
    return False


def _key(ui: Ui, pane: Pane) -> float:
    """What the marks mean; where it ends."""
    wide = pane.w / PX_PER_MM
    high = key_rows(wide) * KEY_MM
    place = Pane(pane.x, pane.y, pane.w, high * PX_PER_MM)
    cache: PaintLayer = ui.memory("compare/key", PaintLayer)
    ui.spread(place)
    key = ("key", place.w, ui.scale)

    def made(surface: pygame.Surface) -> None:
        zoom = PX_PER_MM * ui.scale
        surface.fill(theme.TABLE)
        paint(surface, chart_key(wide), Viewport(zoom, (0.0, 0.0)), ui.display_list.renderer.glyph_cache, zoom)

    ui.display_list.custom(place, key, lambda surface, rect: cache.show(surface, rect, key, made))
    return place.bottom
