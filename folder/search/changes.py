"""What may be changed of a pattern that is a hull: its walls as they are read, the numbers of its family, else all walls at once.

group    walls of one width and one turn: they change together
change   a pattern that differs by one step, in words and drawn: its corners are folded anew
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from contextlib import suppress
from itertools import combinations, product

from msgspec import Struct

from folder.errors import BadRequest
from folder.pattern.families.catalogue import find_family, make
from folder.pattern.families.parameter import Parameter, Value
from folder.pattern.pattern import Pattern
from folder.pattern.walls.change import with_hem, with_turn, with_width
from folder.pattern.walls.plan import WallPlan
from folder.pattern.walls.reading import PlanReading, read_plan
from folder.search.sweeps import Sweep
from folder.studies import study


class Stride(Struct, frozen=True):
    """How far a step goes, and whether what it changes comes to lie on whole millimetres and degrees."""

    width_mm: float
    turn_deg: float
    whole: bool = False

    def moved(self, value: float, by: float) -> float:
        """A number moved on by so much."""
        return float(round(value + by)) if self.whole and by else value + by


Change = tuple[str, Pattern]


def single_changes(pattern: Pattern, stride: Stride) -> Iterator[Change]:
    """Every change of one group of walls, or of one number."""
    reading = _reading_of(pattern)
    if reading is not None:
        yield from _wall_changes(reading, stride)
    if pattern.family is not None:
        yield from _family_changes(pattern, stride, 1)
    elif reading is None:
        yield from _sweep_changes(pattern, stride)


def joint_changes(pattern: Pattern, stride: Stride) -> Iterator[Change]:
    """Every change of two at once, where one has to be given up for the other."""
    reading = _reading_of(pattern)
    if reading is not None:
        yield from _joint_wall_changes(reading, stride)
    if pattern.family is not None:
        yield from _family_changes(pattern, stride, 2)


def _reading_of(pattern: Pattern) -> PlanReading | None:
    """The walls of a pattern; None where they cannot be read, or there are none."""
    reading = read_plan(pattern)
    return reading if reading is not None and reading.known and reading.plan.walls else None


def _wall_changes(reading: PlanReading, stride: Stride) -> Iterator[Change]:
    """Every group of like walls made wider or narrower, turned up more or less, or both at once; and all made like one group."""
    plan, groups, every = reading.plan, _groups(reading.plan), range(len(reading.plan.walls))
    for group in groups:
        width, turn = plan.width_mm(group[0]), math.degrees(plan.walls[group[0]].turn_rad)
        if len(groups) > 1:
            yield from _redrawn(reading, "All walls made alike.", [(every, width, turn)])
        for more, further in product((0.0, stride.width_mm, -stride.width_mm), (0.0, stride.turn_deg, -stride.turn_deg)):
            wide, far = stride.moved(width, more), min(stride.moved(turn, further), 90.0)
            text = _wall_text(group, plan, wide - width, far - turn)
            if text:
                yield from _redrawn(reading, text, [(group, wide, far)])
    for by in (stride.width_mm, -stride.width_mm) if plan.hem_mm > 0.0 else ():
        deep = stride.moved(plan.hem_mm, by)
        if deep > 0.0:
            with suppress(BadRequest):
                text = f"The hem {abs(deep - plan.hem_mm):.3g} mm {'wider' if by > 0.0 else 'narrower'}."
                yield text, reading.redrawn(with_hem(plan, deep, plan.hem_sides))


def _joint_wall_changes(reading: PlanReading, stride: Stride) -> Iterator[Change]:
    """Two groups at once: both wider, both narrower, one wider and the other narrower, and their turns so."""
    plan = reading.plan
    for one, other in combinations(_groups(plan), 2):
        for a, b in product((1.0, -1.0), repeat=2):
            for width_mm, turn_deg in ((stride.width_mm, 0.0), (0.0, stride.turn_deg)):
                changed, words = [], []
                for group, sign in ((one, a), (other, b)):
                    width, turn = plan.width_mm(group[0]), math.degrees(plan.walls[group[0]].turn_rad)
                    wide, far = stride.moved(width, sign * width_mm), min(stride.moved(turn, sign * turn_deg), 90.0)
                    changed.append((group, wide, far))
                    words.append(_wall_text(group, plan, wide - width, far - turn))
                if all(words):
                    yield from _redrawn(reading, " ".join(words), changed)


def _redrawn(reading: PlanReading, text: str, changed: Sequence[tuple[Sequence[int], float, float]]) -> Iterator[Change]:
    """The drawing with groups of walls so wide (mm) and turned so far (deg); nothing where there is none such."""
    with suppress(BadRequest):
        plan = reading.plan
        for group, width_mm, turn_deg in changed:
            for k in group:
                plan = with_turn(with_width(plan, k, width_mm), k, math.radians(turn_deg))
        yield text, reading.redrawn(plan)


def _groups(plan: WallPlan) -> list[list[int]]:
    """The walls by their numbers, those of one width and one turn together."""
    groups: dict[tuple[float, float], list[int]] = {}
    for k, wall in enumerate(plan.walls):
        groups.setdefault((round(plan.width_mm(k), 2), round(wall.turn_rad, 4)), []).append(k)
    return list(groups.values())


def _wall_text(group: Sequence[int], plan: WallPlan, more_mm: float, further_deg: float) -> str:
    """What changes of a group of walls, in words; nothing where nothing does."""
    many = len(group) != 1
    which = "All walls" if len(group) == len(plan.walls) else f"{len(group)} walls" if many else "One wall"
    parts = []
    if abs(more_mm) > 1e-6:
        parts.append(f"{'get' if many else 'gets'} {abs(more_mm):.3g} mm {'more' if more_mm > 0.0 else 'less'} foil")
    if abs(further_deg) > 1e-6:
        parts.append(f"{'lean' if many else 'leans'} out {abs(further_deg):.3g}° {'less' if further_deg > 0.0 else 'more'}")
    return f"{which} {' and '.join(parts)}." if parts else ""


def _family_changes(pattern: Pattern, stride: Stride, at_once: int) -> Iterator[Change]:
    """So many numbers of its family moved at once; words and counts are the pupil's idea and stay."""
    assert pattern.family is not None
    family = find_family(pattern.family.name)
    values = family.filled(pattern.sheet, family.values(pattern.family.parameters))
    free = [p for p in family.parameters if not isinstance(p.default, str) and not p.whole and (values[p.name] or p.default)]
    for chosen in combinations(free, at_once):
        for signs in product((1.0, -1.0), repeat=at_once):
            moved: dict[str, Value] = {}
            for parameter, sign in zip(chosen, signs, strict=True):
                by = sign * (stride.turn_deg if parameter.unit == "deg" else stride.width_mm)
                value = stride.moved(float(values[parameter.name]), by)
                moved[parameter.name] = min(max(value, parameter.low), parameter.high)
            text = " ".join(_number_text(p, values[p.name], moved[p.name]) for p in chosen).strip()
            if text:
                with suppress(BadRequest):
                    changed = make(family.name, {**values, **moved}, sheet=pattern.sheet, name=pattern.name, note=pattern.note)
                    yield text, changed


def _number_text(parameter: Parameter, before: Value, after: Value) -> str:
    """One number in words: "Wall 3 mm more"."""
    more = float(after) - float(before)
    unit = "°" if parameter.unit == "deg" else f" {parameter.unit}".rstrip()
    name = parameter.name.replace("-", " ").capitalize()
    return f"{name} {abs(more):.3g}{unit} {'more' if more > 0.0 else 'less'}." if abs(more) > 1e-9 else ""


def _sweep_changes(pattern: Pattern, stride: Stride) -> Iterator[Change]:
    """All walls of any drawing higher or lower, its lines kept parallel to what they are."""
    sweep = Sweep(study(pattern))
    for variable in sweep.variables:
        for by in (stride.width_mm, -stride.width_mm):
            value = stride.moved(variable.now, by)
            drawn = sweep.variant(variable, value) if variable.low <= value <= variable.high else None
            if drawn is not None:
                more = value - variable.now
                yield f"All walls {abs(more):.3g} mm {'higher' if more > 0.0 else 'lower'}.", drawn
