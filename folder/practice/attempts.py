"""A class's trials for the lesson after the day: first and second attempts, five numbers of each, guesses against counts.

attempt   the first, second, ... trial of one pupil, in the order they were noted; only named ones can be told apart
quartile  the middle of the lower and of the upper half, the middle number itself left out of both where there is one: the
          rule of school textbooks (Moore & McCabe, Introduction to the Practice of Statistics, 1.2)
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from folder.cargo.item_list import find_item
from folder.errors import BadRequest
from folder.practice.trial import Trial, pupil_key


class FiveNumbers(NamedTuple):
    """What a box-and-whisker plot is drawn from."""

    least: float
    lower: float
    middle: float
    upper: float
    most: float


def five_numbers(values: Sequence[float]) -> FiveNumbers | None:
    """Least, lower quartile, median, upper quartile, most; None of nothing. A single value is all five."""
    if not values:
        return None
    ordered = sorted(values)
    half = len(ordered) // 2
    lower, upper = ordered[:half] or ordered, ordered[-half:] if half else ordered
    return FiveNumbers(ordered[0], median(lower), median(ordered), median(upper), ordered[-1])


def median(values: Sequence[float]) -> float:
    """The middle one of some ordered values, or half way between the two in the middle."""
    half = len(values) // 2
    return float(values[half]) if len(values) % 2 else (values[half - 1] + values[half]) / 2.0


def attempts(trials: Sequence[Trial]) -> dict[int, list[Trial]]:
    """The trials by which attempt of their pupil they are, 1 for the first; those without a name are no one's attempt."""
    done: dict[str, int] = {}
    found: dict[int, list[Trial]] = {}
    for trial in trials:
        if trial.pupil:
            name = pupil_key(trial.pupil)
            done[name] = done.get(name, 0) + 1
            found.setdefault(done[name], []).append(trial)
    return found


def is_one_object(trials: Sequence[Trial]) -> bool:
    """Whether all trials were of one object of one mass, so that counts can be compared."""
    return len({(_listed(trial.item), trial.mass_each_g) for trial in trials}) <= 1


def _listed(item: str) -> str:
    """The name an object has in the list, whichever of its writings was noted."""
    try:
        return find_item(item).name
    except BadRequest:
        return item
