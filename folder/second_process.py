"""A second process beside this one: where there are two cores, half of a long list of work is done in it.

It is started anew, the only way that Windows and Mac know: nothing of this process is in it but what is sent. It takes its work
from the end of the list while this process works from the front. What it cannot do is done here in the end: so an error is
raised here, the first one in the list, as with one process; and a second process that dies costs time and nothing else.
It ends with the work, and with this process however that ends, for then its end of the pipe closes.
"""

from __future__ import annotations

import os
import signal
import time
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from threading import Thread
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from multiprocessing.connection import Connection
    from multiprocessing.process import BaseProcess

Task = TypeVar("Task")
Made = TypeVar("Made")

WorkProgress = Callable[[int, int], None]
"""Called with how much of the work is done, of how much; it may stop the work by raising."""

LEAST_S = 1.0
"""Work that seems to go on for less is done here: a process takes half a second to start."""
LOOK_S = 0.1
"""So often it is looked whether the second one has finished, or the work is to stop."""


def parallel_map(
    work: Callable[[Task], Made],
    tasks: Sequence[Task],
    progress: WorkProgress | None = None,
    *,
    least_s: float = LEAST_S,
) -> list[Made]:
    """What the work makes of each task, in their order.

    The second process finds the work by its name in its module; tasks and what is made of them are sent (pickled). Where what is
    left seems to take less than `least_s`, it is done here.
    """
    made: dict[int, Made] = {}
    left, undone = deque(range(len(tasks))), list[int]()
    began, second, may_start = time.monotonic(), None, cores() > 1

    def step() -> None:
        if progress is not None:
            progress(len(made), len(tasks))

    try:
        while left:
            step()
            seems_s = (time.monotonic() - began) / max(1, len(made)) * len(left)
            if may_start and made and len(left) > 1 and seems_s >= least_s:
                may_start = False
                with suppress(OSError):  # no process more may be started: then there is none
                    second = _Second(work, tasks, left, made, undone)
            mine = left.popleft() if left else None
            if mine is not None:
                made[mine] = work(tasks[mine])
        while second is not None and second.working():
            step()
        for k in sorted(undone):
            step()
            made[k] = work(tasks[k])
    finally:
        if second is not None:
            second.end()
    return [made[k] for k in range(len(tasks))]


def cores() -> int:
    """How many cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


class _Second:
    """The process, and the thread that hands it one task after the other."""

    def __init__(
        self, work: Callable[[Any], Any], tasks: Sequence[Any], left: deque[int], made: dict[int, Any], undone: list[int]
    ) -> None:
        self._process, self._pipe = start_process(_serve, work, name="folder-second")
        self._thread = Thread(target=_hand_over, args=(self._pipe, tasks, left, made, undone), name="second", daemon=True)
        self._thread.start()

    def working(self) -> bool:
        """Whether it has still something to do; it is waited for a moment."""
        self._thread.join(LOOK_S)
        return self._thread.is_alive()

    def end(self) -> None:
        """Have it gone: it holds nothing that could be lost."""
        self._process.kill()
        self._process.join()
        self._process.close()
        self._thread.join()
        self._pipe.close()


def _hand_over(pipe: Connection, tasks: Sequence[Any], left: deque[int], made: dict[int, Any], undone: list[int]) -> None:
    """Give the second process the last task that is left, wait for what it makes of it, and so on."""
    asked: int | None = None
    try:
        pipe.recv()  # it has loaded what it needs
        while (asked := _last_of(left)) is not None:
            pipe.send(tasks[asked])
            done, value = pipe.recv()
            if done:
                made[asked] = value
            else:
                undone.append(asked)
    except Exception:  # noqa: BLE001 (it has died, or a task cannot be sent: then it is done here)
        if asked is not None:
            undone.append(asked)


def _last_of(left: deque[int]) -> int | None:
    """The last one, taken from the list; None where the other thread was quicker."""
    try:
        return left.pop()
    except IndexError:
        return None


def _serve(pipe: Connection, work: Callable[[Any], Any]) -> None:
    """What the second process does: one task after the other, until nobody is there to ask."""
    try:
        pipe.send(None)
        while True:
            task = pipe.recv()
            try:
                answer = True, work(task)
            except Exception:  # noqa: BLE001 (the first process does it again, and says what is wrong)
                answer = False, None
            pipe.send(answer)
    except (EOFError, OSError):
        return


def start_process(
    serve: Callable[..., None], *arguments: object, name: str, duplex: bool = True
) -> tuple[BaseProcess, Connection]:
    """A process that runs `serve(pipe, *arguments)`, and the end of that pipe that is here.

    It is spawned, not forked: this process may have threads, and on two of three systems there is no other way. `serve` is found by
    its name in its module, and the arguments are sent. Ctrl-C is for the process that started it. Raises what a start may raise.
    """
    from multiprocessing import get_context  # loaded only where there is long work

    fresh = get_context("spawn")
    ours, theirs = fresh.Pipe(duplex)
    process = fresh.Process(target=_without_ctrl_c, args=(serve, theirs, *arguments), name=name, daemon=True)
    with _uninterrupted(), theirs:
        process.start()
    return process, ours


def _without_ctrl_c(serve: Callable[..., None], *arguments: object) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    serve(*arguments)


@contextmanager
def _uninterrupted() -> Iterator[None]:
    """What is started in here is not interrupted by Ctrl-C while it loads, so that it has nothing to complain of."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
