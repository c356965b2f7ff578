"""Programs at work, each killed at a moment of its own: `python -m tests.killed DIR COUNT SEED`.

All that is wanted is loaded once; then each program begins as a copy of this process (fork), works in a directory of its own, and is
killed without a warning (SIGKILL). What was confirmed to its user stands in that directory in `said`, a line each: what, and which one.
Of every three the first is the command line, the others are the window with its threads, its frames and a hand's events.
"""

from __future__ import annotations

import contextlib
import io
import os
import random
import signal
import sys
import time
import traceback
from collections.abc import Callable
from pathlib import Path

import pygame
from msgspec.structs import replace

from folder.cli import main
from folder.event.file import EventFile
from folder.event.rules import Rules
from folder.pattern.families.catalogue import make
from folder.pattern.file import find_pattern, read_pattern
from folder.pattern.pattern import Pattern
from folder.window.app import Window
from folder.window.autosave import Autosave, Memory, remember
from folder.window.commands.files import save_file
from folder.window.event.writing import write_event_file
from folder.window.float.state import Of, Shelf, Try, TubLoading, keep_shelf
from folder.window.print.commands import set_printing
from folder.window.print.printing import outcome, write
from tests import user_input
from tests.editor_stage import EditorStage

LONGEST_S = 2.0
"""Within so long after it has begun to work each is killed."""
KINDS = frozenset({"template", "card"})


def numbered(number: int) -> Pattern:
    """A drawing that says which one it is."""
    return replace(make("square-tray", {"wall": 20.0 + number % 200 / 20.0}), note=f"{number}")


class Said:
    """What is told as confirmed: on the disk's side of a kill, for it is handed to the system at once."""

    def __init__(self, directory: Path) -> None:
        self._file = os.open(directory / "said", os.O_CREAT | os.O_APPEND | os.O_WRONLY)

    def __call__(self, what: str, which: object) -> None:
        os.write(self._file, f"{what} {which}\n".encode())


def event_file(directory: Path) -> Path:
    """An event with a team, to be noted in."""
    path = directory / "day.sqlite"
    with EventFile.new(path, Rules(name="Pond day")) as event:
        event.add_teams(["Heron"])
    return path


def window_at_work(directory: Path, said: Said, dice: random.Random) -> None:
    """A window in which, in any order, is drawn, saved, noted, loaded and printed."""
    pygame.display.init()
    surface = pygame.display.set_mode((1024, 700))
    window = Window(surface, memory=Memory(), autosave=Autosave(), wake=True)
    editor, ui = window.editor, window.ui
    editor.memory.event = str(event_file(directory))
    editor.begin(numbered(0), None)
    for _ in range(3):
        window.frame([], 0.02)

    def until(done: Callable[[], bool]) -> None:
        while not done():
            time.sleep(0.001)
            ui.redraw()
            window.frame([], 0.01)

    def draw(number: int) -> None:
        editor.edit(lambda _: numbered(number))
        window.frame([], 3.5)  # the clock goes on: a copy of what is not saved is due
        said("kept", number)

    def save(number: int) -> None:
        editor.edit(lambda _: numbered(number))
        assert save_file(editor, directory / "hull.json") == ""
        said("saved", number)

    def note(number: int) -> None:
        # More than the hull carries would be asked about first.
        window.frame(user_input.key("3"), 0.02)
        for events in (user_input.key("t"), user_input.typed(f"{number % 80}"), user_input.key("enter")):
            window.frame(events, 0.02)
        until(lambda: editor.state.dialog == "")
        said("trial", number % 80)

    def enter(number: int) -> None:
        def doing(event: EventFile) -> str:
            event.note(event.teams()[0], "tub", held=number)
            return "Kept."

        assert write_event_file(editor, doing)
        said("entry", number)

    def load(number: int) -> None:
        tries = (Try("us-cent", "1 cent coin", 2.5, None, number, "floods"),)
        assert keep_shelf(Shelf(Of("design"), TubLoading(), tries), editor.autosave.directory.parent) == ""
        editor.memory.station = f"{number}"
        remember(editor.memory)
        said("loading", number)

    def print_pages(number: int) -> None:
        until(lambda: editor.fresh is not None and editor.fresh.study is not None)
        assert editor.fresh is not None
        set_printing(editor, replace(editor.state.printing, kinds=KINDS, directory=directory / "pages"))
        write(editor, editor.fresh.study)
        written = editor.state.printing.written
        until(written.future.done)
        paths, why = outcome(written.future)
        assert why == "", why
        for path in paths:
            said("printed", path.name)
        del number

    (directory / "pages").mkdir()
    _at_work((draw, save, note, enter, load, print_pages), said, dice)


def command_line_at_work(directory: Path, said: Said, dice: random.Random) -> None:
    """Commands one after the other."""
    event = event_file(directory)

    def command(what: str, *words: str) -> Callable[[int], None]:
        def run(number: int) -> None:
            with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()) as err:
                code = main([word.replace("NUMBER", f"{number}") for word in words])
            assert code == 0, err.getvalue()
            said(what, number)

        return run

    note = command("trial", "trial", "add", "--pattern", "plain-tray", "--item", "us-cent", "--count", "NUMBER", "--anyway")
    enter = command("entry", "event", "note", str(event), "--team", "Heron", "--held", "NUMBER")
    own = command("object", "objects", "add", "bead-NUMBER", "--shape", "ball", "--size", "8", "--mass", "2")
    table = command("table", "trial", "export", str(directory / "table.csv"))
    wall = ("--wall", "20", "--to", str(directory / "made.json"))
    _at_work((note, enter, own, table, command("made", "make", "square-tray", *wall)), said, dice)


def _at_work(jobs: tuple[Callable[[int], None], ...], said: Said, dice: random.Random) -> None:
    said("ready", 0)
    for number in range(1, 100_000):
        dice.choice(jobs)(number)


def killed(directory: Path, number: int, seed: int) -> None:
    """One program: begun, watched until it works, killed at a moment of its own."""
    dice = random.Random(seed * 1000 + number)
    directory.mkdir(parents=True)
    child = os.fork()
    if not child:
        try:
            os.environ["FOLDER_DATA"] = str(directory / "data")
            (command_line_at_work if number % 3 == 0 else window_at_work)(directory, Said(directory), dice)
        except BaseException:  # noqa: BLE001 (told to the test, whatever it is)
            (directory / "broke").write_text(traceback.format_exc())
        os._exit(1)
    end = time.monotonic() + 60.0
    while not _begun(directory) and time.monotonic() < end:
        time.sleep(0.002)
    time.sleep(LONGEST_S * dice.random())
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)


def _begun(directory: Path) -> bool:
    return any((directory / name).exists() and (directory / name).stat().st_size for name in ("said", "broke"))


def _warm(directory: Path) -> None:
    """Load what the programs will want, so that they are at work at once."""
    os.environ["FOLDER_DATA"] = str(directory / "warm")
    stage = EditorStage(directory)
    stage.editor.begin(numbered(0))
    stage.settle()
    for page in ("2", "3", "4", "1"):
        stage.keys(page)
        stage.settle()
    set_printing(stage.editor, replace(stage.editor.state.printing, kinds=KINDS, directory=directory))
    write(stage.editor, stage.editor.fresh.study)
    with contextlib.redirect_stdout(io.StringIO()):
        main(["trial", "add", "--pattern", "plain-tray", "--item", "us-cent", "--count", "4"])
    read_pattern(find_pattern("plain-tray"))


if __name__ == "__main__":
    where, count, first = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
    os.environ |= {"SDL_VIDEODRIVER": "dummy", "SDL_AUDIODRIVER": "dummy"}
    (where / "warm").mkdir()
    _warm(where / "warm")
    for k in range(count):
        killed(where / f"{k}", k, first)
