"""The note at the hand while anything is dragged: what the hull will carry, and how many that is more or fewer.

It is worked out beside the drawing thread: what stands here is the newest that is known. No pygame.
"""

from __future__ import annotations

import math

from folder.cargo.words import counts_by_mass, number_of
from folder.studies import Study
from folder.verdict import verdict_of
from folder.window.background.identity import IdentityKey
from folder.window.background.result import Progress
from folder.window.editor import Editor

Likely = tuple[float | None, str]
"""The likely load, g, or None with a word on what is not right yet."""


def hand_note(editor: Editor) -> str:
    """Such as: likely 78 cents, 9 fewer. Nothing while nothing is dragged, or nothing is known of it yet."""
    if editor.state.drag_pattern is None or editor.result is None or editor.result.study is None:
        return ""
    study = editor.result.study
    asked = editor.worker.ask_job("hand-note", IdentityKey(study), lambda: _likely(study))
    if asked.answer is None or asked.answer.failed is not None:
        return ""
    load, word = asked.answer.value
    if load is None:
        return str(word)
    return _told(editor, load, _before(editor, editor.state.before_drag))


def _likely(study: Study) -> Likely:
    verdict = verdict_of(study)
    if verdict.level != "good":
        return None, verdict.short
    return study.load.likely_g or 0.0, ""


def _before(editor: Editor, before: Progress | None) -> float | None:
    """What the hull before the drag would carry, g; None where there was none."""
    if before is None or before.study is None:
        return None
    study = before.study
    if before.load is not None:
        return before.load.likely_g
    asked = editor.worker.ask_job("hand-note-before", IdentityKey(study), lambda: _likely(study))
    known = asked.answer_to(IdentityKey(study))
    return None if known is None or known.failed is not None else known.value[0]


def _told(editor: Editor, load_g: float, before_g: float | None) -> str:
    """A load in objects, or in grams where the object's mass is not known, and how it differs from the one before."""
    item = editor.state.object_choice.item
    if item is None or item.mass_g is None:
        grams, was = math.floor(load_g), None if before_g is None else math.floor(before_g)
        return f"likely {grams} g{_difference(grams, was, ' g')}"
    count = counts_by_mass(item.mass_g, load_g)[0]
    was = None if before_g is None else counts_by_mass(item.mass_g, before_g)[0]
    return f"likely {number_of(item, count)}{_difference(count, was, '')}"


def _difference(now: int, was: int | None, unit: str) -> str:
    if was is None or now == was:
        return "" if was is None else ", as before"
    more, fewer = ("more", "less") if unit else ("more", "fewer")
    return f", {abs(now - was)}{unit} {more if now > was else fewer}"
