"""The pages that are to be printed: how they are made and written in a thread. No pygame."""

from __future__ import annotations

from concurrent.futures import Future
from functools import partial
from pathlib import Path
from typing import get_args

from msgspec import Struct
from msgspec.structs import replace

from folder.cargo.item import find_item
from folder.draw.picture import Picture
from folder.errors import FolderError
from folder.paper.book import write_job
from folder.paper.job import CARD_ITEM, PrintJob
from folder.paper.kinds import KINDS
from folder.paper.pages import PaperName
from folder.studies import Study
from folder.verdict import design_of
from folder.window.background.identity import IdentityKey
from folder.window.editor import Editor
from folder.window.float.state import PLAIN, FloatState
from folder.window.print.commands import set_written
from folder.window.print.state import PrintState
from folder.window.tools.tool import sentence

PAPER_WORDS = {"a4": "A4", "letter": "Letter"}
assert set(PAPER_WORDS) == set(get_args(PaperName))


class PagePreview(Struct, frozen=True, eq=False):
    """The first page of a kind, and how many there are."""

    kind: str
    picture: Picture
    count: int
    item: str
    """The object a card is for."""


def job_of(study: Study, printing: PrintState, load: FloatState) -> PrintJob:
    """The job; the card is for the object that is chosen on the water page, or for a common coin."""
    name = CARD_ITEM if load.item == PLAIN else load.item
    try:
        item = find_item(name)
    except FolderError:
        item = find_item(CARD_ITEM)
    if load.each_g is not None and load.item != PLAIN:
        item = replace(item, mass_g=load.each_g)
    if item.mass_g is None:  # not weighed yet
        item = find_item(CARD_ITEM)
    paper: PaperName = "letter" if printing.paper == "letter" else "a4"
    return PrintJob(design_of(study), study.water, paper, item)


def preview_of(study: Study, kind: str, printing: PrintState, load: FloatState) -> PagePreview:
    """The first page of a kind."""
    job = job_of(study, printing, load)
    pages = KINDS[kind].maker(job)
    return PagePreview(kind, pages[0].drawing(), len(pages), job.item.label)


def preview(editor: Editor, study: Study) -> tuple[PagePreview | None, str]:
    """What the first page looks like, as far as it is known, or why it cannot be shown."""
    printing, load = editor.state.printing, editor.state.floating
    kind = printing.shown
    last = editor.worker.last_answer("preview") if editor.state.drag_pattern is not None else None
    if isinstance(last, PagePreview):
        return last, ""
    key = (IdentityKey(study), kind, printing.paper, load.item, load.each_g)
    answer = editor.worker.ask_job("preview", key, partial(preview_of, study, kind, printing, load)).answer
    if answer is None:
        return None, ""
    if answer.failed is not None:
        return None, "This page is too much for the program."
    return answer.value, ""


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
    printing = editor.state.printing
    job = partial(_written, study, printing, editor.state.floating, directory_of(editor))
    set_written(editor, study, editor.worker.errand(job, "write"))


def _written(study: Study, printing: PrintState, load: FloatState, directory: Path) -> list[Path]:
    return write_job(job_of(study, printing, load), [k for k in KINDS if k in printing.kinds], directory)


def outcome(future: Future[list[Path]]) -> tuple[list[Path], str]:
    """The files that were written, or a sentence on why none was; neither while they are still made."""
    if not future.done():
        return [], ""
    error = future.exception()
    if error is None:
        return future.result(), ""
    return [], sentence(error) if isinstance(error, FolderError) else "These pages are too much for the program."
