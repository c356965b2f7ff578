"""The pictures of assets/tutorial.md, made by the program: `python -m tests.tutorial` writes them anew into assets/.

Each is a window after the presses and drags that the text tells, in the order of the text.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

import tests.conftest  # noqa: F401 (no screen, and none of your own data)
from folder.places import ASSETS
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
        stage.turn_to("float")
        stage.field("float/guess", "60")
        for _ in range(12):
            stage.press("float/next")
            stage.wait(3.0)
        stage.play(user_input.move(stage.ui, (500.0, 660.0)))  # away from the button, whose tip would stay
        stage.settle()
        yield "float", stage
        stage.turn_to("compare")
        stage.choose("compare/add", "leaning-tray")
        stage.settle()
        yield "compare", stage


def main() -> None:
    """Write the pictures."""
    for name, stage in pages():
        stage.save_picture(ASSETS / f"tutorial-{name}.png")


if __name__ == "__main__":
    main()
