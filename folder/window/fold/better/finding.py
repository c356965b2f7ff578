"""The search for better hulls as the window has it done: in another process, each hull of the way with its picture. No pygame."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from folder.draw.hull.view import View
from folder.draw.sheet.flat import crease_sheet
from folder.event.rules import Rules
from folder.pattern.pattern import Pattern
from folder.practice.trial import Trial
from folder.search.drawings import improvements
from folder.search.objective import Limits, Objective
from folder.search.reasons import cause
from folder.studies import Study, study
from folder.units import TOLERANCES
from folder.verdict import verdict_of
from folder.window.background.snapshot import hull_snapshot
from folder.window.fold.better.state import BetterStep, TriedCount

FLOOR_SHARE = 1.0 / 15.0
"""Nothing can be set down on less of the sheet (judgement)."""
STEP_G = 0.5
"""A step that wins less is not worth a look."""
EACH = 5
"""After so many designs it says how many were tried."""


def better_hulls(
    pattern: Pattern, rules: Rules | None, trials: tuple[Trial, ...], view: View
) -> Iterator[BetterStep | TriedCount]:
    """The pupil's own hull, then each better one as it is found: in whole millimetres and degrees, with no fold too narrow for a
    child, within an event's rules. What usual hands likely carry is searched for; what trials make of that is shown.
    """
    least = pattern.sheet.width_mm * pattern.sheet.height_mm * FLOOR_SHARE
    objective = Objective("likely", limits=Limits(None, least, TOLERANCES.too_close_mm, True, rules))
    made: list[tuple[Study, float]] = []
    for way in improvements(pattern, objective, least_gain=STEP_G):
        for step in way.steps[len(made) :]:
            now = study(step.pattern, trials=trials, rules=rules)
            likely = now.load.likely_g or 0.0 if step.score > 0.0 else 0.0
            made.append((now, likely))
            yield _step(made, step.text, view)
        if way.tried % EACH == 0:
            yield TriedCount(way.tried)
    yield TriedCount(way.tried)


def _step(made: list[tuple[Study, float]], text: str, view: View) -> BetterStep:
    (now, likely), (first, first_g) = made[-1], made[0]
    causes = ("", "")
    if len(made) > 1:
        before, before_g = made[-2]
        causes = (
            cause(before, now, likely - before_g) if before_g else text.removesuffix("."),
            cause(first, now, likely - first_g) if first_g else "",
        )
    lines = crease_sheet(replace(now.pattern, crimps=()), steps=False)
    breaks_rules = not likely and now.rules is not None and verdict_of(study(now.pattern)).level == "good"
    return BetterStep(now.pattern, likely, hull_snapshot(now, view), lines, *causes, breaks_rules)
