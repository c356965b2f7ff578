"""The note at the hand while anything is dragged: what the hull will carry, and how many that is more or fewer.

It is worked out beside the drawing thread: what stands here is the newest that is known. No pygame.
"""

from __future__ import annotations

import math

from msgspec import Struct

from folder.cargo.item import Item
from folder.cargo.words import about_words, counts_by_mass
from folder.studies import Study
from folder.verdict import verdict_of
from folder.window.background.identity import IdentityKey
from folder.window.background.result import Progress
from folder.window.editor import Editor
from folder.window.objects.state import ObjectChoice

HAND_NOTE = "hand-note"
"""The job that works it out."""


class CarriedLoad(Struct, frozen=True, eq=False):
    """What a hull is likely to carry, g, and the object it is counted in; None with a word on what is not right yet."""

    load_g: float | None
    word: str = ""
    item: Item | None = None


def hand_note(editor: Editor) -> str:
    """Such as: about 78 cents, 9 fewer. Nothing while nothing is dragged, or nothing is known of it yet."""
    if editor.state.drag_pattern is None or editor.result is None or editor.result.study is None:
        return ""
    study, choice = editor.result.study, editor.state.object_choice
    # The object too is looked up there: its list lies on disk.
    asked = editor.worker.ask_job(HAND_NOTE, (IdentityKey(study), choice), lambda: _carried(study, choice))
    if asked.answer is None or asked.answer.failed is not None:
        return ""
    carried: CarriedLoad = asked.answer.value
    return carried.word if carried.load_g is None else _load_text(carried, _before(editor, editor.state.before_drag))


def _carried(study: Study, choice: ObjectChoice) -> CarriedLoad:
    verdict = verdict_of(study)
    if verdict.level != "good":
        return CarriedLoad(None, verdict.short)
    return CarriedLoad(study.load.likely_g or 0.0, "", choice.item)


def _before(editor: Editor, before: Progress | None) -> float | None:
    """What the hull before the drag would carry, g; None where there was none."""
    if before is None or before.study is None:
        return None
    study = before.study
    if before.load is not None:
        return before.load.likely_g
    choice = editor.state.object_choice
    key = (IdentityKey(study), choice)
    known = editor.worker.ask_job("hand-note-before", key, lambda: _carried(study, choice)).answer_to(key)
    return None if known is None or known.failed is not None else known.value.load_g


def _load_text(carried: CarriedLoad, before_g: float | None) -> str:
    """A load in objects, or in grams where the object's mass is not known, and how it differs from the one before."""
    item, load_g = carried.item, carried.load_g or 0.0
    if item is None or item.mass_g is None:
        grams, was = math.floor(load_g), None if before_g is None else math.floor(before_g)
        return f"likely {grams} g{_difference(grams, was, ' g')}"
    count = counts_by_mass(item.mass_g, load_g)[0]
    was = None if before_g is None else counts_by_mass(item.mass_g, before_g)[0]
    return f"{about_words(item, count)}{_difference(count, was, '')}"


def _difference(now: int, was: int | None, unit: str) -> str:
    if was is None or now == was:
        return "" if was is None else ", as before"
    more, fewer = ("more", "less") if unit else ("more", "fewer")
    return f", {abs(now - was)}{unit} {more if now > was else fewer}"
