"""Parts of a search on several cores: the same results as on one, for no part knows of another.

The first part is done here, the others by processes of their own that are started afresh (nothing is inherited, so it is the
same on every system). They report what they look at as they go. Whatever ends the search ends them: when it is stopped, what
they have reported by then is counted; should this process be killed, their pipe breaks and they end by themselves.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from pickle import UnpicklingError
from typing import Any, Protocol, Self

from folder.search.ascent.corrected import Sample
from folder.search.family.designs import DesignPoint, Observer
from folder.second_process import start_process

_LOT = 20
"""Designs that were looked at are reported in such lots; a better one at once."""

Tally = Callable[[int, DesignPoint | None], None]
"""Called with how many designs more were looked at, and with a better one if there is one among them."""


class Part(Protocol):
    """Something to do that looks at designs."""

    def run(self, observe: Observer) -> tuple[Sample, ...]:
        """What was found."""


class Workers:
    """At most so many processes, this one among them; others are started when there is something for them to do."""

    def __init__(self, processes: int, tally: Tally) -> None:
        self._most, self._tally = processes, tally
        self._others: list[tuple[BaseProcess, Connection]] = []

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        """No process is left; what was reported by then is counted."""
        for process, _pipe in self._others:
            process.terminate()
        for process, pipe in self._others:
            with suppress(EOFError, OSError, UnpicklingError):  # its end, or a message that was cut off
                while True:
                    kind, what = pipe.recv()
                    if kind == "tally":
                        with suppress(Exception):  # who watches has had enough already
                            self._tally(*what)
            process.join()
        self._others = []

    def results(self, parts: Sequence[Part]) -> list[tuple[Sample, ...]]:
        """What each part found, in their order."""
        n = max(1, min(self._most, len(parts)))
        found: dict[int, tuple[Sample, ...]] = {}
        busy = [self._sent(first - 1, {k: parts[k] for k in range(first, len(parts), n)}) for first in range(1, n)]

        def receive(seconds: float | None) -> None:
            for pipe in wait(busy, seconds):
                assert isinstance(pipe, Connection)
                kind, what = pipe.recv()
                if kind == "tally":
                    self._tally(*what)
                elif kind == "failed":
                    raise what
                else:
                    found.update(what)
                    busy.remove(pipe)

        def observe(point: DesignPoint | None) -> None:
            self._tally(1, point)
            if busy:
                receive(0.0)

        for k in range(0, len(parts), n):
            found[k] = parts[k].run(observe)
        while busy:
            receive(None)
        return [found[k] for k in range(len(parts))]

    def _sent(self, k: int, parts: Mapping[int, Part]) -> Connection:
        """Some parts handed to the kth other process, by the pipe on which it answers."""
        if k == len(self._others):
            self._others.append(start_process(_work, name="folder-search"))
        pipe = self._others[k][1]
        pipe.send(parts)
        return pipe


def _work(pipe: Connection) -> None:
    """In a process of its own, until nobody asks or listens any more."""
    with suppress(EOFError, BrokenPipeError, ConnectionResetError):
        while True:
            parts = pipe.recv()
            pipe.send(_answer(parts, pipe))


def _answer(parts: Mapping[int, Part], pipe: Connection) -> tuple[str, Any]:
    """What some parts found, by their numbers, or how they failed; what they look at is sent as they go."""
    best, unsent = -math.inf, 0

    def observe(point: DesignPoint | None) -> None:
        nonlocal best, unsent
        unsent += 1
        better = point is not None and point.score > best
        if better or unsent >= _LOT:
            pipe.send(("tally", (unsent, point if better else None)))
            best, unsent = max(best, point.score if point else best), 0

    try:
        found = {k: part.run(observe) for k, part in parts.items()}
    except (BrokenPipeError, ConnectionResetError):
        raise
    except Exception as failure:  # noqa: BLE001 (raised again by the first process)
        return "failed", failure
    pipe.send(("tally", (unsent, None)))
    return "found", found
