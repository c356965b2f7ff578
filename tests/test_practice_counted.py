"""Counts of objects by model and trials: `cargo`, card, compare and window say what `check` says."""

from __future__ import annotations

import json

import numpy as np
import pytest

from folder.cargo.item_list import find_item
from folder.cargo.predict import predict
from folder.cargo.vessel import vessel_of
from folder.pattern.file import read_pattern
from folder.places import PATTERNS
from folder.practice.counted import by_objects, joined_prediction
from folder.practice.identity import design_key
from folder.practice.trial import Trial
from folder.studies import Study, study
from folder.verdict import design_of
from folder.window.float.floating import predict_count

TRAY = read_pattern(PATTERNS / "plain-tray.json")
CENT = find_item("us-cent")


def studied(*counts: int, hand: str = "usual") -> Study:
    key = design_key(TRAY)
    trials = [Trial("2025-03-14", "Plain tray", "us-cent", 2.5, n, brim_g=248.0, design=key) for n in counts]
    return study(TRAY, trials=trials, hand=hand)


@pytest.fixture(scope="module")
def tried() -> Study:
    return studied(44, 48, 50, 52)


def test_without_trials_the_counts_are_those_laid_one_by_one() -> None:
    made = studied()
    assert made.hull is not None
    assert made.working is not None
    vessel = vessel_of(made.hull, made.water, made.working)
    alone, known = joined_prediction(vessel, CENT, made.joined)
    by_model = predict(vessel, CENT)
    assert known is None
    assert (by_model.count_low, by_model.count, by_model.count_high) == (alone.count_low, alone.count, alone.count_high)


def test_trials_move_the_counts_as_they_move_the_load(tried: Study) -> None:
    """Cents lie so low that grams and counts tell the same: within two objects."""
    assert tried.hull is not None
    assert tried.working is not None
    vessel = vessel_of(tried.hull, tried.water, tried.working)
    model, (found, known) = predict(vessel, CENT), joined_prediction(vessel, CENT, tried.joined)
    assert known is not None
    assert (4, 0) == (known.n_own, known.n_others)
    assert found.count < model.count
    assert found.count == len(found.loading.places_mm)
    for count, grams in (
        (found.count_low, tried.load.low_g),
        (found.count, tried.load.likely_g),
        (found.count_high, tried.load.high_g),
    ):
        assert count == pytest.approx((grams or 0.0) / 2.5, abs=2.0)
    assert known.count_on == pytest.approx((tried.load.count_on_g or 0.0) / 2.5, abs=2.0)


def test_trials_that_held_more_than_the_model_finds_room_for_are_believed() -> None:
    """Five table-tennis balls lie in the tray; six builds held 6 to 8, so that the count is no more than 5 in none of them."""
    ball = find_item("table-tennis-ball")
    key = design_key(TRAY)
    trials = [Trial("2025-03-14", "Plain tray", ball.name, 2.7, n, brim_g=248.0, design=key) for n in (6, 6, 7, 7, 7, 8)]
    made = study(TRAY, trials=trials)
    assert made.hull is not None
    assert made.working is not None
    found, known = joined_prediction(vessel_of(made.hull, made.water, made.working), ball, made.joined)
    assert known is not None
    assert 6 <= found.count <= 8
    assert found.count_low < found.count_high <= 8
    assert (known.count_on or 0) <= found.count_low
    assert (5, 5) == (found.stack.room, len(found.loading.places_mm))


def test_no_more_objects_can_be_counted_on_than_have_a_place() -> None:
    """Builds held cents far better than the model says; of table-tennis balls there is room for five all the same."""
    made = studied(90, 92, 94, 95, 96)
    assert made.hull is not None
    assert made.working is not None
    found, known = joined_prediction(vessel_of(made.hull, made.water, made.working), find_item("table-tennis-ball"), made.joined)
    assert known is not None
    assert (5, 5) == (found.count, found.count_high)
    assert (known.count_on or 0) <= found.count_low <= found.count_high - 1


def test_simulated_builds_keep_their_order_and_reach_the_counts_of_the_cargo(tried: Study) -> None:
    assert tried.hull is not None
    assert tried.working is not None
    assert tried.joined is not None
    cargo = predict(vessel_of(tried.hull, tried.water, tried.working), CENT)
    moved = by_objects(cargo, tried.joined, 2.5).held_g["usual"]
    was = tried.joined.held_g["usual"]
    assert (np.diff(moved[np.argsort(was)]) >= 0.0).all()
    counts = np.floor(moved / 2.5)
    assert [cargo.count_low, cargo.count, cargo.count_high] == pytest.approx(np.quantile(counts, (0.1, 0.5, 0.9)), abs=1.0)


def test_check_card_compare_sheet_and_window_tell_one_load(tried: Study) -> None:
    loads = (tried.load.low_g, tried.load.likely_g, tried.load.high_g)
    design = design_of(tried)
    assert design.load is not None
    assert loads == (design.load.low_g, design.load.likely_g, design.load.high_g) == design.spread.low_likely_high
    shown = predict_count(tried, "usual", None, None)
    assert shown is not None
    assert loads == (shown.load.low_g, shown.load.likely_g, shown.load.high_g)
    assert "4 trials of this design" in shown.basis
    hurried = predict_count(tried, "hurried", None, None)
    assert hurried is not None
    assert hurried.load.likely_g < 0.9 * shown.load.likely_g


def test_cargo_and_compare_read_the_log(cli) -> None:  # type: ignore[no-untyped-def]
    before = json.loads(cli("cargo", "plain-tray", "--item", "us-cent", "--json")[1])
    assert (None, 0) == (before["count_on"], before["trials_own"])
    for count in (44, 48, 50, 52):
        cli("trial", "add", "--pattern", "plain-tray", "--item", "us-cent", "--count", str(count))
    load = json.loads(cli("check", "plain-tray", "--json")[1])["load"]
    cargo = json.loads(cli("cargo", "plain-tray", "--item", "us-cent", "--json")[1])
    compared = json.loads(cli("compare", "plain-tray", "hemmed-tray", "--json")[1])["designs"]
    assert cargo["count"] < before["count"]
    assert (4, len(cargo["placed"])) == (cargo["trials_own"], cargo["count"])
    assert cargo["count"] == pytest.approx(load["likely_g"] / 2.5, abs=2.0)
    assert load["likely_g"] == compared[0]["load"]["likely_g"]
    assert "4 trials of this design" in compared[0]["load"]["basis"]
    assert "4 trials of 1 other design" in compared[1]["load"]["basis"]
