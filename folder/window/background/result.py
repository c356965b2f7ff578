"""What is known of a pattern in the window, and the jobs that find it out, one after another. No pygame.

result   its study, then the order of folds, then the way from flat to hull; beside them, once the hand rests, what a
         real build carries
"""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from folder.draw.hull.solid import EdgeMark, View
from folder.event.rules import Rules
from folder.fold.place import folded
from folder.fold.sequence.partway import Path, path
from folder.fold.sequence.steps import FoldSequence, FoldStep, fold_sequence
from folder.pattern.pattern import Pattern
from folder.practice.log import trials_now_or_fault
from folder.studies import LoadEstimate, Study, study
from folder.window.background.snapshot import Snapshot, snapshot_from

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
    path: Path | None = None
    load: LoadEstimate | None = None
    """What a real build carries."""
    snapshot: Snapshot | None = None
    """The hull as it was looked at when the study was asked for."""
    log_fault: str = ""
    """What is wrong with the trial log, which is then left out; "" when nothing is."""
    failed: BaseException | None = None
    """The study of the newest drawing broke off: a fault of this program, not of the drawing. The rest is the last good state."""


def studied(pattern: Pattern, view: View = USUAL, rules: Rules | None = None) -> Progress:
    """The whole trip of a pattern, under an event's rules if one is open, but for what a real build carries, which takes much longer."""
    trials, wrong = trials_now_or_fault()
    made = study(pattern, trials=trials, rules=rules)
    # Worked out here, so that the drawing thread finds them ready.
    _ = made.report, made.measures, made.brim, made.needs_tape, made.folded.normals, made.folded.corners
    floor = made.hull.floor_faces if made.hull is not None else None
    return Progress(pattern, made, snapshot=snapshot_from(made.folded, view, floor, layering=made.layering), log_fault=wrong)


def ordered(result: Progress) -> Progress:
    """With the order of folds, and the sheet as it is seen after each."""
    if result.study is None:
        return result
    order = fold_sequence(result.pattern, result.study.folded)
    return replace(result, order=order, snapshots=tuple(_step_snapshot(result.study, step) for step in order.steps))


def _step_snapshot(made: Study, step: FoldStep) -> Snapshot:
    view = OBLIQUE if not step.over else View(OBLIQUE.around_rad, -OBLIQUE.above_rad)
    marks: tuple[EdgeMark, ...] = ((step.edges, "valley"),) if step.kind == "crease" else ()
    floor = made.hull.floor_faces if made.hull is not None else None
    return snapshot_from(folded(made.faces, step.turn.copy()), view, floor, marks)


def loaded(result: Progress) -> Progress:
    """With what a real build carries."""
    return result if result.study is None else replace(result, load=result.study.load)


def led(result: Progress) -> Progress:
    """With the way from flat to hull."""
    if result.study is None:
        return result
    return replace(result, path=path(result.study.faces, result.study.folded.turn))
