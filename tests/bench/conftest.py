"""What every bench needs: a way to print past pytest; and all that was printed in one file, when that is asked for."""

from __future__ import annotations

import os
import platform
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

RESULTS: list[tuple[str, str, str]] = []
"""Bench, what it measures, what it reported."""


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--results", type=Path, help="write what the benches report into this file, as a table")


@pytest.fixture
def report(request: pytest.FixtureRequest, capsys: pytest.CaptureFixture[str]) -> Iterator[Callable[[str], None]]:
    """Writes a line past pytest, which would keep it."""
    told: list[str] = []

    def line(text: str) -> None:
        told.append(" ".join(text.split()))
        with capsys.disabled():
            sys.stdout.write(f"\n{text}\n")

    yield line
    bench = request.path.stem.removeprefix("bench_")
    RESULTS.append((bench, request.node.name.removeprefix("test_").replace("_", " "), "; ".join(told)))


def pytest_sessionfinish(session: pytest.Session) -> None:
    """The table, with the kind of machine and how each bench ended."""
    path = session.config.getoption("--results")
    if path is None or not RESULTS:
        return
    machine = f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}, {platform.system()}"
    ended = f"{session.testscollected} benches, {session.testsfailed} beyond their aim"
    rows = [f"| {bench} | {what} | {told.replace('|', '/')} |" for bench, what, told in RESULTS]
    head = ["# Benches", "", f"Written by `python -m tests bench` on {machine}: {ended}.", "", "| bench | what | measured |"]
    path.write_text("\n".join([*head, "|---|---|---|", *rows]) + "\n", encoding="utf-8")
