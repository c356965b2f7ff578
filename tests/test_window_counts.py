"""One number for one hull and object: Fold, Float, Compare and the command line say the same, as soon as each knows it."""

import json
from concurrent.futures import Future

import pytest

from folder.cargo.item_list import find_item
from folder.cargo.words import counts_by_mass
from folder.search.ranking import contender
from folder.window.objects.commands import choose_object
from tests.editor_stage import EditorStage
from tests.studied import ready_study

HULL = "plain-tray"
CASES = ("table-tennis-ball",)
"""More of them could float than have a place."""
MORE = ("golf-ball", "us-cent", "washer-m8")


def pytest_generate_tests(metafunc):
    if "item" in metafunc.fixturenames:
        metafunc.parametrize("item", CASES + MORE * metafunc.config.getoption("--whole"))


def test_every_page_and_the_command_line_say_the_same_count(item, cli, tmp_path):
    code, out, _ = cli("cargo", HULL, "--item", item, "--json")
    cargo = json.loads(out)
    assert 0 == code
    _, out, _ = cli("compare", HULL, "hemmed-tray", "--item", item, "--json")
    (row,) = (one["count"] for one in json.loads(out)["designs"] if one["shown_as"] == "Plain tray")
    counts = (cargo["count_low"], cargo["count"], cargo["count_high"])
    assert counts == (row["low"], row["likely"], row["high"])
    stage = EditorStage(tmp_path)
    choose_object(stage.editor, item)
    stage.open(HULL)
    assert stage.ui.find("likely").text.startswith("about ")  # by mass, while the hand may be at work
    stage.wait(1.1)
    stage.settle()
    low, likely, high, most = *counts, row["most"]
    said = stage.ui.find("likely").text
    assert (f"likely {likely} ", f"{low} to {high}") == (said[: len(f"likely {likely} ")], said.partition(", ")[2])
    assert stage.ui.shows(f"{most} ")
    stage.turn_to("float")
    stage.field("float/guess", "3")
    stage.settle()
    answer = stage.ui.find("float/answer").text
    assert (f"likely {likely} ", f"{low} to {high}") == (answer[: len(f"likely {likely} ")], answer.partition(", ")[2])
    assert f"perfect hands: {most}" in stage.ui.find("float/perfect").text
    stage.turn_to("compare")
    spread = stage.ui.find("compare/0").value
    assert ((low, likely, high), most, False) == (spread.low_likely_high, spread.most, spread.about)


def test_perfect_hands_are_by_mass_unless_room_is_less():
    """248.6 g of brim load: 21 coins of 11.34 g. Of 2.7 g balls 92 by mass, but 40 mm balls lie two by two on 100 mm of floor."""
    made = ready_study(HULL)
    for name, full in (("us-half-dollar", False), ("table-tennis-ball", True)):
        item = find_item(name)
        (by_mass,) = counts_by_mass(item.mass_g, made.brim.load_g)
        most = contender(made, item, first=True).most
        assert most < by_mass if full else most == by_mass


@pytest.mark.parametrize("page", ["fold", "float", "compare"])
def test_a_first_count_is_told_as_about(page, tmp_path, monkeypatch):
    """While the full count is still being worked out."""
    stage = EditorStage(tmp_path)
    choose_object(stage.editor, "golf-ball")
    stage.open(HULL)
    ask = stage.editor.worker.ask_job

    class Never:
        def answer_to(self, _key):
            return None

    monkeypatch.setattr(stage.editor.worker, "ask_job", lambda name, *rest: Never() if name == "count" else ask(name, *rest))
    stage.wait(1.1)
    if page == "compare":
        counts = stage.editor.state.comparing.counts
        monkeypatch.setattr(counts, "ask", _only_first(counts.ask))
    stage.turn_to(page)
    if page == "float":
        stage.field("float/guess", "3")
        assert stage.ui.find("float/answer").text.startswith("about ")
    elif page == "fold":
        assert stage.ui.find("likely").text.startswith("about ")
    else:
        assert stage.ui.find("compare/0").value.about


def _only_first(ask):
    return lambda worker, key, *rest, **named: Future() if key[0] == "full" else ask(worker, key, *rest, **named)
