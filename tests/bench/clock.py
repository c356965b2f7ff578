"""The clock of the benches."""

from __future__ import annotations

import math
import time
from collections.abc import Callable


def seconds(work: Callable[[], object], times: int) -> float:
    """The shortest of several runs: what the machine can do when nobody else wants it."""
    work()
    best = math.inf
    for _ in range(times):
        start = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - start)
    return best
