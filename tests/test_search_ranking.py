"""Hulls held against each other: the order, the names, and the reason, on contenders made by hand."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from folder.cargo.item_list import find_item
from folder.search.ranking import Contender, contender, distinct_names, ranked, why_it_wins
from folder.studies import study
from folder.verdict import Verdict
from tests.drawings import tray
from tests.studied import ready_study

PLAIN = contender(ready_study("plain-tray"))


def made(name: str, likely: float, **changes: object) -> Contender:
    """Of a design of its own."""
    pattern = replace(PLAIN.pattern, creases=PLAIN.pattern.creases[: 1 + sum(map(ord, name)) % 12])
    loads = {"low": 0.8 * likely, "likely": likely, "high": 1.2 * likely, "most": 1.5 * likely}
    return replace(PLAIN, name=name, pattern=pattern, limited_by="mass", **loads, **changes)


def test_the_best_comes_first_and_what_is_no_hull_last() -> None:
    cut = made("cut", 300.0, verdict=Verdict("cut", "stop", "Needs a cut: not allowed."))
    few, many, nothing = made("few", 10.0), made("many", 20.0), replace(PLAIN, low=None, likely=None, high=None)
    assert [2, 1, 0, 3] == ranked([cut, few, many, nothing])


def test_of_equals_the_surer_one_comes_first_and_then_the_one_named_first() -> None:
    one, surer, third = made("one", 10.0), replace(made("surer", 10.0), low=9.0), made("third", 10.0)
    assert [1, 0, 2] == ranked([one, surer, third])


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        (
            {"volume_mm3": 300_000.0, "floor_area_mm2": 12_000.0},
            "Its floor is larger, so it pushes more water away: 300 cm³, not 250.",
        ),
        ({"volume_mm3": 300_000.0, "rim_height_mm": 30.0}, "Its rim is higher, so it pushes more water away: 300 cm³, not 250."),
        ({"foil_mass_g": 0.5}, "It is lighter itself."),
        ({}, "It is the better mix of floor and wall."),
    ],
)
def test_the_reason_is_what_the_best_has_more_of(changes: dict[str, float], words: str) -> None:
    best = replace(made("Best", 100.0), measures=replace(PLAIN.measures, **changes))
    assert f"The most: 20 g more than “Next”. {words}" == why_it_wins([made("Next", 80.0), best])


def test_a_near_thing_is_said_to_be_one() -> None:
    assert "As good as “Next”: fold and test both." == why_it_wins([made("Next", 98.0), made("Best", 100.0)])


def test_with_an_object_the_difference_is_in_objects() -> None:
    assert why_it_wins([made("Next", 40), made("Best", 50)], find_item("us-cent")).startswith("The most: 10 more than “Next”.")


def test_what_must_be_held_is_cautioned() -> None:
    best = replace(made("Best", 100.0), standing="It turns over when empty: hold it until 12 g stand in it.", hold_until=5)
    assert why_it_wins([made("Next", 50.0), best]).endswith("hold it until 12 g stand in it.")


def test_the_same_hull_twice_is_said_to_be_the_same() -> None:
    assert "They are the same hull." == why_it_wins([PLAIN, replace(PLAIN, name="Again")])
    best = made("Best one", 400.0)
    assert why_it_wins([best, replace(best, name="Again"), made("Next", 300.0)]).startswith("The most: 100 g more than “Next”.")


def test_one_alone_has_won_nothing_and_none_is_said() -> None:
    assert "" == why_it_wins([made("Best", 100.0)])
    assert "None of them" in why_it_wins([replace(PLAIN, likely=None), replace(PLAIN, likely=None)])


@pytest.mark.parametrize(
    ("names", "details", "expected"),
    [
        (("A", "B"), ("", ""), ("A", "B")),
        (("A", "A"), ("wall 20", "wall 25"), ("A, wall 20", "A, wall 25")),
        (("A", "A", "B"), ("wall 20", "wall 20", ""), ("A", "A (2)", "B")),
        (("A", "A", "A (2)"), (), ("A", "A (3)", "A (2)")),
    ],
)
def test_names_that_are_alike_are_told_apart(names: tuple[str, ...], details: tuple[str, ...], expected: tuple[str, ...]) -> None:
    found = distinct_names(names, details)
    assert expected == found
    assert len(set(found)) == len(found)


def test_perfect_hands_are_bound_by_the_brim_and_by_the_room() -> None:
    """248.58 g of brim load: 99 cents of 2.5 g; table-tennis balls of 40 mm: 4 lie on 100 by 100 mm, and a fifth on them."""
    assert 99 == contender(ready_study("plain-tray"), find_item("us-cent"), first=True).most
    balls = contender(ready_study("plain-tray"), find_item("table-tennis-ball"), first=True)
    assert 4 <= balls.most <= 6
    assert "room" == balls.limited_by


def test_what_does_not_fold_takes_nothing() -> None:
    none = contender(study(replace(tray(), creases=tray().creases[:3])), find_item("us-cent"))
    assert (None, False) == (none.likely, none.good)
