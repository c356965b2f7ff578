"""On the water: played by events alone, by name; what is shown equals what the modules below say."""

import math
import subprocess
import sys

import numpy as np
import pygame
import pytest

from folder.cargo.item import find_item, items
from folder.cargo.predict import predict
from folder.cargo.vessel import vessel_of
from folder.draw.afloat import side_view
from folder.draw.picture import Area, Box, Label
from folder.hull.weight import Weight
from folder.paper.sheets.card import LIMITS
from folder.pattern.families.catalogue import make
from folder.pattern.file import find_pattern, read_pattern
from folder.studies import study
from folder.water.equilibrium.rest import rest
from folder.water.flooding.load import flooding_loads
from folder.window.float.state import PLAIN
from tests import user_input
from tests.editor_stage import EditorStage

COIN = "us-cent"


def on_water(directory, size=(1280, 800), scale=1.0, pattern="plain-tray"):
    stage = EditorStage(directory, size, scale)
    stage.open(pattern)
    stage.keys("2")
    stage.settle()
    return stage


@pytest.fixture
def stage(tmp_path, home):  # noqa: ARG001 (the home must be there first)
    return on_water(tmp_path)


def known(name="plain-tray", hand_="usual"):
    return study(read_pattern(find_pattern(name)), hand=hand_)


def plain(stage, grams):
    stage.press("load/item")
    stage.keys("home", "enter")
    stage.field("load/many", f"{grams:g}")
    stage.settle()


def lying(stage):
    return stage.ui.find("load/side").value


def test_the_word_in_the_bar_brings_the_water_and_another_takes_it_away(tmp_path):
    stage = EditorStage(tmp_path)
    stage.open("plain-tray")
    stage.turn_to("float")
    assert "float" == stage.editor.state.page
    assert "It floats" == stage.ui.find("load/state").text
    stage.turn_to("fold")
    assert "fold" == stage.editor.state.page
    assert "hull" in stage.ui.last
    assert "load/floor" not in stage.ui.last


def test_the_count_foretold_is_that_of_the_cargo_for_every_hand(stage):
    for name in ("careful", "usual", "hurried"):
        stage.press(f"load/hand/{name}")
        stage.settle()
        made = known(hand_=name)
        cargo = predict(vessel_of(made.hull, made.water, made.working), find_item(COIN))
        words = f"Likely {cargo.count} in all, from {cargo.count_low} to {cargo.count_high}, with {name} hands."
        assert words == stage.ui.find("load/prediction").text


@pytest.mark.parametrize("count", [1, 20, 66])
def test_the_freeboard_is_that_after_the_last_object_in_its_order(stage, count):
    stage.field("load/many", str(count))
    stage.settle()
    made = known()
    cargo = predict(vessel_of(made.hull, made.water, made.working), find_item(COIN), wanted=count)
    assert cargo.loading.freeboard_mm[-1] == pytest.approx(lying(stage).rest.freeboard.least_mm, abs=1e-6)
    assert f"Least freeboard {cargo.loading.freeboard_mm[-1]:.1f} mm." in stage.ui.find("load/line").text


def test_too_many_objects_let_the_water_in_at_the_number_the_order_says(stage):
    stage.field("load/many", "105")
    stage.settle()
    made = known()
    cargo = predict(vessel_of(made.hull, made.water, made.working), find_item(COIN), wanted=105)
    assert cargo.loading.held < 105
    assert "Water comes in" == stage.ui.find("load/state").text
    assert f"At number {cargo.loading.held + 1} of 105. That one does not count." == stage.ui.find("load/line").text


def test_objects_beyond_the_stack_are_mapped_layer_by_layer(stage):
    """More than the brim takes: every one keeps its own layer, so that no two numbers lie on each other."""
    stage.field("load/many", "105")
    stage.settle()
    placed = stage.editor.worker.last_answer("aboard")
    assert 105 == len(placed.objects)
    places = {(thing.layer, *(round(x, 3) for x in thing.middle)) for thing in placed.objects}
    assert 105 == len(places)


def test_a_box_that_stands_from_three_coins_on_is_to_be_held_till_then(tmp_path, home):  # noqa: ARG001
    stage = EditorStage(tmp_path)
    stage.editor.begin(make("square-tray", {"wall": 65}))
    stage.keys("2")
    stage.field("load/many", "2")
    stage.settle()
    assert "Hold it" == stage.ui.find("load/state").text
    assert "It turns over until 3 stand in it." == stage.ui.find("load/line").text
    stage.field("load/many", "3")
    stage.settle()
    assert "It floats" == stage.ui.find("load/state").text
    stage.choose("load/item", "golf-ball")
    stage.settle()
    words = "Not one of them fits on the floor (3). Make the floor wider, or stand it on another side."
    assert words == stage.ui.find("load/state").text


def test_a_plain_load_lies_as_the_water_says_and_takes_what_the_flood_says(stage):
    plain(stage, 60)
    made = known()
    found = rest(made.hull.skin, made.hull.weight + Weight(60.0, (*made.brim.level_at, 5.0)), made.water)
    assert found.freeboard.least_mm == pytest.approx(lying(stage).rest.freeboard.least_mm, abs=1e-9)
    most = flooding_loads(made.hull.skin, made.hull.weight, np.array([[*made.brim.level_at, 5.0]]), made.water).load_g[0]
    assert f"It takes {math.floor(most - 60)} g more in one pile." in stage.ui.find("load/line").text


def test_a_load_dragged_off_the_middle_dips_the_hull_and_a_button_brings_it_back(stage):
    plain(stage, 60)
    before = lying(stage).rest.freeboard.least_mm
    at = user_input.middle(stage.ui, "load/floor")
    stage.play(*user_input.drag(stage.ui, at, (at[0] + 25, at[1])))
    stage.settle()
    x, y = stage.editor.state.floating.eccentricity_mm
    made = known()
    found = rest(made.hull.skin, made.hull.weight + Weight(60.0, (x, y, 5.0)), made.water)
    assert x > 10 > abs(y)
    assert found.freeboard.least_mm == pytest.approx(lying(stage).rest.freeboard.least_mm, abs=1e-9)
    assert found.freeboard.least_mm < before - 2
    stage.press("load/middle")
    stage.settle()
    assert before == pytest.approx(lying(stage).rest.freeboard.least_mm, abs=1e-9)


def test_a_load_is_never_put_beside_the_floor(stage):
    plain(stage, 5)
    pane = stage.ui.find("load/floor").pane
    stage.play(*user_input.drag(stage.ui, pane.middle, (pane.x - 300, pane.y - 300)))
    stage.settle()
    x, y = stage.editor.state.floating.eccentricity_mm
    assert max(abs(x), abs(y)) == pytest.approx(50, abs=1.0)
    assert lying(stage) is not None


def test_what_floats_no_more_says_so(stage):
    plain(stage, 4000)
    assert "Water comes in" == stage.ui.find("load/state").text
    assert "4000 g is too much" in stage.ui.find("load/line").text


def test_by_keys_alone(stage):
    stage.ui.focus_on("load/more")
    stage.wait(0)
    stage.keys("space", "space")
    assert 22 == stage.editor.state.floating.count
    stage.ui.focus_on("load/hand")
    stage.wait(0)
    stage.keys("right")
    assert "hurried" == stage.editor.state.floating.hand
    stage.ui.focus_on("load/floor")
    stage.wait(0)
    stage.keys("right", "right", "up")
    assert (2.0, 1.0) == stage.editor.state.floating.eccentricity_mm
    stage.ui.focus_on("page")
    stage.wait(0)
    stage.keys("left")
    assert "fold" == stage.editor.state.page


def test_tab_reaches_everything_on_the_page(stage):
    seen = set()
    for _ in range(40):
        stage.keys("tab")
        seen.add(stage.ui.focus.name)
    assert {"page", "load/item", "load/less", "load/many", "load/more", "load/hand", "load/floor"} <= seen


def test_none_at_all(stage):
    stage.field("load/many", "0")
    stage.settle()
    assert "It floats" == stage.ui.find("load/state").text
    assert not stage.ui.find("load/less").enabled


def test_ten_thousand_have_no_room_and_that_is_said(stage):
    stage.field("load/many", "10000")
    stage.settle()
    assert "no room" in stage.ui.find("load/state").text


@pytest.mark.parametrize("nonsense", ["many", "-3", "1e9", "20000", " "])
def test_nonsense_for_a_count_is_said_and_changes_nothing(stage, nonsense):
    stage.field("load/many", nonsense)
    assert stage.ui.find("load/many").problem
    assert 20 == stage.editor.state.floating.count


def test_an_object_whose_mass_varies_wants_to_be_weighed(stage):
    item = next(i for i in items() if i.mass_g is None)
    stage.choose("load/item", item.name)
    assert "Weigh one" in stage.ui.find("load/state").text
    stage.field("load/each", "1.8")
    stage.settle()
    made = known()
    cargo = predict(vessel_of(made.hull, made.water, made.working), item, mass_each="1.8")
    assert f"Likely {cargo.count} in all" in stage.ui.find("load/prediction").text


def test_cautions_stand_where_small_objects_are_shown(stage):
    assert stage.ui.find("load/caution").visible.h > 20
    assert stage.ui.shows("can choke")
    assert stage.ui.shows("event's own rules come first")


@pytest.mark.parametrize("creases", ["none", "open"])
def test_without_a_hull_it_says_what_is_missing(tmp_path, creases):
    stage = EditorStage(tmp_path)
    if creases == "open":
        stage.draw((0, 25), (150, 25))
    stage.keys("escape", "escape", "2")
    stage.settle()
    assert "float" == stage.editor.state.page
    assert stage.ui.shows("no hull to float yet")


def test_two_runs_give_the_same_picture(tmp_path):
    pictures = []
    for name in ("one", "two"):
        stage = on_water(tmp_path / name, pattern="two-bend-tray")
        stage.field("load/many", "30")
        stage.settle()
        pictures.append(stage.pixels())
    assert pictures[0] == pictures[1]


def test_drawing_it_anew_gives_what_was_drawn_bit_by_bit(stage):
    stage.press("load/more")
    stage.settle()
    before = stage.pixels()
    assert before == stage.drawn_anew()


def test_the_layers_are_leafed_through(stage):
    stage.field("load/many", "60")
    stage.settle()
    assert stage.ui.shows("Layer 1 of 3")
    stage.press("load/upper")
    assert stage.ui.shows("Layer 2 of 3")


def test_a_tiny_window_says_so_and_comes_back(stage):
    whole = stage.window.surface
    stage.window.surface = pygame.Surface((300, 200))
    stage.wait(0)
    assert stage.ui.shows("too small")
    stage.window.surface = whole
    stage.wait(0)
    stage.settle()
    assert "It floats" == stage.ui.find("load/state").text


def test_a_damaged_list_of_own_objects_is_said_and_leaves_the_shipped_ones(tmp_path, monkeypatch):
    data = tmp_path / "data"
    data.mkdir()
    (data / "objects.json").write_text("no list", encoding="utf-8")
    monkeypatch.setenv("FOLDER_DATA", str(data))
    stage = on_water(tmp_path)
    assert any("own list of objects cannot be read" in message.text for message in stage.ui.messages)
    assert "It floats" == stage.ui.find("load/state").text
    plain(stage, 20)
    assert PLAIN == stage.editor.state.floating.item
    assert "It floats" == stage.ui.find("load/state").text


def test_nothing_of_water_compare_or_paper_is_loaded_before_it_is_turned_to(tmp_path):
    """What is not loaded costs no time at the start."""
    code = """
import sys, pygame
from pathlib import Path
from folder.window.app import Window
from folder.window.commands.files import new_sheet
from folder.window.autosave import Autosave, Memory
from tests.at_once import AtOnce
pygame.font.init()
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


def test_another_object_is_foretold_as_that_object(stage):
    """The answer to a question belongs to the object that was asked for, also in the pass in which it was chosen."""
    for name in ("washer-m8", "marble-16", COIN):
        stage.choose("load/item", name)
        stage.settle()
        made = known()
        cargo = predict(vessel_of(made.hull, made.water, made.working), find_item(name))
        assert f"Likely {cargo.count} in all" in stage.ui.find("load/prediction").text


def test_without_room_for_words_the_hull_afloat_is_larger_and_says_nothing():
    made = known()
    found = rest(made.hull.skin, made.hull.weight + Weight(60.0, (0.0, 0.0, 5.0)), made.water)
    box = Box(0.0, 0.0, 90.0, 60.0)
    with_words, without = (side_view(made.hull, found, (), box, sizes=sizes) for sizes in (True, False))
    assert [] == [item for item in without.marks if isinstance(item, Label)]
    wide = [max(x for x, _ in hull_ring(p)) - min(x for x, _ in hull_ring(p)) for p in (with_words, without)]
    assert wide[1] > 1.5 * wide[0]


def hull_ring(picture):
    """The outline of the hull's largest face; the first area is the water."""
    areas = [item for item in picture.marks[1:] if isinstance(item, Area)]
    return max((ring for area in areas for ring in area.rings), key=lambda r: max(x for x, _ in r) - min(x for x, _ in r))


def test_what_limits_it_and_what_would_win_most_are_said(stage):
    made = known()
    cargo = predict(vessel_of(made.hull, made.water, made.working), find_item(COIN))
    win = made.working.wins[0]
    assert stage.ui.shows(f"Worth most: {win.change}. That wins {math.floor(win.gain_g)} g.")
    said = [text.text for text in stage.ui.display_list.texts]
    assert all(sentence in said for sentence in cargo.advice)
    plain(stage, 60)
    assert LIMITS[made.working.limited_by] in [text.text for text in stage.ui.display_list.texts]
