"""What the trials teach: figures against the statistics module, shares across patterns, and guesses."""

from __future__ import annotations

import json
import math
import statistics

import pytest
from hypothesis import given
from hypothesis import strategies as st

from folder.practice.summary import summarise
from folder.practice.trial import Trial


def trial(count: int, pattern: str = "Plain tray", **more: object) -> Trial:
    return Trial("2025-03-14", pattern, "us-cent", 2.5, count, **more)  # type: ignore[arg-type]


def shares(*counts: int, pattern: str = "Plain tray", brim_g: float = 250.0) -> list[Trial]:
    return [trial(count, pattern, brim_g=brim_g) for count in counts]


def test_of_no_trials_nothing_is_known_and_it_says_so() -> None:
    summary = summarise([])
    assert (0, (), 0) == (summary.n, summary.patterns, summary.share.n)
    assert "Nobody guessed." == summary.guesses.text


@given(st.lists(st.builds(trial, st.integers(0, 200), st.sampled_from(["a", "b"])), min_size=1, max_size=30))
def test_the_figures_of_each_pattern_are_those_of_the_statistics_module(trials: list[Trial]) -> None:
    summary = summarise(trials)
    assert len(trials) == summary.n == sum(each.held_g.n for each in summary.patterns)
    for each in summary.patterns:
        held_g = [one.held_g for one in trials if one.pattern == each.pattern]
        found = each.held_g
        assert (len(held_g), min(held_g), max(held_g)) == (found.n, found.smallest, found.largest)
        assert pytest.approx(statistics.mean(held_g)) == found.mean
        assert pytest.approx(statistics.median(held_g)) == found.median
        if len(held_g) > 1:
            assert pytest.approx(statistics.stdev(held_g), abs=1e-9) == found.deviation


@given(st.lists(st.builds(trial, st.integers(0, 60)), min_size=2, max_size=12), st.randoms())
def test_the_order_of_trials_does_not_matter(trials: list[Trial], random: object) -> None:
    shuffled = list(trials)
    random.shuffle(shuffled)  # type: ignore[attr-defined]
    one, other = summarise(trials).patterns[0].held_g, summarise(shuffled).patterns[0].held_g
    assert (one.n, one.smallest, one.largest) == (other.n, other.smallest, other.largest)
    assert pytest.approx((one.mean, one.deviation), abs=1e-9) == (other.mean, other.deviation)


def test_sheets_of_two_sizes_are_two_hulls_even_of_one_pattern() -> None:
    large = trial(90, sheet_width_mm=200.0, sheet_height_mm=200.0)
    summary = summarise([trial(40), large, trial(44)])
    assert [(150.0, 2), (200.0, 1)] == [(each.sheet_width_mm, each.held_g.n) for each in summary.patterns]


def test_patterns_are_joined_by_their_held_share() -> None:
    """A large and a small hull that both held 40 % of their brim load teach the same."""
    small, large = shares(40, brim_g=250.0), shares(80, pattern="Wide tray", brim_g=500.0)
    share = summarise([*small, *large]).share
    assert (2, 0.4, 0.4, 0.4) == (share.n, share.mean, share.smallest, share.largest)


def test_trials_without_a_brim_load_have_no_share_but_are_counted() -> None:
    [each] = summarise([*shares(40, 44), trial(50)]).patterns
    assert (3, 2) == (each.held_g.n, each.share.n)


def test_two_patterns_of_one_name_are_two_designs_and_one_of_two_names_is_one() -> None:
    a, b = "a" * 16, "b" * 16
    summary = summarise([trial(40, design=a), trial(50, design=b), trial(44, "Renamed tray", design=a)])
    assert [("Plain tray", a, 2), ("Plain tray", b, 1)] == [(p.pattern, p.design, p.held_g.n) for p in summary.patterns]


def test_guesses_are_judged_by_how_far_off_they_were() -> None:
    guessed = [trial(40, guess=guess) for guess in (40, 43, 36, None, 45)]
    found = summarise(guessed).guesses
    assert (4, 1, 3.0, 1.0) == (found.n, found.exact, found.mean_error, found.mean_over)
    assert "4 guesses, 1 exact: 3.0 objects off, on average 1.0 too high." == found.text
    assert "2 guesses, 0 exact: 2.0 objects off, neither too high nor too low." == (
        summarise([trial(40, guess=38), trial(40, guess=42)]).guesses.text
    )


def test_the_json_of_a_summary_has_no_number_where_there_is_none() -> None:
    document = json.loads(json.dumps(summarise([trial(40)]).as_json(), allow_nan=False))
    assert 100.0 == document["patterns"][0]["held_g"]["mean"]
    assert document["patterns"][0]["held_g"]["deviation"] is None
    assert document["share"]["mean"] is None
    assert not any(math.isnan(value) for value in document["guesses"].values() if isinstance(value, float))
