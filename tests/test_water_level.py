"""Where the load must stand for a hull that is not symmetric, and that everybody is told."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from pathlib import Path

import pytest

from folder.draw.picture import Label
from folder.paper.sheets.card import design_card
from folder.pattern.file import write_pattern
from folder.studies import study
from folder.verdict import design_of, level_sentence
from folder.window.background.worker import with_study
from folder.window.verdict import place
from tests.drawings import tray
from tests.hulls import on_floor

FLOOR = [(40.0, 40.0), (110.0, 40.0), (110.0, 110.0), (40.0, 110.0)]
LEANING = on_floor(FLOOR, [90.0, 50.0, 90.0, 90.0])
"""The right wall leans out."""
WORDS = "Put the load 7 mm right of the middle: then it lies level."


def test_the_load_stands_where_what_is_displaced_has_its_centre() -> None:
    """At height z the hull is 70 + z cot 50 deg long and 70 wide; moments of water and foil about the floor's middle."""
    result = study(LEANING)
    assert result.hull is not None
    assert result.brim is not None
    high, run = 40.0 * math.sin(math.radians(50.0)), 1.0 / math.tan(math.radians(50.0))
    moment = 70.0 * (70.0 * run * high**2 / 4.0 + run**2 * high**3 / 6.0)
    foil = result.hull.weight
    expected = (998.2067e-6 * moment - foil.mass_g * foil.centre_mm[0]) / result.brim.load_g
    assert (pytest.approx(expected, rel=1e-6), pytest.approx(0.0, abs=0.02)) == result.brim.level_at
    assert "7 mm" == f"{expected:.0f} mm"


def test_command_line_window_and_card_say_where_the_load_must_stand(
    cli: Callable[..., tuple[int, str, str]], tmp_path: Path
) -> None:
    path = tmp_path / "pattern.json"
    write_pattern(LEANING, path)
    result = study(LEANING)
    assert WORDS == level_sentence(result) == place(with_study(LEANING))
    assert f"  {WORDS}" in cli("check", str(path))[1].splitlines()
    assert 6.772 == pytest.approx(json.loads(cli("check", "--json", str(path))[1])["load"]["level_at_mm"][0], abs=1e-3)
    labels = [item.text for item in design_card(design_of(result)).picture.marks if isinstance(item, Label)]
    assert WORDS in " ".join(labels)


def test_of_a_hull_that_is_level_with_its_load_in_the_middle_nothing_is_said() -> None:
    assert "" == level_sentence(study(tray()))


def test_a_place_off_the_floor_is_said_to_be_out_of_reach() -> None:
    """A floor 18 mm long: most of what is displaced lies over the wall of 30 deg beside it."""
    narrow = on_floor([(60.0, 55.0), (78.0, 55.0), (78.0, 95.0), (60.0, 95.0)], [90.0, 30.0, 90.0, 90.0])
    expected = "No load on its floor keeps it level: it would have to lie 19 mm right of the middle."
    assert expected == level_sentence(study(narrow))


def test_both_ways_off_the_middle_are_told() -> None:
    where = level_sentence(study(on_floor(FLOOR, [90.0, 50.0, 60.0, 90.0])))
    assert "Put the load 7 mm right and 5 mm up from the middle: then it lies level." == where
