"""A class's trials as a page: quartiles as the textbook has them, drawn where the numbers are."""

from __future__ import annotations

import random
import statistics

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from folder.draw.picture import Area, Box, Label, Line, box_round
from folder.draw.statistics import box_plots, guesses_and_counts
from folder.errors import BadRequest
from folder.paper.pages import PAPERS
from folder.paper.sheets.class_trials import class_trials_page
from folder.paper.svg import page_svg
from folder.practice.attempts import attempts, five_numbers, is_one_object
from folder.practice.trial import Trial
from tests.overlap import overlaps
from tests.strategies import tried
from tests.test_cli import Cli
from tests.test_event_file import NAMES


def trial(count: int, pupil: str = "", guess: int | None = None, item: str = "us-cent", each: float = 2.5) -> Trial:
    return Trial("2026-03-14", "Plain tray", item, each, count, guess=guess, pupil=pupil)


@pytest.mark.parametrize(
    ("expected", "values"),
    [
        ((6, 15, 40, 43, 49), [6, 7, 15, 36, 39, 40, 41, 42, 43, 47, 49]),  # the middle number left out of both halves
        ((7, 15, 37.5, 40, 41), [7, 15, 36, 39, 40, 41]),  # halves of three
        ((1, 1.5, 3, 4.5, 5), [5, 4, 3, 2, 1]),
        ((1, 1, 1.5, 2, 2), [2, 1]),
        ((4, 4, 4, 4, 4), [4]),
    ],
)
def test_five_numbers_worked_by_hand(expected, values):
    """The first two are the usual worked examples of this rule (Moore & McCabe, from memory)."""
    assert expected == five_numbers(values)


def test_of_nothing_there_are_no_numbers():
    assert five_numbers([]) is None


@given(st.lists(st.integers(0, 100), min_size=4, max_size=30))
@tried(60)
def test_a_quarter_of_the_values_lies_on_either_side_of_a_quartile(values):
    five = five_numbers(values)
    assert five == tuple(sorted(five))
    assert sum(v <= five.lower for v in values) >= len(values) // 4
    assert sum(v >= five.upper for v in values) >= len(values) // 4
    assert sum(v < five.lower for v in values) <= len(values) / 4.0
    ordered, half = sorted(values), len(values) // 2
    assert [statistics.median(part) for part in (ordered[:half], ordered, ordered[-half:])] == list(five[1:4])


def test_an_object_of_the_list_is_one_however_its_name_is_written():
    assert is_one_object([trial(1), trial(2, item="US cent"), trial(3, item="us_cent")])
    assert not is_one_object([trial(1), trial(2, item="my cent")])
    assert not is_one_object([trial(1), trial(2, each=3.1)])


def test_an_attempt_is_told_by_the_pupil_however_the_name_is_written():
    found = attempts([trial(1, "Mia"), trial(2, "Noa"), trial(3, "mia"), trial(4), trial(5, "MIA")])
    assert {1: [1, 2], 2: [3], 3: [5]} == {k: [t.count for t in ts] for k, ts in found.items()}


def test_counts_are_compared_only_where_all_loaded_with_one_object():
    assert is_one_object([trial(1), trial(2)])
    assert not is_one_object([trial(1), trial(2, each=3.0)])


def test_the_box_and_the_whiskers_are_drawn_at_the_numbers():
    drawn = box_plots([("all", (0.0, 20.0, 50.0, 60.0, 100.0))], Box(0.0, 0.0, 180.0, 30.0), "")
    left, right = (mark.at[0] for mark in drawn.marks if isinstance(mark, Label) and mark.text in ("0", "100"))
    (area,) = (mark for mark in drawn.marks if isinstance(mark, Area))
    box = box_round(area.rings[0])
    share = [(x - left) / (right - left) for x in (box.left, box.right)]
    assert [0.2, 0.6] == pytest.approx(share)
    (median,) = (mark for mark in drawn.marks if isinstance(mark, Line) and mark.style == "thick")
    assert 0.5 == pytest.approx((median.points[0][0] - left) / (right - left))


def test_a_right_guess_lies_on_the_diagonal_and_the_same_trial_twice_is_a_larger_dot():
    drawn = guesses_and_counts([(40, 40), (40, 40), (10, 80)], Box(0.0, 0.0, 120.0, 120.0))
    dots = [box_round(mark.rings[0]) for mark in drawn.marks if isinstance(mark, Area)]
    (diagonal,) = (mark for mark in drawn.marks if isinstance(mark, Line) and mark.style == "hidden")
    (ax, ay), (bx, by) = diagonal.points
    large, small = dots
    assert large.width**2 == pytest.approx(2.0 * small.width**2)
    off = [(by - ay) / (bx - ax) * (dot.middle[0] - ax) + ay - dot.middle[1] for dot in dots]
    assert 0.0 == pytest.approx(off[0], abs=1e-9)
    assert off[1] < -10.0  # more held than guessed: above the line


@pytest.mark.parametrize("paper", PAPERS)
def test_nothing_is_in_the_way_whatever_was_noted(paper):
    dice = random.Random(4)
    many = [trial(dice.randrange(100), f"P{k % 28}", dice.randrange(100)) for k in range(80)]
    named = [trial(7, name.replace("\n", " ")[:200].strip(), 7, item="thing") for name in NAMES]
    for trials in (many, many[:1], [trial(0)], [*many, trial(9, each=777.0)], named, [trial(1000000, guess=0)]):
        page = class_trials_page(trials, paper, NAMES[5])
        assert not overlaps(page)
        if trials in (named, many[:1]):  # what is written of the others is numbers alone
            etree.fromstring(page_svg(page, checked=True).encode())


def test_without_a_trial_there_is_no_page():
    with pytest.raises(BadRequest, match="no trials"):
        class_trials_page([])


def test_the_rule_of_the_quartiles_is_said_and_the_numbers_stand_there():
    page = class_trials_page([trial(count, f"P{count}") for count in (6, 7, 15, 36, 39, 40, 41, 42, 43, 47, 49)])
    said = [mark.text for mark in page.drawing().marks if isinstance(mark, Label)]
    assert "Moore and McCabe" in " ".join(said)
    assert {"11", "6", "15", "40", "43", "49"} <= set(said)


def test_the_command_line_writes_the_page(cli: Cli, tmp_path):
    cli("trial", "add", "--pattern", "x", "--item", "us-cent", "--count", "40", "--guess", "44", "--pupil", "Mia")
    assert 0 == cli("trial", "print", "--to", str(tmp_path))[0]
    assert {"class-trials-a4.svg", "class-trials-a4.pdf"} == {path.name for path in tmp_path.iterdir() if path.is_file()}
