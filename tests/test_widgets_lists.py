"""Scroll areas, tables, tiles, strips, areas."""

import pygame
import pytest

from folder.window.widgets import Column, Pane, Tile, button, label, scroll, strip, table, tiles, touch_area
from tests import user_input
from tests.widgets_stage import Stage

VIEW = Pane(20, 20, 300, 200)


def blank(display_list, pane):
    """A picture of nothing much."""
    display_list.fill(pane.inset(4), (20, 90, 90))


@pytest.fixture
def rolled():
    """A scroll area of twenty buttons, and what was pressed in it."""
    pressed = []

    def view(ui):
        with scroll(ui, "roll", VIEW) as inside:
            rows = [Pane(inside.x, inside.y + 50 * i, inside.w, 42) for i in range(20)]
            pressed.extend(i for i, row in enumerate(rows) if button(ui, f"b{i}", row, f"Row {i}"))
        button(ui, "below", Pane(20, 240, 300, 42), "Below")

    return Stage(view), pressed


def test_the_wheel_rolls_no_further_than_the_ends(rolled):
    stage, _ = rolled
    stage.play(user_input.wheel(stage.ui, "roll", -100))
    assert stage.ui.find("b19").visible == stage.ui.find("b19").pane
    assert VIEW.bottom - stage.ui.find("b19").pane.bottom < 10
    stage.play(user_input.wheel(stage.ui, "roll", 100))
    assert stage.ui.find("b0").visible == stage.ui.find("b0").pane


def test_what_is_rolled_away_cannot_be_pressed_and_says_so(rolled):
    stage, pressed = rolled
    with pytest.raises(LookupError, match="'b19' is scrolled out of sight"):
        stage.press("b19")
    x, y = stage.ui.find("b4").pane.middle
    stage.play([user_input.down(stage.ui, (x, y)), user_input.up(stage.ui, (x, y))])
    assert [] == pressed


def test_tab_brings_what_it_reaches_into_view(rolled):
    stage, pressed = rolled
    for i in range(20):
        stage.keys("tab")
        record = stage.ui.find(f"b{i}")
        assert record.visible == record.pane
    stage.keys("enter", "tab", "shift+tab", "enter")
    assert [19, 19] == pressed


def test_the_bar_is_dragged_and_pressed(rolled):
    stage, _ = rolled
    bar = stage.ui.find("roll/bar").pane
    stage.play(user_input.drag(stage.ui, (bar.middle[0], bar.y + 5), (bar.middle[0], bar.bottom + 50)))
    assert stage.ui.find("b19").visible == stage.ui.find("b19").pane
    stage.play([user_input.down(stage.ui, (bar.middle[0], bar.y + 1)), user_input.up(stage.ui, (bar.middle[0], bar.y + 1))])
    assert stage.ui.find("b0").visible == stage.ui.find("b0").pane


def test_nothing_inside_a_scroll_area_is_drawn_outside_it(rolled):
    stage, _ = rolled
    stage.play(user_input.wheel(stage.ui, "roll", -1.4))
    ground = stage.surface.get_at((0, 0))
    for y in (*range(20), *range(221, 238)):
        assert {tuple(ground)} == {tuple(stage.surface.get_at((x, y))) for x in range(0, 340, 3)}


def test_text_alone_makes_a_scroll_area_high_enough():
    def view(ui):
        with scroll(ui, "roll", VIEW) as inside:
            y = inside.y
            for i in range(12):
                y += label(ui, Pane(inside.x, y, inside.w, 1000), f"Step {i}: fold the wall up and press it flat.")

    stage = Stage(view)
    stage.play(user_input.wheel(stage.ui, "roll", -100))
    last = next(texts for texts in stage.ui.display_list.texts if "Step 11" in texts.text)
    assert VIEW.covers(last.pane)


class Files:
    """A table of files."""

    def __init__(self, count=30):
        self.rows = [(f"tray-{i:02d}.json", f"{i} kB") for i in range(count)]
        self.picked, self.opened = None, []

    def __call__(self, ui):
        columns = [Column("Name", 2), Column("Size", 1, "right")]
        pick = table(ui, "files", VIEW, columns, self.rows, self.picked, empty="No patterns here.")
        self.picked = pick.at
        if pick.opened:
            self.opened.append(pick.at)


def test_a_row_is_picked_by_a_press_and_opened_by_two():
    files = Files()
    stage = Stage(files)
    stage.press("files/2")
    assert (2, []) == (files.picked, files.opened)
    stage.wait(2)
    stage.press("files/3", times=2)
    assert (3, [3]) == (files.picked, files.opened)


def test_two_presses_far_apart_in_time_or_place_open_nothing():
    files = Files()
    stage = Stage(files)
    stage.press("files/2")
    stage.wait(1)
    stage.press("files/2")
    stage.wait(1)
    stage.play([*user_input.press(stage.ui, "files/1"), *user_input.press(stage.ui, "files/2")])
    assert [] == files.opened


def test_the_keys_go_through_all_rows_and_open():
    files = Files()
    stage = Stage(files)
    stage.keys("tab", "down", "down", "end")
    assert 29 == files.picked
    assert stage.ui.shows("tray-29.json")
    stage.keys("up", "enter", "pageup")
    assert [28] == files.opened
    assert files.picked < 28
    stage.keys("home")
    assert stage.ui.shows("tray-00.json")


def test_a_table_of_thousands_of_rows_places_only_those_in_sight():
    stage = Stage(Files(5000))
    assert len([name for name in stage.ui.last if name.startswith("files/")]) < 14
    stage.keys("tab", "end")
    assert stage.ui.shows("tray-4999.json")


def test_an_empty_table_says_why():
    files = Files(0)
    stage = Stage(files)
    stage.keys("tab", "down", "enter")
    assert stage.ui.shows("No patterns here.")
    assert (None, []) == (files.picked, files.opened)


class Ready:
    """Tiles of ready patterns."""

    def __init__(self, widget, **size):
        self.items, self.widget, self.size = [Tile(f"Hull {i}", blank) for i in range(11)], widget, size
        self.picked, self.opened = None, []

    def __call__(self, ui):
        pick = self.widget(ui, "ready", Pane(10, 10, 420, 300), self.items, self.picked, **self.size)
        self.picked = pick.at
        if pick.opened:
            self.opened.append(pick.at)


@pytest.mark.parametrize("widget", [tiles, strip])
def test_a_tile_is_opened_by_one_press_and_the_keys_follow_on(widget):
    ready = Ready(widget, w=120)
    stage = Stage(ready)
    stage.press("ready/1")
    assert (1, [1]) == (ready.picked, ready.opened)
    stage.keys("right", "right", "left", "enter")
    assert (2, [1, 2]) == (ready.picked, ready.opened)
    stage.keys("end")
    assert 10 == ready.picked
    assert stage.ui.find("ready/10").visible == stage.ui.find("ready/10").pane
    assert stage.ui.shows("Hull 10")


def test_arrows_go_through_a_grid_row_by_row():
    ready = Ready(tiles, w=120, h=130)
    stage = Stage(ready)
    stage.keys("tab", "right", "down", "down", "right", "up", "down", "down", "down")
    assert 10 == ready.picked


def test_a_strip_rolls_along_with_the_wheel():
    stage = Stage(Ready(strip, w=120))
    assert not stage.ui.shows("Hull 10")
    stage.play(user_input.wheel(stage.ui, "ready", -20))
    assert stage.ui.shows("Hull 10")


def test_an_area_tells_all_that_is_done_to_it():
    visible = []

    def view(ui):
        touch = touch_area(ui, "sheet", VIEW)
        seen = (touch.down, touch.held, touch.up, touch.wheel, ui.arrow(touch.record))
        if any(seen[:4]) or any(seen[4]):
            visible.append((*seen, touch.at))

    stage = Stage(view)
    stage.play(user_input.drag(stage.ui, (50, 50), (500, 60), button=3, steps=1), user_input.wheel(stage.ui, "sheet", 2))
    stage.press("sheet")
    stage.keys("left")
    middle = VIEW.middle
    assert [
        (3, 3, 0, 0, (0, 0), (50, 50)), (0, 3, 0, 0, (0, 0), (500, 60)), (0, 3, 3, 0, (0, 0), (500, 60)),
        (0, 0, 0, 2, (0, 0), middle), (1, 1, 0, 0, (0, 0), middle), (0, 1, 1, 0, (0, 0), middle),
        (0, 0, 0, 0, (-1, 0), middle),
    ] == visible  # fmt: skip


def test_the_wheel_turns_the_innermost_thing_under_the_pointer():
    turned = []

    def view(ui):
        turned.append(("sheet", touch_area(ui, "sheet", Pane(0, 0, 640, 480)).wheel))
        with scroll(ui, "roll", VIEW) as inside:
            for i in range(9):
                button(ui, f"b{i}", Pane(inside.x, inside.y + 50 * i, inside.w, 42), f"Row {i}")

    stage = Stage(view)
    stage.play(user_input.wheel(stage.ui, "roll", -1))
    assert not any(turn for _, turn in turned)
    assert stage.ui.find("b0").pane.y < VIEW.y
    stage.play([user_input.move(stage.ui, (600, 400)), pygame.event.Event(pygame.MOUSEWHEEL, x=0, y=1, precise_y=1.0)])
    assert ("sheet", 1.0) in turned
