"""The whole trip of large patterns: 100, 200 and 1,000 creases, and how the time grows.

Run `python -m pytest tests/bench/bench_large.py -s`. The patterns are grids of flat lines right across the sheet with a tray's
folds among them, cut into pieces at every crossing, so that each piece is a crease of its own.
"""

from __future__ import annotations

import math
import sys
import time

from folder.pattern.families.catalogue import make
from folder.pattern.pattern import Crease, Pattern
from folder.studies import study


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


def trip_s(pattern: Pattern) -> float:
    """Median time of report, measures and brim load."""
    spent = []
    for _ in range(5):
        began = time.perf_counter()
        result = study(pattern)
        assert result.folds
        assert result.measures.floor_area_mm2 > 9_999
        assert result.brim is not None
        spent.append(time.perf_counter() - began)
    return sorted(spent)[2]


def test_large_patterns_stay_interactive(capsys) -> None:
    """200 creases under 120 ms, 1,000 under 1 s, growing no worse than n^1.3."""
    times = {}
    for count in (100, 200, 1000):
        pattern = pleated(count)
        times[len(pattern.creases)] = trip_s(pattern)
    sizes = sorted(times)
    growth = math.log(times[sizes[-1]] / times[sizes[0]]) / math.log(sizes[-1] / sizes[0])
    with capsys.disabled():
        told = ", ".join(f"{n} creases {1000 * times[n]:.0f} ms" for n in sizes)
        sys.stdout.write(f"\nwhole trip: {told}; grows like n^{growth:.2f} (aims: 200 in 120 ms, 1,000 in 1 s, n^1.3)\n")
    assert times[sizes[-1]] < 2.0
