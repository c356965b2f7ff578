"""Remedies in the window: the hull that comes out as a picture with what it will carry, taken with one press, taken back with one."""

import pytest

from folder.cargo.item_list import find_item
from folder.cargo.words import counts_by_mass
from folder.search.mend import remedies
from folder.studies import study
from folder.verdict import verdict_of
from tests.editor_stage import EditorStage


@pytest.fixture
def stage(tmp_path, home):  # noqa: ARG001 (the home must be there first)
    stage = EditorStage(tmp_path)
    stage.press("mirror/none")
    stage.draw((0, 25), (150, 25))
    stage.draw((0, 125), (150, 125))
    stage.keys("escape", "escape")
    stage.settle()
    return stage


def test_a_card_says_what_would_be_done_and_what_comes_of_it(stage):
    best = remedies(study(stage.pattern))[0]
    record = stage.ui.find("remedy/0")
    assert best.text == record.text
    (count,) = counts_by_mass(find_item("us-cent").mass_g, best.likely_g)
    assert f"about {count} cents" == record.value
    assert stage.ui.shows(best.text)
    assert stage.ui.shows(f"about {count} cents")
    assert f"Then: about {count} cents." in stage.ui.find("hint").text


def test_it_is_taken_with_one_press_and_taken_back_with_one(stage):
    before, best = stage.pattern, remedies(study(stage.pattern))[0]
    stage.press("remedy/0")
    stage.settle()
    assert best.pattern == stage.pattern
    assert "hull" == verdict_of(stage.editor.fresh.study).code
    assert "remedy/0" not in stage.ui.last
    stage.press("undo")
    assert before == stage.pattern


def test_a_finding_has_no_second_button_beside_a_remedy_for_the_whole(stage):
    assert "remedy/0" in stage.ui.last
    assert [] == [name for name in stage.ui.last if name.endswith("/mend")]


def test_a_good_hull_and_an_empty_sheet_have_no_remedy(tmp_path, home):  # noqa: ARG001
    stage = EditorStage(tmp_path)
    stage.settle()
    assert "remedy/0" not in stage.ui.last
    stage.open("plain-tray")
    assert "remedy/0" not in stage.ui.last


def test_by_keys_alone(stage):
    stage.ui.focus_on("remedy/0")
    stage.wait(0)
    stage.keys("enter")
    assert "hull" == verdict_of(stage.editor.fresh.study).code


@pytest.mark.parametrize("case", [((1024, 700), 1.0), ((1024, 700), 1.5), ((1280, 800), 1.0), ((1920, 1080), 2.0)])
def test_the_cards_fit_and_the_best_is_whole_in_sight(tmp_path, home, case):  # noqa: ARG001
    stage = EditorStage(tmp_path, *case)
    stage.press("mirror/none")
    stage.draw((0, 25), (150, 25))
    stage.draw((40, 40), (100, 100))
    stage.keys("escape", "escape")
    stage.press("more")  # closed again: beside it there is little room
    stage.settle()
    assert not stage.editor.state.more
    assert [] == [said.text for said in stage.ui.display_list.texts if said.cut]
    record = stage.ui.find("remedy/0")
    assert record.visible.h >= 0.8 * record.pane.h
    assert stage.ui.find("hull").pane.h >= 110


def test_beside_a_remedy_that_makes_a_hull_none_is_offered_that_makes_none(tmp_path, home):  # noqa: ARG001 (the home must be there first)
    """Two walls that meet: turning one of them the other way is a remedy of the second rank, and folds to nothing."""
    stage = EditorStage(tmp_path, tool="wall")
    stage.press("all-round")
    stage.draw((75, 0), (75, 25))
    stage.draw((0, 75), (25, 75))
    stage.settle()
    assert [True, False] == [offer.remedy.good for offer in stage.editor.offers[:2]]
    assert "remedy/0" in stage.ui.last
    assert "remedy/1" not in stage.ui.last
