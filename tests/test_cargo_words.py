"""Counts in words, against divisions done by hand."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from folder.cargo.item_list import find_item, items
from folder.cargo.words import count_words, counts_by_mass, noun, number_of


def test_a_load_is_told_in_objects_rounded_down() -> None:
    """165.2 / 2.5 = 66.08; 127.5 / 2.5 = 51 exactly; 207.4 / 2.5 = 82.96."""
    assert "about 66 cents, 51 to 82" == count_words(find_item("us-cent"), 127.5, 165.2, 207.4)


def test_the_users_own_mass_wins_over_the_lists() -> None:
    """165 / 3 = 55."""
    assert "about 55 cents, 42 to 69" == count_words(find_item("us-cent"), 127.5, 165.0, 207.4, each_g=3.0)


def test_without_a_mass_there_is_nothing_to_tell() -> None:
    assert "" == count_words(find_item("die-16"), 100.0, 120.0, 140.0)


@pytest.mark.parametrize(
    ("each_g", "load_g", "count"), [(0.1, 0.3, 3), (3.06, 9.18, 3), (2.5, 0.0, 0), (2.5, -1.0, 0), (0.119, 119.0, 1000)]
)
def test_decimals_are_divided_as_they_are_written(each_g: float, load_g: float, count: int) -> None:
    """In floats 0.3 // 0.1 is 2."""
    assert (count,) == counts_by_mass(each_g, load_g)


@pytest.mark.parametrize(
    ("label", "several"),
    [
        ("brass bush", "brass bushes"),
        ("green box", "green boxes"),
        ("tiny toy", "tiny toys"),
        ("glass berry", "glass berries"),
        ("red bead, small", "red beads"),
    ],
)
def test_own_objects_get_a_plural(label: str, several: str) -> None:
    one = replace(find_item("us-cent"), name="mine", label=label, many="")
    assert (several, label.partition(",")[0]) == (noun(one, 2), noun(one, 1))


def test_two_numbers_do_not_run_into_each_other() -> None:
    assert ("66 × 2p coins", "66 M8 washers") == (number_of(find_item("uk-2p"), 66), number_of(find_item("washer-m8"), 66))


def test_every_shipped_object_has_a_short_word_for_several() -> None:
    assert all(len(noun(item, 2)) <= 26 for item in items())
