"""The division worked on screen, and two days of an event as they go: a team's and a coach's."""

from __future__ import annotations

import json
import math

import pytest

from folder.cargo.division.drill import drill
from folder.practice.log import read_trials
from folder.window.count.state import DRILL_LENGTH
from folder.window.objects.commands import choose_object
from tests.editor_stage import EditorStage, compare_in_grams


@pytest.fixture
def stage(tmp_path, home, monkeypatch):  # noqa: ARG001 (the home must be there first)
    compare_in_grams(monkeypatch)
    stage = EditorStage(tmp_path)
    stage.open("plain-tray")
    stage.keys("3", "w")
    stage.settle()
    return stage


def answer_text(stage):
    return stage.ui.find("count/told").text


def test_the_days_numbers_stand_there_already(stage) -> None:
    """The likely load in whole grams, and the mass of the object in use."""
    likely = math.floor(stage.editor.fresh.load.likely_g)
    assert (f"{likely}", "2.5") == (stage.ui.find("count/holds").value, stage.ui.find("count/each").value)


def test_the_own_try_comes_first_then_line_by_line(stage) -> None:
    """165 / 2.5: 60 leave 15 g."""
    stage.field("count/holds", "165")
    assert "count/line" not in stage.ui.last
    stage.field("count/try", "60")
    assert "More go in: 60 × 2.5 = 150, and 15 is still left." == answer_text(stage)
    stage.press("count/show")
    assert stage.ui.shows("Double both: 165 ÷ 2.5 = 330 ÷ 5.")
    assert not stage.ui.shows("So the hull takes 66.")
    stage.press("count/lines")
    assert stage.ui.shows("So the hull takes 66.")
    stage.field("count/try", "66")
    assert answer_text(stage).startswith("Right! 66 × 2.5 = 165")


def test_every_way_leads_to_its_own_lines_and_rounding_gives_the_bracket(stage) -> None:
    stage.field("count/holds", "165")
    stage.press("count/show")
    for way in ("times ten", "build up by tens and fives", "round up and down"):
        stage.press(f"count/way/{way}")
        stage.press("count/lines")
        assert way == stage.editor.state.counting.way
    assert stage.ui.shows("Round 2.5 up to 3: 55 × 3 = 165, so at least 55.")
    assert stage.ui.shows("Round 2.5 down to 2: 82 × 2 = 164 leaves 1")


@pytest.mark.parametrize("nonsense", ["0", "-3", "abc", "1e99", "1,000"])
def test_a_mass_that_is_none_is_said_and_the_one_before_stays(stage, nonsense: str) -> None:
    before = stage.editor.state.counting.each
    stage.field("count/each", nonsense)
    assert stage.ui.find("count/each").problem
    assert before == stage.editor.state.counting.each


def test_a_drill_is_solved_scored_and_printed_as_the_command_prints_it(stage, home) -> None:
    stage.press("count/page/drill")
    stage.press("count/grade/5")
    problems = drill(5, DRILL_LENGTH, 1)
    for k, problem in enumerate(problems[:3]):
        assert stage.ui.shows(problem.question[:40])
        assert not stage.ui.find("count/next").enabled
        if k == 1:
            stage.field("count/try", f"{problem.answer + 1}")
        stage.field("count/try", f"{problem.answer}")
        stage.press("count/next")
    assert "4 of 10; right at once: 2 of 3" == stage.ui.find("count/score").text
    stage.press("count/print")
    stage.settle()
    assert [home / "drill-grade-5-seed-1-a4.pdf"] == list(home.glob("drill*"))


def test_a_team_is_given_an_object_works_the_division_loads_by_the_plan_and_notes_the_trial_by_keys_alone(tmp_path, home) -> None:  # noqa: ARG001
    """3.92 g and 21.25 mm by 1.67 mm is the 5 cent coin; what the hull holds over 3.92 is worked out, tried, and put right."""
    stage = EditorStage(tmp_path)
    stage.open("plain-tray")
    stage.keys("2", "o")
    stage.type("3.92 g and 21.25 mm by 1.67 mm")
    stage.keys("enter", "w")
    stage.settle()
    holds = int(stage.ui.find("count/holds").value)
    assert "3.92" == stage.ui.find("count/each").value
    answer = holds * 100 // 392
    stage.type(f"{answer + 3}")
    stage.keys("enter")
    assert answer_text(stage).startswith("Too many")
    stage.keys("ctrl+a")
    stage.type(f"{answer}")
    stage.keys("enter")
    assert answer_text(stage).startswith("Right!")
    stage.ui.focus_on("count/guess")
    stage.wait(0)
    stage.keys("enter")
    assert (answer, "") == (stage.editor.state.floating.loading.guess, stage.editor.state.dialog)
    stage.settle()
    stage.keys("n", "n", "n", "backspace", "a")
    stage.settle()
    loading = stage.editor.state.floating.loading
    assert loading.ending
    assert loading.held > 2
    stage.keys("t")
    stage.settle()
    assert answer == stage.ui.find("trial/guess").value
    stage.type(f"{answer - 4}")
    stage.keys("enter")
    stage.settle()
    (trial,) = read_trials()
    assert ("euro-5-cent", 3.92, answer - 4, answer) == (trial.item, trial.mass_each_g, trial.count, trial.guess)


def test_a_coach_compares_six_hulls_for_a_ball_and_the_command_says_the_same(tmp_path, home, cli) -> None:  # noqa: ARG001
    """The order, the winner and why on the page are those of `folder compare --item`."""
    names = ["plain-tray", "hemmed-tray", "leaning-tray", "tall-small-tray", "six-sided-bowl", "double-sheet-tray"]
    stage = EditorStage(tmp_path)
    choose_object(stage.editor, "table-tennis-ball")
    stage.open(names[0])
    stage.keys("3")
    for name in names[1:]:
        stage.choose("compare/add", name)
    stage.settle()
    code, out, _ = cli("compare", *names, "--item", "table-tennis-ball", "--json")
    data = json.loads(out)
    assert 0 == code
    assert [one["shown_as"] for one in data["designs"]] == [stage.ui.find(f"compare/place/{k}").text for k in range(6)]
    for k in range(6):
        spread = stage.ui.find(f"compare/{k}").value
        (count,) = (one["count"] for one in data["designs"] if one["shown_as"] == spread.name)
        assert (count["low"], count["likely"], count["high"], count["most"]) == (*spread.low_likely_high, spread.most)
    first = next(k for k in range(6) if stage.ui.find(f"compare/{k}").text == data["best"])
    assert data["why"] == stage.ui.find(f"compare/{first}/numbers").value
