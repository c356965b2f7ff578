"""The clock of the benches."""

from __future__ import annotations

import gc
import math
import time
from collections.abc import Callable, Mapping
from typing import TypeVar

T = TypeVar("T")


def seconds(work: Callable[[], object], times: int) -> float:
    """The shortest of several runs after a first one: what the machine can do when nobody else wants it."""
    work()
    best = math.inf
    for _ in range(times):
        start = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - start)
    return best


def timed(work: Callable[[], T], times: int = 1) -> tuple[T, float]:
    """What it returns and its processor seconds, the least of some runs: for work so long that a busy machine disturbs every run."""
    best = math.inf
    gc.disable()  # as timeit does: its rounds are no work of ours
    for _ in range(times):
        start = time.process_time()
        result = work()
        best = min(best, time.process_time() - start)
    gc.enable()
    return result, best


def growth(times: Mapping[int, float]) -> float:
    """k of n^k from the least n to the greatest: sizes to seconds."""
    low, high = min(times), max(times)
    return math.log(times[high] / times[low]) / math.log(high / low)
