"""Objects found by what is known of them."""

from __future__ import annotations

import pytest

from folder.cargo.item_list import items
from folder.cargo.item_search import nearest_items, read_wish, search_items


def names(text: str) -> list[str]:
    return [item.name for item in search_items(text, items())]


def test_what_a_team_is_told_on_the_day_finds_the_coin() -> None:
    """5 euro cent: 3.92 g, 21.25 mm by 1.67 mm (Regulation (EC) 975/98)."""
    assert ["euro-5-cent"] == names("3.92 g and 21.25 mm by 1.67 mm")


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("3.06", "euro-2-cent"), ("3,06 g", "euro-2-cent"), ("marble", "marble-14"), ("M8", "washer-m8"), ("penny", "uk-1p"),
        ("golf", "golf-ball"), ("Tea Light", "tea-light"), ("dice", "die-12"), ("19.05 mm", "us-cent"), ("2.7 g ball", "table-tennis-ball"),
    ],
)  # fmt: skip
def test_a_name_a_mass_or_a_size_finds_it_first(text: str, first: str) -> None:
    assert first == names(text)[0]


def test_a_shape_finds_all_of_that_shape() -> None:
    assert {item.name for item in items() if item.shape == "ball"} <= set(names("ball"))
    assert {item.name for item in items() if item.group == "Coins"} <= set(names("coins"))


def test_every_part_of_what_is_typed_must_be_met() -> None:
    assert ["washer-m8"] == names("washer 1.83")
    assert [] == names("marble 1.83 g")


def test_nothing_typed_is_the_whole_list_in_its_order() -> None:
    assert [item.name for item in items()] == names("  ")


@pytest.mark.parametrize("text", ["?!", "zzz", "1e400", "…", "\x00", "9" * 400, "g"])
def test_nonsense_finds_nothing_and_breaks_nothing(text: str) -> None:
    assert [] == names(text)


def test_a_slip_of_the_keys_has_its_nearest() -> None:
    assert "marble-14" == nearest_items("marbel", items())[0].name
    assert "uk-1p" in {item.name for item in nearest_items("3.5 g", items())}


def test_mass_and_sizes_are_told_apart() -> None:
    wish = read_wish("3.92 g and 21.25 mm by 1.67 mm")
    assert (3.92, (21.25, 1.67)) == (wish.mass_g, wish.sizes_mm)
    assert (3.06, ()) == (read_wish("3.06").mass_g, read_wish("3.06").sizes_mm)
    assert (None, (20.0, 15.0)) == (read_wish("block 2 cm 15 mm").mass_g, read_wish("block 2 cm 15 mm").sizes_mm)
