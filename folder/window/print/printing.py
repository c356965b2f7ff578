"""The pages that are to be printed: how they are made and written in threads. No pygame.

What a page needs is loaded when it is first made: the window begins without it.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
from collections.abc import Sequence
from concurrent.futures import Future
from functools import lru_cache, partial
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from folder.cargo.item_list import find_item
from folder.draw.hull.rough import takes_long
from folder.draw.picture import Picture
from folder.errors import FolderError
from folder.event.rules import Rules
from folder.event.words import rules_line
from folder.paper.kinds import KINDS
from folder.pattern.pattern import Pattern
from folder.studies import Study
from folder.verdict import design_of
from folder.window.background.identity import IdentityKey
from folder.window.editor import Editor
from folder.window.objects.state import FIRST_ITEM
from folder.window.print.commands import set_printing
from folder.window.print.state import STOPPED, PrintState, Writing, WrittenPages
from folder.window.tools.tool import sentence

if TYPE_CHECKING:
    from folder.cargo.item import Item
    from folder.paper.job import PrintJob
    from folder.paper.pages import Page, PaperName

PAPER_WORDS = {"a4": "A4", "letter": "Letter"}
TOO_MUCH = "These pages are too much for the program."


class ShownPage(Struct, frozen=True, eq=False):
    """A page as it will come out, and what it is."""

    kind: str
    caption: str
    picture: Picture
    for_class: bool = False
    hull: str = ""
    """Of which hull it is, where there are several."""


class ShownPages(Struct, frozen=True, eq=False):
    """The pages of one set, what is for all, and what stops a hull among them."""

    pages: tuple[ShownPage, ...] = ()
    stopped: tuple[str, ...] = ()
    """What is said of each hull with a stop."""
    names: tuple[str, ...] = ()
    """The hulls, by name."""

    @property
    def in_set(self) -> int:
        """How many pages each pupil of a class gets."""
        return sum(not page.for_class for page in self.pages)


def card_item(editor: Editor) -> Item:
    """The object the cards are for: the one in use, or a common coin where that was not weighed."""
    item = editor.state.object_choice.item
    return find_item(FIRST_ITEM) if item is None or item.mass_g is None else item


@lru_cache(maxsize=16)
def _other_study(pattern: IdentityKey, rules: Rules | None) -> Study:
    """The study of a hull that is not on the table."""
    from folder.practice.log import trials_now_or_fault
    from folder.studies import study

    assert isinstance(pattern.thing, Pattern)
    return study(pattern.thing, trials=trials_now_or_fault()[0], rules=rules)


@lru_cache(maxsize=16)
def _job(study: IdentityKey, paper: PaperName, item: Item) -> PrintJob:
    from folder.paper.job import PrintJob

    made = study.thing
    assert isinstance(made, Study)
    return PrintJob(design_of(made), made.water, paper, item, "" if made.rules is None else rules_line(made.rules))


@lru_cache(maxsize=32)
def _pupil_job(job: IdentityKey, name: str) -> PrintJob:
    made: PrintJob = job.thing  # type: ignore[assignment]  # it was made by `_job`
    return made.of_pupil(name) or made


@lru_cache(maxsize=96)
def _pages(job: IdentityKey, kind: str) -> Sequence[Page]:
    return KINDS[kind].maker(job.thing)  # type: ignore[arg-type]  # it was made by `_job`


@lru_cache(maxsize=128)
def _drawing(page: IdentityKey, name: str) -> Picture:
    """A page as it will come out, the same as long as the page is: what was painted of it is not painted again."""
    of: Page = page.thing  # type: ignore[assignment]  # it was made by a maker of pages
    return (replace(of, name=name) if name else of).drawing()


_KEPT = (_job, _pupil_job, _pages, _drawing)
_last_large: list[Study] = []


def _forget_before(study: Study) -> None:
    """Of a large drawing the pages take tens of megabytes: those of an earlier state go before those of this one are made."""
    if takes_long(study.folded):
        if _last_large != [study]:
            for kept in _KEPT:
                kept.cache_clear()
        _last_large[:] = [study]


def jobs_of(study: Study, printing: PrintState, item: Item) -> list[PrintJob]:
    """What is to be printed, hull by hull."""
    _forget_before(study)
    studies = [study, *(_other_study(IdentityKey(pattern), study.rules) for pattern in printing.others)]
    paper: PaperName = "letter" if printing.paper == "letter" else "a4"
    return [_job(IdentityKey(one), paper, item) for one in studies]


def shown_of(study: Study, printing: PrintState, item: Item) -> ShownPages:
    """All pages of one set, as they will come out."""
    from folder.verdict import verdict_of

    jobs = jobs_of(study, printing, item)
    found: list[ShownPage] = []
    kinds = [kind for kind in KINDS if kind in printing.kinds]
    several = len(jobs) > 1
    for job in jobs:
        for kind in kinds:
            for_class = KINDS[kind].for_class and printing.for_class
            if (for_class or (kind == "notation" and several)) and job is not jobs[0]:
                continue
            found += _shown(job, kind, printing, several and not for_class, for_class)
    found.sort(key=lambda page: page.for_class)
    studies = [study, *(_other_study(IdentityKey(pattern), study.rules) for pattern in printing.others)]
    stopped = tuple(f"{one.pattern.name}: {verdict_of(one).text}" for one in studies if one.report.stops)
    return ShownPages(tuple(found), stopped, tuple(one.pattern.name for one in studies))


def _shown(job: PrintJob, kind: str, printing: PrintState, several: bool, for_class: bool) -> list[ShownPage]:
    name = printing.names[0] if printing.names and printing.for_class and not for_class else ""  # as the first pupil gets it
    pages = _pages(IdentityKey(_pupil_job(IdentityKey(job), name) if KINDS[kind].tells_load and name else job), kind)
    if for_class and kind == "record":
        from folder.paper.sheets.record import class_record

        pages = class_record(printing.class_names, "" if printing.others else job.design.pattern.name, job.paper)
    words = KINDS[kind].words
    found = []
    for number, page in enumerate(pages, 1):
        of = f" {number}/{len(pages)}" if len(pages) > 1 else ""
        hull = job.design.pattern.name if several else "for all" if for_class else ""
        found.append(ShownPage(kind, f"{words}{of}", _drawing(IdentityKey(page), name), for_class, hull))
    return found


def page_shown(editor: Editor, study: Study) -> tuple[ShownPages | None, str]:
    """The pages as far as they are known, or why they cannot be shown."""
    printing, item = editor.state.printing, card_item(editor)
    wanted = (printing.kinds, printing.paper, printing.for_class, printing.class_names)
    key = (IdentityKey(study), *wanted, tuple(IdentityKey(p) for p in printing.others), item)
    answer = editor.worker.ask_job("preview", key, partial(shown_of, study, printing, item)).answer
    if answer is None:
        last = editor.worker.last_answer("preview")
        return (last if isinstance(last, ShownPages) else None), ""
    if answer.failed is not None:
        return None, TOO_MUCH
    return answer.value, ""


def plan_words(found: ShownPages, printing: PrintState) -> str:
    """What will be written, in one line."""
    from folder.paper.hand_out import book_name

    count = len(found.pages)
    book = f"{book_name(found.names, len(printing.class_names) if printing.for_class else None)}-{printing.paper}.pdf"
    if not printing.for_class:
        return f"{count} {'page' if count == 1 else 'pages'}, each as an SVG, and all in {book}"
    sets, whole = len(printing.class_names), len(printing.class_names) * found.in_set + count - found.in_set
    for_all = f" and {count - found.in_set} for all" if count > found.in_set else ""
    return f"{sets} sets of {found.in_set} pages{for_all}: {whole} pages in {book}"


def directory_of(editor: Editor) -> Path:
    """Where the pages go when nothing else is said: beside the work, or beside what was last opened."""
    if editor.state.printing.directory is not None:
        return editor.state.printing.directory
    if editor.document.path is not None:
        return editor.document.path.parent
    last = Path(editor.memory.recent[0]).parent if editor.memory.recent else None
    return last if last is not None and last.is_dir() else Path.home()


def write(editor: Editor, study: Study) -> None:
    """Write the pages that are ticked."""
    printing, writing = editor.state.printing, Writing()
    job = partial(_written, study, printing, card_item(editor), directory_of(editor), writing)
    future = editor.worker.errand(job, "write")
    set_printing(editor, replace(printing, written=WrittenPages(study, future, writing)))


def _written(study: Study, printing: PrintState, item: Item, directory: Path, writing: Writing) -> list[Path]:
    from folder.paper.hand_out import write_class, write_designs

    jobs, kinds = jobs_of(study, printing, item), [kind for kind in KINDS if kind in printing.kinds]
    if printing.for_class:
        return write_class(jobs, kinds, printing.class_names, directory, progress=writing.tell)
    return write_designs(jobs, kinds, directory, progress=writing.tell)


def outcome(future: Future[list[Path]]) -> tuple[list[Path], str]:
    """The files that were written, or a sentence on why none was; neither while they are still made."""
    if not future.done():
        return [], ""
    error = future.exception()
    if error is None:
        return future.result(), ""
    if str(error) == STOPPED:
        return [], STOPPED
    return [], sentence(error) if isinstance(error, FolderError) else TOO_MUCH


def open_with_system(path: Path) -> bool:
    """Show a file in whatever program the system has for it. Whether there was one to ask."""
    if sys.platform == "win32":
        import os

        os.startfile(path)
        return True
    opener = shutil.which("open" if sys.platform == "darwin" else "xdg-open")
    if opener is None:
        return False
    subprocess.Popen([opener, str(path)], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True)
    return True
