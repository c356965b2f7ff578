"""Hulls side by side: played by events alone, by name; what is shown equals what the study says."""

import math
from functools import cache

import pygame
import pytest
from msgspec.structs import replace

from folder.cargo.item_list import find_item
from folder.cargo.predict import predict
from folder.cargo.vessel import vessel_of
from folder.draw.chart import Spread, bars
from folder.draw.picture import Box, Label
from folder.draw.text import width_mm
from folder.pattern.families.catalogue import make
from folder.pattern.file import find_pattern, read_pattern
from folder.search import sweeps
from folder.studies import study
from folder.verdict import verdict_of
from folder.window.compare import compared
from folder.window.objects.commands import choose_object
from tests.editor_stage import EditorStage
from tests.studied import ready_study

COIN = "us-half-dollar"


@pytest.fixture(autouse=True)
def quick(monkeypatch):
    """First counts alone (that full ones are shown is tested with a ball, in `test_window_count`), and of a curve three points."""
    found = compared.contender
    monkeypatch.setattr(compared, "contender", lambda study, item=None, **_: found(study, item, first=True))
    monkeypatch.setattr(sweeps, "POINTS", 3)


@pytest.fixture
def stage(tmp_path, home):  # noqa: ARG001 (the home must be there first)
    return comparing(tmp_path)


def comparing(directory, size=(1280, 800)):
    """A plain tray on the page, counted with a heavy coin: few of them, and so quick to lay out."""
    stage = EditorStage(directory, size)
    choose_object(stage.editor, COIN)
    stage.open("plain-tray")
    stage.turn_to("compare")
    stage.settle()
    return stage


def add(stage, *names):
    for name in names:
        stage.choose("compare/add", name)
    stage.settle()


def shown(stage, index):
    """The row of the hull on the table (0) or of one of the others."""
    return stage.ui.find(f"compare/{index}").value


@cache
def counted(name, item=COIN):
    """What is counted of a ready pattern at first."""
    made = ready_study(name)
    cargo = predict(vessel_of(made.hull, made.water, made.working), find_item(item), rounds=0)
    return cargo.count_low, cargo.count, cargo.count_high


def test_the_hull_on_the_table_is_counted_with_the_object_in_use(stage):
    """Perfect hands: 248.6 g of brim load hold 21 coins of 11.34 g (238.1 g; 22 are 249.5 g)."""
    spread = shown(stage, 0)
    assert (counted("plain-tray"), 21) == (spread.low_likely_high, spread.most)
    assert "compare/1" not in stage.ui.last


@pytest.mark.parametrize("name", ["hemmed-tray", "tall-small-tray"])
def test_the_numbers_are_those_of_the_study(stage, name):
    add(stage, name)
    made = ready_study(name)
    assert (made.pattern.name, counted(name)) == (shown(stage, 1).name, shown(stage, 1).low_likely_high)
    numbers = stage.ui.find("compare/1/numbers").text
    assert f"floor {made.measures.floor_area_mm2 / 100:.0f} cm²" in numbers
    assert f"wall {made.measures.wall_height_mm:.0f} mm" in numbers
    assert f"perfect {math.floor(made.brim.load_g / 11.34)}" in numbers


def test_the_best_stands_first_and_says_why(stage):
    """Held against numbers: the leaning tray takes 9 more, with 292 cm3 to 250 (wall 29.5 mm to 25)."""
    add(stage, "hemmed-tray", "leaning-tray")
    places = [stage.ui.find(f"compare/place/{k}").text for k in range(3)]
    assert ["Leaning tray", "Plain tray", "Hemmed tray"] == places
    why = stage.ui.find("compare/2/numbers").value
    more = counted("leaning-tray")[1] - counted("plain-tray")[1]
    assert f"The most: {more} more than “Plain tray”. Its rim is higher, so it pushes more water away: 292 cm³, not 250." == why


def test_another_object_is_counted_anew_and_the_one_before_costs_nothing(stage):
    add(stage, "hemmed-tray")
    before = shown(stage, 1)
    choose_object(stage.editor, "table-tennis-ball")
    stage.ui.redraw()
    stage.settle()
    assert counted("hemmed-tray", "table-tennis-ball") == shown(stage, 1).low_likely_high
    assert "table-tennis balls, usual hands" == stage.ui.find("compare/unit").text
    choose_object(stage.editor, COIN)
    stage.ui.redraw()
    stage.wait(0)
    assert before == shown(stage, 1)


def test_an_object_without_a_mass_is_compared_in_grams(stage):
    choose_object(stage.editor, "die-16")
    stage.ui.redraw()
    stage.settle()
    assert pytest.approx(ready_study("plain-tray").working.likely_g) == shown(stage, 0).low_likely_high[1]
    assert "grams, usual hands" == stage.ui.find("compare/unit").text


def test_names_that_are_alike_are_told_apart(stage):
    stage.press("compare/keep")
    lower_wall(stage)
    stage.settle()
    assert {"Plain tray, wall 35", "Plain tray, wall 25"} == {shown(stage, k).name for k in (0, 1)}


def test_axis_and_key_are_in_sight_with_eight_hulls_in_a_small_window(tmp_path, home):  # noqa: ARG001 (the home must be there first)
    stage = comparing(tmp_path, (1024, 700))
    choose_object(stage.editor, "table-tennis-ball")
    add(stage, "hemmed-tray", "leaning-tray", "long-barge", "shallow-tray", "keel-tray", "tall-small-tray", "two-bend-tray")
    for name in ("compare/axis", "compare/unit", "compare/sweep"):
        pane = stage.ui.find(name).pane
        assert stage.ui.page.covers(pane), name
    assert stage.ui.find("compare/axis").value[-1] >= max(shown(stage, k).reach for k in range(8))


def test_the_slider_tells_what_another_wall_would_take(stage):
    """At 40 mm: the same tray made with that wall, counted by itself; then folded so, and undone."""
    before = stage.pattern
    stage.press("compare/sweep")
    stage.settle()
    assert "3 of 3" == stage.ui.find("sweep/chart").text
    points = stage.ui.find("sweep/chart").value
    assert 25.0 in {point.value for point in points}
    stage.editor.show(replace(stage.editor.state, comparing=replace(stage.editor.state.comparing, variable="wall", value=40.0)))
    stage.ui.redraw()
    stage.settle()
    made = study(make("square-tray", {"wall": 40.0}))
    likely = predict(vessel_of(made.hull, made.water, made.working), find_item(COIN), rounds=0).count
    assert stage.ui.shows(f"About {likely}, ")
    stage.press("sweep/keep")
    stage.settle()
    assert "Plain tray, wall 40" == stage.editor.state.comparing.others[0].pattern.name
    stage.press("sweep/fold")
    stage.settle()
    assert pytest.approx(40.0) == study(stage.pattern).measures.wall_height_mm
    stage.keys("ctrl+z")
    assert before == stage.pattern


def test_the_slider_by_keys_goes_by_half_a_millimetre(stage):
    stage.press("compare/sweep")
    stage.settle()
    stage.ui.focus_on("sweep/value")
    stage.wait(0)
    stage.keys("right", "right")
    assert pytest.approx(25.0 + 2 * 0.5, abs=0.5) == stage.editor.state.comparing.value
    assert stage.editor.state.comparing.value % 0.5 == 0


def test_a_drawing_has_its_own_walls_as_the_number(stage):
    """Beside the plain tray drawn by hand: its walls are raised, and it measures what was asked for."""
    stage.editor.edit(lambda pattern: replace(pattern, creases=tuple(reversed(pattern.creases)), family=None))
    stage.press("compare/sweep")
    stage.settle()
    stage.editor.show(replace(stage.editor.state, comparing=replace(stage.editor.state.comparing, value=31.0)))
    stage.ui.redraw()
    stage.settle()
    stage.press("sweep/fold")
    stage.settle()
    made = study(stage.pattern)
    assert (pytest.approx(31.0), "hull") == (made.measures.wall_height_mm, verdict_of(made).code)


def lower_wall(stage):
    stage.turn_to("fold")
    stage.click((60, 25))
    stage.draw((60, 25), (60, 35))
    stage.turn_to("compare")


def test_the_first_follows_the_edits_and_what_was_kept_stays(stage):
    before = shown(stage, 0)
    stage.press("compare/keep")
    stage.settle()
    lower_wall(stage)
    stage.settle()
    assert before.low_likely_high == shown(stage, 1).low_likely_high
    made = study(stage.pattern)
    after = predict(vessel_of(made.hull, made.water, made.working), find_item(COIN), rounds=0)
    assert (after.count_low, after.count, after.count_high) == shown(stage, 0).low_likely_high
    assert after.count < before.low_likely_high[1]


def test_at_most_eight_and_none_twice(stage):
    choose_object(stage.editor, "table-tennis-ball")
    add(stage, "hemmed-tray")
    add(stage, "hemmed-tray")
    assert 1 == len(stage.editor.state.comparing.others)
    assert any("stands there already" in m.text for m in stage.ui.messages)
    add(stage, "leaning-tray", "long-barge", "shallow-tray", "keel-tray", "tall-small-tray", "two-bend-tray")
    assert 7 == len(stage.editor.state.comparing.others)
    assert not stage.ui.find("compare/add").enabled
    assert not stage.ui.find("compare/keep").enabled
    stage.press("compare/drop/1")
    assert 6 == len(stage.editor.state.comparing.others)
    assert stage.ui.find("compare/add").enabled


def test_one_that_is_picked_is_opened(stage):
    add(stage, "hemmed-tray")
    stage.press("compare/open/0")
    stage.settle()
    assert read_pattern(find_pattern("hemmed-tray")).creases == stage.pattern.creases
    assert "fold" == stage.editor.state.page
    assert stage.editor.document.path is None
    assert 1 == len(stage.editor.state.comparing.others)


def test_opening_one_asks_to_save_the_work_first(stage):
    add(stage, "hemmed-tray")
    lower_wall(stage)
    mine = stage.pattern
    stage.press("compare/open/0")
    assert "leave" == stage.editor.state.dialog
    stage.press("leave/back")
    assert stage.pattern is mine
    stage.press("compare/open/0")
    stage.press("leave/drop")
    assert "Hemmed tray" == stage.pattern.name


def test_a_kept_one_that_is_opened_again_is_work_that_could_be_lost(stage):
    stage.press("compare/keep")
    stage.settle()
    stage.press("compare/open/0")
    assert not stage.editor.document.is_saved


def test_what_does_not_fold_says_so(tmp_path):
    stage = EditorStage(tmp_path)
    stage.draw((0, 25), (150, 25))
    stage.keys("escape", "escape", "3")
    stage.settle()
    assert "does not fold" == shown(stage, 0).text
    assert "does not fold" in stage.ui.find("compare/0/numbers").text


def test_an_empty_sheet_has_nothing_to_keep(tmp_path):
    stage = EditorStage(tmp_path)
    stage.keys("escape", "3")
    stage.settle()
    assert not stage.ui.find("compare/keep").enabled
    assert shown(stage, 0).low_likely_high is None


def test_by_keys_alone(stage):
    stage.ui.focus_on("compare/add")
    stage.wait(0)
    stage.keys("enter")
    stage.type("h")
    stage.keys("enter")
    stage.settle()
    assert ["Heavy-duty tray"] == [other.pattern.name for other in stage.editor.state.comparing.others]
    reached = set()
    for _ in range(40):
        stage.keys("tab")
        reached.add(stage.ui.focus.name)
    assert {"page", "compare/add", "compare/keep", "compare/open/0", "compare/drop/0"} <= reached
    stage.ui.focus_on("compare/drop/0")
    stage.wait(0)
    stage.keys("space")
    assert () == stage.editor.state.comparing.others


def test_the_others_are_still_there_after_another_page(stage):
    add(stage, "hemmed-tray")
    before = shown(stage, 1)
    stage.keys("1", "3")
    stage.settle()
    assert before == shown(stage, 1)


def test_two_runs_give_the_same_picture(tmp_path):
    pictures = []
    for name in ("one", "two"):
        stage = comparing(tmp_path / name)
        add(stage, "hemmed-tray")
        pictures.append(stage.pixels())
    assert pictures[0] == pictures[1]


def test_drawing_it_anew_gives_what_was_drawn_bit_by_bit(stage):
    add(stage, "hemmed-tray", "eight-sided-bowl")
    stage.press("compare/drop/0")
    stage.settle()
    before = stage.pixels()
    assert before == stage.drawn_anew()


def test_every_hull_has_its_own_picture(stage):
    """Taking the first of two away leaves the picture of the second, not of the first."""
    add(stage, "hemmed-tray", "eight-sided-bowl")
    stage.press("compare/drop/0")
    stage.settle()
    left = hull_pixels(stage)
    stage.press("compare/drop/0")
    add(stage, "eight-sided-bowl")
    assert left == hull_pixels(stage)
    stage.press("compare/drop/0")
    add(stage, "hemmed-tray")
    assert left != hull_pixels(stage)


def hull_pixels(stage):
    """The picture of the first of the others."""
    pane = stage.ui.find("compare/1").pane
    return pygame.image.tobytes(stage.window.surface.subsurface((pane.x + 8, pane.y + 6, 100, 84)), "RGB")


def test_in_little_room_the_words_of_a_row_are_shorter_and_still_in_the_box():
    spread = Spread("Tray", (130.2, 165.9, 207.1), 248.6)
    for wide, words in ((90.0, "likely 165 g (130 to 207)"), (46.0, "165 g (130 to 207)")):
        labels = [item for item in bars([spread], Box(0.0, 0.0, wide, 30.0)).marks if isinstance(item, Label)]
        (said,) = [label for label in labels if label.weight == "bold"]
        assert words == said.text
        assert said.at[0] >= 0.0
        assert said.at[0] + width_mm(said.text, said.size_mm, "bold") <= wide
