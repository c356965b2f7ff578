"""The whole trip of large patterns: 100 to 3,000 creases, how the time grows, and what 5,000 take.

Run `python -m pytest tests/bench/bench_large.py -s`. The patterns are grids of flat lines right across the sheet with a tray's
folds among them, cut into pieces at every crossing, so that each piece is a crease of its own.
"""

from __future__ import annotations

import math
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from msgspec.structs import replace

from folder.pattern.families.catalogue import make
from folder.pattern.file import write_pattern
from folder.pattern.pattern import Crease, Pattern
from folder.studies import study
from tests.bench.clock import growth, timed
from tests.bench.conftest import Report


def pleated(count: int) -> Pattern:
    """A tray whose floor carries `count` short unfolded creases, as a pupil's guide grid does."""
    side = max(1, round(math.sqrt(count / 2.0)))
    step = 100.0 / side
    extra = []
    for row in range(1, side):
        for k in range(side):
            a, b = 25.0 + k * step, 25.0 + (k + 1) * step
            at = 25.0 + row * step
            extra += [Crease((a, at), (b, at), "valley", 0.0), Crease((at, a), (at, b), "valley", 0.0)]
    tray = make("square-tray")
    return Pattern("large", creases=tray.creases + tuple(extra), crimps=tray.crimps)


def scribbled(count: int) -> Pattern:
    """As many short lines anywhere, each crossing a few others: nearly every end is one of a fold that just stops."""
    random = np.random.default_rng(count)
    start = random.uniform(5.0, 145.0, (count, 2))
    end = np.clip(start + random.uniform(-1.0, 1.0, (count, 2)) * 250.0 / math.sqrt(count), 0.0, 150.0)
    return Pattern(
        "scribble", creases=tuple(Crease(tuple(a), tuple(b)) for a, b in zip(start.tolist(), end.tolist(), strict=True))
    )


def trip_s(pattern: Pattern) -> float:
    """Processor time of report, measures and brim load, the best of three."""

    def trip() -> object:
        made = study(pattern)
        return made.report, made.measures, made.brim

    return timed(trip, 3)[1]


@pytest.mark.parametrize(("drawn", "most"), [(pleated, 1.5), (scribbled, 1.5)], ids=["grids that fold", "scribbles that do not"])
def test_growth_of_the_whole_trip(report: Report, drawn: Callable[[int], Pattern], most: float) -> None:
    """From 100 to 3,000 creases; the exponent is that of the last tenfold."""
    times: dict[int, float] = {}
    for count in (100, 300, 1000, 3000):
        pattern = drawn(count)
        times[len(pattern.creases)] = trip_s(pattern)
    sizes = sorted(times)
    power = growth({n: times[n] for n in sizes[-3:]})
    text = ", ".join(f"{n} creases {1000 * times[n]:.0f} ms" for n in sizes)
    report(f"{text}; the last tenfold grows like n^{power:.2f} (aim n^{most})", growth=power)
    assert power < most


WHOLE_LIFE = """
import sys
from pathlib import Path
from folder.cli import main
from tests.bench.memory import most_memory_mb
codes = [main(["check", sys.argv[1]]), main(["print", sys.argv[1], "--what", "template", "--to", sys.argv[2]])]
print("codes", codes, "MB", round(most_memory_mb()), file=sys.stderr)
"""


@pytest.mark.parametrize("drawn", [pleated, scribbled], ids=["a grid that folds", "a scribble"])
def test_five_thousand_creases(report: Report, drawn: Callable[[int], Pattern], tmp_path: Path) -> None:
    """Read, checked and printed in one process: under 500 MB, under two minutes."""
    path = tmp_path / "large.json"
    pattern = drawn(5000)
    write_pattern(replace(pattern, creases=pattern.creases[:5000]), path)
    began = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-c", WHOLE_LIFE, str(path), str(tmp_path)], capture_output=True, text=True, timeout=300, check=False
    )
    codes, _, megabytes = done.stderr.split("codes")[-1].partition("MB")
    text = f"5,000 creases: {time.perf_counter() - began:.1f} s, {megabytes.strip()} MB (aim 500), exit codes {codes.strip()}"
    report(text, against="500 MB", ratio=int(megabytes) / 500, aim=1.0)
    assert int(megabytes) < 500
