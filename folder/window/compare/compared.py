"""The hulls that are compared: the one on the table, and others beside it. No pygame.

other      a pattern that has been put beside, as it was then; it stays so while the one on the table changes
measured   what is shown of one: worked out in a thread of the worker, for it takes seconds
"""

from __future__ import annotations

from concurrent.futures import Future
from functools import partial

from msgspec import Struct
from msgspec.structs import replace

from folder.draw.chart import Spread
from folder.draw.picture import Picture
from folder.hull.shape import Measures
from folder.paper.design import NO_LOAD, Design
from folder.paper.sheets.compare import MOST
from folder.pattern.pattern import Pattern
from folder.practice.log import trials_now
from folder.studies import Study, study
from folder.verdict import Verdict, verdict_of
from folder.window.background.identity import IdentityKey
from folder.window.commands.files import unless_unsaved
from folder.window.compare.commands import set_others
from folder.window.compare.state import Other
from folder.window.editor import Editor

WORKING = "working …"
BROKEN = "too much for the program"


class Measured(Struct, frozen=True, eq=False):
    """What is shown of a hull."""

    name: str
    verdict: Verdict
    measures: Measures
    drawn: Picture
    spread: Spread


def measured(made: Study, loaded: bool = True) -> Measured:
    """What there is to show of a study; without its load where that is still worked on."""
    design = Design(made.pattern, made.folded, made.hull, made.expected if loaded else None, made.folds)
    spread = design.spread if loaded else Spread(made.pattern.name, None, text=WORKING)
    return Measured(made.pattern.name, verdict_of(made), made.measures, design.drawn(), spread)


def measured_anew(pattern: Pattern) -> Measured:
    """The same of a pattern."""
    return measured(study(pattern, trials=trials_now()))


def put_beside(editor: Editor, pattern: Pattern, *, ready: bool) -> None:
    """Put a pattern beside the one on the table; what keeps it from being put there is said."""
    others = editor.state.comparing.others
    if 1 + len(others) >= MOST:
        editor.say(f"There is room for {MOST} hulls. Take one away first.", "warn")
    elif any(other.pattern == pattern for other in others):
        editor.say(f"“{pattern.name}” stands there already.", "warn")
    else:
        future = editor.worker.errand(partial(measured_anew, pattern), "compare")
        set_others(editor, (*others, Other(pattern, ready, future)))


def take_away(editor: Editor, index: int) -> None:
    """Take one of the others off the list."""
    others = editor.state.comparing.others
    others[index].future.cancel()
    set_others(editor, others[:index] + others[index + 1 :])


def take_up(editor: Editor, index: int) -> None:
    """Put one of the others on the table, once what lies there is saved or given up."""
    other = editor.state.comparing.others[index]
    unless_unsaved(editor, lambda d: d.begin(other.pattern, unsaved=not other.ready))


def now(editor: Editor) -> Measured | None:
    """What is known of the one on the table, or was of the drawing before."""
    result = editor.result
    if result is None or result.study is None:
        return None
    made = result.study
    # Where nothing can be carried there is nothing to wait for.
    nothing = made.brim is None or not made.measures.rim_height_mm > 0.0
    loaded = nothing or result.load is not None
    job = editor.worker.ask_job("now", (IdentityKey(made), loaded), partial(measured, made, loaded))
    return None if job.answer is None else job.answer.value


def of_other(future: Future[Measured], name: str) -> tuple[Measured | None, Spread]:
    """What is known of another one, and its row in the chart."""
    if not future.done() or future.cancelled():
        return None, Spread(name, None, text=WORKING)
    if future.exception() is not None:
        return None, Spread(name, None, text=BROKEN)
    known = future.result()
    return known, known.spread


def shortened_spread(spread: Spread) -> Spread:
    """A row whose words have little room."""
    return replace(spread, text="no load yet") if spread.text == NO_LOAD else spread
