"""A wall leaned by dragging its rim in the picture of the hull."""

import math

import numpy as np
import pytest

from folder.window.fold.hull_view import INSET
from tests import user_input
from tests.editor_stage import EditorStage

RIM = (125.0, 75.0, 25.0)
"""The middle of the right wall's rim of the plain tray."""


@pytest.fixture
def stage(tmp_path):
    made = EditorStage(tmp_path)
    made.open("plain-tray")
    return made


def px(stage, place) -> tuple[float, float]:
    """Where a place in space is seen in the window, logical px."""
    study = stage.editor.result.study
    x, y, _ = stage.editor.state.camera.project(study.folded, np.array(place)).tolist()
    pane = stage.ui.find("hull").pane
    at = stage.ui.memory_store["hull/kept"].viewport.px((x, y))
    return pane.x + INSET + at[0], pane.y + INSET + at[1]


def leaning(lean_deg: float) -> tuple[float, float, float]:
    """Where that rim is when the wall leans out so far, by trigonometry."""
    lean = math.radians(lean_deg)
    return (125.0 + 25.0 * math.sin(lean), 75.0, 25.0 * math.cos(lean))


def hold(stage, lean_deg: float) -> None:
    """Take the rim and drag it to where it would be. The picture grows as the wall leans out: the hand follows."""
    at = px(stage, RIM)
    stage.play(user_input.move(stage.ui, at), user_input.down(stage.ui, at))
    for _ in range(12):
        stage.play(user_input.move(stage.ui, px(stage, leaning(lean_deg)), 1))


def leans_deg(pattern) -> set[int]:
    return {
        round(90.0 - math.degrees(c.turn_rad)) for c in pattern.creases if c.turn_rad < math.radians(91) and c.sense == "valley"
    }


@pytest.mark.parametrize("lean_deg", [20.0, 35.0])
def test_the_rim_follows_the_hand_and_letting_go_is_one_change(stage, lean_deg):
    before = stage.pattern
    hold(stage, lean_deg)
    assert before is stage.pattern
    shown = stage.editor.state.drag_pattern
    near = {lean_deg - 1, lean_deg, lean_deg + 1}
    assert near & leans_deg(shown)
    stage.play(user_input.up(stage.ui, px(stage, leaning(lean_deg))))
    assert near & leans_deg(stage.pattern)
    assert stage.editor.state.drag_pattern is None
    stage.settle()
    assert stage.editor.result.study.folds
    stage.keys("ctrl+z")
    assert before == stage.pattern


def test_while_it_leans_the_hull_before_stays_as_a_ghost(stage):
    hold(stage, 30.0)
    stage.settle()
    assert stage.ui.shows("leans out 30°") or stage.ui.shows("leans out 29°") or stage.ui.shows("leans out 31°")
    here = user_input.move(stage.ui, px(stage, leaning(30.0)), 1)
    stage.play(here)
    with_ghost = stage.pixels()
    stage.play(here)
    assert with_ghost == stage.pixels()
    stage.ui.memory_store["hull/kept"].before = None
    stage.play(here)
    assert with_ghost != stage.pixels()


def test_escape_puts_the_wall_back(stage):
    before = stage.pattern
    hold(stage, 30.0)
    assert stage.editor.state.drag_pattern is not None
    stage.keys("escape")
    assert stage.editor.state.drag_pattern is None
    stage.play(user_input.up(stage.ui, px(stage, RIM)))
    assert before == stage.pattern


def test_a_drag_beside_the_rim_turns_the_hull(stage):
    at = px(stage, (75.0, 75.0, 0.0))
    before = stage.editor.state.camera
    stage.play(*user_input.drag(stage.ui, at, (at[0] + 40, at[1])))
    assert before != stage.editor.state.camera
    assert stage.editor.state.drag_pattern is None


def test_the_rim_under_the_hand_lights_up(stage):
    stage.play(user_input.move(stage.ui, px(stage, (75.0, 75.0, 0.0))))
    dark = stage.pixels()
    stage.play(user_input.move(stage.ui, px(stage, RIM)))
    assert dark != stage.pixels()
    stage.play(user_input.move(stage.ui, px(stage, (75.0, 75.0, 0.0))))
    assert dark == stage.pixels()


def test_a_wall_in_its_place_stays_upright(stage):
    """The hand trembles: within four degrees the wall stands."""
    before = stage.pattern
    hold(stage, 3.0)
    stage.play(user_input.up(stage.ui, px(stage, leaning(3.0))))
    assert {90} == {90 - lean for lean in leans_deg(stage.pattern) if lean < 60} or before == stage.pattern


def test_the_note_stands_at_the_hand_in_the_picture_and_tells_the_difference(stage):
    hold(stage, 20.0)
    stage.settle()
    assert stage.ui.shows(" more") or stage.ui.shows(" fewer") or stage.ui.shows("as before")


def test_what_stays_on_the_sheet_is_drawn_while_a_wall_leans(stage):
    """The diagonals of the corners stay: they are not among what the hand moves."""
    before = stage.pattern
    diagonals = {i for i, c in enumerate(before.creases) if c.start[0] != c.end[0] and c.start[1] != c.end[1]}
    hold(stage, 20.0)
    assert 4 == len(diagonals)
    assert all(before.creases[i] in stage.editor.state.drag_pattern.creases for i in diagonals)
    assert not diagonals & stage.editor.state.moved_creases


def test_the_hull_can_be_leaned_when_its_film_has_come_to_its_end(stage):
    stage.press("film/step-back")
    assert stage.editor.state.player.step is not None
    hold(stage, 20.0)
    assert stage.editor.state.drag_pattern is not None
