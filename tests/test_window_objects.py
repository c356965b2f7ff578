"""The object in use: found, weighed, and one's own, as a user does it."""

from __future__ import annotations

import json

import pytest

from folder.cargo.item_list import add_item, find_item, items, own_file
from folder.draw.object_picture import object_picture
from folder.window.autosave import remember, remembered
from folder.window.objects.commands import choose_object, weigh_object
from folder.window.objects.own import item_of, own_form
from tests.editor_stage import EditorStage


@pytest.fixture
def stage(tmp_path):
    stage = EditorStage(tmp_path)
    stage.keys("3")
    stage.keys("o")
    stage.settle()
    return stage


def test_what_a_team_is_told_finds_the_object_and_enter_takes_it(stage) -> None:
    stage.type("3.92 g and 21.25 mm by 1.67 mm")
    stage.keys("enter")
    assert ("euro-5-cent", "") == (stage.editor.state.object_choice.name, stage.editor.state.dialog)


def test_the_arrows_go_through_what_was_found_without_leaving_the_field(stage) -> None:
    stage.type("marble")
    stage.keys("down", "down", "up", "enter")
    assert "marble-16" == stage.editor.state.object_choice.name


def test_escape_leaves_the_object_as_it_was(stage) -> None:
    stage.type("golf")
    stage.keys("escape", "escape")
    assert ("us-cent", "") == (stage.editor.state.object_choice.name, stage.editor.state.dialog)


def test_an_object_that_is_not_in_the_list_is_entered_from_what_was_typed(stage) -> None:
    stage.type("glass stone 4.1 g 18 mm 9 mm")
    stage.press("objects/own")
    stage.keys("enter")
    kept = json.loads(own_file().read_bytes())["objects"]
    assert [("glass-stone", [18.0, 9.0], 4.1)] == [(one["name"], one["size_mm"], one["mass_g"]) for one in kept]
    assert "glass-stone" == stage.editor.state.object_choice.name
    stage.keys("escape", "escape", "o")
    stage.settle()
    assert stage.ui.shows("My own")
    stage.press("objects/list/glass-stone")
    stage.press("objects/drop")
    assert [] == json.loads(own_file().read_bytes())["objects"]
    assert "us-cent" == stage.editor.state.object_choice.name


def test_an_own_object_without_a_name_is_asked_for_it_and_nothing_is_lost(stage) -> None:
    stage.press("objects/own")
    stage.field("own/mass", "7")
    stage.press("own/keep")
    assert stage.ui.shows("ive it a name")
    assert not own_file().exists()
    assert 7.0 == stage.ui.find("own/mass").value


def test_nonsense_is_answered_and_the_list_comes_back(stage) -> None:
    stage.type("qqqq")
    assert stage.ui.shows("Nothing fits that")
    stage.keys("ctrl+a", "delete")
    assert stage.ui.shows("Coins")


def test_ones_own_mass_is_remembered_for_each_object_and_from_day_to_day(stage, tmp_path) -> None:
    editor = stage.editor
    choose_object(editor, "die-16")
    assert editor.state.object_choice.item.mass_g is None
    weigh_object(editor, 4.6)
    choose_object(editor, "us-cent")
    assert 2.5 == editor.state.object_choice.item.mass_g
    remember(editor.memory, tmp_path / "window.json")
    again = remembered(tmp_path / "window.json")
    assert {"die-16": 4.6} == again.weighed_g
    choose_object(editor, "die-16")
    assert 4.6 == editor.state.object_choice.item.mass_g
    weigh_object(editor, None)
    assert editor.state.object_choice.item.mass_g is None


def test_the_lists_own_mass_typed_again_is_no_mass_of_ones_own(stage) -> None:
    weigh_object(stage.editor, 2.61)
    assert 2.61 == stage.editor.state.object_choice.own_mass_g
    weigh_object(stage.editor, 2.5)
    assert stage.editor.state.object_choice.own_mass_g is None


def test_a_list_changed_by_another_program_is_seen_at_once() -> None:
    first = item_of(own_form("red bead 8 mm 0.4 g"))
    add_item(first)
    assert 0.4 == find_item("red-bead").mass_g
    add_item(item_of(own_form("red bead 8 mm 0.55 g")))
    assert 0.55 == find_item("red bead").mass_g


@pytest.mark.parametrize(
    ("typed", "shape", "sizes", "mass_g"),
    [
        ("ball 8 mm 0.4 g", "ball", [8.0], 0.4),
        ("20 mm by 15 mm by 9 mm", "block", [20.0, 15.0, 9.0], None),
        ("screw 3.5", "screw", [8.0, 20.0], 3.5),
    ],
)
def test_the_form_takes_shape_sizes_and_mass_from_what_was_typed(typed: str, shape: str, sizes: list[float], mass_g) -> None:
    form = own_form(typed)
    assert (shape, sizes, mass_g) == (form.shape, form.sizes[: len(sizes)], form.mass_g)


def test_another_shape_begins_with_its_usual_sizes_and_what_was_measured_stays(stage) -> None:
    stage.press("objects/own")
    assert (20.0, 2.0) == (stage.ui.find("own/size/0").value, stage.ui.find("own/size/1").value)  # a coin
    stage.press("own/size/1")
    stage.keys("ctrl+a")
    stage.type("9")
    stage.press("own/shape/tube")
    assert (10.0, 9.0) == (stage.ui.find("own/size/0").value, stage.ui.find("own/size/1").value)


def test_every_object_has_a_picture_in_its_own_proportions() -> None:
    """The picture of a ball is as wide as high; that of a lying thing as long as it is, to the width of its end."""
    for item in items():
        box = object_picture(item).box
        longest = max(item.extents_mm)
        assert 0.75 * longest <= max(box.width, box.height) <= 1.9 * longest, item.name
        if item.shape == "ball":
            assert pytest.approx(box.width) == box.height
