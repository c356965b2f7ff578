"""What is known of a pattern in the window, and the jobs that find it out, one after another. No pygame.

result   its study, then the order of folds, then its film; beside them, once the hand rests, what a
         real build carries
"""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from folder.draw.hull.lines import EdgeMark
from folder.draw.hull.rough import takes_long
from folder.draw.hull.view import View
from folder.event.rules import Rules
from folder.fold.place import folded
from folder.fold.sequence.film import Film, film_of
from folder.fold.sequence.steps import FoldSequence, FoldStep, fold_sequence, step_numbers
from folder.pattern.pattern import Pattern
from folder.practice.log import trials_now_or_fault
from folder.studies import LoadEstimate, Study, study
from folder.window.background.snapshot import Snapshot, hull_snapshot, step_snapshot

USUAL = View()
OBLIQUE = View(-0.45, 0.85)
"""From where the steps are seen: from higher up, so that a flat sheet shows its lines."""


class Progress(Struct, frozen=True, eq=False):
    """What is known of a pattern so far."""

    pattern: Pattern
    study: Study | None = None
    order: FoldSequence | None = None
    snapshots: tuple[Snapshot, ...] = ()
    """The sheet as it is seen after each step of the order."""
    numbers: tuple[int | None, ...] = ()
    """For each crease the number of the step that makes it, as on paper; none while the order is not known."""
    film: Film | None = None
    load: LoadEstimate | None = None
    """What a real build carries."""
    snapshot: Snapshot | None = None
    """The hull as it was looked at when the study was asked for."""
    log_fault: str = ""
    """What is wrong with the trial log, which is then left out; "" when nothing is."""
    failed: BaseException | None = None
    """The study of the newest drawing broke off: a fault of this program, not of the drawing. The rest is the last good state."""


def with_study(pattern: Pattern, view: View = USUAL, rules: Rules | None = None) -> Progress:
    """The whole trip of a pattern, under an event's rules if one is open, but for what a real build carries, which takes much longer."""
    trials, wrong = trials_now_or_fault()
    made = study(pattern, trials=trials, rules=rules)
    # Worked out here, so that the drawing thread finds them ready.
    _ = made.report, made.measures, made.brim, made.needs_tape, made.folded.normals, made.folded.corners
    seen = None if takes_long(made.folded) else hull_snapshot(made, view)  # of a large one it is asked for when it is shown
    return Progress(pattern, made, snapshot=seen, log_fault=wrong)


def with_order(result: Progress) -> Progress:
    """With the order of folds, and the sheet as it is seen after each."""
    if result.study is None:
        return result
    order = fold_sequence(result.pattern, result.study.folded)
    snapshots = tuple(_step_snapshot(result.study, step) for step in order.steps)
    return replace(result, order=order, snapshots=snapshots, numbers=step_numbers(result.pattern, order))


def _step_snapshot(made: Study, step: FoldStep) -> Snapshot:
    marks: tuple[EdgeMark, ...] = ((step.edges, "valley"),) if step.kind == "crease" else ()
    last = np.array_equal(step.turn, made.folded.turn)
    state = made.folded if last else folded(made.faces, step.turn.copy())
    return step_snapshot(state, step_view(OBLIQUE, float(step.over)), marks, made.layering if last else None)


def step_view(view: View, over: float) -> View:
    """A view of a sheet that is turned over like a page: not at all at 0, wholly at 1."""
    return replace(view, over_rad=math.pi * over)


def with_load(result: Progress) -> Progress:
    """With what a real build carries."""
    return result if result.study is None else replace(result, load=result.study.load)


def filmed(result: Progress) -> Progress:
    """With the film of the folding."""
    return result if result.order is None else replace(result, film=film_of(result.order))
