"""Parts of a search on several cores: the same results as on one, for no part knows of another.

The first part is done here, the others by processes of their own that are started afresh (nothing is inherited, so it is the
same on every system). They tell what they look at as they go. Whatever ends the search ends them: when it is stopped, what
they had told by then is heard and they are gone; should this process be killed, they find nobody to tell and end by themselves.
"""

from __future__ import annotations

import multiprocessing
import signal
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from pickle import UnpicklingError
from typing import Any, Protocol, Self

from folder.search.ascent.corrected import Sample
from folder.search.family.designs import DesignPoint, Told
from folder.second_process import uninterrupted

_TOLD_AT_ONCE = 20
"""Designs that were looked at are told in such lots; a better one at once."""

Heard = Callable[[int, DesignPoint | None], None]
"""Hears of so many designs more, and of a better one."""


class Part(Protocol):
    """Something to do that looks at designs."""

    def run(self, told: Told) -> tuple[Sample, ...]:
        """What was found."""


class Workers:
    """At most so many processes, this one among them; others are started when there is something for them to do."""

    def __init__(self, processes: int, heard: Heard) -> None:
        self._most, self._heard = processes, heard
        self._others: list[tuple[BaseProcess, Connection]] = []

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        """No process is left; what was told by then is heard."""
        for process, _pipe in self._others:
            process.terminate()
        for process, pipe in self._others:
            with suppress(EOFError, OSError, UnpicklingError):  # its end, or a message that was cut off
                while True:
                    kind, what = pipe.recv()
                    if kind == "looked":
                        with suppress(Exception):  # who watches has had enough already
                            self._heard(*what)
            process.join()
        self._others = []

    def done(self, parts: Sequence[Part]) -> list[tuple[Sample, ...]]:
        """What each part found, in their order."""
        n = max(1, min(self._most, len(parts)))
        results: dict[int, tuple[Sample, ...]] = {}
        waited = [self._sent(first - 1, {k: parts[k] for k in range(first, len(parts), n)}) for first in range(1, n)]

        def listened(seconds: float | None) -> None:
            for pipe in wait(waited, seconds):
                assert isinstance(pipe, Connection)
                kind, what = pipe.recv()
                if kind == "looked":
                    self._heard(*what)
                elif kind == "failed":
                    raise what
                else:
                    results.update(what)
                    waited.remove(pipe)

        def told(point: DesignPoint | None) -> None:
            self._heard(1, point)
            if waited:
                listened(0.0)

        for k in range(0, len(parts), n):
            results[k] = parts[k].run(told)
        while waited:
            listened(None)
        return [results[k] for k in range(len(parts))]

    def _sent(self, k: int, parts: Mapping[int, Part]) -> Connection:
        """Some parts handed to the kth other process, by the pipe on which it answers."""
        if k == len(self._others):
            context = multiprocessing.get_context("spawn")
            here, there = context.Pipe()
            process = context.Process(target=_work, args=(there,), name="folder-search", daemon=True)
            with uninterrupted(), there:
                process.start()
            self._others.append((process, here))
        pipe = self._others[k][1]
        pipe.send(parts)
        return pipe


def _work(pipe: Connection) -> None:
    """In a process of its own, until nobody asks or listens any more. Ctrl-C is for the one that started it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    with suppress(EOFError, BrokenPipeError, ConnectionResetError):
        while True:
            parts = pipe.recv()
            pipe.send(_answer(parts, pipe))


def _answer(parts: Mapping[int, Part], pipe: Connection) -> tuple[str, Any]:
    best, untold = -float("inf"), 0

    def told(point: DesignPoint | None) -> None:
        nonlocal best, untold
        untold += 1
        better = point is not None and point.score > best
        if better or untold >= _TOLD_AT_ONCE:
            pipe.send(("looked", (untold, point if better else None)))
            best, untold = max(best, point.score if point else best), 0

    try:
        found = {k: part.run(told) for k, part in parts.items()}
    except (BrokenPipeError, ConnectionResetError):
        raise
    except Exception as failure:  # noqa: BLE001 (raised again where it is heard)
        return "failed", failure
    pipe.send(("looked", (untold, None)))
    return "found", found
