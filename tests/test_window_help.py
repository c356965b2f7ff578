"""The help: first steps, words that can be pressed wherever they stand, every key; its pictures are made from patterns."""

import re

import pytest

from folder.draw.picture import Area
from folder.draw.style import SHADE
from folder.window.help.pictures import help_pictures
from folder.window.help.view import STEPS
from folder.window.help.words import HELP_WORDS, ICON, words_in
from folder.window.widgets.icon import ICONS
from tests import user_input
from tests.editor_stage import EditorStage


@pytest.fixture
def stage(tmp_path, home):  # noqa: ARG001 (the home must be there first)
    stage = EditorStage(tmp_path)
    stage.draw((0, 25), (150, 25))
    stage.settle()
    return stage


def test_the_question_mark_opens_five_first_steps_each_with_its_picture(stage):
    stage.press("help")
    stage.settle()
    assert 5 == len(STEPS) == len(set(STEPS))
    for _, text in STEPS:
        assert stage.ui.shows(text)
    stage.press("help/close")
    assert "" == stage.editor.state.dialog


def test_every_picture_of_the_help_is_made_and_every_one_made_is_shown():
    wanted = {picture for picture, _ in STEPS} | {word.picture for word in HELP_WORDS}
    icons = {name.removeprefix(ICON) for name in wanted if name.startswith(ICON)}
    assert icons <= ICONS.keys()
    made = help_pictures()
    assert {name for name in wanted if not name.startswith(ICON)} == made.keys()
    assert all(picture.marks for picture in made.values())


def test_the_floor_the_walls_and_the_corners_of_a_tray_are_tinted_each_in_its_own_picture():
    """Of a tray of 25 mm walls on 150 mm: 100 x 100, 4 of 100 x 25, 4 of 25 x 25 mm."""
    made, areas = help_pictures(), []
    for name in ("floor", "wall", "flap"):
        tinted = [mark for mark in made[name].marks if isinstance(mark, Area) and mark.fill == SHADE]
        areas.append(sum(abs(_area(ring)) for mark in tinted for ring in mark.rings))
    assert [10_000.0, 10_000.0, 2_500.0] == pytest.approx(areas)


def _area(ring):
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(ring, (*ring[1:], ring[0]), strict=True)) / 2


def test_a_word_is_found_in_its_forms_and_not_inside_another_word():
    assert ["flap", "wall"] == [found.word.word for found in words_in("Tuck it on the walls.")]
    assert ["perfect hands"] == [found.word.word for found in words_in("perfect hands")]
    assert [] == list(words_in("Outline the trim, shorten it, dispute rimless hemlines."))
    (found,) = words_in("The rim dips.")
    assert "rim" == "The rim dips."[found.start : found.end]


def test_a_word_pressed_in_the_verdict_the_hint_or_a_finding_is_explained(stage):
    for name in ("verdict/word/0", "finding/0/word/0", "hint/word/0"):
        word = stage.ui.find(name).text
        stage.press(name)
        stage.settle()
        assert ("help", word) == (stage.editor.state.dialog, stage.editor.state.helping.word)
        record = stage.ui.find(f"help/word/{word}")
        assert record.value
        assert record.visible.h == pytest.approx(record.pane.h)
        stage.keys("escape")
        assert "" == stage.editor.state.dialog


def test_a_finding_is_still_pressed_beside_its_words(stage):
    pane = stage.ui.find("finding/0").visible
    at = (pane.x + 12, pane.y + pane.h - 8)
    stage.play(user_input.move(stage.ui, at), user_input.down(stage.ui, at), user_input.up(stage.ui, at))
    assert 0 == stage.editor.state.finding


def test_the_words_lie_where_they_are_read(stage):
    """Each underlined word is as wide as its letters and stands inside its text."""
    inside = {"verdict": "verdict", "hint": "hint", "finding/0": "finding/0"}
    for name, record in stage.ui.last.items():
        found = re.fullmatch(r"(.*)/word/\d+", name)
        if found and record.kind == "word":
            assert stage.ui.find(inside[found[1]]).pane.covers(record.pane), name
            forms = next(word for word in HELP_WORDS if word.word == record.text)
            sizes = [
                stage.ui.display_list.text_w(form, "body", bold) for form in (forms.word, *forms.forms) for bold in (True, False)
            ]
            assert min(sizes) - 3 <= record.pane.w <= max(sizes) + 3


def test_the_letters_are_made_larger_in_the_help(stage):
    stage.press("help")
    stage.choose("help/size", "1.25")
    assert 1.25 == stage.editor.memory.scale
