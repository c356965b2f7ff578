"""A trial: what may be noted down, and the held share."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace

from folder.errors import BadRequest
from folder.practice.trial import HAND_NAMES, Trial

CENTS = Trial("2025-03-14", "Plain tray", "us-cent", 2.5, 40)


def test_held_mass_is_count_times_mass_each() -> None:
    assert 100.0 == CENTS.held_g


def test_a_trial_cannot_be_changed() -> None:
    with pytest.raises(AttributeError):
        CENTS.count = 41  # type: ignore[misc]


@pytest.mark.parametrize("hand", HAND_NAMES)
def test_every_hand_may_be_noted(hand: str) -> None:
    assert hand == replace(CENTS, hand=hand).hand


def test_a_hull_that_held_nothing_may_be_noted() -> None:
    assert 0.0 == replace(CENTS, count=0, guess=0).held_g


@pytest.mark.parametrize(
    ("changes", "where"),
    [
        ({"date": "14.3.2025"}, "date"),
        ({"date": "2025-02-30"}, "date"),
        ({"date": "20250314"}, "date"),
        ({"date": ""}, "date"),
        ({"pattern": ""}, "pattern"),
        ({"pattern": " tray"}, "pattern"),
        ({"pattern": "two\nlines"}, "pattern"),
        ({"pattern": "x" * 201}, "pattern"),
        ({"item": "a\x00b"}, "item"),
        ({"note": "half a pair \ud800"}, "note"),
        ({"note": "x" * 10_001}, "note"),
        ({"mass_each_g": 0.0}, "mass_each_g"),
        ({"mass_each_g": math.nan}, "mass_each_g"),
        ({"mass_each_g": math.inf}, "mass_each_g"),
        ({"count": -1}, "count"),
        ({"count": 10**9}, "count"),
        ({"guess": -1}, "guess"),
        ({"sheet_width_mm": -150.0}, "sheet_width_mm"),
        ({"sheet_height_mm": 0.0}, "sheet_height_mm"),
        ({"thickness_um": 0.0}, "thickness_um"),
        ({"sheets_used": 0}, "sheets_used"),
        ({"hand": "left"}, "hand"),
        ({"brim_g": 0.0}, "brim_g"),
        ({"design": "Plain tray"}, "design"),
        ({"pupil": "two\nlines"}, "pupil"),
        ({"happened": "it exploded"}, "happened"),
    ],
)
def test_an_impossible_trial_is_refused_in_a_sentence_that_names_the_column(changes: dict[str, object], where: str) -> None:
    with pytest.raises(BadRequest, match=f"^{where}: ") as caught:
        replace(CENTS, **changes)
    assert "\n" not in str(caught.value)
