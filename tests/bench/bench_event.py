"""How long the places of 500 teams with 5,000 entries take, and opening their file: the limits are 100 and 200 ms.

Run `python -m pytest tests/bench/bench_event.py`.
"""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from folder.event.entry import Entry, Team, results
from folder.event.file import EventFile
from folder.event.places import Standing, standings
from folder.event.rules import Points, Rules
from tests.bench.clock import timed
from tests.bench.conftest import Report

PLACES_S, OPENED_S = 0.1, 0.2
RULES = Rules(order=("points", "held", "sheets", "guess"), points=Points(1.0, -0.5, -5.0))


@pytest.fixture(scope="module")
def noted() -> tuple[list[Team], list[Entry]]:
    dice = random.Random(4)
    teams = [Team(f"{k:032x}", f"2026-01-01T00:00:00.{k:06}+00:00", k, f"Team {k}") for k in range(1, 501)]
    entries = [
        Entry(
            f"{k:032x}",
            f"2026-01-01T01:00:00.{k:06}+00:00",
            "tub",
            dice.choice(teams).id,
            dice.randrange(90),
            dice.randrange(90),
            1,
        )
        for k in range(5000)
    ]
    dice.shuffle(entries)
    return teams, entries


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory, noted: tuple[list[Team], list[Entry]]) -> Path:
    path = tmp_path_factory.mktemp("event") / "day.sqlite"
    with EventFile.new(path, RULES) as event:
        event._db.execute("BEGIN")
        event._add("team", [(t.id, t.at, t.number, t.name) for t in noted[0]])
        event._add("entry", [(e.id, e.at, e.station, e.team, e.guess, e.held, e.sheets) for e in noted[1]])
        event._db.execute("COMMIT")
    return path


def placed(noted: tuple[list[Team], list[Entry]]) -> tuple[Standing, ...]:
    return standings(RULES, results(*noted))


def test_places_of_500_teams_from_5_000_entries(report: Report, noted: tuple[list[Team], list[Entry]]) -> None:
    found, taken = timed(lambda: placed(noted), 5)
    assert 500 == len(found)
    report.limit(f"places: {1e3 * taken:.0f} ms (limit 100)", taken, PLACES_S)
    assert taken < PLACES_S


def opened(path: Path) -> int:
    with EventFile(path) as event:
        return len(event.standings())


def test_a_file_of_500_teams_and_5_000_entries_opened_and_placed(report: Report, path: Path) -> None:
    found, taken = timed(lambda: opened(path), 5)
    assert 500 == found
    report.limit(f"opened and placed: {1e3 * taken:.0f} ms (limit 200)", taken, OPENED_S)
    assert taken < OPENED_S
