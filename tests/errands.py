"""Work that a second process finds by its name; it loads nothing else."""

from __future__ import annotations

import os
import time
from pathlib import Path

Errand = tuple[int, int, str]
"""Its number, the process that hands it out, a directory."""

PATIENCE_S, BUSY_S = 60.0, 3.0


def doer(errand: Errand) -> tuple[int, bool]:
    """The number, and whether a second process did it. The first one waits, from its second errand on, until the other has done one."""
    number, first, directory = errand
    mark = Path(directory, "done-by-second")
    if os.getpid() != first:
        mark.touch()
        return number, True
    end = time.monotonic() + PATIENCE_S
    while number and not mark.exists() and time.monotonic() < end:
        time.sleep(0.01)
    return number, False


def doer_that_fails_there(errand: Errand) -> tuple[int, bool]:
    """As `doer`, but for an error in the second process only."""
    done = doer(errand)
    if done[1]:
        raise ValueError("only here")
    return done


def doer_that_fails(errand: Errand) -> tuple[int, bool]:
    """As `doer`, but for an error from the third errand on."""
    number, there = doer(errand)
    if number >= 2:
        raise ValueError(f"errand {number}")
    return number, there


def doer_that_dies(errand: Errand) -> tuple[int, bool]:
    """As `doer`, but the second process is gone at once."""
    done = doer(errand)
    if done[1]:
        os._exit(7)
    return done


def sleeper(errand: Errand) -> int:
    """Leaves a file with the name of the process that has it, and is busy for a while."""
    if errand[0]:
        Path(errand[2], str(os.getpid())).touch()
        time.sleep(BUSY_S)
    return os.getpid()
