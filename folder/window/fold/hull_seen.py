"""The picture of the hull that is shown: at once where it is quickly made, else roughly until the worker has it. No pygame."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from folder.draw.hull.rough import is_rough, rough_picture, takes_long
from folder.draw.hull.view import View
from folder.draw.picture import Picture
from folder.studies import Study
from folder.window.background.identity import IdentityKey
from folder.window.background.result import Progress
from folder.window.background.snapshot import Snapshot, hull_snapshot
from folder.window.background.worker import Worker

HULL_PICTURE = "hull picture"
"""The job that makes it."""


def hull_seen(worker: Worker, known: Progress, made: Study, view: View, *, resting: bool) -> tuple[bool, Callable[[], Picture]]:
    """What makes the picture of the hull from a side, quickly, and whether that is the picture in full.

    Of a hull whose picture takes long the worker is asked for it while the hand rests; till then it is shown roughly.
    """
    ready = known.snapshot
    if ready is not None and ready.view == view:
        picture = ready.picture
        return True, lambda: picture
    if not takes_long(made.folded) or is_rough(made.folded):
        return True, lambda: hull_snapshot(made, view).picture
    key = (IdentityKey(made), view)
    if resting:
        worker.ask_job(HULL_PICTURE, key, partial(hull_snapshot, made, view))
    answer = worker.answer_to(HULL_PICTURE, key)
    if isinstance(answer, Snapshot):
        return True, lambda: answer.picture
    return False, lambda: rough_picture(made.folded, view)
