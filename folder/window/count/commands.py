"""What can be done at the division: open it with the day's numbers, try, see a line more, drill, print. No pygame."""

from __future__ import annotations

import math
from decimal import Decimal
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec.structs import replace

from folder.errors import FolderError
from folder.paper.pages import PaperName
from folder.window.commands.command import Command
from folder.window.commands.files import close_dialog, open_dialog
from folder.window.count.state import DRILL_LENGTH, CountState
from folder.window.editor import Editor
from folder.window.tools.tool import sentence

if TYPE_CHECKING:
    from folder.paper.pages import PaperName


def set_counting(editor: Editor, counting: CountState) -> None:
    """The division as it stands now."""
    editor.show(replace(editor.state, counting=counting))


def open_work_out(editor: Editor) -> None:
    """Open the division of the day: what this hull will likely hold, by the mass of one of the object in use."""
    counting = editor.state.counting.on_page("work").of_division(likely_text(editor), one_mass_text(editor))
    set_counting(editor, counting)
    open_dialog(editor, "work-out")


def likely_text(editor: Editor) -> str:
    """What the hull will likely hold, whole grams, rounded down; "" while that is not known."""
    fresh = editor.fresh
    likely = None if fresh is None or fresh.load is None else fresh.load.likely_g
    return "" if not likely or likely < 1.0 else f"{math.floor(likely)}"


def one_mass_text(editor: Editor) -> str:
    """The mass of one of the object in use, g, as it is written; "" where it has none."""
    from folder.cargo.division.tables import plain

    item = editor.state.object_choice.item
    return "" if item is None or item.mass_g is None else plain(Decimal(repr(item.mass_g)))


def may_guess(editor: Editor) -> bool:
    """Whether a number may still be taken as the guess: on the page Float, before the first object is aboard."""
    return editor.state.page == "float" and not editor.state.floating.loading.spots


def take_as_guess(editor: Editor, number: int) -> None:
    """Take the number that was worked out as the guess, and go on to the loading."""
    from folder.window.float.actions import set_guess  # loaded with the page Float, which is open then

    close_dialog(editor)
    set_guess(editor, number)


def print_drill(editor: Editor) -> None:
    """Write the drill on the screen as pages, with its answers; where they lie is said when they are there."""

    from folder.window.print.printing import directory_of

    counting, paper = editor.state.counting, editor.state.printing.paper
    job = partial(_written, counting.grade, counting.seed, "letter" if paper == "letter" else "a4", directory_of(editor))
    set_counting(editor, replace(counting, printed=editor.worker.errand(job, "write")))


def take_printed(editor: Editor) -> None:
    """Say what came of the printing, once."""
    printed = editor.state.counting.printed
    if printed is None or not printed.done():
        return
    set_counting(editor, replace(editor.state.counting, printed=None))
    error = printed.exception()
    if error is None:
        book = printed.result()[-1]
        editor.say(f"Written: {book}", "good")
    else:
        editor.say(sentence(error) if isinstance(error, FolderError) else "These pages are too much for the program.", "stop")


def _written(grade: int, seed: int, paper: PaperName, directory: Path) -> list[Path]:
    from folder.cargo.division.drill import drill
    from folder.paper.book import write_book
    from folder.paper.sheets.drill import drill_pages

    stem = f"drill-grade-{grade}-seed-{seed}"
    # Pages are made by few; what they need takes time to load.

    return write_book(
        stem, {stem: drill_pages(drill(grade, DRILL_LENGTH, seed), grade, seed, paper)}, directory, paper, svg=False
    )


COUNT_COMMANDS = (Command("count/work-out", "Work it out", ("w",), "Object", open_work_out, ("float", "compare")),)
"""The rows of counting."""
