"""While the hand drags, only what changes is laid out and drawn anew: what is seen must be the same as if all were."""

import numpy as np
import pygame
import pytest

from folder.pattern.families.catalogue import make
from folder.window.app import Window
from folder.window.autosave import Autosave, Memory
from folder.window.commands.change import toggle_more
from folder.window.commands.look import viewport_of
from tests import user_input
from tests.at_once import AtOnce


@pytest.fixture
def window(tmp_path):
    pygame.display.init()
    pygame.font.init()
    window = Window(pygame.Surface((1280, 800)), executor=AtOnce(), memory=Memory(), autosave=Autosave(tmp_path))
    window.editor.begin(make("square-tray", {"wall": 25}))
    toggle_more(window.editor)
    window.frame([], 0.01)
    return window


def at(window, x, y):
    pane = window.ui.find("sheet").pane
    px, py = viewport_of(window.editor, (pane.w, pane.h)).px((x, y))
    return pane.x + px, pane.y + py


def take_hold(window):
    """Pick the lower wall and put the button down on it."""
    ui, place = window.ui, at(window, 60, 25)
    window.frame([user_input.move(ui, place)], 0.01)
    window.frame([user_input.down(ui, place), user_input.up(ui, place)], 0.01)
    window.frame([user_input.down(ui, place)], 0.01)
    assert 1 == len(window.editor.document.picked)


def drag(window, y):
    window.frame([user_input.move(window.ui, at(window, 60, y), 1)], 0.01)
    for _ in range(3):  # the study comes, then what the note at the hand says of it
        window.frame([], 0.0)


def test_every_frame_of_a_drag_is_what_drawing_all_of_it_anew_gives(window):
    take_hold(window)
    records = []
    for y in (26, 27, 30.2, 30.4, 36, 36, 25, 41, 41):
        drag(window, y)
        quick = pygame.surfarray.array3d(window.surface)
        records.append(window.ui.find("to/y").text)
        seen = window.ui.last
        window.ui.display_list.forget()
        window.ui.memos.clear()
        window.ui.redraw()
        window.frame([], 0.0)
        assert np.array_equal(pygame.surfarray.array3d(window.surface), quick), y
        assert seen == window.ui.last
    assert len(set(records)) >= 3, "the drag moved nothing"


def test_the_numbers_follow_a_drag(window):
    take_hold(window)
    walls = []
    for y in (30, 35, 40):
        drag(window, y)
        walls.append(window.ui.find("wall").value)
    assert ["30", "35", "40"] == walls


def test_a_hand_that_moves_the_drawing_no_further_makes_no_other_one(window):
    take_hold(window)
    drag(window, 30.2)
    drag_pattern = window.editor.state.drag_pattern
    assert drag_pattern is not None
    drag(window, 30.4)  # the grid is 5 mm
    assert window.editor.state.drag_pattern is drag_pattern
    drag(window, 36)
    assert window.editor.state.drag_pattern is not drag_pattern


def test_the_order_of_folds_comes_when_the_hand_lets_go(window):
    take_hold(window)
    drag(window, 35)
    assert window.editor.fresh.study is not None
    assert window.editor.fresh.order is None
    window.frame([user_input.up(window.ui, at(window, 60, 35))], 0.01)
    assert window.editor.fresh.order.found


def test_a_tool_taken_up_in_a_drag_leaves_the_drawing_known(window):
    take_hold(window)
    drag(window, 35)
    window.editor.take_up("line")
    window.frame([], 0.0)
    assert window.editor.fresh is not None
    assert window.editor.fresh.order is not None


def test_the_column_beside_the_sheet_does_not_jump_while_the_hand_drags_and_its_count_follows(window):
    window.frame([], 0.01)
    window.frame([], 0.01)
    resting = {name: window.ui.find(name).pane for name in ("hull", "likely", "advice")}
    texts = [window.ui.find("likely").text]
    take_hold(window)
    for y in (30, 35, 40):
        drag(window, y)
        window.frame([], 0.0)
        assert resting == {name: window.ui.find(name).pane for name in resting}
        texts.append(window.ui.find("likely").text)
    assert "about 66 cents, 51 to 82" == texts[0]
    assert len(texts) == len(set(texts))
