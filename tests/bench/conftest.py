"""What every bench needs: a way to tell what it measured, and all of it in one table.

ratio   our time over that of another way in the same run, or over the limit, or what its row says: the smaller the better
aim     the largest ratio wanted
growth  k, where the time grows like n^k
ended   ok; or over its aim, but not so far that the bench fails; or what was missed, or what broke: the other benches go on
"""

from __future__ import annotations

import os
import platform
import signal
from collections.abc import Iterator
from pathlib import Path

import pytest

PATIENCE_S = 300
"""A bench that takes longer has failed."""
HEAD = ("bench", "what", "against", "ratio", "aim", "growth", "ended", "measured")
AIM, ENDED = HEAD.index("aim"), HEAD.index("ended")
SHOWN = ("bench", "against", "ratio", "aim", "growth", "ended", "measured")
WIDTH = {"ended": 40, "measured": 120}
"""Most letters of a cell on the screen."""
ROWS = pytest.StashKey[list[list[str]]]()


class Report:
    """Rows of one bench for the table."""

    def __init__(self, bench: str, what: str) -> None:
        self.bench, self.what, self.rows = bench, what, []

    def __call__(
        self,
        measured: str,
        *,
        against: str = "",
        ratio: float | None = None,
        aim: float | None = None,
        growth: float | None = None,
    ) -> None:
        """One row: a sentence with the figures, and the ratio and growth where there are such."""
        numbers = ["" if number is None else f"{number:.3g}" for number in (ratio, aim, growth)]
        self.rows.append([self.bench, self.what, against, *numbers, "", " ".join(measured.split())])

    def limit(self, measured: str, taken: float, limit: float) -> None:
        """A row of what is held against a limit alone."""
        self(measured, against="its limit", ratio=taken / limit, aim=1.0)


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--results", type=Path, help="write what the benches report into this file, as a table")


def pytest_configure(config: pytest.Config) -> None:
    config.stash[ROWS] = []


@pytest.fixture
def report(request: pytest.FixtureRequest) -> Report:
    """Takes down what a bench measured."""
    return request.node.report


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Iterator[None]:
    """Each bench has its time, and its rows are kept however it ends."""
    item.report = Report(item.path.stem.removeprefix("bench_"), item.name.removeprefix("test_").replace("_", " "))
    if hasattr(signal, "SIGALRM"):
        signal.signal(signal.SIGALRM, _too_long)
        signal.alarm(PATIENCE_S)
    try:
        return (yield)
    finally:
        if hasattr(signal, "SIGALRM"):
            signal.alarm(0)
        item.config.stash[ROWS] += item.report.rows
        _write(item.config, item.session)


def _too_long(*_: object) -> None:
    raise TimeoutError(f"a bench took over {PATIENCE_S} s")


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item, call: pytest.CallInfo) -> Iterator[None]:
    """How it ended; what broke is named by its kind alone, for its words may hold paths of this machine."""
    outcome = yield
    if call.excinfo is None and call.when != "call":
        return outcome
    if not item.report.rows:
        item.report("")
    rows = item.report.rows
    over = [row for row in rows if row[AIM] and float(row[AIM - 1]) > float(row[AIM])]
    for row in rows:
        row[ENDED] = "over its aim" if row in over else "ok"
    if call.excinfo is not None:
        missed = call.excinfo.errisinstance(AssertionError)
        why = f"MISSED: {str(call.excinfo.value).splitlines()[0]}" if missed else f"FAILED: {call.excinfo.typename}"
        for row in over if missed and over else rows[-1:]:
            row[ENDED] = why
    return outcome


def _write(config: pytest.Config, session: pytest.Session) -> None:
    """The table so far: should the interpreter itself break, it is there up to that bench."""
    path, rows = config.getoption("--results"), config.stash[ROWS]
    if path is None:
        return
    machine = f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}, {platform.system()}"
    over = sum(row[ENDED] == "over its aim" for row in rows)
    ended = f"{session.testscollected} benches, {over} rows over their aim, {session.testsfailed} missed or broken"
    lines = [
        "# Benches", "", f"Written by `python -m tests bench` on {machine}: {ended}.", "",
        *(f"- {line}" for line in __doc__.splitlines()[2:]), "",
        _row(HEAD), "|" + "---|" * len(HEAD), *map(_row, rows),
    ]  # fmt: skip
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")


def _row(cells: list[str]) -> str:
    return f"| {' | '.join(cell.replace('|', '/') for cell in cells)} |"


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    """The same table on the screen, as long as its lines are readable."""
    places = [HEAD.index(name) for name in SHOWN]
    shown = [[row[k][: WIDTH.get(HEAD[k])] for k in places] for row in [HEAD, *config.stash[ROWS]]]
    wide = [max(map(len, column)) for column in zip(*shown, strict=True)]
    for row in shown:
        terminalreporter.write_line("  ".join(cell.ljust(w) for cell, w in zip(row, wide, strict=True)).rstrip())
