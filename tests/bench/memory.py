"""The most memory a program has held."""

from __future__ import annotations

from pathlib import Path


def most_memory_mb() -> float:
    """The most memory this process has held, MB.

    Linux tells it of the program itself; what `getrusage` tells begins with what the program had that started this one.
    """
    status = Path("/proc/self/status")
    if status.exists():
        return next(int(line.split()[1]) for line in status.read_text().splitlines() if line.startswith("VmHWM")) / 1024
    import resource  # there is none on Windows

    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
