"""What every bench needs: a way to print past pytest."""

from __future__ import annotations

import sys
from collections.abc import Callable

import pytest


@pytest.fixture
def report(capsys: pytest.CaptureFixture[str]) -> Callable[[str], None]:
    """Writes a line past pytest, which would keep it."""

    def line(text: str) -> None:
        with capsys.disabled():
            sys.stdout.write(f"\n{text}\n")

    return line
