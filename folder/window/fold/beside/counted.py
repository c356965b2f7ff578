"""The objects counted one by one, for the number on Fold: asked for once the hand has rested, for it takes half a second. No pygame.

It is the question of the page Float in its words, so that what one page knows the other knows too.
"""

from __future__ import annotations

from typing import Any

from folder.cargo.item import Item
from folder.studies import Study
from folder.window.background.identity import IdentityKey
from folder.window.editor import Editor
from folder.window.widgets import Ui

HAND, JOB = "usual", "count"
"""As the page Float asks."""
REST_S = 1.0
"""So long the hand rests before they are counted: till then the number goes by mass."""
Counts = tuple[int, int, int, int]
"""Low, likely, high, and what perfect hands could."""


class _Resting:
    """What is to be counted, and since when it lies there."""

    def __init__(self) -> None:
        self.key: object = None
        self.since_s = 0.0


def full_counts(ui: Ui, editor: Editor) -> Counts | None:
    """How many of the object in use the hull will take, as `cargo` counts them; None while that is not known."""
    fresh = editor.fresh
    if not ui.drawing or editor.state.drag_pattern is not None or fresh is None or fresh.study is None or fresh.load is None:
        return None
    item = editor.state.object_choice.item
    if item is None or item.mass_g is None:
        return None
    study, each = fresh.study, item.mass_g
    key = (IdentityKey(study), HAND, item, each)
    resting: _Resting = ui.memory("fold/counted", _Resting)
    if resting.key != key:
        resting.key, resting.since_s = key, ui.now_s
    found: Any = editor.worker.answer_to(JOB, key)
    left_s = resting.since_s + REST_S - ui.now_s
    if found is None and left_s > 0.0:
        ui.redraw_in(left_s)
        return None
    if found is None:
        answer = editor.worker.ask_job(JOB, key, lambda: _counted(study, item, each)).answer_to(key)
        found = None if answer is None else answer.value
    cargo = None if found is None else found.cargo
    return None if cargo is None else (cargo.count_low, cargo.count, cargo.count_high, cargo.perfect)


def _counted(study: Study, item: Item, each_g: float) -> object:
    from folder.window.float.knowledge import full_count  # packing and order are loaded when the first is counted

    return full_count(study, HAND, item, each_g)
