"""A long search in a process of its own, which takes no time from the drawing thread. No pygame.

message   what the job yields; they are sent one by one
failed    the sentence with which a job broke off
"""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Iterator
from queue import Empty, SimpleQueue
from typing import TYPE_CHECKING, Any, Protocol

from msgspec import Struct

from folder.errors import FolderError
from folder.fault import report_fault
from folder.second_process import start_process
from folder.window.tools.tool import sentence

if TYPE_CHECKING:
    from multiprocessing.connection import Connection
    from multiprocessing.process import BaseProcess

Job = Callable[..., Iterator[Any]]
"""It is found by its name in the other process, and its arguments are sent there."""
_NICER = 5
"""By so much the window goes before the search where there is one core for both."""
_END_S = 2.0


class Failed(Struct, frozen=True):
    """The last message of a job that broke off."""

    text: str


class SearchRun(Protocol):
    """A job at work elsewhere."""

    @property
    def busy(self) -> bool:
        """Whether more may come."""

    def poll(self) -> list[Any]:
        """The messages that have come in since the last time."""

    def stop(self) -> None:
        """End it at once; what it was at is lost, what it has sent is not."""

    def join(self) -> None:
        """Wait till nothing of it is left."""


class ProcessSearch:
    """The job in a process of its own, begun by a thread that waits for its messages: beginning takes no time here."""

    def __init__(self, wake: Callable[[], None], doing: str, job: Job, *arguments: object) -> None:
        self._wake, self._doing, self._job, self._arguments = wake, doing, job, arguments
        self._messages: SimpleQueue[Any] = SimpleQueue()
        self._stopped = False
        self._process: BaseProcess | None = None
        self._thread = threading.Thread(target=self._listen, name="search", daemon=True)
        self._thread.start()

    @property
    def busy(self) -> bool:
        """Whether more may come."""
        return not self._messages.empty() or (self._thread.is_alive() and not self._stopped)

    @property
    def pid(self) -> int | None:
        """Of the process, once it has begun."""
        return None if self._process is None else self._process.pid

    def poll(self) -> list[Any]:
        """The messages that have come in since the last time."""
        found = []
        while True:
            try:
                found.append(self._messages.get_nowait())
            except Empty:
                return found

    def stop(self) -> None:
        """Kill the process. One that is just being begun is killed by the thread that begins it."""
        self._stopped = True
        if self._process is not None:
            self._process.kill()

    def join(self) -> None:
        """Wait till the process has ended."""
        self._thread.join(_END_S)

    def _listen(self) -> None:
        try:
            process, ours = start_process(_work, self._doing, self._job, self._arguments, name="search", duplex=False)
        except Exception as error:  # noqa: BLE001 (no memory, no process to be had: said, and the window goes on)
            self._messages.put(Failed(f"This cannot be begun now: {report_fault(error, self._doing)}."))
            self._wake()
            return
        self._process = process
        if self._stopped:
            process.kill()
        while True:
            try:
                self._messages.put(ours.recv())
            except (EOFError, OSError):
                break
            except Exception as error:  # noqa: BLE001 (the program was renewed under its open window: what is sent fits no more)
                report_fault(error, self._doing)
                self._messages.put(Failed("The program has changed under its open window. Save, close it and open it again."))
                process.kill()
                break
            self._wake()
        process.join()
        self._wake()


class InlineSearch:
    """The same in this thread, a message at each asking: for tests, and where there is no other process to be had."""

    def __init__(self, job: Job, *arguments: object) -> None:
        self._left: Iterator[Any] | None = job(*arguments)

    @property
    def busy(self) -> bool:
        """Whether more may come."""
        return self._left is not None

    def poll(self) -> list[Any]:
        """The next message."""
        if self._left is None:
            return []
        try:
            return [next(self._left)]
        except StopIteration:
            self._left = None
        except FolderError as error:
            self._left = None
            return [Failed(sentence(error))]
        return []

    def stop(self) -> None:
        """Ask for no more."""
        self._left = None

    def join(self) -> None:
        """There is nothing to wait for."""


def _work(there: Connection, doing: str, job: Job, arguments: tuple[object, ...]) -> None:
    """The other process: do the job and send what it yields. It does not outlive the window."""
    if hasattr(os, "nice"):
        os.nice(_NICER)
    threading.Thread(target=_end_with_window, daemon=True).start()
    try:
        for message in job(*arguments):
            there.send(message)
    except FolderError as error:
        there.send(Failed(sentence(error)))
    except BrokenPipeError:
        pass
    except Exception as error:  # noqa: BLE001 (a fault of the program: said in the window, with its details in a file)
        there.send(Failed(f"The program made a mistake: {report_fault(error, doing)}."))
    finally:
        there.close()


def _end_with_window() -> None:
    from multiprocessing import parent_process

    window = parent_process()
    if window is not None:
        window.join()
        os._exit(0)
