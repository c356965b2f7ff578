"""Fields: what is typed becomes a value once, and nonsense never does."""

import math

import pygame
import pytest
from hypothesis import given
from hypothesis import strategies as st

from folder.window.widgets import Pane, button, dialog, number_field, text_field, touch_area
from folder.window.widgets.field import number_text, read_number
from tests import user_input
from tests.widgets_stage import Stage

BOX = Pane(100, 100, 200, 42)


class Page:
    """A number field, a text field, a button, an area. Every value the fields give is noted when it changes."""

    def __init__(self, width=25.0, name="Tray"):
        self.width, self.name, self.turn = width, name, None
        self.commits, self.pressed, self.seen_at_save = [], [], []

    def __call__(self, ui):
        if touch_area(ui, "sheet", Pane(0, 300, 640, 180)).down:
            self.seen_at_save.append(("sheet", self.width))
        width = number_field(ui, "width", BOX, self.width, unit="mm", low=5, high=70, step=0.5)
        if width != self.width:
            self.commits.append(width)
        self.width = width
        name = text_field(ui, "name", BOX.moved(0, 60), self.name, wrong=lambda t: "" if t.strip() else "Name it.")
        if name != self.name:
            self.commits.append(name)
        self.name = name
        self.turn = number_field(ui, "turn", BOX.moved(220, 0), self.turn, unit="°", low=0, high=180, empty="free")
        if button(ui, "go", BOX.moved(0, 120), "Go"):
            self.pressed.append(self.width)
        if ui.shortcut("ctrl+s"):
            self.seen_at_save.append(("ctrl+s", self.width))
        if ui.shortcut("v"):
            self.pressed.append("v")
        if ui.shortcut("escape"):
            self.pressed.append("escape")


@pytest.fixture
def page():
    return Page()


@pytest.fixture
def stage(page):
    return Stage(page)


def test_enter_then_leaving_commits_once(page, stage):
    stage.press("width")
    stage.type("30")
    assert [] == page.commits
    stage.keys("enter", "tab")
    stage.press("go")
    assert [30] == page.commits


@pytest.mark.parametrize("leave", ["tab", "shift+tab", "go"])
def test_leaving_commits_once(page, stage, leave):
    stage.press("width")
    stage.type("30")
    if leave == "go":
        stage.press("go")
        assert [30] == page.pressed
    else:
        stage.keys(leave)
    stage.keys("tab", "tab")
    assert [30] == page.commits


def test_all_that_is_typed_and_left_in_one_frame_commits_once(page, stage):
    stage.play([*user_input.press(stage.ui, "width"), *user_input.typed("41"), *user_input.key("tab"), *user_input.typed("Boat"),
                *user_input.key("enter"), *user_input.key("tab")])  # fmt: skip
    assert [41, "Boat"] == page.commits


def test_a_press_on_the_sheet_finds_the_value_already_there(page, stage):
    stage.press("width")
    stage.type("12")
    stage.press("sheet")
    assert [("sheet", 12)] == page.seen_at_save


def test_a_command_finds_the_value_already_there(page, stage):
    stage.press("width")
    stage.type("12")
    stage.keys("ctrl+s")
    assert [("ctrl+s", 12)] == page.seen_at_save
    assert stage.ui.find("width").focused


def test_escape_puts_the_value_back_and_a_second_escape_goes_on(page, stage):
    stage.press("width")
    stage.type("66")
    stage.keys("escape")
    assert ([], [], "25") == (page.commits, page.pressed, stage.ui.find("width").text)
    stage.keys("escape", "tab")
    assert ([], ["escape"]) == (page.commits, page.pressed)


def test_nonsense_gives_a_sentence_and_stays_as_it_was_typed(page, stage):
    stage.press("width")
    stage.type("ten")
    stage.keys("enter")
    assert "“ten” is not a number. Type one from 5 to 70 mm." == stage.ui.find("width").problem
    assert stage.ui.shows("is not a number")
    assert stage.ui.shows("ten")
    assert ([], 25) == (page.commits, page.width)
    stage.keys("backspace", "backspace", "backspace")
    stage.type("10")
    stage.keys("enter")
    assert ("", [10]) == (stage.ui.find("width").problem, page.commits)


def test_nonsense_that_is_left_is_told_and_taken_back_by_escape(page, stage):
    stage.press("width")
    stage.type("x")
    stage.press("go")
    assert stage.ui.shows("“x” is not a number. Type one from 5 to 70 mm.")
    assert ([25], []) == (page.pressed, page.commits)
    stage.press("width")
    stage.keys("escape")
    assert ("", "25") == (stage.ui.find("width").problem, stage.ui.find("width").text)


def test_a_wrong_text_is_told_in_the_pages_own_words(page, stage):
    stage.press("name")
    stage.keys("delete", "enter")
    assert stage.ui.shows("Name it.")
    assert "Tray" == page.name


@pytest.mark.parametrize(("text", "number"), [
    ("12", 12), ("12,5", 12.5), (" 12.5 mm ", 12.5), ("12.5MM", 12.5), (".5", 0.5), ("+7", 7), ("−3", -3), ("7.", 7),
])  # fmt: skip
def test_numbers_are_read_as_people_write_them(text, number):
    assert (number, "") == read_number(text, "mm", -100, 100, False)


@pytest.mark.parametrize("text", ["", "x", "1e3", "nan", "inf", "1 2", "--3", "1.2.3", "0x10", "12 cm", "1_000", "½"])
def test_what_is_not_a_number_is_a_sentence(text):
    number, problem = read_number(text, "mm", 0, 100, False)
    assert number is None
    assert problem.endswith(".")
    assert "from 0 to 100 mm" in problem


def test_a_number_out_of_range_is_told_which_way():
    assert "too large" in read_number("71", "mm", 5, 70, False)[1]
    assert "too small" in read_number("4.9", "mm", 5, 70, False)[1]
    assert "Type 0 or more." == read_number("-1", "", 0, math.inf, False)[1]


@given(st.floats(-1e6, 1e6), st.integers(0, 3))
def test_a_number_written_is_read_back(number, digits):
    text = number_text(number, digits)
    assert round(number, digits) == read_number(text, "", -1e7, 1e7, False)[0]
    assert not text.endswith(".")


def test_an_empty_field_is_no_number_where_that_is_a_choice(page, stage):
    stage.press("turn")
    stage.type("90")
    stage.keys("enter")
    assert 90 == page.turn
    stage.keys("ctrl+a", "delete", "enter")
    assert page.turn is None
    assert stage.ui.shows("free")


def test_arrows_step_and_stay_in_range(page, stage):
    stage.press("width")
    stage.keys("up", "up", "down", "shift+up")
    assert [25.5, 26, 25.5, 30.5] == page.commits
    for _ in range(9):
        stage.keys("shift+up")
    assert 70 == page.width
    stage.type("8")
    stage.keys("down")
    assert 7.5 == page.width


def test_undo_and_redo_stay_within_the_field(page, stage):
    stage.press("name")
    stage.type("Boat")
    stage.keys("backspace", "ctrl+z", "ctrl+z", "ctrl+shift+z", "enter")
    assert ["Boat"] == page.commits
    assert [] == page.pressed


def test_copy_cut_and_paste(page, stage):
    stage.press("name")
    stage.keys("ctrl+c", "end")
    stage.type(" ")
    stage.keys("ctrl+v", "enter")
    assert "Tray Tray" == page.name
    stage.keys("ctrl+a", "ctrl+x")
    assert "Tray Tray" == stage.ui.clipboard.get()
    stage.ui.clipboard.put("two\nlines")
    stage.keys("ctrl+v", "enter")
    assert "twolines" == page.name


def test_home_end_and_shift_select(stage):
    stage.press("name")
    stage.keys("home", "shift+right", "shift+right", "delete", "end", "left", "shift+home", "ctrl+c", "escape")
    assert "a" == stage.ui.clipboard.get()


def test_the_first_press_selects_all_a_second_sets_the_caret_a_double_press_a_word():
    page = Page(name="one two")
    stage = Stage(page)
    stage.press("name")
    stage.type("all")
    stage.keys("ctrl+z")
    x, y = BOX.x + 12, BOX.y + 80
    stage.wait(2)
    stage.play([user_input.down(stage.ui, (x, y)), user_input.up(stage.ui, (x, y))])
    stage.keys("shift+right", "ctrl+c")
    assert "o" == stage.ui.clipboard.get()
    stage.wait(2)
    stage.play([event for _ in range(2) for event in (user_input.down(stage.ui, (x, y)), user_input.up(stage.ui, (x, y)))])
    stage.keys("ctrl+c")
    assert "one" == stage.ui.clipboard.get()


def test_dragging_in_a_field_selects(stage):
    stage.press("name")
    stage.wait(2)
    y = BOX.y + 80
    stage.play(user_input.drag(stage.ui, (BOX.x + 10, y), (BOX.right - 5, y)))
    stage.keys("ctrl+c")
    assert "Tray" == stage.ui.clipboard.get()


def test_letters_typed_into_a_field_are_no_commands(page, stage):
    stage.press("name")
    stage.type("v")
    assert [] == page.pressed
    stage.keys("enter", "tab", "tab")
    stage.keys("v")
    assert ["v"] == page.pressed


def test_a_value_changed_from_outside_shows_at_once(page, stage):
    page.width = 33.0
    stage.ui.redraw()
    stage.wait(0)
    assert stage.ui.shows("33")
    stage.press("width")
    stage.keys("enter", "tab")
    assert [] == page.commits


def test_a_value_the_page_refuses_is_put_back():
    commits = []

    def view(ui):
        got = number_field(ui, "width", BOX, 25.0, low=0, high=100)
        if got != 25.0:
            commits.append(got)

    stage = Stage(view)
    stage.press("width")
    stage.type("30")
    stage.keys("enter", "tab", "tab")
    assert [30] == commits
    assert "25" == stage.ui.find("width").text


def test_a_long_text_scrolls_with_the_caret_and_never_leaves_its_box(stage):
    outside = pygame.Mask(stage.surface.get_size(), fill=True)
    stage.press("name")
    before = stage.surface.copy()
    stage.type("a very long name that will never fit in here")
    same = pygame.mask.from_threshold(before, (0, 0, 0), (1, 1, 1, 255), stage.surface)
    outside.erase(same, (0, 0))
    changed = outside.get_bounding_rects()
    box = pygame.Rect(*BOX.moved(0, 60))
    assert changed
    assert all(box.contains(rect) for rect in changed)


def test_a_key_that_opens_a_dialog_does_not_type_into_it():
    state = {"open": False, "name": "Tray"}

    def view(ui):
        if state["open"]:
            with dialog(ui, "ask", "Name", 400, 200) as card:
                state["name"] = text_field(ui, "name", card.inside.cut_top(42)[0], state["name"])
        if ui.shortcut("n"):
            state["open"] = True

    stage = Stage(view)
    down, typed, up = user_input.key("n")
    stage.play(down, typed, up)
    stage.keys("enter")
    assert "Tray" == state["name"]
    stage.type("n")
    stage.keys("enter")
    assert "n" == state["name"]
