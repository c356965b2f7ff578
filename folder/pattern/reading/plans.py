"""All the hulls that a drawing may mean, those that give up nothing first, then by how much they hold."""

from __future__ import annotations

from collections.abc import Iterator

from folder.pattern.pattern import Pattern
from folder.pattern.reading.choice import first_plans
from folder.pattern.reading.complete import with_better_rim, with_missing_walls
from folder.pattern.reading.even import evened, with_turns
from folder.pattern.reading.plan import HullPlan
from folder.pattern.reading.roles import Roles


def plans_of(pattern: Pattern, roles: Roles) -> list[HullPlan]:
    """The hulls that a drawing may mean, those that give up nothing first, then by how much they hold."""
    plans: list[HullPlan] = []
    for plan in _all_plans(pattern, roles):
        if plan.whole and plan.volume_mm3 > 0.0 and plan not in plans:
            plans.append(plan)
    return sorted(plans, key=lambda p: (p.lost, -p.volume_mm3))


def _all_plans(pattern: Pattern, roles: Roles) -> Iterator[HullPlan]:
    for plan in first_plans(pattern.sheet, roles):
        for even in (True, False):
            placed = evened(plan, pattern.sheet) if even else plan
            for turned in with_turns(placed):
                closed = with_missing_walls(turned, pattern.sheet, roles)
                yield closed
                yield from with_better_rim(closed, pattern.sheet)
