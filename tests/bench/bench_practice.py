"""How long a summary of 100,000 trials takes, and an estimate from 1,000 and from 100,000: the limits are 200 and 50 ms.

Run `python -m pytest tests/bench/bench_practice.py --benchmark-enable`; its table prints the times.
"""

from __future__ import annotations

import random
from pathlib import Path

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from folder.pattern.pattern import Sheet
from folder.practice.estimate import Estimate, Joined
from folder.practice.evidence import evidence
from folder.practice.exchange import format_csv, parse_csv
from folder.practice.identity import Identity
from folder.practice.log import TrialLog, read_trials
from folder.practice.summary import summarise
from folder.practice.trial import Trial

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


def test_summary_of_100_000_trials(benchmark: BenchmarkFixture, trials: list[Trial]) -> None:
    assert 100_000 == benchmark(summarise, trials).n
    if benchmark.stats:  # None while benchmarks are switched off
        assert benchmark.stats.stats.median < LIMIT_S


def estimated(trials: list[Trial]) -> Estimate:
    return Joined(250.0, "usual", {"usual": MODEL_G}, evidence(trials, TRAY)).in_grams


def test_estimate_from_1_000_trials_of_40_designs(benchmark: BenchmarkFixture, trials: list[Trial]) -> None:
    assert benchmark(estimated, trials[:1000]).n_others > 400
    if benchmark.stats:
        assert benchmark.stats.stats.median < ESTIMATE_LIMIT_S


def test_estimate_from_100_000_trials(benchmark: BenchmarkFixture, trials: list[Trial]) -> None:
    assert benchmark(estimated, trials).n_own > 1000


def test_reading_100_000_trials_from_the_log(benchmark: BenchmarkFixture, trials: list[Trial], tmp_path: Path) -> None:
    path = tmp_path / "trials.sqlite"
    with TrialLog(path) as log:
        log.add_all(trials)
    assert trials == list(benchmark.pedantic(read_trials, args=(path,), rounds=3))


def test_reading_100_000_trials_from_csv(benchmark: BenchmarkFixture, trials: list[Trial]) -> None:
    table = format_csv(trials)
    assert trials == list(benchmark.pedantic(parse_csv, args=(table, "table.csv"), rounds=2).trials)
