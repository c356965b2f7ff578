"""The pictures of assets/tutorial.md and of README, made by the program: `python -m tests.tutorial` writes them anew into assets/.

Each of the tutorial is a window after the presses and drags that its text tells, in the order of the text.
"""

from __future__ import annotations

import random
import tempfile
from collections.abc import Iterator
from pathlib import Path

import tests.conftest  # noqa: F401 (no screen, and none of your own data)
from folder.cargo.item_list import find_item
from folder.cli.pages import print_job
from folder.event.file import EventFile
from folder.event.rules import EventObject, Rules
from folder.paper.kinds import KINDS
from folder.paper.pdf import write_png
from folder.pattern.file import find_pattern, read_pattern
from folder.places import ASSETS
from folder.studies import study
from tests import user_input
from tests.editor_stage import EditorStage

SIZE = (1120, 700)


def pages() -> Iterator[tuple[str, EditorStage]]:
    """The name of each picture, and the window as it shows it."""
    with tempfile.TemporaryDirectory() as directory:
        stage = EditorStage(Path(directory), SIZE, tool="wall")
        stage.draw((0.0, 75.0), (25.0, 75.0))
        stage.settle()
        yield "wall", stage
        _float(stage, 12, (500.0, 660.0))
        yield "float", stage
        stage.turn_to("compare")
        stage.choose("compare/add", "leaning-tray")
        stage.settle()
        yield "compare", stage


def _float(stage: EditorStage, count: int, rest_at: tuple[float, float]) -> None:
    """So many objects set down, one after another; then the pointer rests away from the button, whose tip would stay."""
    stage.turn_to("float")
    stage.field("float/guess", "60")
    for _ in range(count):
        stage.press("float/next")
        stage.wait(3.0)
    stage.play(user_input.move(stage.ui, rest_at))
    stage.settle()


BIRDS_AND_FISH = """
    Heron Otter Pike Tern Newt Grebe Eel Coot Perch Dipper Bream Swift Roach Teal Tench Plover Carp Stilt Trout Curlew
    Smelt Godwit Dace Avocet Rudd Knot Bleak Ruff Loach Snipe Minnow Whimbrel Gudgeon Dunlin Barbel Garganey Burbot Merlin Ide Wigeon
"""


def readme_pages() -> Iterator[tuple[str, EditorStage]]:
    """The same of README."""
    with tempfile.TemporaryDirectory() as directory:
        work = Path(directory)
        yield "start", EditorStage(work / "start", start=True)
        stage = EditorStage(work / "plain")
        stage.open("plain-tray")
        stage.press("film/play")
        while stage.editor.state.player.step < 2:
            stage.wait(0.1)
        stage.play(user_input.move(stage.ui, (640.0, 794.0)))
        stage.wait(1.2)
        yield "window", stage
        _float(stage, 23, (500.0, 780.0))
        yield "water", stage
        stage = EditorStage(work / "event")
        stage.editor.memory.event, stage.editor.memory.station = str(_day(work / "day.sqlite")), "tub 2"
        stage.keys("5")
        stage.settle()
        stage.press("clock/start")
        stage.wait(442.0)
        stage.keys("h", "4", "7")
        stage.settle()
        yield "event", stage


def _day(path: Path) -> Path:
    """An event of forty teams of whom the fifth stands at the tub and ten wait."""
    dice = random.Random(3)
    with EventFile.new(path, Rules(name="Harbour Day", objects=(EventObject("washer", 3.57),), build_min=20)) as event:
        for number, team in enumerate(event.add_teams(BIRDS_AND_FISH.split()), 1):
            waits = number == 5 or number > 31
            guess, off, sheets = dice.randint(38, 56), dice.randint(-9, 5), dice.choice((1, 1, 1, 2))
            event.note(team, "tub 2", guess=guess, held=None if waits else guess + off, sheets=None if waits else sheets)
    return path


def main() -> None:
    """Write the pictures."""
    for name, stage in pages():
        stage.save_picture(ASSETS / f"tutorial-{name}.png")
    for name, stage in readme_pages():
        stage.save_picture(ASSETS / f"{name}.png")
    job = print_job(study(read_pattern(find_pattern("plain-tray"))), "a4", find_item("us-cent"))
    write_png(KINDS["steps"].maker(job)[0], ASSETS / "steps.png", 100.0)


if __name__ == "__main__":
    main()
