"""What is asked about before it is noted."""

from __future__ import annotations

from msgspec.structs import replace

from folder.practice.doubts import doubts, noted_before
from folder.practice.trial import Trial

CENTS = Trial("2025-03-14", "Plain tray", "us-cent", 2.5, 40, brim_g=248.6)


def test_a_trial_like_any_other_raises_no_doubt() -> None:
    assert () == doubts(CENTS, "2025-03-14")
    assert () == doubts(replace(CENTS, count=99), "2025-03-14"), "247.5 g is under the brim load"
    assert () == doubts(replace(CENTS, count=900_000, brim_g=None), "2025-03-14"), "nothing is known of the hull"


def test_more_than_the_brim_load_is_asked_about() -> None:
    [asked] = doubts(replace(CENTS, count=100), "2025-03-14")
    assert "100 of 2.5 g are 250 g, more than the 248.6 g" in asked


def test_a_date_to_come_is_asked_about() -> None:
    [asked] = doubts(replace(CENTS, date="2025-03-15"), "2025-03-14")
    assert "2025-03-15 is still to come" in asked


def test_what_a_log_holds_already_is_found_as_often_as_it_stands_in_both() -> None:
    other = replace(CENTS, count=41)
    assert (CENTS, CENTS) == noted_before([CENTS, other, CENTS, CENTS], {1: [CENTS], 2: [CENTS]})
    assert () == noted_before([other], {1: [CENTS]})


def test_what_was_corrected_or_struck_out_since_is_no_news_either() -> None:
    """Trial 1 was noted as 400 and corrected to 40, back to 400, and to 40: one trial of a file, whichever of these it says."""
    slip = replace(CENTS, count=400)
    history = {1: [slip, CENTS, slip, CENTS]}
    assert (slip,) == noted_before([slip, slip], history)
    assert (slip,) == noted_before([slip, CENTS], history)
