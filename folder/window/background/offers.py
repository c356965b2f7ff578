"""Remedies for the drawing, worked out away from the drawing thread, each with the picture of the hull that comes of it. No pygame."""

from __future__ import annotations

from functools import partial

from msgspec import Struct

from folder.draw.hull.view import View
from folder.search.mend import StudiedRemedy, remedies
from folder.studies import Study
from folder.verdict import verdict_of
from folder.window.background.identity import IdentityKey
from folder.window.background.result import USUAL, Progress
from folder.window.background.snapshot import Snapshot, hull_snapshot
from folder.window.background.worker import Worker

JOB = "remedies"


class Offer(Struct, frozen=True, eq=False):
    """A remedy that can be taken with one press: its words, the pattern with it, verdict and load, and how the hull looks then."""

    remedy: StudiedRemedy
    snapshot: Snapshot


def offers(worker: Worker, known: Progress | None, view: View = USUAL) -> tuple[Offer, ...] | None:
    """What would mend the drawing, the best first; None while that is not known yet. Asking begins the work, the newest alone."""
    if known is None or known.study is None or known.failed is not None:
        return None
    if verdict_of(known.study).level == "good":
        return ()
    key = IdentityKey(known.study)
    answer = worker.ask_job(JOB, key, partial(offers_of, known.study, view)).answer_to(key)
    if answer is None:
        return None
    found: tuple[Offer, ...] = answer.value if answer.failed is None else ()
    return found


def offers_of(made: Study, view: View = USUAL) -> tuple[Offer, ...]:
    """The remedies of a drawing with their pictures; what each likely carries is worked out here, off the drawing thread."""
    found = remedies(made)
    for remedy in found:
        _ = remedy.likely_g
    return tuple(Offer(remedy, hull_snapshot(remedy.study, view)) for remedy in found)
