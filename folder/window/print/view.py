"""The page Print: which hulls and pages, for whom; the real pages as a wall, one of them large when it is pressed."""

from __future__ import annotations

from collections.abc import Mapping

import pygame
from msgspec.structs import replace

from folder.paper.kinds import KINDS
from folder.studies import Study
from folder.window import theme
from folder.window.commands.files import open_dialog
from folder.window.editor import Editor
from folder.window.print.commands import add_hull, drop_hull, hulls_to_add, paste_names, set_printing
from folder.window.print.printing import (  # fmt: skip
    PAPER_WORDS,
    ShownPages,
    directory_of,
    open_with_system,
    outcome,
    page_shown,
    plan_words,
    write,
)
from folder.window.print.state import PrintState, WrittenPages
from folder.window.print.wall import page_wall
from folder.window.theme import MessageLevel
from folder.window.verdict import verdict
from folder.window.widgets import (
    Pane,
    Ui,
    button,
    button_w,
    check,
    choice,
    drop_down,
    label,
    notice,
    number_field,
    scroll,
)  # fmt: skip

CHECK_H = 36.0
SIDE_W = 330.0
WRITE = "Write the pages"
MEASURE = "Print at 100 % and measure the bar: it must be 100 mm."
ANYWAY = "Print it anyway"
FOR_WORDS = {"one": "One set", "class": "A class"}


def print_page(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The page."""
    study = editor.fresh.study if editor.fresh is not None else None
    found, wrong = page_shown(editor, study) if study is not None else (None, "")
    stops = (study is not None and bool(study.report.stops)) or (found is not None and bool(found.stopped))
    if study is not None and not stops and editor.state.printing.anyway:
        set_printing(editor, replace(editor.state.printing, anyway=False))
    side, wall = pane.cut_left(min(SIDE_W, pane.w * 0.4), 14)
    foot, side = side.cut_bottom(2 * theme.PRESS_H + 12, 8)
    with scroll(ui, "paper/roll", side) as inside:
        y = inside.y
        if stops and study is not None:
            y += _stopped(ui, Pane(inside.x, y, inside.w, 1e6), editor, study, found) + 8
        if editor.state.printing.written is not None and editor.state.printing.written.of is study:
            y += _outcome(ui, Pane(inside.x, y, inside.w, 1e6), editor.state.printing.written)
        _choices(ui, Pane(inside.x, y, inside.w, 1e6), editor)
    _go(ui, foot, editor, study, stops)
    line, wall = wall.cut_bottom(24, 6)
    if found is not None:
        text = plan_words(found, editor.state.printing) if found.pages else "No page is ticked."
        ui.place("paper/plan", line, "text", text=text, stops=False, pointed=False)
        ui.display_list.text(text, line, "small", colour=theme.SOFT_INK)
    page_wall(ui, wall, editor, found, wrong)


# what is wanted


def _stopped(ui: Ui, pane: Pane, editor: Editor, study: Study, found: ShownPages | None) -> float:
    """A pattern with a stop is printed only after that has been said."""
    if study.report.stops:
        known, level = verdict(editor.result)
        used = notice(ui, pane, f"{known} The pages will say so.", level, study.report.stops[0].text)
    else:
        used = notice(ui, pane, " ".join(found.stopped if found is not None else ()), "stop", "The pages will say so.")
    row = Pane(pane.x, pane.y + used + 4, pane.w, CHECK_H)
    ui.spread(row)
    anyway = check(ui, "paper/anyway", row, ANYWAY, editor.state.printing.anyway)
    set_printing(editor, replace(editor.state.printing, anyway=anyway))
    return used + 4 + CHECK_H


def _outcome(ui: Ui, pane: Pane, written: WrittenPages) -> float:
    """What was written, and where, or why not; the height that takes."""
    files, wrong = outcome(written.future)
    level: MessageLevel = "stop" if wrong else "good" if files else "note"
    if not wrong and not files:
        ui.redraw_in(0.2)
    share = f" {written.writing.done} of {written.writing.of}" if written.writing.of else ""
    text = wrong or (_files_text([path.name for path in files], str(files[0].parent)) if files else f"Making the pages …{share}")
    used = notice(ui, pane, text, level, MEASURE if files else "")
    ui.place("paper/outcome", Pane(pane.x, pane.y, pane.w, used), "text", text=text, value=level, stops=False, pointed=False)
    row = Pane(pane.x, pane.y + used + 6, pane.w, theme.PRESS_H)
    if files and button(ui, "paper/open", row, "Open the PDF", icon="open"):
        open_with_system(files[-1])
    elif not files and not wrong and button(ui, "paper/stop", row, "Stop", icon="cross"):
        written.writing.stop()
    return used + 8 + (theme.PRESS_H + 6 if not wrong else 0)


def _files_text(names: list[str], directory: str) -> str:
    return f"{len(names)} {'file' if len(names) == 1 else 'files'} written to {directory}: {', '.join(names)}"


def _choices(ui: Ui, pane: Pane, editor: Editor) -> None:
    """For whom, of which hulls, what kinds of pages, on what paper. For whom comes first: it is in sight at any scale."""
    y = _for_whom(ui, Pane(pane.x, pane.y, pane.w, 1e6), editor) + 10
    y = _hulls(ui, Pane(pane.x, y, pane.w, 1e6), editor)
    y += label(ui, Pane(pane.x, y + 6, pane.w, 40), "Pages", bold=True) + 8
    printing = editor.state.printing
    for kind, row_of in KINDS.items():
        ticked = check(ui, f"paper/{kind}", Pane(pane.x, y, pane.w, CHECK_H), row_of.words, kind in printing.kinds)
        if ticked != (kind in printing.kinds):
            chosen = {*printing.kinds, kind} if ticked else {k for k in printing.kinds if k != kind}
            printing = replace(printing, kinds=tuple(k for k in KINDS if k in chosen), large=None)
        y += CHECK_H
    set_printing(editor, printing)
    papers: Mapping[str, str] = PAPER_WORDS
    row = Pane(pane.x, y + 8, pane.w, theme.PRESS_H)
    paper = choice(ui, "paper/size", row, papers, editor.state.printing.paper, tip="The paper in the printer")
    set_printing(editor, replace(editor.state.printing, paper=paper))
    ui.spread(row)


def _hulls(ui: Ui, pane: Pane, editor: Editor) -> float:
    """The hull on the table and those printed with it; where the next thing goes."""
    y = pane.y + label(ui, Pane(pane.x, pane.y, pane.w, 40), "Hulls", bold=True) + 2
    line = Pane(pane.x, y, pane.w, 30)
    ui.display_list.text(editor.document.pattern.name, line)
    y += 32
    for k, other in enumerate(editor.state.printing.others):
        row = Pane(pane.x, y, pane.w, 36)
        press, words = row.cut_right(36, 6)
        ui.display_list.text(other.name, words)
        if button(ui, f"paper/drop/{k}", press, icon="cross", rank="quiet", tip=f"Do not print {other.name}"):
            drop_hull(editor, k)
        y += 38
    row = Pane(pane.x, y, pane.w, theme.PRESS_H)
    picked = drop_down(ui, "paper/add", row, hulls_to_add(editor), "", hint="Print another hull too")
    ui.spread(row)
    if picked:
        add_hull(editor, picked)
    return row.bottom


def _for_whom(ui: Ui, pane: Pane, editor: Editor) -> float:
    """One set, or one for each of a class, by name or by number; where the next thing goes."""
    printing = editor.state.printing
    row = Pane(pane.x, pane.y, pane.w, theme.PRESS_H)
    ui.spread(row)
    whom = choice(ui, "paper/for", row, FOR_WORDS, "class" if printing.for_class else "one")
    set_printing(
        editor,
        replace(printing, for_class=whom == "class", large=printing.large if printing.for_class == (whom == "class") else None),
    )
    printing = editor.state.printing
    if not printing.for_class:
        return row.bottom
    row = row.moved(0, theme.PRESS_H + 6)
    ui.spread(row)
    if printing.names:
        press, words = row.cut_right(button_w(ui, "Forget"), 8)
        ui.display_list.text(f"{len(printing.names)} names: {', '.join(printing.names)}", words, "small")
        if button(ui, "paper/forget", press, "Forget", tip="Take these names away again"):
            set_printing(editor, replace(printing, names=()))
        return row.bottom
    count, words = row.cut_left(120, 10)
    pupils = number_field(ui, "paper/pupils", count, printing.pupils, unit="sets", low=1, high=1000, digits=0)
    set_printing(editor, replace(printing, pupils=int(pupils or 1)))
    ui.display_list.text("or one for each name:", words, "small", colour=theme.SOFT_INK)
    row = row.moved(0, theme.PRESS_H + 6)
    ui.spread(row)
    paste, table = row.columns([1.2, 1], 6)
    if button(ui, "paper/paste", paste, "Paste names", tip="Names that were copied elsewhere, one a line"):
        paste_names(editor, ui.clipboard.get())
        ui.redraw()
    if button(ui, "paper/names", table, "Open a CSV", tip="Names from a table (CSV)"):
        open_dialog(editor, "names")
    return row.bottom


def _go(ui: Ui, foot: Pane, editor: Editor, study: Study | None, stops: bool) -> None:
    """Where the pages go, and the press that writes them."""
    into, go = foot.rows(2, 6)
    _into(ui, into, editor)
    printing = editor.state.printing
    ready = study is not None and bool(printing.kinds) and editor.state.drag_pattern is None and (printing.anyway or not stops)
    running = printing.written is not None and not printing.written.future.done()
    if button(ui, "paper/write", go, WRITE, icon="print", rank="main", enabled=ready and not running) and study is not None:
        write(editor, study)
        ui.redraw()
    _opened_once(ui, editor.state.printing)


def _opened_once(ui: Ui, printing: PrintState) -> None:
    """What was written is opened, once, where there is a screen to see it on."""
    opened: list[object] = ui.memory("paper/opened", lambda: [None])
    written = printing.written
    if written is None or opened[0] is written or not written.future.done():
        return
    opened[0] = written
    files, _ = outcome(written.future)
    if files and pygame.display.get_init() and pygame.display.get_driver() not in ("dummy", "offscreen"):
        open_with_system(files[-1])


def _into(ui: Ui, row: Pane, editor: Editor) -> None:
    """Where the pages go."""
    press, room = row.cut_right(button_w(ui, "Where?", "open"), 8)
    text = f"Into {directory_of(editor)}"
    while ui.display_list.text_w(text, "small") > room.w and len(text) > 9:
        text = "Into …" + text[7:]
    label(ui, room.centred(room.w, 20), text, "small", wrap=False)
    if button(ui, "paper/where", press, "Where?", icon="open", tip="Choose the directory the pages go to"):
        open_dialog(editor, "where")
