"""A pupil's first minute, through events alone: from an empty sheet to a saved hull; with the pointer, then with the keys."""

import pytest

from folder.pattern.file import read_pattern
from folder.studies import study
from folder.window.commands.files import save_file
from tests import user_input
from tests.editor_stage import EditorStage

FOLDS = "Folds from one sheet, no cut, no tape."


@pytest.fixture
def stage(tmp_path, home):  # noqa: ARG001 (the home must be there first)
    return EditorStage(tmp_path, start=True)


def verdict(stage):
    return stage.ui.find("verdict").text


def big_numbers(stage):
    return [stage.ui.find(name).value for name in ("floor", "wall", "load")]


def test_the_first_minute_with_the_pointer(stage, home):
    """The numbers: a floor of 100 x 100 mm, walls of 25 mm; 248.6 g = 250 cm3 of water less 1 g of foil, rounded down."""
    stage.press("new")
    assert "A flat sheet. Fold a wall!" == verdict(stage)
    assert "wall" == stage.editor.state.tool.name
    # One drag in from an edge, all round: four walls, and their corners.
    stage.draw((75, 0), (75, 25))
    assert 16 == len(stage.pattern.creases)
    assert verdict(stage) == FOLDS
    assert "good" == stage.ui.find("verdict").value
    assert ["100", "25", "248"] == big_numbers(stage)
    # A wall is dragged, and the numbers follow while the hand still holds it.
    stage.hold((75, 25), (75, 35))
    assert ["64", "35", "222"] == big_numbers(stage)
    assert 16 == len(stage.pattern.creases)
    stage.play(_up(stage, (75, 35)))
    assert verdict(stage) == FOLDS
    stage.press("undo")
    assert ["100", "25", "248"] == big_numbers(stage)
    # Save, begin afresh, reopen.
    stage.press("save")
    stage.keys("ctrl+a")
    stage.type("my first boat")
    stage.press("save/save")
    file = home / "my first boat.json"
    assert stage.pattern == read_pattern(file)
    stage.press("start")
    stage.press("new")
    assert () == stage.pattern.creases
    stage.press("open")
    stage.press("open/list/0", times=2)
    assert read_pattern(file) == stage.pattern
    assert verdict(stage) == FOLDS


def _up(stage, point):
    return user_input.up(stage.ui, stage.at(point))


def test_the_first_minute_with_the_keys_alone(stage, home):
    stage.keys("ctrl+n")
    # The wall tool, how high, and Enter: four keys.
    stage.keys("w")
    stage.type("25")
    stage.keys("enter")
    assert 16 == len(stage.pattern.creases)
    assert {25.0, 125.0} == {y for c in stage.pattern.creases[:4] if c.start[1] == c.end[1] for y in (c.start[1],)}
    assert verdict(stage) == FOLDS
    assert ["100", "25", "248"] == big_numbers(stage)
    # Pick a wall and push it.
    stage.keys("f6", "p", *["down"] * 10, "enter")
    assert 1 == len(stage.editor.document.picked)
    stage.keys("alt+up")
    assert ["81", "30", "241"] == big_numbers(stage)
    stage.keys("ctrl+z")
    assert ["100", "25", "248"] == big_numbers(stage)
    # Save, begin afresh, reopen.
    stage.keys("ctrl+s", "ctrl+a")
    stage.type("by keys")
    stage.keys("enter")
    file = home / "by keys.json"
    assert stage.pattern == read_pattern(file)
    stage.keys("ctrl+n")
    assert () == stage.pattern.creases
    stage.keys("ctrl+o", "down", "enter")
    assert read_pattern(file) == stage.pattern


def test_a_remedy_for_the_whole_drawing_is_one_press(stage):
    stage.press("new")
    stage.press("tool/long")
    stage.draw((0, 25), (150, 25))
    stage.settle()
    stage.press("remedy/0")
    assert verdict(stage) == FOLDS
    assert study(stage.pattern).folds


def test_a_remedy_can_be_done_with_a_key(stage):
    stage.keys("ctrl+n", "l")
    stage.draw((0, 25), (150, 25))
    stage.settle()
    stage.keys("f3")
    assert verdict(stage) == FOLDS


def test_a_line_is_laid_by_typing_its_length_and_angle(stage):
    stage.press("new")
    stage.press("mirror/none")
    stage.press("tool/line")
    stage.click((20, 20))
    stage.move_to((60, 40))
    stage.field("lay/length", "50")
    stage.field("lay/angle", "90")
    stage.press("lay")
    assert ((20, 20), (20, 70)) == (stage.pattern.creases[0].start, pytest.approx(stage.pattern.creases[0].end))


def test_the_picked_line_is_changed_on_its_card_and_in_its_fields(stage):
    stage.press("new")
    stage.press("tool/long")
    stage.draw((0, 25), (150, 25))
    stage.keys("escape", "escape")
    stage.press("mirror/none")
    stage.click((75, 25))
    stage.press("card/mountain")
    assert "mountain" == stage.pattern.creases[0].sense
    stage.press("card/180")
    assert 3.14159 == pytest.approx(stage.pattern.creases[0].turn_rad, abs=1e-4)
    stage.field("turn", "60")
    assert 1.0472 == pytest.approx(stage.pattern.creases[0].turn_rad, abs=1e-4)
    stage.field("from/y", "30")
    assert (0, 30) == stage.pattern.creases[0].start
    stage.field("step", "3")
    assert 3 == stage.pattern.creases[0].step
    stage.press("card/delete")
    assert 3 == len(stage.pattern.creases)


def test_escape_always_comes_home(stage):
    stage.press("new")
    for tool in ("long", "square", "angle", "corner", "floor"):
        stage.press(f"tool/{tool}")
        stage.click((75, 0))
        stage.keys("escape", "escape", "escape")
        assert "pick" == stage.editor.state.tool.name
        assert not stage.editor.state.tool.busy
        assert not stage.editor.document.picked


def test_a_ready_pattern_opens_as_a_model_and_is_not_written_over(stage):
    stage.press("ready/0")
    assert "Plain tray" == stage.pattern.name
    assert stage.editor.document.path is None
    stage.keys("ctrl+s")
    assert "save" == stage.editor.state.dialog


def test_the_last_work_is_offered_on_the_start_page(tmp_path, stage, home):
    stage.press("new")
    stage.draw((75, 0), (75, 25))
    assert "" == save_file(stage.editor, home / "boat.json")
    fresh = EditorStage(tmp_path, start=True, recent=stage.editor.memory.recent)
    fresh.press("recent/0")
    assert 16 == len(fresh.pattern.creases)


def test_unsaved_work_is_not_left_without_a_question(stage, home):
    stage.press("new")
    stage.draw((75, 0), (75, 25))
    stage.press("start")
    assert "leave" == stage.editor.state.dialog
    stage.press("leave/back")
    assert 16 == len(stage.pattern.creases)
    stage.quit()
    assert not stage.editor.state.is_closing
    stage.press("leave/save")
    stage.press("save/save")
    assert stage.editor.state.is_closing
    assert 16 == len(read_pattern(home / "my-hull.json").creases)


def test_after_a_crash_the_work_is_offered_again(tmp_path, stage):
    stage.press("new")
    stage.draw((75, 0), (75, 25))
    stage.wait(5.0)
    again = EditorStage(tmp_path, start=True)
    again.press("kept/back")
    assert 16 == len(again.pattern.creases)
    assert not again.editor.document.is_saved
    assert [again.editor.autosave.file] == list((tmp_path / "work").glob("kept-*.json"))
