"""What must be done to come from a drawing to what it means, in words a pupil follows."""

from __future__ import annotations

import math

from folder.pattern.pattern import Pattern
from folder.pattern.reading.plan import HullPlan
from folder.pattern.reading.roles import Roles

MOST_SAID = 4
"""More than this is told as tidying up."""
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight")


def number_words(n: int, one: str, several: str = "") -> str:
    """So many of something, in words: the one, both, all four."""
    return f"the {one}" if n == 1 else f"{_NUMBERS[n] if n < len(_NUMBERS) else n} {several or one + 's'}"


def plan_text(pattern: Pattern, roles: Roles, plan: HullPlan) -> str:
    """What a plan changes in a drawing, the first thing first."""
    parts = [
        _straighten(roles),
        _doubles(pattern, roles),
        f"end {number_words(roles.diagonals, 'diagonal')} at the corners" if roles.diagonals else "",
        "take out the cut" if any(c.sense == "cut" for c in pattern.creases) else "",
        f"fold {number_words(roles.away, 'wall')} up toward you" if roles.away else "",
        f"fold {number_words(plan.turned, 'wall')} to {_turn(plan)}" if plan.turned else "",
        f"add {_missing(plan, roles)}" if len(plan.added) > plan.blunted else "",
        f"make {number_words(plan.blunted, 'point')} blunt with a wall" if plan.blunted else "",
        "fold the line in the middle flat to a pleat" if plan.pleats else "",
        "open the lines across the floor" if _loses_lines(roles, plan) else "",
        "move the point in" if plan.moved and not plan.hem_sides else "",
        "hem the rim" if plan.hem_sides else "",
        "move the walls in by the hem" if plan.moved and plan.hem_sides else "",
        "fold the corners in" if plan.folded_in else "",
        "fold all corners",
    ]
    said = [part for part in parts if part]
    if len(said) > MOST_SAID:
        said = ["tidy up the whole drawing", *said[-MOST_SAID + 1 :]]
    text = ", ".join(said[:-1]) + (" and " if len(said) > 1 else "") + said[-1]
    return f"{text[0].upper()}{text[1:]}."


def _straighten(roles: Roles) -> str:
    return f"straighten {number_words(roles.crooked, 'line')}" if roles.crooked else ""


def _doubles(pattern: Pattern, roles: Roles) -> str:
    lines = (*roles.walls, *roles.hems, *roles.across)
    doubled = sum(w.drawn > 1 for w in lines)
    return f"make {number_words(doubled, 'doubled line')} one" if doubled and pattern.creases else ""


def _turn(plan: HullPlan) -> str:
    turns = sorted({round(math.degrees(t), 1) for t in plan.turns_rad})
    return f"{turns[-1]:g} degrees"


def _missing(plan: HullPlan, roles: Roles) -> str:
    n = len(plan.added) - plan.blunted
    if not roles.walls and n == len(plan.floor):
        return f"{_NUMBERS[n] if n < len(_NUMBERS) else n} walls"
    return "the missing wall" if n == 1 else f"the {_NUMBERS[n] if n < len(_NUMBERS) else n} missing walls"


def _loses_lines(roles: Roles, plan: HullPlan) -> bool:
    """Lines across the floor are drawn there no more."""
    return len(roles.across) > len(plan.pleats) or plan.lost > 0
