"""The pages of the day: which are wanted, how many tubs there are, and where they are written."""

from __future__ import annotations

from concurrent.futures import Future
from functools import partial
from pathlib import Path

from msgspec.structs import replace

from folder.event.words import title_of
from folder.paper.event.job import EventJob
from folder.paper.event.kinds import EVENT_KINDS, write_event
from folder.paper.pages import PaperName
from folder.window import theme
from folder.window.editor import Editor
from folder.window.event.day import Day
from folder.window.event.writing import set_event
from folder.window.print.commands import set_printing
from folder.window.print.printing import PAPER_WORDS, outcome
from folder.window.widgets import Pane, Ui, button, check, choice, label, notice, number_field

WHAT = {
    "slips": "One for each team, to fill in by hand and hand in",
    "stations": "The teams of each tub, with room for guess, count and sheets",
    "places": "To read out, from the last to the first",
    "certificates": "One page for each team with a result",
}
MOST_TUBS = 30
WRITE = "Write the pages"


def pages_view(ui: Ui, pane: Pane, editor: Editor, day: Day) -> None:
    """The page."""
    card = pane.centred(min(pane.w, 760), min(pane.h, 440))
    ui.display_list.plate(card, theme.PAPER, theme.HAIR, radius=12)
    inside = card.inset(28, 20)
    head, inside = inside.cut_top(40, 6)
    ui.display_list.text("Pages of the day", head, "title", bold=True)
    state = editor.state.eventing
    for kind, of in EVENT_KINDS.items():
        row, inside = inside.cut_top(theme.PRESS_H, 2)
        tick, words = row.cut_left(200, 8)
        on = check(ui, f"pages/{kind}", tick, of.words, kind in state.kinds)
        ui.display_list.text(WHAT[kind], words, "small", colour=theme.SOFT_INK, wrap=True)
        if on != (kind in state.kinds):
            chosen = {*state.kinds, kind} if on else {k for k in state.kinds if k != kind}
            state = replace(state, kinds=tuple(k for k in EVENT_KINDS if k in chosen))
    low = inside.h < 200
    row, inside = inside.cut_top(theme.PRESS_H + (0 if low else 8), 8)
    word, rest = row.cut_left(60, 8)
    tubs, rest = rest.cut_left(90, 16)
    tubs = tubs.centred(tubs.w, theme.PRESS_H)
    choose, rest = rest.cut_left(min(200.0, rest.w * 0.46), 16)
    ui.display_list.text("Tubs", word)
    count = number_field(ui, "pages/tubs", tubs, state.stations, low=1, high=MOST_TUBS, digits=0)
    set_event(editor, replace(state, stations=int(count or 1)))
    printing = editor.state.printing
    paper = choice(ui, "pages/paper", choose.centred(choose.w, theme.PRESS_H), PAPER_WORDS, printing.paper)
    if paper != printing.paper:
        set_printing(editor, replace(printing, paper=paper))
    written: list[Future[list[Path]] | None] = ui.memory("pages/written", lambda: [None])
    running = written[0] is not None and not written[0].done()
    if button(ui, "pages/write", rest, WRITE, icon="print", rank="main", enabled=bool(state.kinds) and not running):
        job = EventJob(day.rules, day.standings, _paper(editor), editor.state.eventing.stations)
        doing = partial(write_event, job, editor.state.eventing.kinds, title_of(day.rules), day.path.parent)
        written[0] = editor.worker.errand(doing, "write")
        ui.redraw()
    if written[0] is not None:
        files, wrong = outcome(written[0])
        books = ", ".join(path.name for path in files if path.suffix == ".pdf")
        text = wrong or (f"Written: {books}" if files else "Making the pages …")
        used = notice(ui, inside, text, "stop" if wrong else "good" if files else "note")
        said, inside = inside.cut_top(used, 8)
        ui.place("pages/outcome", said, "text", text=text, stops=False, pointed=False)
    label(ui, inside, f"Into {day.path.parent}", "small", colour=theme.SOFT_INK)


def _paper(editor: Editor) -> PaperName:
    return "letter" if editor.state.printing.paper == "letter" else "a4"
