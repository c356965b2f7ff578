"""The start page: the last work, an empty sheet, the ready patterns as pictures, and the safety line."""

from __future__ import annotations

from concurrent.futures import Future
from functools import partial
from pathlib import Path

import pygame
from msgspec import Struct
from msgspec.structs import replace

from folder.draw.sheet.flat import crease_sheet
from folder.errors import FolderError
from folder.pattern.file import read_pattern, ready_patterns
from folder.window import theme
from folder.window.autosave import drop_copy
from folder.window.background.identity import IdentityKey
from folder.window.background.result import Progress, studied
from folder.window.commands.files import new_sheet, open_dialog, open_file, set_scale
from folder.window.commands.table import COMMANDS, SCALES
from folder.window.editor import Editor
from folder.window.fold.hull_view import paint_snapshot
from folder.window.opening import RULES, SAFETY, TITLE, safety_h
from folder.window.paint.surface import PEN_PX, PaintLayer, paint
from folder.window.tools.tool import sentence
from folder.window.viewport import Viewport
from folder.window.widgets import DisplayList, Pane, Tile, Ui, button, button_w, drop_down, notice, tiles

SIZES = {f"{scale:g}": f"{scale * 100:.0f} %" for scale in SCALES}
TILE_W, TILE_H = 226, 240
FIRST = "plain-tray"
"""The pattern to begin with stands first."""


def start_page(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The page a new user sees first."""
    head, pane = pane.cut_top(50, 4)
    ui.display_list.text(TITLE, head.cut_left(head.w - 260)[0], "title", bold=True)
    _corner(ui, head.cut_right(250)[0], editor)
    foot, pane = pane.cut_bottom(safety_h(ui, pane.w), 8)
    _safety(ui, foot)
    pane = _left_behind(ui, pane, editor)
    row, pane = pane.cut_top(theme.PRESS_H + 6, 10)
    _doors(ui, row, editor)
    head, pane = pane.cut_top(30, 2)
    ui.display_list.text("Or begin with a ready pattern:", head)
    kept = ui.memory("welcome/ready", _ready)
    items = [Tile(one.name, partial(_draw, ui, editor, one)) for one in kept]
    picked: list[int | None] = ui.memory("welcome/picked", lambda: [None])
    pick = tiles(ui, "ready", pane, items, picked[0], w=TILE_W, h=TILE_H)
    picked[0] = pick.at
    if pick.opened and pick.at is not None:
        problem = open_file(editor, kept[pick.at].path, ready=True)
        if problem:
            editor.say(problem, "stop")


def _corner(ui: Ui, pane: Pane, editor: Editor) -> None:
    keys, rest = pane.cut_right(46, 6)
    size = rest.cut_right(106)[0]
    if button(ui, "keys", keys, icon="help", tip="Every key (F1)"):
        COMMANDS["keys"].do(editor)
    set_scale(editor, float(drop_down(ui, "size", size, SIZES, f"{editor.memory.scale:g}", tip="Size of letters and buttons")))


def _doors(ui: Ui, row: Pane, editor: Editor) -> None:
    """Empty sheet, open, go on."""
    x = row.x
    last = ui.memory("welcome/last", lambda: [editor.memory.last])[0]
    doors = [("new", "Empty sheet", "new"), ("open", "Open a file", "open")]
    if last is not None:
        doors.insert(0, ("last", f"Go on with {last.stem}", "play"))
    for k, (name, text, icon) in enumerate(doors):
        w = min(button_w(ui, text, icon, bold=k == 0) + 10, row.right - x)
        if button(ui, name, Pane(x, row.y, w, row.h), text, icon=icon, rank="main" if k == 0 else "plain"):
            if name == "last" and last is not None:
                problem = open_file(editor, last)
                if problem:
                    editor.say(problem, "stop")
            elif name == "new":
                new_sheet(editor)
            else:
                open_dialog(editor, "open")
        x += w + 10


def _left_behind(ui: Ui, pane: Pane, editor: Editor) -> Pane:
    """Work that a crash left behind is offered first."""
    kept = ui.memory("welcome/kept", lambda: editor.autosave.left_behind())
    if not kept:
        return pane
    copy: Path = kept[0]
    used = notice(ui, pane, "The window closed unexpectedly last time. Your work was kept.", "warn")
    pane = pane.cut_top(used, 6)[1]
    row, pane = pane.cut_top(theme.PRESS_H, 12)
    back_w = button_w(ui, "Take my work back", "play", bold=True)
    back, rest = row.cut_left(back_w, 10)
    if button(ui, "kept/back", back, "Take my work back", icon="play", rank="main"):
        kept.clear()
        _take_back(editor, copy)
    elif button(ui, "kept/drop", rest.cut_left(button_w(ui, "I do not need it"))[0], "I do not need it"):
        kept.clear()
        drop_copy(copy)
    return pane


def _take_back(editor: Editor, copy: Path) -> None:
    """Put back on the table what a crash left behind."""
    try:
        editor.begin(read_pattern(copy), unsaved=True)
        editor.autosave.keep(editor.document)
    except FolderError as error:
        editor.say(sentence(error), "warn")
    drop_copy(copy)


def _safety(ui: Ui, pane: Pane) -> None:
    ui.place("safety", pane, "text", text=f"{RULES} {SAFETY}", stops=False, pointed=False)
    notice(ui, pane, RULES, "note", SAFETY)


class _Ready(Struct):
    """A ready pattern, with its pictures as soon as they are made: its lines, and its hull."""

    path: Path
    layer: PaintLayer
    making: Future[Progress] | None = None

    @property
    def name(self) -> str:
        """Its name, from its file's."""
        return self.path.stem.replace("-", " ").capitalize()


def _ready() -> list[_Ready]:
    """The ready patterns, the one to begin with first."""
    found = [_Ready(path, PaintLayer()) for path in ready_patterns().values()]
    return sorted(found, key=lambda one: one.path.stem != FIRST)


def _made(path: Path) -> Progress:
    return studied(read_pattern(path))


def _draw(ui: Ui, editor: Editor, ready: _Ready, display_list: DisplayList, pane: Pane) -> None:
    # Nothing is made before the first frame is on the screen.
    if ready.making is None and ui.now_s > 0.0:
        ready.making = editor.worker.errand(partial(_made, ready.path))
    done = ready.making is not None and ready.making.done() and ready.making.exception() is None
    result = ready.making.result() if done and ready.making is not None else None
    if result is None:
        return
    key = (IdentityKey(result), pane.w, pane.h, ui.scale)

    def draw(surface: pygame.Surface, rect: pygame.Rect) -> None:
        ready.layer.show(surface, rect, key, lambda s: _pictures(s, result, ui))

    display_list.custom(pane, key, draw)


def _pictures(surface: pygame.Surface, result: Progress, ui: Ui) -> None:
    """The hull, large, and the lines it is folded from, small in a corner."""
    surface.fill(theme.PAPER)
    width, height = surface.get_size()
    side = round(height * 0.42)
    glyph_cache = ui.display_list.renderer.glyph_cache
    if result.snapshot is not None:
        paint_snapshot(surface.subsurface((0, 0, width, round(height * 0.72))), result.snapshot, glyph_cache, ui.scale)
    sheet = surface.subsurface((width - side, height - side, side, side))
    sheet.fill(theme.PAPER)
    picture = crease_sheet(replace(result.pattern, crimps=()), steps=False)
    paint(sheet, picture, Viewport.fit(picture.box, 0, 0, side, side, margin_px=4), glyph_cache, 0.4 * PEN_PX * ui.scale)
