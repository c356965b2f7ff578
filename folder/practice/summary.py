"""What the trials so far teach: per pattern, and over all patterns by their held share.

held share   held mass over the brim load of the design: the same for a large and a small hull, so they teach each other
guess error  how far the guess was from the count, in objects
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import msgspec
import numpy as np
from msgspec import Struct

from folder.geometry.space import Floats
from folder.practice.bound import FEWEST_FOR_STUDENT, Bound, bound
from folder.practice.trial import Trial


class Figures(Struct, frozen=True):
    """A quantity over n trials. Mean, smallest and largest are nan without any trial, the deviation below two."""

    n: int
    mean: float
    deviation: float
    smallest: float
    largest: float
    bound: Bound


class GuessError(Struct, frozen=True):
    """How close n guesses were, in objects: `mean_error` either way, `mean_over` positive when they were too high."""

    n: int
    exact: int
    mean_error: float
    mean_over: float
    text: str


class PatternSummary(Struct, frozen=True):
    """The trials of one pattern on one size of sheet. `share` covers those whose brim load is known."""

    pattern: str
    sheet_width_mm: float
    sheet_height_mm: float
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


class Expectation(Struct, frozen=True):
    """What the trials say a design will carry, g, in place of an estimate without any.

    `own` is whether they are trials of this very pattern. The sentence names n.
    """

    low_g: float
    likely_g: float
    high_g: float
    n: int
    own: bool
    text: str


def summarise(trials: Sequence[Trial]) -> Summary:
    """The summary of these trials, in any order."""
    held_g = np.array([trial.count * trial.mass_each_g for trial in trials], dtype=np.float64)
    # None becomes nan, and nan drops out below.
    share = held_g / np.array([trial.brim_g for trial in trials], dtype=np.float64)
    over = np.array([trial.guess for trial in trials], dtype=np.float64)
    over -= np.array([trial.count for trial in trials], dtype=np.float64)
    numbers: dict[tuple[str, float, float], int] = {}
    for trial in trials:
        numbers.setdefault((trial.pattern, trial.sheet_width_mm, trial.sheet_height_mm), len(numbers))
    group = [numbers[trial.pattern, trial.sheet_width_mm, trial.sheet_height_mm] for trial in trials]
    order = np.argsort(group, kind="stable")
    members = np.split(order, np.cumsum(np.bincount(group, minlength=1))[:-1])
    patterns = tuple(
        PatternSummary(*key, _figures(held_g[rows], _grams), _figures(share[rows], _percent), _guesses(over[rows]))
        for key, rows in zip(numbers, members, strict=False)
    )
    return Summary(len(trials), patterns, _figures(share, _percent), _guesses(over))


def expect(trials: Sequence[Trial], pattern: str, brim_g: float) -> Expectation | None:
    """What a design may expect: from its own trials if there are 4 or more, else from those of all patterns.

    None where no trial has a brim load.
    """
    known = [(trial.pattern == pattern, share) for trial in trials if (share := trial.held_share) is not None]
    if not known:
        return None
    own = sum(mine for mine, _ in known) >= FEWEST_FOR_STUDENT
    figures = _figures(np.array([share for mine, share in known if mine or not own]), _percent)
    low = figures.bound.value or 0.0
    high = figures.largest
    if figures.bound.ground == "student":  # as far above the mean as the bound is below, but no more than was ever seen
        high = min(2 * figures.mean - low, max(1.0, figures.largest))
    whose = "of this pattern" if own else "of all patterns"
    text = f"From trials {whose}, in shares of the brim load: {figures.bound.text}"
    return Expectation(low * brim_g, figures.mean * brim_g, high * brim_g, figures.n, own, text)


def _figures(values: Floats, show: Callable[[float], str]) -> Figures:
    """Figures of the values that are known (n,)."""
    values = values[~np.isnan(values)]
    n = len(values)
    if not n:
        return Figures(0, np.nan, np.nan, np.nan, np.nan, bound(0, np.nan, np.nan, np.nan, show))
    mean, smallest, largest = float(np.mean(values)), float(np.min(values)), float(np.max(values))
    deviation = float(np.std(values, ddof=1)) if n > 1 else np.nan
    return Figures(n, mean, deviation, smallest, largest, bound(n, mean, deviation, smallest, show))


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


def _grams(value: float) -> str:
    return f"{value:.1f} g"


def _percent(value: float) -> str:
    return f"{100 * value:.1f} %"
