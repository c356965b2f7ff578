"""A pattern made better step by step: lines and turns move, corners are folded anew, and what is alike stays alike.

step     the one change, of walls or of a number of its family, that wins most; ever smaller ones follow
mended   what is no hull yet, or passes a limit, begins as its first remedy that is one and does not
kept     the symmetries of the walls: no step gives one up
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from contextlib import suppress

from msgspec import Struct
from msgspec.structs import replace

from folder.errors import BadRequest
from folder.event.rules import Rules
from folder.pattern.pattern import Pattern, Sheet
from folder.search.changes import Change, Stride, joint_changes, single_changes
from folder.search.families import Stopped
from folder.search.mend import remedies
from folder.search.mend.rank import possible_hulls
from folder.search.objective import Limits, Objective, narrowest_mm
from folder.search.symmetry import symmetries
from folder.studies import Study, study

STEPS = (8.0, 4.0, 2.0, 1.0, 0.5)
"""Of widths (mm) and turns (deg): from what a hand sees at once to what it can just fold."""
LEAST_GAIN = 1e-3
_MOST_STEPS = 60
_MOST_CREASES = 400
"""Each study of a drawing with more lines takes seconds."""

Progress = Callable[[int, float], None]


class ImprovementStep(Struct, frozen=True, eq=False):
    """One step of the way: what was changed, the pattern then, and what it scores (g, or objects)."""

    text: str
    pattern: Pattern
    score: float


class ImprovedDrawing(Struct, frozen=True, eq=False):
    """The way from a drawing to the best that was found, the drawing itself first."""

    steps: tuple[ImprovementStep, ...]
    tried: int

    @property
    def start(self) -> ImprovementStep:
        """The drawing as it was."""
        return self.steps[0]

    @property
    def best(self) -> ImprovementStep:
        """The best that was found."""
        return self.steps[-1]


def improve_drawing(pattern: Pattern, objective: Objective | None = None, *, progress: Progress | None = None) -> ImprovedDrawing:
    """The drawing improved as far as steps of a half millimetre and half a degree go, or of whole ones.

    `progress` is called with how many designs were tried and the best score; it may raise `Stopped`: the best so far is the
    answer. BadRequest for a drawing of which no hull can be made, or that passes a limit of the objective.
    """
    search = improvements(pattern, objective)
    found = next(search)
    with suppress(Stopped, KeyboardInterrupt):
        for found in search:
            if progress is not None:
                progress(found.tried, found.best.score)
    return found


def improvements(
    pattern: Pattern, objective: Objective | None = None, *, least_gain: float = LEAST_GAIN
) -> Iterator[ImprovedDrawing]:
    """The way as far as it has come, after every design that is tried. BadRequest as `improve_drawing`."""
    objective = objective or Objective()
    steps = _first_steps(pattern, objective)
    objective = replace(objective, limits=_reachable(objective.limits, study(steps[-1].pattern)))
    kept, tried, whole = symmetries(steps[-1].pattern), len(steps), objective.limits.whole_mm
    seen = {_key(step.pattern) for step in steps}
    yield ImprovedDrawing(tuple(steps), tried)
    for size in STEPS[: -1 if whole else None]:
        stride = Stride(size, size, whole)
        while len(steps) <= _MOST_STEPS:
            now, best = steps[-1], None
            for changes in (single_changes, joint_changes, _possible_changes):
                for text, drawn in changes(now.pattern, stride):
                    if _key(drawn) in seen or not kept <= symmetries(drawn):
                        continue
                    bar = best.score if best is not None else now.score + least_gain
                    score = _score_above(bar, drawn, objective)
                    tried += 1
                    if score is not None:
                        best = ImprovementStep(text, drawn, score)
                    else:
                        seen.add(_key(drawn))  # a bar only rises
                    yield ImprovedDrawing(tuple(steps), tried)
                if best is not None:
                    break
            if best is None:
                break
            steps.append(best)
            seen.add(_key(best.pattern))
            yield ImprovedDrawing(tuple(steps), tried)


def _first_steps(pattern: Pattern, objective: Objective) -> list[ImprovementStep]:
    """The drawing as it is; after it, where that is no hull, the first remedy that is one."""
    if len(pattern.creases) > _MOST_CREASES:
        raise BadRequest("a drawing with so many lines takes too long", where=pattern.name, found=f"{len(pattern.creases)} lines")
    made = study(pattern, hand=objective.hand, rules=_as_rules(objective.limits, pattern.sheet))
    relaxed = replace(objective, limits=_reachable(objective.limits, made))
    score = relaxed.score_of(made)
    if score is not None and made.measures.rim_height_mm > 0.0:
        return [ImprovementStep("As it is drawn.", pattern, score)]
    is_outside = replace(objective, limits=Limits()).score_of(study(pattern, hand=objective.hand)) is not None
    for remedy in remedies(made):
        score = relaxed.score_of(remedy.study) if remedy.good else None
        if score is not None:
            return [
                ImprovementStep(f"As it is drawn: {'outside the limits' if is_outside else 'no hull yet'}.", pattern, 0.0),
                ImprovementStep(remedy.text, remedy.pattern, score),
            ]
    if is_outside:
        raise BadRequest("nothing brings this drawing within the limits", where=pattern.name, remedy="Give wider ones")
    raise BadRequest("nothing makes a hull of this drawing within the limits", where=pattern.name, remedy="Mend it first")


def _as_rules(limits: Limits, sheet: Sheet) -> Rules | None:
    """The rules of an event with the highest wall among them: what breaks a rule has remedies."""
    if limits.wall_most_mm is None:
        return limits.rules
    rules = limits.rules or Rules(sheet_mm=(sheet.width_mm, sheet.height_mm))
    return replace(rules, wall_most_mm=min(limits.wall_most_mm, rules.wall_most_mm or math.inf))


def _reachable(limits: Limits, made: Study) -> Limits:
    """The limits, but for a floor or a fold that is narrower already: it need not grow, only not shrink further."""
    floor, fold = limits.floor_least_mm2, limits.fold_least_mm
    if floor is not None and made.hull is not None:
        floor = min(floor, made.hull.cover.area_mm2)
    if fold is not None:
        fold = min(fold, narrowest_mm(made.pattern, fold))
    return replace(limits, floor_least_mm2=floor, fold_least_mm=fold)


def _score_above(bar: float, drawn: Pattern, objective: Objective) -> float | None:
    """What a design scores, where that is above the bar; what holds less at the brim is not asked what hands make of it."""
    trip = study(drawn, hand=objective.hand)
    if objective.aim != "count" and (trip.brim is None or trip.brim.load_g <= bar):
        return None
    score = objective.score_of(trip)
    return score if score is not None and score > bar else None


def _possible_changes(pattern: Pattern, _: Stride) -> Iterator[Change]:
    """The hulls that a drawing may mean which cannot be read as it is: drawn straight its walls can be moved."""
    if pattern.family is None:
        yield from possible_hulls(pattern)


def _key(pattern: Pattern) -> object:
    return pattern.creases, pattern.crimps
