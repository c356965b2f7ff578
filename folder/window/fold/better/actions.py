"""What can be done with a better hull: look for one, stop, step through the way, take it, keep one's own. No pygame."""

from __future__ import annotations

from msgspec.structs import replace

from folder.practice.log import trials_now_or_fault
from folder.window.background.search import Failed
from folder.window.commands.look import step_by
from folder.window.editor import BETTER, Editor
from folder.window.fold.better.state import BetterState, BetterStep, TriedCount
from folder.window.fold.better.words import why_in_all_words

SHOWN_S = 0.8
"""So long each hull of the way is shown before the next: the eye sees what has changed."""


def make_better(editor: Editor) -> None:
    """Begin to look for a better hull; while one is looked for, that is enough."""
    state = editor.state
    if state.better.is_on_the_way:
        stop_search(editor)
    if state.better.of is not None:
        return
    if state.drag_pattern is not None:
        return
    pattern = editor.document.pattern
    if not pattern.creases:
        editor.say("There is nothing to make better yet. Drag a wall in from an edge first.")
        return
    from folder.window.fold.better.finding import better_hulls  # the search is loaded when the first is asked for

    trials, _ = trials_now_or_fault()
    editor.show(replace(state, better=BetterState(of=pattern, searches=True)))
    editor.worker.start_search(BETTER, better_hulls, pattern, editor.worker.rules, trials, state.camera)


def follow_search(editor: Editor, now_s: float) -> float | None:
    """Take in what the search has found, and show the next hull of the way when the one before has been shown long enough.

    In how many seconds there is the next to be shown; None when none is. Asked once a pass, before what shows it.
    """
    if editor.state.better.searches:
        _take_in(editor)
    better = editor.state.better
    if not better.way or better.looked_at is not None or better.reached >= len(better.way) - 1:
        return None
    if not better.since_s:
        better = replace(better, since_s=now_s)
    elif now_s - better.since_s >= SHOWN_S:
        better = replace(better, reached=better.reached + 1, since_s=now_s)
    if better != editor.state.better:
        editor.show(replace(editor.state, better=better))
    return better.since_s + SHOWN_S - now_s if better.reached < len(better.way) - 1 else None


def _take_in(editor: Editor) -> None:
    better = editor.state.better
    messages, busy = editor.worker.search_messages(BETTER)
    for message in messages:
        match message:
            case BetterStep():
                better = replace(better, way=(*better.way, message))
            case TriedCount(count):
                better = replace(better, tried=count)
            case Failed(text):
                better = replace(better, failed=text)
    better = replace(better, searches=busy)
    if better != editor.state.better:
        editor.show(replace(editor.state, better=better))


def stop_search(editor: Editor) -> None:
    """That is enough: the best so far is the offer."""
    if editor.state.better.searches:
        _take_in(editor)
    editor.worker.stop_search(BETTER)
    better = editor.state.better
    last = max(len(better.way) - 1, 0)
    editor.show(replace(editor.state, better=replace(better, searches=False, reached=last, looked_at=None)))


def look_at(editor: Editor, index: int) -> None:
    """Look at one hull of the way; from the last of it on, what is found is shown again as it comes."""
    better = editor.state.better
    last = len(better.way) - 1
    at = min(max(index, 0), last)
    better = replace(better, looked_at=at) if at < last else replace(better, looked_at=None, reached=last)
    editor.show(replace(editor.state, better=better))


def take_better(editor: Editor) -> None:
    """The hull that is looked at becomes the drawing: one change, which Undo takes back."""
    better = editor.state.better
    if not better.is_found:
        return
    step = better.way[better.shown]
    why = why_in_all_words(better, better.shown, editor.state.object_choice.item)
    editor.edit(lambda _: step.pattern, frozenset())
    editor.say(f"Done. {why} Undo takes it back.", "good")


def walk(editor: Editor, by: int) -> None:
    """One hull back or on along the way; where there is none, one step of the folding."""
    if editor.state.better.way:
        look_at(editor, editor.state.better.shown + by)
    else:
        step_by(editor, by)


def go_home(editor: Editor) -> None:
    """One step home: first one's own hull is kept."""
    if editor.state.better.of is not None and not editor.state.tool.busy:
        keep_mine(editor)
    else:
        editor.home()


def keep_mine(editor: Editor) -> None:
    """The drawing stays as it is."""
    editor.drop_better()
