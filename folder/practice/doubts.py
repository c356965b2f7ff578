"""What is asked about before it is noted: what can hardly be true, or was noted before. Nothing is swallowed, nothing refused for good."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from folder.practice.trial import Trial, grams


def doubts(trial: Trial, today: str) -> tuple[str, ...]:
    """What can hardly be true of a trial, a sentence each; `today` is an ISO date."""
    found = []
    if trial.brim_g is not None and trial.held_g > trial.brim_g:
        held = f"{trial.count} of {trial.mass_each_g:g} g are {grams(trial.held_g)} g"
        found.append(f"{held}, more than the {trial.brim_g:.1f} g that bring water over the brim of {trial.pattern}")
    if trial.date > today:
        found.append(f"the date {trial.date} is still to come")
    return tuple(found)


def noted_before(trials: Sequence[Trial], log: Mapping[int, Iterable[Trial]]) -> tuple[Trial, ...]:
    """Those trials of a file that a log holds already, each as often as it stands in both.

    `log` has all that was noted for each number: what was corrected or struck out since is no news either.
    """
    numbers: dict[Trial, list[int]] = {}
    for number, noted in reversed(list(log.items())):
        for trial in dict.fromkeys(noted):
            numbers.setdefault(trial, []).append(number)
    found, spent = [], set[int]()
    for trial in trials:
        left = numbers.get(trial, [])
        while left and left[-1] in spent:
            left.pop()
        if left:
            spent.add(left.pop())
            found.append(trial)
    return tuple(found)
