"""How long a summary of 100,000 trials takes, and an estimate from 1,000 and from 100,000: the limits are 200 and 50 ms.

Run `python -m pytest tests/bench/bench_practice.py`.
"""

from __future__ import annotations

import random
from pathlib import Path

import numpy as np
import pytest

from folder.pattern.pattern import Sheet
from folder.practice.estimate import Estimate, JoinedEstimate
from folder.practice.evidence import evidence
from folder.practice.exchange import format_csv, parse_csv
from folder.practice.identity import Identity
from folder.practice.log import TrialLog, read_trials
from folder.practice.summary import summarise
from folder.practice.trial import Trial
from tests.bench.clock import growth, timed
from tests.bench.conftest import Report

LIMIT_S = 0.2
ESTIMATE_LIMIT_S = 0.05
TRAY = Identity("0" * 16, "Tray 7", Sheet(), 250.0)
MODEL_G = np.linspace(120.0, 215.0, 2000)


@pytest.fixture(scope="module")
def trials() -> list[Trial]:
    draw = random.Random(7)
    return [
        Trial(
            "2025-03-14",
            f"Tray {draw.randrange(40)}",
            "us-cent",
            2.5,
            draw.randrange(100),
            guess=draw.choice([None, draw.randrange(100)]),
            brim_g=draw.choice([None, draw.uniform(200.0, 300.0)]),
        )
        for _ in range(100_000)
    ]


def test_summary_of_100_000_trials(report: Report, trials: list[Trial]) -> None:
    times = {n: timed(lambda n=n: summarise(trials[:n]), 3)[1] for n in (1_000, 10_000)}  # type: ignore[misc]
    made, times[100_000] = timed(lambda: summarise(trials), 3)
    assert 100_000 == made.n
    text = f"summary of 100,000: {1e3 * times[100_000]:.0f} ms (limit 200)"
    report(text, against="its limit", ratio=times[100_000] / LIMIT_S, aim=1.0, growth=growth(times))
    assert times[100_000] < LIMIT_S


def estimated(trials: list[Trial]) -> Estimate:
    return JoinedEstimate(250.0, "usual", {"usual": MODEL_G}, evidence(trials, TRAY)).in_grams


def test_estimate_from_1_000_and_from_100_000_trials_of_40_designs(report: Report, trials: list[Trial]) -> None:
    few, few_s = timed(lambda: estimated(trials[:1000]), 5)
    all_of_them, all_s = timed(lambda: estimated(trials), 2)
    assert few.n_others > 400
    assert all_of_them.n_own > 1000
    text = f"1,000 trials {1e3 * few_s:.0f} ms (limit 50), 100,000 {1e3 * all_s:.0f} ms"
    report(text, against="its limit", ratio=few_s / ESTIMATE_LIMIT_S, aim=1.0, growth=growth({1_000: few_s, 100_000: all_s}))
    assert few_s < ESTIMATE_LIMIT_S


def test_reading_100_000_trials_from_the_log(report: Report, trials: list[Trial], tmp_path: Path) -> None:
    path = tmp_path / "trials.sqlite"
    with TrialLog(path) as log:
        log.add_all(trials)
    read, taken = timed(lambda: read_trials(path), 3)
    assert trials == list(read)
    report(f"from the log: {taken:.2f} s")


def test_reading_100_000_trials_from_csv(report: Report, trials: list[Trial]) -> None:
    table = format_csv(trials)
    read, taken = timed(lambda: parse_csv(table, "table.csv"), 2)
    assert trials == list(read.trials)
    report(f"from CSV: {taken:.2f} s")
