"""What the trials so far teach: per pattern, and over all patterns by their held share.

held share   held mass over the brim load of the design: the same for a large and a small hull, so they teach each other
guess error  how far the guess was from the count, in objects
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import msgspec
import numpy as np
from msgspec import Struct

from folder.geometry.space import Floats
from folder.practice.trial import Trial


class Figures(Struct, frozen=True):
    """A quantity over n trials: nan without any trial, the deviation below two."""

    n: int
    mean: float
    median: float
    deviation: float
    smallest: float
    largest: float


class GuessError(Struct, frozen=True):
    """How close n guesses were, in objects: `mean_error` either way, `mean_over` positive when they were too high."""

    n: int
    exact: int
    mean_error: float
    mean_over: float
    text: str


class PatternSummary(Struct, frozen=True):
    """The trials of one design: of the same creases and sheet, or, where only a name was noted, of that name and sheet.

    `pattern` is the name it was first noted by, `share` covers the trials whose brim load is known.
    """

    pattern: str
    sheet_width_mm: float
    sheet_height_mm: float
    design: str
    held_g: Figures
    share: Figures
    guesses: GuessError


class Summary(Struct, frozen=True):
    """All trials: each pattern in the order first noted, and what they have in common."""

    n: int
    patterns: tuple[PatternSummary, ...]
    share: Figures
    guesses: GuessError

    def as_json(self) -> dict[str, Any]:
        """The summary in plain types, None where there is no number."""
        plain: dict[str, Any] = msgspec.json.decode(msgspec.json.encode(self))
        return plain


def summarise(trials: Sequence[Trial]) -> Summary:
    """The summary of these trials, in any order."""
    held_g = np.array([trial.count * trial.mass_each_g for trial in trials], dtype=np.float64)
    # None becomes nan, and nan drops out below.
    share = held_g / np.array([trial.brim_g for trial in trials], dtype=np.float64)
    over = np.array([trial.guess for trial in trials], dtype=np.float64)
    over -= np.array([trial.count for trial in trials], dtype=np.float64)
    keys = [group_of(trial) for trial in trials]
    numbers = {key: number for number, key in enumerate(dict.fromkeys(keys))}
    group = [numbers[key] for key in keys]
    order = np.argsort(group, kind="stable")
    members = np.split(order, np.cumsum(np.bincount(group, minlength=1))[:-1])
    patterns = tuple(
        _of_design(trials[rows[0]], _figures(held_g[rows]), _figures(share[rows]), _guesses(over[rows]))
        for rows in members
        if len(rows)
    )
    return Summary(len(trials), patterns, _figures(share), _guesses(over))


def group_of(trial: Trial | PatternSummary) -> object:
    """By this trials are told apart by their design."""
    return trial.design or (trial.pattern, trial.sheet_width_mm, trial.sheet_height_mm)


def _of_design(first: Trial, held_g: Figures, share: Figures, guesses: GuessError) -> PatternSummary:
    return PatternSummary(first.pattern, first.sheet_width_mm, first.sheet_height_mm, first.design, held_g, share, guesses)


def _figures(values: Floats) -> Figures:
    """Figures of the values that are known (n,)."""
    values = values[~np.isnan(values)]
    n = len(values)
    if not n:
        return Figures(0, np.nan, np.nan, np.nan, np.nan, np.nan)
    deviation = float(np.std(values, ddof=1)) if n > 1 else np.nan
    middle = float(np.median(values))
    return Figures(n, float(np.mean(values)), middle, deviation, float(np.min(values)), float(np.max(values)))


def _guesses(over: Floats) -> GuessError:
    """Guess minus count (n,), nan where nothing was guessed."""
    over = over[~np.isnan(over)]
    n = len(over)
    if not n:
        return GuessError(0, 0, np.nan, np.nan, "Nobody guessed.")
    exact, error, mean = int(np.sum(over == 0)), float(np.mean(np.abs(over))), float(np.mean(over))
    side = f"on average {abs(mean):.1f} too {'high' if mean > 0 else 'low'}" if mean else "neither too high nor too low"
    text = f"{n} {'guess' if n == 1 else 'guesses'}, {exact} exact: {error:.1f} objects off, {side}."
    return GuessError(n, exact, error, mean, text)
