"""The paper page: which pages, on what paper, into which directory; the first of them as a picture; write them."""

from __future__ import annotations

from collections.abc import Mapping
from concurrent.futures import Future
from pathlib import Path

import pygame
from msgspec.structs import replace

from folder.paper.kinds import KINDS
from folder.studies import Study
from folder.window import theme
from folder.window.background.identity import IdentityKey
from folder.window.commands.files import open_dialog
from folder.window.editor import Editor
from folder.window.paint.surface import PaintLayer, paint
from folder.window.print.commands import set_printing
from folder.window.print.printing import PAPER_WORDS, PagePreview, directory_of, outcome, preview, write
from folder.window.print.state import PrintState
from folder.window.theme import MessageLevel
from folder.window.verdict import verdict
from folder.window.viewport import Viewport
from folder.window.widgets import Pane, Ui, button, button_w, check, choice, label, notice, scroll

CHECK_H = 36.0
WRITE = "Write the pages"
MEASURE = "Print at 100 % and measure the bar: it must be 100 mm."
ANYWAY = "Print it anyway"


def print_page(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The page."""
    study = editor.fresh.study if editor.fresh is not None else None
    foot, pane = pane.cut_bottom(2 * theme.PRESS_H + 6, 6)
    into, go = foot.rows(2, 6)
    stops = study is not None and bool(study.report.stops)
    if study is not None and not stops:
        _set(editor, replace(editor.state.printing, anyway=False))
    with scroll(ui, "paper/roll", pane) as inside:
        y = inside.y
        if stops and study is not None:
            y += _stopped(ui, Pane(inside.x, y, inside.w, 1e6), editor, study) + 8
        if editor.state.printing.written is not None and editor.state.printing.written[0] is study:
            y += _outcome(ui, Pane(inside.x, y, inside.w, 1e6), editor.state.printing.written[1])
        left, right = Pane(inside.x, y, inside.w, 1e6).columns([1, 1.15], 12)
        used = _what(ui, left, editor)
        high = max(pane.bottom - y - 14, used, 200.0)
        _preview(ui, Pane(right.x, y, right.w, min(high, right.w * 1.5)), editor)
    _into(ui, into, editor)
    printing = editor.state.printing
    ready = study is not None and bool(printing.kinds) and editor.state.drag_pattern is None and (printing.anyway or not stops)
    running = editor.state.printing.written is not None and not editor.state.printing.written[1].done()
    if button(ui, "paper/write", go, WRITE, icon="print", rank="main", enabled=ready and not running) and study is not None:
        write(editor, study)
        ui.redraw()


def _stopped(ui: Ui, pane: Pane, editor: Editor, study: Study) -> float:
    """A pattern with a stop is printed only after that has been said."""
    first = study.report.stops[0].text
    known, level = verdict(editor.result)
    used = notice(ui, pane, f"{known} The pages will say so.", level, first)
    row = Pane(pane.x, pane.y + used + 4, pane.w, CHECK_H)
    ui.spread(row)
    anyway = check(ui, "paper/anyway", row, ANYWAY, editor.state.printing.anyway)
    _set(editor, replace(editor.state.printing, anyway=anyway))
    return used + 4 + CHECK_H


def _outcome(ui: Ui, pane: Pane, future: Future[list[Path]]) -> float:
    """What was written, and where, or why not; the height that takes."""
    files, wrong = outcome(future)
    level: MessageLevel = "stop" if wrong else "good" if files else "note"
    text = wrong or (_files_text(files) if files else "Making the pages …")
    detail = MEASURE if files else ""
    used = notice(ui, pane, text, level, detail)
    ui.place("paper/outcome", Pane(pane.x, pane.y, pane.w, used), "text", text=text, value=level, stops=False, pointed=False)
    return used + 8


def _files_text(files: list[Path]) -> str:
    names = ", ".join(path.name for path in files)
    return f"{len(files)} files written to {files[0].parent}: {names}"


def _what(ui: Ui, pane: Pane, editor: Editor) -> float:
    """The kinds to tick, and the paper; the height that takes."""
    printing, y = editor.state.printing, pane.y
    for kind, row_of in KINDS.items():
        row = Pane(pane.x, y, pane.w, CHECK_H)
        ticked = check(ui, f"paper/{kind}", row, row_of.words, kind in printing.kinds)
        if ticked != (kind in printing.kinds):
            kinds = (*printing.kinds, kind) if ticked else tuple(k for k in printing.kinds if k != kind)
            shown = kind if ticked else next(iter(kinds), kind)
            printing = replace(printing, kinds=kinds, shown=shown)
        y += CHECK_H
    papers: Mapping[str, str] = PAPER_WORDS
    row = Pane(pane.x, y + 6, pane.w, theme.PRESS_H)
    printing = replace(printing, paper=choice(ui, "paper/size", row, papers, printing.paper, tip="The paper in the printer"))
    _set(editor, printing)
    ui.spread(row)
    return row.bottom - pane.y


def _set(editor: Editor, printing: PrintState) -> None:
    if printing != editor.state.printing:
        set_printing(editor, printing)


def _preview(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The first page of the kind last ticked."""
    result = editor.result
    study = result.study if result is not None else None
    place = pane.cut_bottom(24)[1]
    ui.spread(pane)
    if study is None:
        return
    page_preview, wrong = preview(editor, study)
    text = wrong or ("Making the page …" if page_preview is None else _caption(page_preview))
    ui.place("paper/preview", place, "picture", text=text, value=page_preview, stops=False, pointed=False)
    if page_preview is None:
        ui.display_list.text(text, place.cut_top(20)[0], "small", align="middle")
        return
    cache: PaintLayer = ui.memory("paper/layer", PaintLayer)
    box = page_preview.picture.box
    zoom = min(place.w / box.width, place.h / box.height)
    page = place.cut_top(zoom * box.height)[0].centred(zoom * box.width, zoom * box.height)
    ui.display_list.text(text, Pane(pane.x, page.bottom + 4, pane.w, 20), "small", align="middle")
    key = (IdentityKey(page_preview), page, ui.scale)

    def made(surface: pygame.Surface) -> None:
        surface.fill(theme.PAPER)
        viewport = Viewport.fit(box, 0, 0, *surface.get_size())
        paint(surface, page_preview.picture, viewport, ui.display_list.renderer.glyph_cache, viewport.px_per_mm)

    ui.display_list.custom(page, key, lambda surface, rect: cache.show(surface, rect, key, made))
    ui.display_list.line((page.x, page.y), (page.right, page.y), theme.EDGE)
    ui.display_list.line((page.x, page.bottom), (page.right, page.bottom), theme.EDGE)
    ui.display_list.line((page.x, page.y), (page.x, page.bottom), theme.EDGE)
    ui.display_list.line((page.right, page.y), (page.right, page.bottom), theme.EDGE)


def _caption(page_preview: PagePreview) -> str:
    kind = KINDS[page_preview.kind]
    if kind.for_item:
        return f"{kind.words}, for {page_preview.item}"
    of = f", page 1 of {page_preview.count}" if page_preview.count > 1 else ""
    return f"{kind.words}{of}"


def _into(ui: Ui, row: Pane, editor: Editor) -> None:
    """Where the pages go."""
    press, room = row.cut_right(button_w(ui, "Where?", "open"), 8)
    text = f"Into {directory_of(editor)}"
    while ui.display_list.text_w(text, "small") > room.w and len(text) > 9:
        text = "Into …" + text[7:]
    label(ui, room.centred(room.w, 20), text, "small", wrap=False)
    if button(ui, "paper/where", press, "Where?", icon="open", tip="Choose the directory the pages go to"):
        open_dialog(editor, "where")
