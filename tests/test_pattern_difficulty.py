"""How hard a pattern is to fold, from its drawing alone."""

import math

import pytest
from msgspec.structs import replace

from folder.pattern.difficulty import LEVEL_WORDS, difficulty, least_spacing_mm
from folder.pattern.file import find_pattern, read_pattern, ready_patterns
from folder.pattern.pattern import Crease, Pattern
from tests.drawings import tray


def ready(name):
    return difficulty(read_pattern(find_pattern(name)))


def test_the_tray_to_begin_with_is_easy_and_walls_in_three_strips_are_the_hardest_on_the_shelf():
    levels = {name: ready(name) for name in ready_patterns()}
    assert "easy" == levels["plain-tray"].word
    assert "hard" == levels["pinched-barge"].word
    assert "three-bend-tray" == max(levels, key=levels.__getitem__)
    assert set(LEVEL_WORDS) == {one.level for one in levels.values()}


def test_a_hem_is_harder_than_none_and_guides_cost_nothing():
    assert ready("plain-tray") < ready("hemmed-tray")
    plain = tray(25.0)
    guided = replace(plain, creases=(*plain.creases, Crease((60.0, 30.0), (60.0, 120.0), "guide", 0.0)))
    assert difficulty(plain) == difficulty(guided)


def test_a_narrow_strip_costs_and_one_just_wide_enough_does_not():
    def strip(wide):
        return difficulty(Pattern(creases=(Crease((0, 60), (150, 60)), Crease((0, 60 + wide), (150, 60 + wide)))))

    assert strip(7.9).score > strip(8.0).score == strip(30.0).score


@pytest.mark.parametrize(
    ("creases", "expected"),
    [
        ([Crease((0, 10), (100, 10)), Crease((0, 40), (100, 40))], 30.0),
        ([Crease((0, 10), (40, 10)), Crease((60, 12), (100, 12))], math.inf),  # they lie past each other
        ([Crease((0, 0), (100, 100)), Crease((0, 10), (90, 100))], 10 / math.sqrt(2)),
        ([Crease((0, 0), (100, 0)), Crease((0, 0), (0, 100))], math.inf),
        ([Crease((0, 0), (50, 0)), Crease((50, 0), (100, 0))], math.inf),  # one line in two pieces
        ([], math.inf),
    ],
)
def test_the_least_spacing_is_between_parallel_creases_that_lie_beside_each_other(creases, expected):
    assert expected == pytest.approx(least_spacing_mm(creases))
