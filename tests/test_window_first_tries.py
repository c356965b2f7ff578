"""Children's first tries in the window: drawn by the hand, line by line, and mended with the first remedy."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from folder.pattern.pattern import Pattern
from folder.studies import study
from folder.verdict import verdict_of
from folder.window.commands import change
from tests.editor_stage import EditorStage
from tests.first_tries import FirstTry, first_tries
from tests.test_search_mend import likely_g, stands

TRIES = first_tries()
_PRESSES, _SHARE = 3, 0.6


@pytest.fixture
def stage(tmp_path: Path, home: Path) -> EditorStage:  # noqa: ARG001 (the home must be there first)
    opened = EditorStage(tmp_path, start=True)
    opened.press("new")
    return opened


def drawn_by_hand(stage: EditorStage, drawing: FirstTry) -> None:
    """Every line of a drawing with the line tool, no mirror."""
    stage.editor.begin(Pattern())

    change.set_mirrors(stage.editor, "none")
    stage.press("tool/line")
    for crease in drawing.pattern.creases:
        change.set_sense(stage.editor, crease.sense)
        change.set_turn(stage.editor, crease.turn_rad)
        stage.draw(crease.start, crease.end)
    stage.settle()


def mended(stage: EditorStage) -> None:
    """The first remedy, up to three times."""
    for _ in range(_PRESSES):
        if verdict_of(study(stage.pattern)).level == "good":
            return
        stage.press("remedy/0")
        stage.settle()


def test_first_tries_drawn_by_hand_end_as_the_hulls_they_mean(stage: EditorStage, many: Callable[[int, int], int]) -> None:
    bad = []
    for drawing in TRIES[many(3, 0) :: many(16, 1)]:
        drawn_by_hand(stage, drawing)
        mended(stage)
        made = study(stage.pattern)
        gone = [c for c in drawing.laid if not stands(c, made.pattern.creases)]
        share = likely_g(made) / likely_g(study(drawing.meant))
        if verdict_of(made).code != "hull" or gone or share < _SHARE:
            bad.append((drawing.name, verdict_of(made).text, len(gone), round(share, 2)))
    assert [] == bad
