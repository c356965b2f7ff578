"""Buttons, toggles, check boxes, choices, tabs, drop-downs, sliders."""

import pygame
import pytest
from pygame.event import Event

from folder.window.widgets import Pane, button, check, choice, drop_down, slider, tabs, toggle
from tests import user_input
from tests.widgets_stage import Stage

BOX = Pane(100, 100, 200, 42)
FOUR = {"a": "Ant", "b": "Bee", "c": "Cat", "d": "Dog"}


class Pressed(list):
    """A page of two buttons and a dead one, that notes what is pressed."""

    def __call__(self, ui):
        for i, name in enumerate(("one", "two", "dead")):
            if button(ui, name, BOX.moved(0, 60 * i), name, enabled=name != "dead", tip=f"about {name}"):
                self.append(name)


@pytest.fixture
def pressed():
    return Pressed()


def test_a_press_counts_when_the_pointer_comes_up(pressed):
    stage = Stage(pressed)
    stage.play(user_input.move(stage.ui, (110, 110)), user_input.down(stage.ui, (110, 110)))
    assert [] == pressed
    assert stage.ui.find("one").held
    stage.play(user_input.up(stage.ui, (110, 110)))
    assert ["one"] == pressed


def test_a_press_that_slides_off_does_not_count(pressed):
    stage = Stage(pressed)
    stage.play(user_input.drag(stage.ui, (110, 110), (110, 170)))
    assert [] == pressed


def test_a_press_and_its_release_in_one_frame_count_once(pressed):
    stage = Stage(pressed)
    stage.press("two", times=3)
    assert ["two"] * 3 == pressed


@pytest.mark.parametrize("key", ["enter", "space"])
def test_enter_and_space_press_the_focus_once_however_long_they_are_held(pressed, key):
    stage = Stage(pressed)
    stage.keys("tab", "tab")
    down, *rest = user_input.key(key)
    stage.play([down, down, down, *rest])
    assert ["two"] == pressed


def test_the_other_buttons_of_the_mouse_press_nothing(pressed):
    stage = Stage(pressed)
    stage.press("one", button=3)
    stage.press("one", button=2)
    assert [] == pressed


def test_what_is_disabled_cannot_be_pressed_nor_reached_but_tells_why(pressed):
    stage = Stage(pressed)
    stage.press("dead")
    stage.keys("tab", "tab", "tab")
    assert [] == pressed
    assert stage.ui.find("one").focused
    stage.play(user_input.move(stage.ui, user_input.middle(stage.ui, "dead")))
    stage.wait(1)
    assert stage.ui.shows("about dead")


def test_tab_goes_round_and_shift_tab_back(pressed):
    stage = Stage(pressed)
    visible = []
    for keys in ("tab", "tab", "tab", "shift+tab", "shift+tab"):
        stage.keys(keys)
        visible.append(stage.ui.focus.name)
    assert ["one", "two", "one", "two", "one"] == visible


def test_the_focus_is_seen_once_the_keys_are_used_and_not_after_a_press(pressed):
    stage = Stage(pressed)
    before = stage.pixels()
    stage.keys("tab")
    assert before != stage.pixels()
    stage.press("one")
    stage.play(user_input.move(stage.ui, (5, 5)))
    assert before == stage.pixels()


def test_two_widgets_of_one_name_are_a_mistake():
    def view(ui):
        button(ui, "twin", BOX, "One")
        button(ui, "twin", BOX.moved(0, 60), "Two")

    with pytest.raises(ValueError, match="two widgets are called 'twin'"):
        Stage(view)


def test_a_name_that_is_not_there_is_told_with_those_that_are(pressed):
    stage = Stage(pressed)
    with pytest.raises(LookupError, match="no widget is called 'tow'; there are dead, one, two"):
        stage.press("tow")


def test_a_window_that_loses_the_pointer_lets_go(pressed):
    stage = Stage(pressed)
    stage.play(user_input.move(stage.ui, (110, 110)), user_input.down(stage.ui, (110, 110)))
    stage.play(Event(pygame.WINDOWFOCUSLOST), user_input.up(stage.ui, (110, 110)))
    assert [] == pressed


def test_what_lies_on_top_is_hit():
    hits = []

    def view(ui):
        for name, pane in (("below", BOX), ("above", BOX.inset(20, 5))):
            if button(ui, name, pane, name):
                hits.append(name)

    stage = Stage(view)
    stage.press("above")
    stage.play([user_input.down(stage.ui, (102, 120)), user_input.up(stage.ui, (102, 120))])
    assert ["above", "below"] == hits


class Held:
    """A page of one widget and the value it holds, with every change noted."""

    def __init__(self, value, show):
        self.value, self.show, self.changes = value, show, []

    def __call__(self, ui):
        new = self.show(ui, self.value)
        if new != self.value:
            self.changes.append(new)
        self.value = new


@pytest.mark.parametrize("widget", [toggle, check])
def test_toggles_and_checks_turn_over_by_pointer_and_key(widget):
    page = Held(False, lambda ui, on: widget(ui, "on", BOX, "Mirror", on))
    stage = Stage(page)
    stage.press("on")
    assert stage.ui.find("on").value is True
    stage.keys("space")
    assert [True, False] == page.changes


@pytest.mark.parametrize("widget", [toggle, check])
def test_what_is_on_is_not_told_by_colour_alone(widget):
    """In grey too at least the strokes of a tick differ: 20 px long and 2 wide."""
    visible = []
    for on in (False, True):
        stage = Stage(lambda ui, on=on: widget(ui, "on", BOX, "", on))
        visible.append(pygame.transform.grayscale(stage.surface))
    alike = pygame.mask.from_threshold(visible[0], (0, 0, 0), (60, 60, 60, 255), visible[1])
    assert visible[0].get_width() * visible[0].get_height() - alike.count() > 40


@pytest.mark.parametrize("widget", [choice, tabs])
def test_one_of_a_few_by_pointer_and_arrows_with_one_stop_for_tab(widget):
    page = Held("a", lambda ui, key: widget(ui, "pick", Pane(20, 20, 500, 46), FOUR, key))
    stage = Stage(page)
    stage.press("pick/c")
    assert stage.ui.find("pick").focused
    stage.keys("right", "right", "left")
    assert ["c", "d", "c"] == page.changes
    stage.keys("tab")
    assert "pick" == stage.ui.focus.name


def test_a_drop_down_opens_over_everything_and_gives_what_is_pressed():
    under = []

    def show(ui, key):
        new = drop_down(ui, "pick", BOX, FOUR, key)
        if button(ui, "under", BOX.moved(0, 60), "Under"):
            under.append(1)
        return new

    page = Held("a", show)
    stage = Stage(page)
    stage.press("pick")
    stage.press("pick/b")
    assert ("b", []) == (page.value, under)
    assert not any(name.startswith("pick/") for name in stage.ui.last)
    stage.press("under")
    assert [1] == under


def test_a_press_beside_an_open_list_only_closes_it():
    under = []

    def show(ui, key):
        new = drop_down(ui, "pick", BOX, FOUR, key)
        if button(ui, "far", Pane(400, 20, 100, 42), "Far"):
            under.append(1)
        return new

    page = Held("a", show)
    stage = Stage(page)
    stage.press("pick")
    stage.press("far")
    assert ([], []) == (page.changes, under)
    stage.press("far")
    assert [1] == under


def test_a_drop_down_by_keys_alone():
    page = Held("a", lambda ui, key: drop_down(ui, "pick", BOX, FOUR, key))
    stage = Stage(page)
    stage.keys("tab", "down", "down", "down", "enter")
    assert ["c"] == page.changes
    stage.keys("space", "end", "escape")
    assert ["c"] == page.changes
    stage.keys("enter", "b", "enter")
    assert ["c", "b"] == page.changes


def test_a_long_list_rolls_to_the_row_the_keys_reach():
    many = {str(i): f"Thing {i}" for i in range(40)}
    page = Held("0", lambda ui, key: drop_down(ui, "pick", BOX, many, key))
    stage = Stage(page)
    stage.keys("tab", "enter", "end")
    assert stage.ui.shows("Thing 39")
    stage.press("pick/37")
    assert "37" == page.value


def test_a_list_that_grows_shorter_while_it_is_open_still_works():
    options = dict(FOUR)
    page = Held("a", lambda ui, key: drop_down(ui, "pick", BOX, options, key))
    stage = Stage(page)
    stage.keys("tab", "enter", "end")
    del options["c"], options["d"]
    stage.keys("enter")
    assert "b" == page.value


def test_an_open_list_stays_inside_a_small_window():
    many = {str(i): f"Thing {i}" for i in range(40)}
    stage = Stage(lambda ui: drop_down(ui, "pick", Pane(10, 150, 200, 42), many, "0"), (240, 220))
    stage.press("pick")
    assert stage.ui.page.covers(stage.ui.find("pick/").pane)


def test_a_slider_is_dragged_in_steps_between_its_ends():
    page = Held(0.0, lambda ui, v: slider(ui, "fold", BOX, v, 0, 100, step=5))
    stage = Stage(page)
    x, y = BOX.middle
    stage.play(user_input.drag(stage.ui, (BOX.x + 13, y), (x, y)))
    assert 50 == page.value
    assert all(change % 5 == 0 for change in page.changes)
    stage.play(user_input.drag(stage.ui, (x, y), (x + 900, y)))
    assert 100 == page.value


def test_a_slider_by_keys():
    page = Held(50.0, lambda ui, v: slider(ui, "fold", BOX, v, 0, 100, step=5))
    stage = Stage(page)
    stage.keys("tab", "right", "up", "left", "pageup", "end", "right", "home", "down")
    assert [55, 60, 55, 65, 100, 0] == page.changes
