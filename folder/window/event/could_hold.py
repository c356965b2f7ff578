"""What a hull could have held with the day's object, when its pattern is known: worked out in a thread. No pygame."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

from folder.cargo.words import counts_by_mass
from folder.event.entry import Result
from folder.event.rules import Rules
from folder.pattern.file import read_pattern, ready_patterns
from folder.pattern.pattern import Pattern
from folder.practice.log import trials_now_or_fault
from folder.studies import study
from folder.window.background.identity import IdentityKey
from folder.window.editor import Editor
from folder.window.event.day import Day

UNKNOWN, OPEN_HULL = "none", "*"
"""The hull that is open in the window."""


def hull_names(editor: Editor) -> Mapping[str, str]:
    """Whose pattern may be known, by what it is called: the open one, and the ready ones."""
    names = {UNKNOWN: "which hull?", OPEN_HULL: editor.document.pattern.name}
    return {**names, **{name: name.replace("-", " ").capitalize() for name in ready_patterns()}}


def could_hold_line(editor: Editor, day: Day, result: Result) -> str:
    """What the team's hull could have held; nothing where hull, object or result is not known."""
    hull = editor.state.eventing.hull
    if hull == UNKNOWN or result.held is None or len(day.rules.objects) != 1 or day.rules.objects[0].mass_g is None:
        return ""
    key = (hull, IdentityKey(editor.document.pattern), day.rules, result.held)
    answer = editor.worker.ask_job(
        "could-hold", key, partial(_answer, hull, editor.document.pattern, day.rules, result.held)
    ).answer
    if answer is None:
        return "Working out what it could have held …"
    return "" if answer.failed is not None else str(answer.value)


def _answer(hull: str, pattern: Pattern, rules: Rules, held: int) -> str:
    chosen = pattern if hull == OPEN_HULL else read_pattern(ready_patterns()[hull])
    return could_hold(chosen, rules, held)


def could_hold(pattern: Pattern, rules: Rules, held: int) -> str:
    """What usual hands get out of a hull with the announced object, and what is the most there could be."""
    each_g = rules.objects[0].mass_g
    assert each_g is not None
    made = study(pattern, trials=trials_now_or_fault()[0])
    load = made.load
    if not made.folds or made.hull is None or not load.brim_g:
        return f"{pattern.name} carries nothing as it is drawn."
    if load.low_g is None or load.likely_g is None or load.high_g is None:
        return f"{pattern.name} does not stand by itself."
    low, likely, high, most = counts_by_mass(each_g, load.low_g, load.likely_g, load.high_g, load.brim_g)
    limit = f" Its limit: {load.limited_by}." if load.limited_by else ""
    where = "below" if held < low else "above" if held > high else "within"
    return (
        f"{pattern.name} usually holds about {likely}, {low} to {high}: {held} is {where} that. Level and perfect: {most}.{limit}"
    )
