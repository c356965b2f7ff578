"""Dialogs take the focus and give it back; messages and tips come and go."""

import pytest

from folder.window.widgets import Pane, button, dialog, drop_down, label, notice, text_field
from tests import user_input
from tests.widgets_stage import Stage


class Page:
    """Two buttons; the first asks a question that asks another."""

    def __init__(self):
        self.depth, self.pressed, self.name, self.pick = 0, [], "Tray", "a"

    def __call__(self, ui):
        for i, name in enumerate(("ask", "other")):
            if button(ui, name, Pane(20, 20 + 60 * i, 150, 42), name):
                self.pressed.append(name)
                self.depth = 1 if name == "ask" else self.depth
        if ui.shortcut("ctrl+s"):
            self.pressed.append("ctrl+s")
        if self.depth > 0:
            with dialog(ui, "first", "First", 400, 300, default="first/ok", level="warn") as card:
                rows = card.inside.rows([1, 1, 1, 1], 8)
                self.name = text_field(ui, "first/name", rows[0], self.name, wrong=lambda t: "" if t else "No name.")
                self.pick = drop_down(ui, "first/pick", rows[1], {"a": "Ant", "b": "Bee"}, self.pick)
                if button(ui, "first/ok", rows[2], "OK"):
                    self.pressed.append(f"ok {self.name}")
                    self.depth = 0
                if button(ui, "first/more", rows[3], "More"):
                    self.depth = 2
                if card.closed:
                    self.depth = 0
        if self.depth > 1:
            with dialog(ui, "second", "Second", 300, 200) as card:
                if button(ui, "second/ok", card.inside.cut_top(42)[0], "OK") or card.closed:
                    self.depth = 1


def nothing(ui):
    """An empty page."""
    assert ui.page.w


@pytest.fixture
def page():
    return Page()


@pytest.fixture
def stage(page):
    return Stage(page)


def test_a_dialog_takes_the_focus_and_tab_stays_in_it(stage):
    stage.press("ask")
    visible = []
    for _ in range(5):
        visible.append(stage.ui.focus.name)
        stage.keys("tab")
    assert ["first/name", "first/pick", "first/ok", "first/more", "first/name"] == visible


def test_what_lies_under_a_dialog_hears_nothing(page, stage):
    stage.press("ask")
    stage.press("other")
    stage.keys("ctrl+s", "escape")
    assert ["ask"] == page.pressed


def test_the_focus_comes_back_where_it_was(page, stage):
    stage.keys("tab", "enter")
    assert "first/name" == stage.ui.focus.name
    stage.keys("tab", "tab", "tab", "space")
    assert "second/ok" == stage.ui.focus.name
    stage.keys("escape")
    assert (1, "first/more") == (page.depth, stage.ui.focus.name)
    stage.keys("escape")
    assert (0, "ask") == (page.depth, stage.ui.focus.name)


def test_enter_in_a_field_commits_and_presses_the_default_once(page, stage):
    stage.press("ask")
    stage.type("Boat")
    stage.keys("enter")
    assert ["ask", "ok Boat"] == page.pressed


def test_enter_does_not_press_the_default_over_a_wrong_text(page, stage):
    stage.press("ask")
    stage.keys("delete", "enter")
    assert (["ask"], 1) == (page.pressed, page.depth)
    assert stage.ui.shows("No name.")


def test_escape_closes_from_the_inside_out(page, stage):
    stage.press("ask")
    stage.type("Boat")
    stage.keys("escape")
    assert (1, "Tray") == (page.depth, page.name)
    stage.keys("tab", "enter", "escape")
    assert (1, "a") == (page.depth, page.pick)
    stage.keys("escape")
    assert 0 == page.depth


def test_a_list_opens_over_a_dialog(page, stage):
    stage.press("ask")
    stage.press("first/pick")
    stage.press("first/pick/b")
    assert ("b", 1) == (page.pick, page.depth)


def test_a_dialog_fits_into_the_smallest_window(page):
    stage = Stage(page, (200, 120))
    page.depth = 1
    stage.ui.redraw()
    stage.wait(0)
    assert stage.ui.page.covers(stage.ui.find("first").pane)


def test_a_message_goes_when_it_has_been_read():
    stage = Stage(nothing)
    stage.ui.say("Saved as “Plain tray”.", "good")
    assert stage.wait(0)
    assert stage.ui.shows("Saved")
    due = stage.ui.wake_s()
    assert due >= 5
    assert not stage.wait(due - 0.1)
    assert stage.wait(0.2)
    assert not stage.ui.shows("Saved")
    assert stage.ui.wake_s() is None


def test_one_message_is_shown_at_a_time_the_newest():
    stage = Stage(nothing)
    for text in ("one", "two", "one"):
        stage.ui.say(text)
        stage.wait(0)
        assert text == stage.ui.find("message").text
    assert ["one"] == [message.text for message in stage.ui.messages]


def test_what_is_wrong_is_read_to_its_end_and_what_is_less_grave_waits_behind_it():
    stage = Stage(nothing)
    stage.ui.say("The disk is full.", "stop")
    stage.ui.say("Opened.", "good")
    stage.wait(0)
    assert "The disk is full." == stage.ui.find("message").text
    stage.wait(stage.ui.wake_s())
    assert "Opened." == stage.ui.find("message").text
    stage.wait(5)
    assert "message" not in stage.ui.last


def test_a_message_lies_on_nothing_that_is_to_be_read():
    def page(ui):
        for k, pane in enumerate((Pane(0, 380, 640, 100), Pane(0, 0, 640, 100), Pane(300, 100, 340, 200))):
            ui.place(f"text/{k}", pane, "text", stops=False, pointed=False)

    stage = Stage(page)
    stage.ui.say("Saved as plain-tray.json.", "good")
    stage.wait(0)
    card = stage.ui.find("message").pane
    assert 250 < card.y
    for k in range(3):
        both = card.meet(stage.ui.find(f"text/{k}").pane)
        assert 0 == both.w * both.h


def test_a_message_keeps_off_buttons_where_there_is_room():
    stage = Stage(lambda ui: button(ui, "go", Pane(0, 400, 640, 60), "Go"))
    stage.ui.say("Saved as plain-tray.json.", "good")
    stage.wait(0)
    assert stage.ui.find("message").pane.bottom <= 400


def test_a_tip_shows_after_the_pointer_rests_and_goes_when_it_leaves():
    stage = Stage(lambda ui: button(ui, "go", Pane(20, 20, 100, 42), "Go", tip="Starts the fold"))
    stage.play([user_input.move(stage.ui, (40, 40))])
    assert not stage.ui.shows("Starts")
    assert 0.6 == pytest.approx(stage.ui.wake_s())
    assert stage.wait(stage.ui.wake_s())
    assert stage.ui.shows("Starts")
    stage.play([user_input.move(stage.ui, (300, 300))])
    assert not stage.ui.shows("Starts")


def test_a_tip_shows_for_the_keys_too():
    stage = Stage(lambda ui: button(ui, "go", Pane(20, 20, 100, 42), "Go", tip="Starts the fold"))
    stage.keys("tab")
    stage.wait(1)
    assert stage.ui.shows("Starts the fold")


def test_text_tells_the_height_it_wants_and_whether_it_was_cut():
    text = "A corner that does not close makes the wall stand away from its neighbour. " * 2
    wanted = []

    def view(ui):
        wanted.append(label(ui, Pane(20, 20, 200, 30), text))
        label(ui, Pane(20, 100, 200, wanted[-1]), text)
        wanted.append(notice(ui, Pane(300, 20, 200, 400), text, "stop", "Misfit 4.2°."))

    stage = Stage(view)
    assert [True, False] == [texts.cut for texts in stage.ui.display_list.texts[:2]]
    assert wanted[0] > 100
    assert stage.ui.shows("Misfit")
