"""What the hand does on the page Fold, through events alone: gestures as scripts, with the mouse and with the keyboard."""

import math

import pygame
import pytest
from pygame.event import Event

from folder.pattern.walls.reading import read_plan
from folder.studies import study
from folder.verdict import verdict_of
from folder.window.tools.walls.measures import measures_of_walls
from tests import user_input
from tests.editor_stage import EditorStage

GOOD = "Folds from one sheet, no cut, no tape."


@pytest.fixture
def stage(tmp_path):
    return EditorStage(tmp_path, tool="wall")


def verdict(stage):
    return stage.ui.find("verdict").text


def right_click(stage, point):
    at = stage.at(point)
    stage.play(user_input.move(stage.ui, at), user_input.down(stage.ui, at, 3), user_input.up(stage.ui, at, 3))


def test_a_tray_is_one_gesture_with_the_mouse(stage):
    stage.draw((75, 0), (75, 25))
    assert GOOD == verdict(stage)
    assert 1 == len(stage.editor.document.past)


def test_a_tray_is_four_keys_with_the_keyboard(stage):
    stage.keys("w")
    stage.type("25")
    stage.keys("enter")
    assert GOOD == verdict(stage)
    assert 25.0 == measures_of_walls(stage.pattern).height_mm


def test_a_wall_is_dragged_in_with_the_arrow_keys(stage):
    """From the middle of the lower edge, Enter; five steps of the grid up, Enter."""
    stage.keys("f6", *["down"] * 15, "enter", *["up"] * 5, "enter")
    assert GOOD == verdict(stage)
    assert 25.0 == measures_of_walls(stage.pattern).height_mm


def test_a_leaning_hemmed_tray_is_three_gestures(stage):
    stage.draw((75, 0), (75, 30))
    stage.press("tool/hem")
    stage.click((75, 0))
    stage.field("wall/lean", "30")
    assert GOOD == verdict(stage)
    plan = read_plan(stage.pattern).plan
    assert (5.0, [60] * 4) == (plan.hem_mm, [round(math.degrees(w.turn_rad)) for w in plan.walls])
    assert 3 == len(stage.editor.document.past)


def test_height_and_lean_of_a_picked_wall_are_fields(stage):
    stage.draw((75, 0), (75, 25))
    stage.press("all-round")
    stage.press("tool/pick")
    stage.click((75, 25))
    stage.field("wall/high", "30")
    stage.field("wall/lean", "20")
    assert GOOD == verdict(stage)
    walls = read_plan(stage.pattern).plan.walls
    assert [20] == [round(90 - math.degrees(w.turn_rad)) for w in walls if 1.5 > w.turn_rad]
    assert "this wall" in [text.text for text in stage.ui.display_list.texts]


def test_what_cannot_be_is_said_and_nothing_changes(stage):
    stage.draw((75, 0), (75, 25))
    before = stage.pattern
    stage.field("wall/high", "100")
    assert before == stage.pattern
    assert any("no floor" in message.text for message in stage.ui.messages)


def test_the_note_at_the_hand_says_what_the_drag_does_to_the_load(stage):
    """Against a study of the wall as dragged and of the one before, counted in the object in use."""
    stage.draw((75, 0), (75, 25))
    stage.settle()
    stage.hold((75, 25), (75, 35))
    stage.settle()
    before, now = (study(p).load.likely_g for p in (stage.pattern, stage.editor.pattern))
    each = stage.editor.state.object_choice.item.mass_g
    counts = [math.floor(load / each) for load in (before, now)]
    assert stage.ui.shows("wall 35 mm")
    assert stage.ui.shows(f"about {counts[1]} cents, {counts[0] - counts[1]} fewer")
    assert stage.editor.state.before_drag.pattern == stage.pattern
    stage.play(user_input.up(stage.ui, stage.at((75, 35))))
    assert stage.editor.state.before_drag is None
    assert not stage.ui.shows("fewer")


def test_a_crooked_line_is_shown_as_drawn_for_a_second_and_one_undo_gives_it_back(stage):
    stage.press("all-round")
    stage.press("tool/line")
    stage.draw((0, 40), (150, 52))
    assert [((0, 40), (150, 40))] == [(c.start, c.end) for c in stage.pattern.creases]
    assert stage.ui.shows("straightened")
    stage.wait(0.5)
    assert stage.ui.shows("straightened")
    for _ in range(8):
        stage.wait(0.25)
    assert not stage.ui.shows("straightened")
    stage.keys("ctrl+z")
    assert [((0, 40), (150, 50))] == [(c.start, c.end) for c in stage.pattern.creases]
    stage.keys("ctrl+z")
    assert () == stage.pattern.creases


def test_a_right_click_offers_what_can_be_done_there(stage):
    stage.draw((75, 0), (75, 25))
    right_click(stage, (75, 25))
    stage.press("menu/lean")
    assert 4 * [75] == [round(math.degrees(w.turn_rad)) for w in read_plan(stage.pattern).plan.walls]
    assert stage.editor.state.menu is None
    right_click(stage, (75, 0))
    stage.press("menu/hem")
    assert 5.0 == read_plan(stage.pattern).plan.hem_mm
    assert "hull" == verdict_of(study(stage.pattern)).code


def test_the_menu_goes_with_escape_or_a_press_beside_it_and_nothing_is_done(stage):
    stage.draw((75, 0), (75, 25))
    before = stage.pattern
    right_click(stage, (75, 25))
    assert "menu/wall-away" in stage.ui.last
    stage.keys("escape")
    assert "menu/wall-away" not in stage.ui.last
    right_click(stage, (75, 25))
    stage.click((20, 130))
    assert stage.editor.state.menu is None
    assert before is stage.pattern


def test_the_menu_is_worked_with_the_keys(stage):
    stage.draw((75, 0), (75, 25))
    stage.move_to((75, 25))
    stage.keys("shift+f10", "down", "enter")
    assert 2 >= len(stage.editor.document.past)
    assert stage.editor.state.menu is None


def test_a_long_press_opens_the_menu_and_drops_what_it_had_begun(stage):
    stage.draw((75, 0), (75, 25))
    at = stage.at((75, 25))
    stage.play(user_input.move(stage.ui, at), user_input.down(stage.ui, at))
    for _ in range(6):
        stage.wait(0.25)
    assert stage.editor.state.menu is not None
    assert not stage.editor.state.tool.busy
    stage.play(user_input.up(stage.ui, at))
    assert "menu/lean" in stage.ui.last


def test_a_right_drag_moves_the_view_and_opens_no_menu(stage):
    stage.play(*user_input.drag(stage.ui, stage.at((75, 75)), stage.at((95, 95)), 3))
    assert stage.editor.state.viewport is not None
    assert stage.editor.state.menu is None


def test_lines_are_copied_and_pasted(stage):
    stage.press("all-round")
    stage.press("tool/line")
    stage.draw((20, 40), (60, 40))
    stage.keys("p")
    stage.click((40, 40))
    stage.keys("ctrl+c", "ctrl+v")
    assert [((20, 40), (60, 40)), ((25, 45), (65, 45))] == [(c.start, c.end) for c in stage.pattern.creases]
    assert frozenset({1}) == stage.editor.document.picked
    stage.keys("ctrl+x", "ctrl+v")
    assert 2 == len(stage.pattern.creases)
    right_click(stage, (100, 100))
    stage.press("menu/paste")
    assert ((80, 100), (120, 100)) == tuple(
        tuple(round(v) for v in p) for p in (stage.pattern.creases[2].start, stage.pattern.creases[2].end)
    )


def test_delete_takes_a_picked_wall_away_with_its_corners(stage):
    stage.draw((75, 0), (75, 25))
    stage.keys("p")
    stage.click((75, 25))
    stage.keys("delete")
    assert 9 == len(stage.pattern.creases)


def test_foil_and_sheet_are_chosen_and_the_walls_keep_their_height(stage):
    stage.draw((75, 0), (75, 25))
    stage.press("more")
    stage.play(*user_input.wheel(stage.ui, "more-panel", -1000))
    stage.choose("foil", "24")
    stage.choose("sheet-size", "200x200")
    assert (200, 200, 24) == (stage.pattern.sheet.width_mm, stage.pattern.sheet.height_mm, stage.pattern.sheet.thickness_um)
    assert 25.0 == measures_of_walls(stage.pattern).height_mm
    assert GOOD == verdict(stage)


def test_every_tool_keeps_a_key_of_its_own(stage):
    for key, tool in zip(
        "whcipltsabnf",
        ("wall", "hem", "corner", "line", "pick", "long", "halve", "square", "angle", "beside", "pinch", "floor"),
        strict=True,
    ):
        stage.keys("f6", key)
        assert tool == stage.editor.state.tool.name
        stage.keys("escape")


def test_a_finger_s_wobble_is_a_press_and_no_wall(stage):
    before = stage.pattern
    at = stage.at((75, 75))
    stage.play(user_input.move(stage.ui, at), user_input.down(stage.ui, at), user_input.up(stage.ui, at))
    stage.play(Event(pygame.MOUSEMOTION, pos=(0, 0), rel=(0, 0), buttons=(0, 0, 0), touch=False))
    assert before is stage.pattern


def test_a_correction_that_is_undone_is_shown_no_more(stage):
    stage.press("tool/line")
    stage.draw((0, 40), (150, 52))
    assert stage.ui.shows("straightened")
    stage.keys("ctrl+z")
    assert not stage.ui.shows("straightened")


def test_an_empty_sheet_says_what_to_do_with_it_till_the_first_wall_is_dragged(stage):
    assert stage.ui.shows("Drag in from an edge")
    words, sheet = stage.ui.find("first-gesture").pane, stage.ui.find("sheet").pane
    assert (words.w, words.h) == pytest.approx((words.meet(sheet).w, words.meet(sheet).h))
    stage.hold((75, 0), (75, 20))
    assert "first-gesture" not in stage.ui.last
    stage.keys("escape", "l")
    assert "first-gesture" not in stage.ui.last
    stage.keys("w")
    assert "first-gesture" in stage.ui.last


def test_while_the_first_wall_is_dragged_the_strip_does_not_say_that_nothing_is_folded(stage):
    stage.hold((75, 0), (75, 20))
    assert stage.ui.shows("The folds will stand here in their order.")


def test_a_corner_that_is_folded_already_is_said_to_be_and_takes_no_step_back(stage):
    stage.open("plain-tray")
    stage.press("tool/corner")
    stage.click((12, 10))
    assert stage.ui.messages[-1].text.startswith("This corner is folded.")
    assert stage.ui.find("undo").enabled is False


def test_corners_are_hinted_at_only_where_folding_them_makes_a_hull(stage):
    """A crooked line drawn over a hemmed tray, exactly as drawn: fifty places do not close, and corners are not what is amiss.

    What is offered first folds.
    """
    stage.draw((75, 0), (75, 28))
    stage.press("tool/hem")
    stage.draw((75, 0), (75, 6))
    stage.keys("l")
    stage.draw((10, 40), (120, 47))
    stage.keys("ctrl+z")
    stage.settle()
    assert stage.editor.offers
    assert stage.editor.offers[0].remedy.good
    assert "corners" not in stage.ui.find("hint").text


def test_a_wall_is_dragged_in_from_beside_the_sheet_too(stage):
    """A hand that begins 12 mm below the edge means that edge: a wall of 25 mm, not a line drawn up the sheet."""
    stage.draw((78, -12), (78, 25))
    assert GOOD == verdict(stage)
    assert 25.0 == measures_of_walls(stage.pattern).height_mm
