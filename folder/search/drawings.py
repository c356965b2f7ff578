"""A drawing made better step by step: its walls move and lean, their corners are folded anew, and what is alike stays alike.

group    walls of one width and one turn: they change together, so that a symmetry that is there is kept
step     the one change of a group, in width, turn or both at once, that wins most; ever smaller ones follow
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress

from msgspec import Struct

from folder.errors import BadRequest
from folder.pattern.pattern import Pattern
from folder.pattern.walls.change import with_turn, with_width
from folder.pattern.walls.plan import WallPlan
from folder.pattern.walls.reading import read_plan
from folder.search.families import Stopped
from folder.search.objective import Objective
from folder.studies import study

WIDTH_STEPS_MM = (8.0, 4.0, 2.0, 1.0, 0.5)
TURN_STEPS_DEG = (8.0, 4.0, 2.0, 1.0, 0.5)
"""From what a hand sees at once to what it can just fold."""
_LEAST_GAIN = 1e-3
_MOST_STEPS = 60

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
    """The drawing improved as far as steps of a half millimetre and half a degree go.

    `progress` is told how many designs were tried and the best score; it may raise `Stopped`: the best so far is the
    answer. BadRequest for a drawing that is no hull with one ring of walls, or passes a limit of the objective.
    """
    objective = objective or Objective()
    reading = read_plan(pattern)
    if reading is None or not reading.known or not reading.plan.walls:
        raise BadRequest("only a floor with a ring of walls can be improved", where=pattern.name, remedy="Mend it first")

    def score_of(drawn: Pattern) -> float | None:
        return objective.score_of(study(drawn, hand=objective.hand))

    first = score_of(pattern)
    if first is None:
        raise BadRequest("this drawing is no hull yet, or passes a limit", where=pattern.name, remedy="Mend it first")
    steps, tried, plan = [ImprovementStep("As it is drawn.", pattern, first)], 1, reading.plan
    with suppress(Stopped, KeyboardInterrupt):
        for width_mm, turn_deg in zip(WIDTH_STEPS_MM, TURN_STEPS_DEG, strict=True):
            while len(steps) <= _MOST_STEPS:
                best: tuple[float, str, WallPlan, Pattern] | None = None
                for text, changed in _changes(plan, width_mm, math.radians(turn_deg)):
                    with suppress(BadRequest):
                        drawn = reading.redrawn(changed)
                        score = score_of(drawn)
                        tried += 1
                        if score is not None and score > (best[0] if best else steps[-1].score + _LEAST_GAIN):
                            best = score, text, changed, drawn
                    if progress is not None:
                        progress(tried, best[0] if best else steps[-1].score)
                if best is None:
                    break
                plan = best[2]
                steps.append(ImprovementStep(best[1], best[3], best[0]))
    return ImprovedDrawing(tuple(steps), tried)


def _changes(plan: WallPlan, width_mm: float, turn_rad: float) -> Iterator[tuple[str, WallPlan]]:
    """Every group of like walls made wider or narrower, turned up more or less, or both at once; and all made like one group."""
    groups, every = _groups(plan), range(len(plan.walls))
    for group in groups:
        width, turn = plan.width_mm(group[0]), plan.walls[group[0]].turn_rad
        if len(groups) > 1:
            with suppress(BadRequest):
                yield _told(every, plan, width, turn), _changed(plan, every, width, turn)
        for more in (0.0, width_mm, -width_mm):
            for further in (0.0, turn_rad, -turn_rad):
                if more or further:
                    with suppress(BadRequest):
                        yield (
                            _told(group, plan, width + more, turn + further),
                            _changed(plan, group, width + more, turn + further),
                        )


def _changed(plan: WallPlan, group: Sequence[int], width_mm: float, turn_rad: float) -> WallPlan:
    """BadRequest for a turn that no wall has."""
    for k in group:
        plan = with_turn(with_width(plan, k, width_mm), k, turn_rad)
    return plan


def _groups(plan: WallPlan) -> list[list[int]]:
    groups: dict[tuple[float, float], list[int]] = {}
    for k, wall in enumerate(plan.walls):
        groups.setdefault((round(plan.width_mm(k), 2), round(wall.turn_rad, 4)), []).append(k)
    return list(groups.values())


def _told(group: Sequence[int], plan: WallPlan, width_mm: float, turn_rad: float) -> str:
    which = "All walls" if len(group) == len(plan.walls) else f"{len(group)} walls" if len(group) > 1 else "One wall"
    return f"{which}: {width_mm:.1f} mm wide, turned up to {math.degrees(turn_rad):.1f} degrees."
