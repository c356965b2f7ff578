"""Memory that long work has left behind, given back to the system. No pygame.

The C library of Linux keeps for each thread what that thread has freed: after a large drawing has been studied, loaded and printed in
threads of their own, each holds the tens of megabytes that its arrays took for a moment. Elsewhere there is nothing to be done.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager

LONG_S = 0.2
"""Work of so much processor time may have taken much memory. Giving back takes some milliseconds."""


@contextmanager
def given_back() -> Iterator[None]:
    """Work in here; if it took long, what this process holds and does not use is given back afterwards."""
    began = time.thread_time()
    try:
        yield
    finally:
        if time.thread_time() - began > LONG_S:
            _trim()


def _trim() -> None:
    import ctypes  # loaded after the first long work

    try:
        ctypes.CDLL(None).malloc_trim(0)  # glibc: malloc_trim(3)
    except (AttributeError, OSError, TypeError):
        return
