"""Better hulls: what the search finds against what calculus says."""

import math

import pytest

from folder.errors import BadRequest
from folder.pattern.families.catalogue import make
from folder.pattern.pattern import Sheet
from folder.search.families import brim_score, improve
from folder.studies import study


@pytest.mark.parametrize("side_mm", [100.0, 150.0, 200.0])
def test_the_best_wall_of_a_square_tray_is_a_sixth_of_the_side(side_mm):
    """x (a - 2x)^2 is largest at a / 6 (textbook, from memory)."""
    found = improve("square-tray", sheet=Sheet(side_mm, side_mm))
    assert side_mm / 6 == pytest.approx(found.best.values["wall"], abs=0.05)


def test_the_best_leaning_tray_is_found_from_both_parameters():
    """a = 15 cm: s 3.486 cm gives 291.67 cm3 at turn 57.91 deg by the frustum formula."""
    found = improve("leaning-tray")
    wall, turn = found.best.values["wall"], math.radians(found.best.values["turn"])
    assert 57.91 == pytest.approx(math.degrees(turn), abs=0.05)
    small, large, height = 150 - 2 * wall, 150 - 2 * wall + 2 * wall * math.cos(turn), wall * math.sin(turn)
    volume = height / 3 * (small**2 + small * large + large**2)
    assert 291_670 == pytest.approx(volume, rel=1e-4)
    # 0.9982067 g/cm3 of water at 20 C (Tanaka 2001), less 0.972 g of foil.
    assert volume * 0.9982067e-3 - 0.972 == pytest.approx(found.best.score, abs=1e-3)


def test_what_is_kept_stays_and_the_best_is_no_worse_than_the_start():
    found = improve("leaning-tray", {"turn": 75.0})
    assert 75.0 == found.best.values["turn"]
    assert found.start is not None
    assert found.start.score <= found.best.score


def test_the_scores_of_walls_are_those_of_the_open_tray_table():
    """V at 1, 1.5, 2, 3, 3.5, 4 cm for a = 15 cm: 169, 216, 242, 243, 224, 196 cm3 (x (a - 2x)^2)."""
    table = {10.0: 169, 15.0: 216, 20.0: 242, 30.0: 243, 35.0: 224, 40.0: 196}
    for wall, volume in table.items():
        assert volume * 0.9982067 - 0.972 == pytest.approx(brim_score(make("square-tray", {"wall": wall})), abs=1e-3)


def test_where_no_setting_makes_a_hull_it_says_so():
    with pytest.raises(BadRequest, match="no setting"):
        improve("square-tray", {"wall": 74.9})


def test_the_pattern_found_is_a_hull_that_carries_its_score():
    found = improve("square-tray")
    assert found.best.score == study(make("square-tray", found.best.values)).load.brim_g
