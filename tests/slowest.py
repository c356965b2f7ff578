"""The slowest 20 tests of a run as a table, a plugin of pytest; `--keep-slowest FILE` also writes it into a file.

Seconds are those by the clock of a test with what it set up and took down: what several tests share is counted with the first.
"""

import os
import platform
from collections import Counter
from pathlib import Path

import pytest

COUNT = 20
TAKEN = pytest.StashKey[Counter[str]]()


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--keep-slowest", type=Path, help="write the slowest 20 tests into this file")


def pytest_configure(config: pytest.Config) -> None:
    config.stash[TAKEN] = Counter()
    config.pluginmanager.register(Clock(config.stash[TAKEN]))


class Clock:
    """Adds up what is reported of each test, from whichever process."""

    def __init__(self, taken: Counter[str]) -> None:
        self.taken = taken

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        self.taken[report.nodeid] += report.duration


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    taken, path = config.stash[TAKEN], config.getoption("--keep-slowest")
    rows = [f"| {seconds:.1f} | {test.removeprefix('tests/').replace('|', '/')} |" for test, seconds in taken.most_common(COUNT)]
    terminalreporter.write_line(f"The slowest {len(rows)} of {len(taken)} tests, {taken.total():.0f} s together:")
    for row in rows:
        terminalreporter.write_line(row)
    if path is not None:
        machine = f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}, {platform.system()}"
        said = f"Written by `python -m tests slowest` on {machine}: {len(taken)} tests, {taken.total():.0f} s together."
        text = "\n".join(["# The slowest tests", "", said, "", "| s | test |", "|---|---|", *rows])
        path.write_text(f"{text}\n", encoding="utf-8")
