"""The page Float, played by events alone: guess, load, flood, begin again; what is said and drawn is what the modules below say."""

import math
import os
import signal
import subprocess
import sys
import time
from itertools import pairwise

import numpy as np
import pytest

from folder.cargo.item import Item
from folder.cargo.item_list import find_item, items
from folder.cargo.predict import predict
from folder.cargo.vessel import vessel_of
from folder.draw.tub.moment import picture_of
from folder.pattern.families.catalogue import make
from folder.pattern.file import find_pattern, read_pattern
from folder.studies import study
from folder.water.tub import Tub
from folder.window.float import knowledge
from folder.window.float.actions import add_at, again, enough, set_tub
from folder.window.float.motion import FALL_S, FILL_S, MOVE_S, SINK_S, TURN_S
from folder.window.float.state import Of, Shelf, TubLoading, keep_shelf, shelf_of
from folder.window.float.tub_view import RIGHT
from folder.window.objects.commands import choose_object, keep_object, weigh_object
from tests import user_input
from tests.editor_stage import EditorStage

COIN = "us-cent"


def on_float(directory, pattern="plain-tray", size=(1280, 800), scale=1.0):
    stage = EditorStage(directory, size, scale)
    if isinstance(pattern, str):
        stage.open(pattern)
    else:
        stage.editor.begin(pattern)
    stage.keys("2")
    still(stage)
    return stage


def still(stage):
    stage.wait(0.0)
    stage.wait(20.0)
    stage.settle()


@pytest.fixture(autouse=True)
def _quick(request, monkeypatch):
    """The searched count is waited for by the tests that read it; to all others the first one does."""
    if "searched" not in request.fixturenames:
        monkeypatch.setattr(knowledge, "predict_count", knowledge.first_count)


@pytest.fixture
def searched():
    """The count of the test is the one that is searched for."""


@pytest.fixture
def stage(tmp_path):
    return on_float(tmp_path)


def state(stage):
    return stage.editor.state.floating


def said(stage):
    return stage.ui.find("float/state").text


def load(stage, count):
    for _ in range(count):
        stage.keys("n")
    still(stage)


def drop(stage, x, y, times=1):
    for _ in range(times):
        add_at(stage.editor, (x, y))
    stage.ui.redraw()
    still(stage)


def known(name="plain-tray"):
    return study(read_pattern(find_pattern(name)))


def texts(stage):
    return " ".join(text.text for text in stage.ui.display_list.texts)


# the guess comes first


def test_nothing_tells_the_answer_before_there_is_a_guess(searched, stage):  # noqa: ARG001 (which count it is about)
    made = known()
    cargo = predict(vessel_of(made.hull, made.water, made.working), find_item(COIN))
    words = texts(stage)
    assert "How many will it take?" in words
    assert "likely" not in words
    assert "float/answer" not in stage.ui.last
    for number in (cargo.count, cargo.count_low, cargo.count_high):
        assert f" {number} " not in f" {words} ".replace(",", " ").replace(".", " ")
    stage.field("float/guess", "60")
    stage.settle()
    likely = f"likely {cargo.count} cents, {cargo.count_low} to {cargo.count_high}"
    assert likely == stage.ui.find("float/answer").text
    assert "perfect hands" in texts(stage)


def test_a_coach_may_see_it_without_a_guess(stage):
    stage.keys("c")
    assert "float/answer" not in stage.ui.last
    stage.press("float/tell")
    stage.settle()
    assert stage.ui.find("float/answer").text.startswith("likely ")


def test_the_guess_stands_once_the_first_is_aboard(stage):
    stage.field("float/guess", "60")
    load(stage, 1)
    assert not stage.ui.find("float/guess").enabled
    assert 60 == state(stage).loading.guess


@pytest.mark.parametrize("nonsense", ["many", "-3", "1e9", "20000"])
def test_nonsense_for_a_guess_is_said_and_changes_nothing(stage, nonsense):
    stage.field("float/guess", nonsense)
    assert stage.ui.find("float/guess").problem
    assert state(stage).loading.guess is None


# loading


def test_object_by_object_by_the_plan(searched, stage):  # noqa: ARG001 (which count it is about)
    load(stage, 3)
    made = known()
    cargo = predict(vessel_of(made.hull, made.water, made.working), find_item(COIN))
    assert [tuple(p) for p in cargo.loading.places_mm[:3].tolist()] == [spot.centre for spot in state(stage).loading.spots]
    assert "3" == stage.ui.find("float/count").text
    assert "It floats." == said(stage)


def test_an_object_is_let_go_where_the_hand_points(stage):
    moment = stage.ui.find("float/tub").value
    pane = stage.ui.find("float/tub").pane
    # Where the picture shows a place on the floor, told from two places that are known.
    stage.play(*user_input.press(stage.ui, "float/tub"))
    still(stage)
    first = state(stage).loading.spots[0]
    seen = picture_of(moment, np.array([first.x_mm, first.y_mm, 0.0]))
    at = pane.middle
    px = at[0] + 60.0
    stage.play(
        user_input.move(stage.ui, (px, at[1])), user_input.down(stage.ui, (px, at[1])), user_input.up(stage.ui, (px, at[1]))
    )
    still(stage)
    second = state(stage).loading.spots[1]
    other = picture_of(moment, np.array([second.x_mm, second.y_mm, 0.0]))
    assert other[0] - seen[0] > 5.0
    assert abs(other[1] - seen[1]) < 2.5


def test_a_stack_off_the_middle_floods_early_and_says_which_side_is_low(stage):
    drop(stage, 30.0, 0.0, 4)
    words = stage.ui.find("float/line").text
    lying = stage.ui.find("float/tub").value
    assert lying is not None
    low = max(("right", RIGHT[0]), ("left", -RIGHT[0]), key=lambda pair: pair[1])[0]
    assert f"{low} side is low" in words
    assert "put the next one on the" in words
    drop(stage, 30.0, 0.0, 40)
    assert "Water comes in!" == said(stage)
    assert state(stage).loading.held < 30


def test_the_one_that_lets_water_in_does_not_count(stage):
    stage.field("float/guess", "60")
    stage.keys("a")
    still(stage)
    held = len(state(stage).loading.spots) - 1
    assert str(held) == stage.ui.find("float/count").text
    assert f"{held} held. Number {held + 1} let it in and does not count." == stage.ui.find("float/line").text
    assert stage.ui.shows(f"Your guess was 60: {held - 60} too few.")
    win = known().working.wins[0]
    assert stage.ui.shows(f"Folded and loaded by hand, worth most: {win.change}.")
    assert stage.ui.shows("It ended because")


def test_one_is_taken_back_and_a_loading_that_is_over_goes_on(stage):
    stage.keys("a")
    still(stage)
    held = state(stage).loading.held
    assert 1 == len(state(stage).tries)
    stage.keys("backspace")
    still(stage)
    assert (held, "", 0) == (len(state(stage).loading.spots), state(stage).loading.ending, len(state(stage).tries))
    stage.press("float/back")
    assert held - 1 == len(state(stage).loading.spots)


def test_to_stop_in_time_counts_all_that_are_in(stage):
    stage.field("float/guess", "5")
    load(stage, 5)
    stage.press("float/enough")
    still(stage)
    assert "It held 5." == said(stage)
    assert stage.ui.shows("Your guess was 5: exactly right!")
    assert 5 == state(stage).tries[0].held


def test_twenty_loadings_are_kept_and_no_more(stage):
    for count in range(22):
        for _ in range(1 + count % 3):
            add_at(stage.editor)
        enough(stage.editor)
        again(stage.editor)
    stage.ui.redraw()
    still(stage)
    assert 20 == len(state(stage).tries)
    assert stage.ui.find("float/tries").text.endswith("1, 2, 3, 1")


def test_nothing_more_is_loaded_when_it_is_over(stage):
    load(stage, 1)
    stage.press("float/enough")
    stage.keys("n")
    assert 1 == len(state(stage).loading.spots)
    assert not stage.ui.find("float/enough").enabled


# states


def test_a_box_is_held_by_hand_until_it_stands(tmp_path):
    stage = on_float(tmp_path, make("square-tray", {"wall": 65}))
    set_tub(stage.editor, Tub(400, 300, 120, 100))
    load(stage, 2)
    assert ("Hold it with one hand.", "It stands by itself from 3 on.") == (said(stage), stage.ui.find("float/line").text)
    load(stage, 1)
    assert "It floats." == said(stage)


def test_too_little_water_leaves_it_on_the_bottom(stage):
    load(stage, 40)
    set_tub(stage.editor, Tub(400, 300, 120, 6))
    stage.ui.redraw()
    still(stage)
    assert "It stands on the bottom." == said(stage)
    moment = stage.ui.find("float/tub").value
    lowest = moment.attitude.world(known().hull.skin.vertices)[:, 2].min()
    assert -(6 + moment.rise_mm) == pytest.approx(lowest, abs=1e-6)


def test_a_tub_too_small_for_it_is_said(stage):
    set_tub(stage.editor, Tub(80, 80, 120, 50))
    stage.ui.redraw()
    still(stage)
    assert "The tub is too small for it." == said(stage)


def test_the_coachs_words_are_for_the_coach(stage):
    load(stage, 10)
    assert "metacentric" not in texts(stage)
    stage.keys("c")
    words = stage.ui.find("float/coach-words").text
    assert all(word in words for word in ("freeboard", "draft", "metacentric height", "tilt", "load 25.0 g"))
    stage.field("float/tub/depth", "0.5")
    still(stage)
    assert 5.0 == state(stage).tub.depth_mm
    stage.field("float/tub/wall", "0.4")
    assert 120.0 == state(stage).tub.wall_mm


def test_an_object_whose_mass_varies_wants_to_be_weighed(stage):
    item = next(i for i in items() if i.mass_g is None and max(i.extents_mm) < 30)
    choose_object(stage.editor, item.name)
    stage.ui.redraw()
    stage.settle()
    assert "Weigh one" in said(stage)
    stage.keys("n")
    assert not state(stage).loading.spots
    weigh_object(stage.editor, 1.8)
    stage.ui.redraw()
    stage.settle()
    load(stage, 2)
    assert 2 == len(state(stage).loading.spots)


def test_an_object_too_large_for_the_floor_is_said(tmp_path):
    stage = on_float(tmp_path, make("square-tray", {"wall": 65}))
    choose_object(stage.editor, "golf-ball")
    stage.ui.redraw()
    stage.settle()
    assert "Not one of them fits on the floor." in said(stage)
    stage.keys("n")
    assert not state(stage).loading.spots


@pytest.mark.parametrize("creases", ["none", "open"])
def test_without_a_hull_it_says_what_is_missing(tmp_path, creases):
    stage = EditorStage(tmp_path)
    if creases == "open":
        stage.draw((0, 25), (150, 25))
    stage.keys("escape", "escape", "2")
    stage.settle()
    assert stage.ui.shows("no hull to float yet")


# motion


def drawn(stage):
    return stage.ui.find("float/tub").value


def test_it_moves_smoothly_from_one_rest_to_the_next_and_ends_at_the_pose(stage):
    load(stage, 6)
    before = drawn(stage).attitude
    add_at(stage.editor, (35.0, 20.0))
    stage.ui.redraw()
    seen = []
    stage.wait(0.0)
    for _ in range(60):
        stage.wait(0.025)
        seen.append(drawn(stage).attitude)
    after = seen[-1]
    assert before == seen[2]  # the object still falls
    steps = [abs(b.tilt_rad - a.tilt_rad) for a, b in pairwise(seen)]
    assert max(steps) < 0.15 * after.tilt_rad
    lying = stage.editor.state.floating
    assert lying.loading.spots
    assert math.degrees(after.tilt_rad) > 0.5
    assert stage.ui.wake_s() is None or stage.ui.wake_s() > 0.2


def test_an_object_falls_from_above_onto_its_place(stage):
    stage.keys("n")
    lifts = []
    for _ in range(20):
        lifts.append(drawn(stage).bodies[-1].lift_mm)
        stage.wait(0.025)
    assert lifts[0] > 30
    assert lifts == sorted(lifts, reverse=True)
    assert 0.0 == lifts[-1]


def test_water_comes_in_at_the_place_it_fills_and_it_sinks(stage):
    drop(stage, 30.0, 30.0, 30)
    stage.keys("backspace")
    still(stage)
    stage.ui.redraw()
    add_at(stage.editor, (30.0, 30.0))
    stage.ui.redraw()
    stage.wait(0.0)
    stage.wait(FALL_S + MOVE_S + 0.02)
    reached = drawn(stage)
    rim = reached.attitude.world(np.array([reached.stream]))[0, 2]
    assert abs(rim) < 0.6  # the water is at that place of the rim
    assert reached.stream[0] > 20
    assert reached.stream[1] > 20
    stage.wait(FILL_S / 2)
    half = drawn(stage)
    assert reached.pool_mm < half.pool_mm < 0.0
    stage.wait(FILL_S / 2 + SINK_S + 0.1)
    sunk = drawn(stage)
    assert (1.0, None) == (sunk.drowned, sunk.pool_mm)
    assert sunk.attitude.world(np.zeros((1, 3)))[0, 2] == pytest.approx(-(state(stage).tub.depth_mm + sunk.rise_mm), abs=3.0)


def test_what_capsizes_turns_over_and_spills(tmp_path):
    stage = on_float(tmp_path, make("square-tray", {"wall": 60}))
    set_tub(stage.editor, Tub(400, 300, 200, 150))
    choose_object(stage.editor, "washer-m8")
    stage.ui.redraw()
    stage.settle()
    stage.keys("n")
    assert "capsizes" == state(stage).loading.ending
    assert "It turns over!" == said(stage)
    assert "0 held. Number 1 does not count." == stage.ui.find("float/line").text
    stage.wait(FALL_S + TURN_S + SINK_S + 0.2)
    assert drawn(stage).attitude.tilt_rad > math.radians(150)
    assert all(body.loose is not None for body in drawn(stage).bodies)


# the map


def test_the_map_fills_the_place_of_the_boat_with_every_layer(stage):
    stage.keys("m")
    stage.settle()
    assert "float/tub" not in stage.ui.last
    layers = [name for name in stage.ui.last if name.startswith("float/layer/")]
    assert len(layers) == 4
    pane = stage.ui.find(layers[0]).pane
    stage.play(*user_input.press(stage.ui, layers[0]))
    assert 1 == len(state(stage).loading.spots)
    assert pane.w > 300
    stage.keys("m")
    assert "float/tub" in stage.ui.last


def test_the_plan_is_printed_with_the_card(stage):
    stage.keys("m")
    stage.press("float/print")
    assert "print" == stage.editor.state.page
    assert "card" in stage.editor.state.printing.kinds


def test_the_map_is_leafed_through(stage):
    assert stage.ui.shows("layer 1 of 4")
    stage.press("float/upper")
    assert stage.ui.shows("layer 2 of 4")
    stage.keys("n")
    assert stage.ui.shows("layer 1 of 4")  # that of the next one


def test_the_next_place_is_lit_in_tub_and_map_alike(stage):
    load(stage, 4)
    lit = drawn(stage).next_spot
    stage.keys("n")
    assert lit == state(stage).loading.spots[-1]


# keys, sizes, disk


def test_by_keys_alone(stage):
    stage.ui.focus_on("float/tub")
    stage.wait(0)
    stage.keys("right", "right", "up", "enter")
    spot = state(stage).loading.spots[0]
    assert spot.x_mm * RIGHT[0] + spot.y_mm * RIGHT[1] > 4
    stage.keys("space")
    assert 2 == len(state(stage).loading.spots)
    stage.keys("backspace", "e")
    assert "enough" == state(stage).loading.ending
    assert "You stopped before the water came in." == stage.ui.find("float/line").text
    stage.keys("r")
    assert not state(stage).loading.spots


def test_tab_reaches_everything_on_the_page(stage):
    seen = set()
    for _ in range(40):
        stage.keys("tab")
        seen.add(stage.ui.focus.name)
    assert {"float/tub", "float/coach", "object", "float/guess", "float/work-out", "float/next", "float/all", "float/map"} <= seen


def test_what_was_confirmed_is_there_in_the_next_window(tmp_path):
    stage = on_float(tmp_path)
    stage.field("float/guess", "44")
    load(stage, 3)
    again = on_float(tmp_path)
    assert (44, 3) == (state(again).loading.guess, len(state(again).loading.spots))
    assert state(stage).loading == state(again).loading


def test_a_damaged_file_of_loadings_is_an_empty_shelf(tmp_path):
    shelf = Shelf(Of("abc", COIN, 2.5), TubLoading(3))
    assert "" == keep_shelf(shelf, tmp_path)
    assert shelf == shelf_of("abc", tmp_path)
    (tmp_path / "loadings" / "abc.json").write_text("no list", encoding="utf-8")
    assert Shelf() == shelf_of("abc", tmp_path)


def test_where_nothing_can_be_kept_the_loading_goes_on_and_that_is_said(tmp_path):
    stage = on_float(tmp_path)
    (tmp_path / "loadings").write_text("in the way", encoding="utf-8")
    stage.keys("n")
    assert 1 == len(state(stage).loading.spots)
    assert any("cannot be kept" in message.text for message in stage.ui.messages)


def test_killed_while_it_loads_what_was_confirmed_is_there(tmp_path):
    code = """
import sys
import time
from pathlib import Path
from tests.test_window_float import on_float
stage = on_float(Path(sys.argv[1]))
stage.field("float/guess", "50")
for n in range(1000):
    stage.keys("n")
    print(len(stage.editor.state.floating.loading.spots), flush=True)
"""
    with subprocess.Popen([sys.executable, "-c", code, str(tmp_path)], stdout=subprocess.PIPE, text=True) as program:
        confirmed = 0
        while confirmed < 5:
            line = program.stdout.readline()
            assert line
            confirmed = int(line) if line.strip().isdigit() else 0
        os.kill(program.pid, signal.SIGKILL)
        rest = [int(line) for line in program.stdout.read().split() if line.isdigit()]
    confirmed = max([confirmed, *rest])
    stage = on_float(tmp_path)
    assert 50 == state(stage).loading.guess
    assert confirmed <= len(state(stage).loading.spots) <= confirmed + 1


def test_another_object_begins_anew_and_the_first_is_there_when_it_comes_back(stage):
    load(stage, 3)
    choose_object(stage.editor, "washer-m8")
    stage.ui.redraw()
    stage.settle()
    assert not state(stage).loading.spots
    assert stage.ui.shows("How many will it take?")


# the page and the others


def test_nothing_of_water_compare_or_paper_is_loaded_before_it_is_turned_to(tmp_path):
    """What is not loaded costs no time at the start."""
    code = """
import sys, pygame
from pathlib import Path
from folder.window.app import Window
from folder.window.commands.files import new_sheet
from folder.window.autosave import Autosave, Memory
from folder.window.start import shelf
from tests.at_once import AtOnce
pygame.font.init()
shelf.counted = lambda pattern, item: None  # the start page counts after its first frame, in a thread
window = Window(pygame.Surface((1280, 800)), executor=AtOnce(), memory=Memory(), autosave=Autosave(Path(sys.argv[1])))
window.frame([], 0.0)
new_sheet(window.editor)
window.frame([], 0.1)
print(*(m for m in sys.modules if m.startswith(("folder.", "svgwrite"))))
"""
    done = subprocess.run([sys.executable, "-c", code, str(tmp_path)], capture_output=True, text=True, check=True)
    loaded = set(done.stdout.splitlines()[-1].split())
    assert "folder.window.fold.view" in loaded
    # What can be set and done on a page is known at the start, and needs none of what the page shows.
    late = (
        "folder.cargo.packing",
        "folder.cargo.predict",
        "folder.paper.book",
        "folder.paper.job",
        "folder.paper.sheets",
        "svgwrite",
    )
    views = tuple(f"folder.window.{page}.view" for page in ("float", "compare", "print", "event", "count", "trials"))
    assert [] == sorted(m for m in loaded if m.startswith((*late, *views)))


def test_turning_to_the_water_in_the_middle_of_a_drag_puts_the_drag_down(tmp_path):
    stage = EditorStage(tmp_path)
    stage.open("plain-tray")
    before = stage.pattern
    stage.click((60, 25))
    stage.hold((60, 25), (60, 35))
    assert stage.editor.state.drag_pattern is not None
    stage.keys("2")
    assert stage.editor.state.drag_pattern is None
    assert "float" == stage.editor.state.page
    assert stage.pattern is before


# the story


def test_a_pupil_guesses_60_floods_it_mends_the_wall_and_beats_it(tmp_path):
    stage = on_float(tmp_path, make("square-tray", {"wall": 15}))
    stage.field("object/mass", "8")  # a heavier coin, so that the story is short
    still(stage)
    stage.field("float/guess", "60")
    for _ in range(60):
        stage.keys("n")
        if state(stage).loading.ending:
            break
    still(stage)
    first = state(stage).loading.held
    assert 4 < first < 60
    assert "Water comes in!" == said(stage)
    assert stage.ui.shows(f"Your guess was 60: {60 - first} too many.")
    stage.editor.begin(make("square-tray", {"wall": 25}))
    stage.keys("2")
    still(stage)
    assert not state(stage).loading.spots
    assert stage.ui.shows("How many will it take?")
    stage.field("float/guess", f"{first + 3}")
    for _ in range(first + 3):
        stage.keys("n")
    assert not state(stage).loading.ending
    stage.keys("e")
    still(stage)
    assert stage.ui.shows("exactly right!")
    assert f"The hull before this one held {first}: 3 more now." in texts(stage)


# room for words


def test_a_long_reason_why_nothing_can_be_loaded_is_whole(stage):
    keep_object(stage.editor, Item("own-brick", "brick", "block", (300.0, 300.0, 300.0), 900.0))
    choose_object(stage.editor, "own-brick")
    stage.ui.redraw()
    still(stage)
    assert said(stage).startswith("Not one of them fits")
    assert [] == [text.text for text in stage.ui.display_list.texts if text.cut]


def test_no_tip_lies_over_the_answer_while_the_hand_rests_on_the_guess(stage):
    stage.field("float/guess", "60")
    stage.wait(2.0)
    assert "float/guess" == stage.ui.pointer.hot
    assert "float/guess" != stage.ui.tip()


def test_objects_off_the_plan_leave_the_next_place_quick_to_find(stage):
    """Needles side by side: each outline is near to hundreds of others."""
    keep_object(stage.editor, Item("own-needle", "needle", "block", (98.0, 0.1, 0.1), 0.01, stacks=True))
    choose_object(stage.editor, "own-needle")
    stage.ui.redraw()
    still(stage)
    add_at(stage.editor, (5.0, 5.0))
    begun = time.process_time()
    stage.keys("n", "n")
    assert 3 == len(state(stage).loading.spots)
    assert time.process_time() - begun < 5.0  # pair by pair it took 20
