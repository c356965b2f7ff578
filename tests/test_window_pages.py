"""Every state of the window at several sizes: nothing cut off, nothing overlapping, found by name, drawn alike twice."""

import math
from itertools import combinations

import pygame
import pytest
from msgspec.structs import replace
from pygame.event import Event

from folder.draw.hull.view import View
from folder.fold.sequence.steps import numbered_steps
from folder.pattern.file import find_pattern, read_pattern, write_pattern
from folder.practice.log import TrialLog
from folder.practice.trial import Trial
from folder.window.commands.table import COMMANDS, EVERYWHERE, ROWS, hears
from folder.window.fold.film.player import Player
from folder.window.fold.sheet_paint import RestingDrawing
from folder.window.tools.words import SENSE_WORDS, TOOL_WORDS
from folder.window.view_state import PAGES
from folder.window.viewport import Viewport
from tests import user_input
from tests.editor_stage import EditorStage

SIZES = {"1024x700": ((1024, 700), 1.0), "1280x800": ((1280, 800), 1.0), "1920x1080": ((1920, 1080), 1.0),
         "1280x800 at 150 %": ((1280, 800), 1.5), "1920x1080 at 200 %": ((1920, 1080), 2.0)}  # fmt: skip


def empty(stage):
    """An empty sheet with the long line in hand."""


def laying(stage):
    stage.hold((0, 25), (100, 25))


def beside(stage):
    walls(stage)
    stage.keys("b")
    stage.click((75, 25))
    stage.move_to((75, 40))


def walls(stage):
    stage.draw((0, 25), (150, 25))


def tray(stage):
    walls(stage)
    stage.keys("c")
    stage.click((22, 20))


def picked(stage):
    tray(stage)
    stage.keys("p")
    stage.click((75, 25))


def all_picked(stage):
    tray(stage)
    stage.keys("ctrl+a")


def dragged(stage):
    picked(stage)
    stage.hold((75, 25), (75, 40))


def half_folded(stage):
    tray(stage)
    stage.keys(*"qqqqqqqq")


def step(stage):
    tray(stage)
    stage.keys("pageup")


def keys_page(stage):
    stage.keys("ctrl+f1")


def help_steps(stage):
    stage.keys("f1")
    stage.settle()


def help_words(stage):
    help_steps(stage)
    stage.press("help/page/words")
    stage.settle()


def save_page(stage):
    tray(stage)
    stage.keys("ctrl+s")


def open_page(stage):
    stage.keys("ctrl+o")


def leave_page(stage):
    tray(stage)
    stage.keys("ctrl+n")


def water(stage):
    tray(stage)
    stage.keys("2")
    stage.settle()


def water_loaded(stage):
    water(stage)
    stage.field("float/guess", "60")
    stage.keys("n", "n", "n")
    still(stage)


def water_map(stage):
    water_loaded(stage)
    stage.keys("m")


def water_coach(stage):
    water_loaded(stage)
    stage.keys("c")


def water_over(stage):
    water_loaded(stage)
    stage.keys("a")
    still(stage)


def still(stage):
    """Until nothing moves in the tub."""
    stage.wait(10.0)
    stage.settle()


def compare(stage):
    tray(stage)
    stage.keys("3")
    for name in ("hemmed-tray", "leaning-hemmed-tray"):
        stage.choose("compare/add", name)
    stage.press("compare/keep")
    stage.settle()


def objects_page(stage):
    tray(stage)
    stage.keys("3", "o")
    stage.settle()


def own_object(stage):
    objects_page(stage)
    stage.press("objects/own")
    stage.settle()


def work_out(stage):
    tray(stage)
    stage.keys("3", "w")
    stage.type("7")
    stage.keys("enter")
    stage.press("count/show")
    stage.press("count/lines")
    stage.settle()


def note_trial(stage):
    tray(stage)
    stage.keys("3", "t")
    stage.type("5000")
    stage.keys("enter")
    stage.settle()


def all_trials(stage):
    tray(stage)
    with TrialLog() as log:
        if not log.trials():
            tests = ((60, 70, "Mila"), (55, 50, ""), (63, 60, "Ada"))
            log.add_all(
                Trial("2026-05-04", stage.pattern.name, "us-cent", 2.5, held, guess, pupil=name) for held, guess, name in tests
            )
    stage.keys("3", "shift+t")
    stage.settle()
    stage.press("trials/list/1")
    stage.settle()


def sweep(stage):
    tray(stage)
    stage.keys("3", "v")
    stage.settle()


def paper(stage):
    tray(stage)
    stage.keys("4")
    stage.settle()


def paper_stopped(stage):
    walls(stage)
    stage.keys("4")
    stage.settle()


def where_page(stage):
    paper(stage)
    stage.press("paper/where")
    stage.settle()


STATES = (
    empty, laying, beside, walls, tray, picked, all_picked, dragged, half_folded, step, keys_page, help_steps, help_words, save_page,
    open_page, leave_page, water, water_loaded, water_map, water_coach, water_over, compare, paper, paper_stopped, where_page,
)  # fmt: skip


OVER_COMPARE = (objects_page, own_object, work_out, note_trial, all_trials, sweep)
TIGHT = ("1024x700", "1280x800 at 150 %")
"""Where there is least room."""
EVERY_KIND = (tray, dragged, step, help_words, water_loaded, compare, paper)


def at_home(directory, patch):
    """The dialogs look into a directory of the test's own."""
    home = directory / "home"
    (home / "boats").mkdir(parents=True)
    patch.setenv("HOME", str(home))
    patch.setenv("USERPROFILE", str(home))
    patch.chdir(home)


@pytest.fixture(autouse=True)
def _plain_home(tmp_path, monkeypatch):
    at_home(tmp_path, monkeypatch)


@pytest.fixture(params=SIZES)
def sized(request):
    return SIZES[request.param]


@pytest.fixture(
    scope="module",
    params=[
        pytest.param((size, state), id=f"{state.__name__} {size}", marks=() if size in TIGHT else pytest.mark.whole)
        for size in SIZES
        if size != "1920x1080"
        for state in (*STATES, *(OVER_COMPARE if size in TIGHT else ()))
    ],
)
def shown(request, tmp_path_factory):
    """A state at a size, only to be looked at. How the pages lie on a large screen is tried in `test_window_layout`."""
    size, state = request.param
    directory = tmp_path_factory.mktemp("shown")
    with pytest.MonkeyPatch.context() as patch:
        at_home(directory, patch)
        stage = EditorStage(directory, *SIZES[size])
        state(stage)
    return stage


def test_no_text_is_cut_off(shown):
    assert [] == [said.text for said in shown.ui.display_list.texts if said.cut]


def test_nothing_that_can_be_pressed_lies_over_another_thing(shown):
    over = ("sheet", "card/", "zoom/")  # the card on a crease and the zoom buttons lie on the sheet: that is their place
    records = [
        s for s in shown.ui.last.values()
        if s.stops and s.visible.w and s.visible.h and s.kind != "option" and not s.name.startswith(over)
    ]  # fmt: skip
    for one, other in combinations(records, 2):
        if one.layer == other.layer:
            both = one.visible.meet(other.visible)
            assert min(both.w, both.h) < 1, (one.name, other.name)


def test_everything_lies_in_the_window(shown):
    for name, record in shown.ui.last.items():
        if record.stops and not record.scrolls:
            assert shown.ui.page.covers(record.pane), name


@pytest.mark.parametrize("state", STATES)
def test_every_text_stands_out_from_its_ground(tmp_path, state):
    """4.5:1 (WCAG 2.2, 1.4.3). What lies dimmed under a dialog is not meant to be read."""
    stage = EditorStage(tmp_path)
    stage.ui.display_list.audit = True
    state(stage)
    stage.ui.redraw()
    stage.wait(0)
    if stage.ui.focus.layer:
        return
    poor = [(s.text, s.contrast) for s in stage.ui.display_list.texts if s.contrast is not None and s.contrast < 4.5]
    assert [] == poor


@pytest.mark.parametrize("state", [pytest.param(s, marks=() if s in EVERY_KIND else pytest.mark.whole) for s in STATES])
def test_two_runs_give_the_same_picture(tmp_path, state):
    first, second = EditorStage(tmp_path / "one"), EditorStage(tmp_path / "two")
    for stage in (first, second):
        state(stage)
    assert first.pixels() == second.pixels()


@pytest.mark.parametrize("state", STATES)
def test_drawing_only_what_changed_gives_the_picture_of_drawing_all(tmp_path, state):
    stage = EditorStage(tmp_path)
    state(stage)
    stage.settle()
    partly = stage.pixels()
    assert partly == stage.drawn_anew()


def test_everything_that_can_be_pressed_has_a_name_and_a_word(tmp_path):
    stage = EditorStage(tmp_path)
    for state in (tray, picked):
        state(stage)
        for name, record in stage.ui.last.items():
            if record.stops and record.kind in ("button", "toggle", "drop-down"):
                assert record.text or record.tip, name
    stage.press("more")
    for tool in TOOL_WORDS:
        assert stage.ui.find(f"tool/{tool}").kind == "toggle"
    for sense in SENSE_WORDS:
        assert stage.ui.find(f"sense/{sense}").kind == "toggle"
    for name in (
        "sheet",
        "hull",
        "film/play",
        "verdict",
        "floor",
        "wall",
        "load",
        "strip",
        "name",
        "save",
        "open",
        "undo",
        "help",
    ):
        assert stage.ui.find(name)


def test_every_command_has_a_key_of_its_own_and_stands_on_the_page_of_keys(tmp_path):
    assert len(ROWS) == len(COMMANDS)
    for page in EVERYWHERE:
        heard = [key for command in ROWS for key in command.keys if hears(page, command, key)]
        assert len(heard) == len(set(heard)), page
    stage = EditorStage(tmp_path, (1280, 1400))
    stage.keys("ctrl+f1")
    for command in COMMANDS.values():
        assert any(command.words == said.text for said in stage.ui.display_list.texts), command.words


def test_tab_reaches_everything_that_can_be_pressed(tmp_path):
    stage = EditorStage(tmp_path)
    picked(stage)
    wanted = {s.name for s in stage.ui.last.values() if s.stops and s.enabled}
    reached = set()
    for _ in range(len(wanted) + 2):
        stage.keys("tab")
        reached.add(stage.ui.focus.name)
    assert wanted <= reached


def test_the_start_page_shows_the_safety_line_and_that_the_events_rules_come_first(tmp_path):
    stage = EditorStage(tmp_path, start=True)
    assert stage.ui.shows("Your event's own rules come first.")
    assert "cut" in stage.ui.find("safety").text


@pytest.mark.parametrize("size", [(1024, 700), (1920, 1080)])
def test_the_start_page_cuts_no_text_off(tmp_path, size):
    stage = EditorStage(tmp_path, size, start=True)
    assert [] == [said.text for said in stage.ui.display_list.texts if said.cut]


def test_the_bar_with_the_five_pages_is_in_sight_on_all_of_them(tmp_path, sized):
    stage = EditorStage(tmp_path, *sized)
    tray(stage)
    for key, page in zip("12345", PAGES, strict=True):
        stage.keys(key)
        assert page == stage.editor.state.page
        for name in ("name", "undo", "redo", "start", "open", "save", "help", *(f"page/{one}" for one in PAGES)):
            record = stage.ui.find(name)
            assert record.visible.covers(record.pane), (page, name)
        stage.keys("ctrl+1")


def test_at_an_event_a_bare_digit_is_no_command(tmp_path):
    stage = EditorStage(tmp_path)
    stage.turn_to("event")
    stage.keys("2")
    assert "event" == stage.editor.state.page
    stage.keys("ctrl+2")
    assert "float" == stage.editor.state.page


def test_the_verdict_and_the_numbers_are_in_sight_in_every_state(tmp_path, sized):
    stage = EditorStage(tmp_path, *sized)
    for state, numbers in ((walls, ()), (picked, ("floor", "wall", "load", "likely"))):
        state(stage)
        for name in ("verdict", "hull", *numbers):
            record = stage.ui.find(name)
            assert record.visible.covers(record.pane), name


def test_the_wheel_zooms_about_the_pointer_and_zero_shows_the_whole_sheet_again(tmp_path):
    stage = EditorStage(tmp_path)
    before = stage.at((40, 60))
    stage.move_to((40, 60))
    stage.play(user_input.wheel(stage.ui, "sheet", 3)[1])
    assert before == pytest.approx(stage.at((40, 60)), abs=1.0)
    assert stage.at((0, 0))[0] < before[0] - 100
    stage.keys("0")
    assert before == pytest.approx(stage.at((40, 60)))


def test_the_hull_turns_with_the_hand_and_by_quarters(tmp_path):
    stage = EditorStage(tmp_path)
    tray(stage)
    whole = stage.pixels()
    x, y = user_input.middle(stage.ui, "hull")
    stage.play(*user_input.drag(stage.ui, (x, y), (x + 60, y)))
    assert whole != stage.pixels()
    stage.keys("u")
    assert View() == stage.editor.state.camera
    before = stage.editor.state.camera.around_rad
    stage.keys("comma")
    assert math.pi / 2 == pytest.approx(stage.editor.state.camera.around_rad - before)
    stage.keys("period", "period")
    assert math.pi / 2 == pytest.approx((before - stage.editor.state.camera.around_rad) % math.tau)


def test_a_step_is_played_when_it_is_pressed_and_gives_the_hull_back_when_pressed_again(tmp_path):
    stage = EditorStage(tmp_path)
    tray(stage)
    stage.press("strip/2")
    assert stage.editor.state.player.runs
    stage.wait(0.5)
    assert 0.0 < stage.editor.state.player.share < 1.0
    for _ in range(10):
        stage.wait(1.0)
    assert Player(2) == stage.editor.state.player
    stage.press("strip/2")
    assert Player() == stage.editor.state.player


def test_the_film_runs_to_its_end_pauses_and_goes_by_steps(tmp_path):
    stage = EditorStage(tmp_path)
    tray(stage)
    stage.wait(1.1)  # the objects are counted once the hand has rested
    stage.settle()
    hull = stage.pixels()
    count = len(stage.editor.result.order.steps)
    stage.keys("f6")
    stage.keys("space")
    assert stage.editor.state.player.runs
    stage.settle()
    pictures = set()
    for _ in range(8):
        stage.wait(0.1)
        pictures.add(stage.pixels())
    assert len(pictures) > 5
    stage.keys("space")
    paused = stage.editor.state.player
    assert not paused.runs
    stage.wait(5.0)
    assert paused == stage.editor.state.player
    stage.keys("space")
    for _ in range(40):
        stage.wait(1.0)
    assert Player(count - 1) == stage.editor.state.player
    stage.keys("pagedown")
    assert Player() == stage.editor.state.player
    assert hull == stage.pixels()
    stage.keys("pageup", "pageup")
    assert Player(count - 2) == stage.editor.state.player
    stage.press("film/step-on")
    assert count - 1 == stage.editor.state.player.step


def test_numbers_and_lit_lines_on_the_sheet_are_those_of_the_order(tmp_path):
    """A hull of one's own has numbers too: they are those of the paper, and the lines of a step light up."""
    stage = EditorStage(tmp_path)
    tray(stage)
    editor = stage.editor
    assert all(c.step is None for c in editor.document.pattern.creases)
    wanted = numbered_steps(editor.document.pattern, editor.result.order)
    resting = RestingDrawing.of(editor, Viewport(1.0, (0.0, 0.0)), True)
    assert [c.step for c in wanted.creases] == [c.step for c in resting.pattern.creases]
    assert {1, 2} <= {c.step for c in wanted.creases}
    assert [] == resting.lit_lines
    dark = stage.pixels()
    stage.keys("pageup")
    stage.press("strip/0")
    lit = RestingDrawing.of(editor, Viewport(1.0, (0.0, 0.0)), True).lit_lines
    assert editor.result.order.steps[0].edges.sum() == len(lit)
    assert dark != stage.pixels()


def test_a_message_lies_on_no_verdict_hint_or_number(tmp_path, sized):
    stage = EditorStage(tmp_path, *sized)
    tray(stage)
    for page in PAGES:
        stage.turn_to(page)
        stage.ui.say("Saved as my-first-boat.json.", "good")
        stage.wait(0)
        card = stage.ui.find("message").pane
        for name, record in stage.ui.last.items():
            if record.kind in ("text", "number") and record.visible.w and record.visible.h:
                both = card.meet(record.visible)
                assert min(both.w, both.h) < 1, (page, name)


def test_a_file_dropped_on_the_window_opens_after_the_work_is_asked_about(tmp_path):
    file = tmp_path / "otter.json"
    write_pattern(replace(read_pattern(find_pattern("plain-tray")), name="Otter"), file)
    stage = EditorStage(tmp_path, start=True)
    stage.play(Event(pygame.DROPFILE, file=str(file)))
    assert "Otter" == stage.pattern.name
    assert file == stage.editor.document.path
    stage.keys("ctrl+n")
    tray(stage)
    mine = stage.pattern
    stage.play(Event(pygame.DROPFILE, file=str(file)))
    assert "leave" == stage.editor.state.dialog
    assert stage.pattern is mine
    stage.press("leave/drop")
    assert "Otter" == stage.pattern.name


def test_something_else_dropped_on_the_window_is_said_and_the_work_stays(tmp_path):
    (tmp_path / "photo.png").write_bytes(b"\x89PNG")
    stage = EditorStage(tmp_path)
    mine = stage.pattern
    stage.play(Event(pygame.DROPFILE, file=str(tmp_path / "photo.png")))
    assert stage.ui.shows("“photo.png” is no pattern")
    stage.play(Event(pygame.DROPFILE, file=str(tmp_path)))
    (tmp_path / "odd.json").write_text("{}")
    stage.play(Event(pygame.DROPFILE, file=str(tmp_path / "odd.json")))
    assert stage.ui.shows("“odd.json” cannot be opened")
    assert stage.pattern is mine


def test_the_big_number_is_pressed_to_count_in_another_object(tmp_path):
    stage = EditorStage(tmp_path)
    stage.open("plain-tray")
    assert "about 66 cents, 51 to 82" == stage.ui.find("likely").text
    stage.press("likely")
    assert "objects" == stage.editor.state.dialog
    stage.keys("escape", "o")
    assert "objects" == stage.editor.state.dialog


def test_where_the_film_is_a_cross_fade_it_says_so(tmp_path):
    stage = EditorStage(tmp_path)
    stage.open("two-bend-tray")
    kinds = [step.kind for step in stage.editor.result.order.steps]
    stage.press(f"strip/{kinds.index('raise')}")
    stage.settle()
    said = []
    for _ in range(16):
        stage.wait(0.2)
        said.append(stage.ui.shows("faded over"))
    assert {True, False} == set(said)
    assert not said[-1]
