"""Hulls side by side: played by events alone, by name; what is shown equals what the study says."""

import math

import pygame
import pytest

from folder.draw.chart import Spread, bars
from folder.draw.picture import Box, Label
from folder.draw.text import width_mm
from folder.paper.design import NO_LOAD
from folder.pattern.file import find_pattern, read_pattern
from folder.studies import study
from tests.editor_stage import EditorStage
from tests.studied import ready_study


@pytest.fixture
def stage(tmp_path, home):  # noqa: ARG001 (the home must be there first)
    stage = EditorStage(tmp_path)
    stage.open("plain-tray")
    stage.turn_to("compare")
    return stage


def add(stage, *names):
    for name in names:
        stage.choose("compare/add", name)
    stage.settle()


def shown(stage, index):
    return stage.ui.find(f"compare/{index}").value


def loads_of(name):
    made = ready_study(name)
    return made, (made.working.low_g, made.working.likely_g, made.working.high_g)


def test_the_hull_on_the_table_stands_first(stage):
    made, loads = loads_of("plain-tray")
    assert Spread("Plain tray", pytest.approx(loads), pytest.approx(made.brim.load_g)) == shown(stage, 0)
    assert "compare/1" not in stage.ui.last


@pytest.mark.parametrize("name", ["hemmed-tray", "tall-small-tray"])
def test_the_numbers_are_those_of_the_study(stage, name):
    add(stage, name)
    made, loads = loads_of(name)
    assert Spread(made.pattern.name, pytest.approx(loads), pytest.approx(made.brim.load_g)) == shown(stage, 1)
    numbers = stage.ui.find("compare/1/numbers").text
    assert f"floor {made.measures.floor_area_mm2 / 100:.0f} cm²" in numbers
    assert f"wall {made.measures.wall_height_mm:.1f} mm" in numbers
    assert f"brim {math.floor(made.brim.load_g)} g" in numbers


def lower_wall(stage):
    stage.turn_to("fold")
    stage.click((60, 25))
    stage.draw((60, 25), (60, 35))
    stage.turn_to("compare")


def test_the_first_follows_the_edits_and_what_was_kept_stays(stage):
    before = shown(stage, 0)
    stage.press("compare/keep")
    stage.settle()
    lower_wall(stage)
    assert before == shown(stage, 1)
    after = study(stage.pattern)
    assert after.working.likely_g == pytest.approx(shown(stage, 0).low_likely_high[1])
    assert after.working.likely_g != pytest.approx(before.low_likely_high[1], abs=1)


def test_at_most_eight_and_none_twice(stage):
    add(stage, "hemmed-tray")
    add(stage, "hemmed-tray")
    assert 1 == len(stage.editor.state.comparing.others)
    assert any("stands there already" in m.text for m in stage.ui.messages)
    add(stage, "leaning-tray", "long-barge", "shallow-tray", "keel-tray", "tall-small-tray", "two-bend-tray")
    assert 7 == len(stage.editor.state.comparing.others)
    assert not stage.ui.find("compare/add").enabled
    assert not stage.ui.find("compare/keep").enabled
    stage.press("compare/drop/0")
    assert 6 == len(stage.editor.state.comparing.others)
    assert stage.ui.find("compare/add").enabled


def test_one_that_is_picked_is_opened(stage):
    add(stage, "hemmed-tray")
    stage.press("compare/open/0")
    stage.settle()
    assert read_pattern(find_pattern("hemmed-tray")).creases == stage.pattern.creases
    assert "fold" == stage.editor.state.page
    assert stage.editor.document.path is None
    assert 1 == len(stage.editor.state.comparing.others)


def test_opening_one_asks_to_save_the_work_first(stage):
    add(stage, "hemmed-tray")
    lower_wall(stage)
    mine = stage.pattern
    stage.press("compare/open/0")
    assert "leave" == stage.editor.state.dialog
    stage.press("leave/back")
    assert stage.pattern is mine
    stage.press("compare/open/0")
    stage.press("leave/drop")
    assert "Hemmed tray" == stage.pattern.name


def test_a_kept_one_that_is_opened_again_is_work_that_could_be_lost(stage):
    stage.press("compare/keep")
    stage.settle()
    stage.press("compare/open/0")
    assert not stage.editor.document.is_saved


def test_what_does_not_fold_says_so(tmp_path):
    stage = EditorStage(tmp_path)
    stage.draw((0, 25), (150, 25))
    stage.keys("escape", "escape", "3")
    stage.settle()
    assert NO_LOAD == shown(stage, 0).text
    assert "does not fold" in stage.ui.find("compare/0/numbers").text


def test_an_empty_sheet_has_nothing_to_keep(tmp_path):
    stage = EditorStage(tmp_path)
    stage.keys("escape", "3")
    stage.settle()
    assert not stage.ui.find("compare/keep").enabled
    assert shown(stage, 0).low_likely_high is None


def test_by_keys_alone(stage):
    stage.ui.focus_on("compare/add")
    stage.wait(0)
    stage.keys("enter")
    stage.type("h")
    stage.keys("enter")
    stage.settle()
    assert ["Heavy duty tray"] == [other.pattern.name for other in stage.editor.state.comparing.others]
    reached = set()
    for _ in range(40):
        stage.keys("tab")
        reached.add(stage.ui.focus.name)
    assert {"page", "compare/add", "compare/keep", "compare/open/0", "compare/drop/0"} <= reached
    stage.ui.focus_on("compare/drop/0")
    stage.wait(0)
    stage.keys("space")
    assert () == stage.editor.state.comparing.others


def test_the_others_are_still_there_after_another_page(stage):
    add(stage, "hemmed-tray")
    before = shown(stage, 1)
    stage.keys("1", "3")
    stage.settle()
    assert before is shown(stage, 1)


def test_two_runs_give_the_same_picture(tmp_path):
    pictures = []
    for name in ("one", "two"):
        stage = EditorStage(tmp_path / name)
        stage.open("plain-tray")
        stage.keys("3")
        add(stage, "hemmed-tray")
        pictures.append(stage.pixels())
    assert pictures[0] == pictures[1]


def test_drawing_it_anew_gives_what_was_drawn_bit_by_bit(stage):
    add(stage, "hemmed-tray", "eight-sided-bowl")
    stage.press("compare/drop/0")
    stage.settle()
    before = stage.pixels()
    assert before == stage.drawn_anew()


def test_every_hull_has_its_own_picture(stage):
    """Taking the first of two away leaves the picture of the second, not of the first."""
    add(stage, "hemmed-tray", "eight-sided-bowl")
    stage.press("compare/drop/0")
    stage.settle()
    left = hull_pixels(stage)
    stage.press("compare/drop/0")
    add(stage, "eight-sided-bowl")
    assert left == hull_pixels(stage)
    stage.press("compare/drop/0")
    add(stage, "hemmed-tray")
    assert left != hull_pixels(stage)


def hull_pixels(stage):
    """The picture of the first of the others."""
    pane = stage.ui.find("compare/1").pane
    return pygame.image.tobytes(stage.window.surface.subsurface((pane.x + 8, pane.y + 6, 100, 84)), "RGB")


def test_in_little_room_the_words_of_a_row_are_shorter_and_still_in_the_box():
    spread = Spread("Tray", (130.2, 165.9, 207.1), 248.6)
    for wide, words in ((90.0, "likely 165 g (130 to 207)"), (46.0, "165 g (130 to 207)")):
        labels = [item for item in bars([spread], Box(0.0, 0.0, wide, 30.0)).marks if isinstance(item, Label)]
        (said,) = [label for label in labels if label.weight == "bold"]
        assert words == said.text
        assert said.at[0] >= 0.0
        assert said.at[0] + width_mm(said.text, said.size_mm, "bold") <= wide
