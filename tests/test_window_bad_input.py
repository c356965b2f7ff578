"""Bad input: each time a sentence, and the work is still there."""

import math
import os
from concurrent.futures import Future

import pygame
import pytest

from folder.errors import UnwritableFile
from folder.pattern import file
from folder.pattern.file import read_pattern
from folder.pattern.pattern import Crease, Pattern
from folder.window.commands.files import save_file
from tests.editor_stage import EditorStage


@pytest.fixture
def stage(tmp_path, home):  # noqa: ARG001 (the home must be there first)
    stage = EditorStage(tmp_path)
    stage.draw((0, 25), (150, 25))
    return stage


def says(stage, words):
    return any(words in message.text for message in stage.ui.messages) or stage.ui.shows(words)


@pytest.mark.parametrize("nonsense", ["ninety", "1e999", "--5", "nan", "200", "-1"])
def test_nonsense_in_a_field_is_said_and_changes_nothing(stage, nonsense):
    stage.keys("escape", "escape")
    stage.click((75, 25))
    before = stage.pattern
    stage.field("turn", nonsense)
    assert stage.ui.find("turn").problem
    assert stage.pattern is before
    stage.keys("escape", "escape")
    assert stage.pattern is before


def test_a_line_of_no_length_is_refused_in_a_sentence(stage):
    stage.press("tool/line")
    before = stage.pattern
    stage.click((60, 60))
    stage.click((60, 60))
    assert says(stage, "two different ends")
    assert stage.pattern is before


def test_an_end_typed_onto_the_other_end_is_refused_in_a_sentence(stage):
    stage.press("mirror/none")
    stage.keys("p")
    stage.click((75, 25))
    before = stage.pattern
    stage.field("from/x", "150")
    assert says(stage, "two different ends")
    assert stage.pattern is before


def test_two_thousand_creases_are_shown_and_can_be_worked_on_while_they_are_still_studied(tmp_path, monkeypatch):
    stage = EditorStage(tmp_path)
    monkeypatch.setattr(stage.editor.worker._thread("study"), "submit", lambda _: Future())
    creases = tuple(
        Crease((75 + 70 * math.cos(k), 75 + 70 * math.sin(k)), (75 + 70 * math.cos(k + 0.02), 75 + 70 * math.sin(k + 0.02)))
        for k in range(2000)
    )
    many = Pattern(creases=creases)
    stage.editor.begin(many)
    stage.ui.redraw()
    stage.wait(0)
    stage.keys("p")
    stage.move_to((75, 75))
    stage.click(creases[100].start)
    assert 1 == len(stage.editor.document.picked)
    stage.keys("delete")
    assert 1999 == len(stage.pattern.creases)
    stage.keys("ctrl+z")
    assert stage.pattern is many


@pytest.mark.parametrize(
    "content", [b"", b"hello", b"{}", b"\xff\xfe\x00", b'{"format": "foil-pattern", "version": 99}', b"[" * 100_000]
)
def test_a_file_that_is_not_a_pattern_is_said_and_the_work_stays(stage, home, content):
    (home / "odd.json").write_bytes(content)
    assert "" == save_file(stage.editor, home / "boat.json")
    before = stage.pattern
    stage.keys("ctrl+o")
    names = [stage.ui.find(f"open/list/{k}").text for k in range(2)]
    stage.press(f"open/list/{[n.startswith('odd') for n in names].index(True)}", times=2)
    assert "open" == stage.editor.state.dialog
    assert any(said.text.endswith(".") for said in stage.ui.display_list.texts)
    assert stage.pattern is before


def test_a_full_disk_is_said_and_the_work_stays(stage, monkeypatch):
    before = stage.pattern

    def full(path, _):
        raise UnwritableFile("the file cannot be written", where=str(path), found="No space left on device", remedy="Make room")

    monkeypatch.setattr(file, "write_whole", full)
    stage.keys("ctrl+s")
    stage.press("save/save")
    assert "save" == stage.editor.state.dialog
    assert any("No space left on device" in said.text for said in stage.ui.display_list.texts)
    assert stage.pattern is before
    assert not stage.editor.document.is_saved
    monkeypatch.undo()
    stage.press("save/save")
    assert stage.editor.document.is_saved


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="needs a user who may not do everything")
def test_a_directory_that_may_not_be_read_is_said(stage, home):
    (home / "locked").mkdir(mode=0)
    stage.keys("ctrl+o")
    stage.press("open/list/0", times=2)
    assert says(stage, "cannot be looked into")


@pytest.mark.parametrize("name", ["", "a/b", "..", "what?"])
def test_a_name_no_file_can_have_is_said(stage, home, name):
    stage.keys("ctrl+s", "ctrl+a", "delete")
    stage.type(name)
    stage.press("save/save")
    assert "save" == stage.editor.state.dialog
    assert [] == list(home.glob("*"))


def test_a_name_too_long_for_the_disk_is_said_and_the_work_stays(stage, home):
    """Letters of four bytes each: as many as the field takes are past what most file systems do (255 bytes)."""
    before = stage.pattern
    stage.keys("ctrl+s", "ctrl+a", "delete")
    stage.type("\U0001f6f6" * 80)
    stage.press("save/save")
    assert stage.pattern is before
    assert "save" == stage.editor.state.dialog
    assert any("cannot be written" in said.text for said in stage.ui.display_list.texts)
    assert [] == list(home.glob("*"))


def test_a_file_that_is_there_is_not_written_over_without_a_question(stage, home):
    (home / "my-hull.json").write_text("precious", encoding="utf-8")
    stage.keys("ctrl+s")
    stage.press("save/save")
    assert "precious" == (home / "my-hull.json").read_text(encoding="utf-8")
    assert "save" == stage.editor.state.dialog
    stage.press("save/save")
    assert stage.pattern == read_pattern(home / "my-hull.json")


@pytest.mark.parametrize("size", [(1, 1), (60, 40), (320, 200), (640, 300), (700, 500)])
def test_a_tiny_window_says_so_and_the_work_comes_back_with_room(stage, size):
    large, before = stage.window.surface, stage.pattern
    stage.window.surface = pygame.Surface(size)
    stage.wait(0.1)
    stage.keys("tab", "a", "escape")
    stage.window.surface = large
    stage.wait(0.1)
    assert stage.pattern is before
    assert stage.ui.find("sheet").visible.w > 300


def test_a_study_that_breaks_off_is_said_and_the_drawing_stays(stage, monkeypatch):
    def submit(_):
        future = Future()
        future.set_exception(ZeroDivisionError())
        return future

    monkeypatch.setattr(stage.editor.worker._thread("study"), "submit", submit)
    stage.press("tool/line")
    stage.draw((40, 60), (70, 60))
    assert "too much for the program" in stage.ui.find("verdict").text
    monkeypatch.undo()
    stage.press("undo")
    assert "points will not close" in stage.ui.find("verdict").text


def test_pasting_a_page_of_text_into_the_name_is_cut_to_a_name(stage):
    stage.ui.clipboard.put("boat " * 500)
    stage.press("name")
    stage.keys("ctrl+a", "ctrl+v", "enter")
    assert 60 >= len(stage.pattern.name) > 10
